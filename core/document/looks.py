"""What only says how a body or a connection is shown and kept, apart from what it is."""

from __future__ import annotations

from typing import TypeVar

from msgspec.structs import replace

from core.document.names import name_of
from core.document.project import Body, Drawn, Gearing, Project

Shown = TypeVar("Shown", bound=Drawn)


def plain(thing: Shown) -> Shown:
    """The thing without name, tint, hiding and lock: two that are alike in this are solved and checked alike."""
    bare = replace(thing, name="", hidden=False, locked=False)
    return replace(bare, tint=None) if isinstance(bare, Body) else bare


def why_locked(before: Project, after: Project) -> str:
    """One line on a locked thing that was changed or removed on the way; empty where none was."""
    locked = [one for one in (*before.bodies, *before.connections) if one.locked]
    now = {one.id: one for one in (*after.bodies, *after.connections)} if locked else {}
    for one in locked:
        there = now.get(one.id)
        if there is None or (there is not one and plain(there) != plain(one)):
            return f"{name_of(one)} is locked and stays as it is: free it first"
    return ""


def not_drawn(project: Project) -> frozenset[str]:
    """What is hidden, and the connections that join nothing but what is."""
    hidden = {one.id for one in project.bodies if one.hidden}
    hidden |= {
        one.id for one in project.connections
        if one.hidden or (not isinstance(one, Gearing) and set(one.bodies) <= hidden)
    }  # fmt: skip
    return frozenset(hidden)


def locked_in(project: Project) -> frozenset[str]:
    return frozenset(one.id for one in (*project.bodies, *project.connections) if one.locked)


def at_hand(thing: Drawn) -> bool:
    """Whether a hand on the sheet can take hold of it: it is in sight and free."""
    return not thing.hidden and not thing.locked


def freed(thing: Shown) -> Shown:
    """The thing in sight and free, as a new one is."""
    return thing if at_hand(thing) else replace(thing, hidden=False, locked=False)


def hidden_in(project: Project, view: str | None = None) -> tuple[str, ...]:
    """The bodies and connections hidden by name, of one view where one is named, in the file's order."""
    views = {body.id: body.view for body in project.bodies}
    bodies = tuple(one.id for one in project.bodies if one.hidden and view in (None, one.view))
    return bodies + tuple(
        one.id for one in project.connections
        if one.hidden and (view is None or (not isinstance(one, Gearing) and views[one.bodies[0]] == view))
    )  # fmt: skip


def hidden_words(count: int) -> str:
    """How much is hidden, for a quiet note; nothing where nothing is."""
    return f"{count} hidden, still checked" if count else ""
