"""Edits of how bodies and connections are shown and kept: hidden, locked, tinted, and drawn over each other."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from enum import Enum
from typing import TypeVar

from msgspec.structs import replace

from core.document.changing import each, with_parts
from core.document.names import name_of
from core.document.project import Drawn, Gearing, Ink, Project

Shown = TypeVar("Shown", bound=Drawn)


@dataclass(frozen=True, slots=True)
class SetHidden:
    """Bodies and connections not drawn any more, or drawn again; `words` say which."""

    things: tuple[str, ...]
    hidden: bool
    words: str

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        return _hiding(project, lambda one: self.hidden if one.id in self.things else one.hidden)


@dataclass(frozen=True, slots=True)
class ShowOnly:
    """Of the views that some things are in nothing else drawn; with bodies what joins them, with a connection what it
    joins."""

    things: tuple[str, ...]
    words: str = "Show only the chosen"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        bodies, connections = _belonging(project, self.things)
        views = {body.id: body.view for body in project.bodies}
        seen_in = {views[body] for body in bodies}
        mine = {
            one.id for one in project.connections
            if not isinstance(one, Gearing) and views.get(one.bodies[0]) in seen_in
        } | {body for body, view in views.items() if view in seen_in}  # fmt: skip
        wanted = bodies | connections
        return _hiding(project, lambda one: one.id not in wanted if one.id in mine else one.hidden)


@dataclass(frozen=True, slots=True)
class SetLocked:
    """Bodies and connections locked, or freed; `words` say which."""

    things: tuple[str, ...]
    locked: bool
    words: str

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        def change(one: Shown) -> Shown:
            return replace(one, locked=self.locked) if one.id in self.things and one.locked != self.locked else one

        return with_parts(project, bodies=each(project.bodies, change), connections=each(project.connections, change))


@dataclass(frozen=True, slots=True)
class SetTint:
    """A tint of their own for bodies; None gives them back their role's."""

    bodies: tuple[str, ...]
    tint: Ink | None
    words: str

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        bodies = each(project.bodies, lambda one: replace(one, tint=self.tint) if one.id in self.bodies else one)
        return with_parts(project, bodies=bodies)


@dataclass(frozen=True, slots=True)
class OrderBodies:
    """The bodies in another order, the lowest first; `order` names each of them once, or nothing changes."""

    order: tuple[str, ...]
    words: str = "Change the order"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        held = {one.id: one for one in project.bodies}
        if len(self.order) != len(held) or set(self.order) != set(held) or self.order == tuple(held):
            return project
        return replace(project, bodies=tuple(held[one] for one in self.order))


def _hiding(project: Project, hidden: Callable[[Drawn], bool]) -> Project:
    def change(one: Shown) -> Shown:
        return one if hidden(one) == one.hidden else replace(one, hidden=hidden(one))

    return with_parts(project, bodies=each(project.bodies, change), connections=each(project.connections, change))


def _belonging(project: Project, things: Collection[str]) -> tuple[set[str], set[str]]:
    """The bodies among some things and those that connections among them join; these, and what joins such bodies."""
    joining = [one for one in project.connections if not isinstance(one, Gearing)]
    bodies = {one.id for one in project.bodies if one.id in things}
    bodies |= {body for one in joining if one.id in things for body in one.bodies}
    return bodies, {one.id for one in joining if set(one.bodies) <= bodies}


# ---- which body is drawn over which ----------------------------------------------------------------------------------


class Way(Enum):
    """Where bodies are laid among the others of their view."""

    HIGHER = "one higher"
    LOWER = "one lower"
    TOP = "on top"
    BOTTOM = "under all"


def laid(project: Project, bodies: Collection[str], way: Way) -> tuple[str, ...]:
    """The order of all bodies, the lowest first, with some of them laid another way; they keep their own order."""
    order = [one.id for one in project.bodies]
    if way in (Way.TOP, Way.BOTTOM):
        moved = [one for one in order if one in bodies]
        rest = [one for one in order if one not in bodies]
        return tuple(rest + moved if way is Way.TOP else moved + rest)
    if way is Way.LOWER:  # which is higher in the order read from its end
        return tuple(reversed(_one_higher(project, order[::-1], bodies)))
    return tuple(_one_higher(project, order, bodies))


def laid_over(project: Project, bodies: Collection[str], under: str | None) -> tuple[str, ...]:
    """The order of all bodies, the lowest first, with some of them laid right over another; None for under all."""
    moved = [one.id for one in project.bodies if one.id in bodies]
    rest = [one.id for one in project.bodies if one.id not in bodies]
    if under in bodies:  # dropped on one of themselves: over what lies next under them
        order = [one.id for one in project.bodies]
        below = [one for one in order[: order.index(str(under))] if one not in bodies]
        under = below[-1] if below else None
    place = rest.index(under) + 1 if under is not None else 0
    return (*rest[:place], *moved, *rest[place:])


def _one_higher(project: Project, order: list[str], bodies: Collection[str]) -> list[str]:
    """Each of some bodies past the next of its view that is none of them; the last first, so that they stay apart."""
    views = {one.id: one.view for one in project.bodies}
    made = list(order)
    for one in [one for one in reversed(order) if one in bodies]:
        at = made.index(one)
        over = next((n for n in range(at + 1, len(made)) if views[made[n]] == views[one]), None)
        if over is not None and made[over] not in bodies:
            made.insert(over, made.pop(at))
    return made


def words_for(project: Project, things: Collection[str]) -> str:
    """The name of the only one, or how many things they are: for the words of an edit."""
    named = [one for one in (*project.bodies, *project.connections) if one.id in things]
    return name_of(named[0]) if len(named) == 1 else f"{len(named)} things"
