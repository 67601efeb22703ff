"""Changing one thing of a project. Whatever a change leaves as it was stays the same object, and so does the project
where nothing changes: the stages' caches rest on that.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from msgspec.structs import replace

from core.document.names import Identified
from core.document.project import Body, Connection, Drive, Project, Sequence, Step, View

Thing = TypeVar("Thing")
Named = TypeVar("Named", bound=Identified)


def each(things: tuple[Thing, ...], change: Callable[[Thing], Thing]) -> tuple[Thing, ...]:
    """The things changed one by one; the very same tuple where none of them is another now."""
    changed = tuple(change(thing) for thing in things)
    alike = all(one is other or one == other for one, other in zip(changed, things, strict=True))
    return things if alike else changed


def those(things: tuple[Thing, ...], stays: Callable[[Thing], bool]) -> tuple[Thing, ...]:
    """The things that stay; the very same tuple where all of them do."""
    kept = tuple(one for one in things if stays(one))
    return things if len(kept) == len(things) else kept


def put(things: tuple[Named, ...], thing: Named) -> tuple[Named, ...]:
    """The things with one in place of that of the same id, or at their end; the very same tuple where it is there."""
    if all(one.id != thing.id for one in things):
        return (*things, thing)
    return each(things, lambda one: thing if one.id == thing.id else one)


def with_parts(project: Project, **parts: object) -> Project:
    """The project with other bodies, connections, drives...; the very same where each of them is the very same."""
    alike = all(getattr(project, key) is value for key, value in parts.items())
    return project if alike else replace(project, **parts)


def with_view(project: Project, view_id: str, change: Callable[[View], View]) -> Project:
    return with_parts(project, views=each(project.views, lambda one: change(one) if one.id == view_id else one))


def with_body(project: Project, body_id: str, change: Callable[[Body], Body]) -> Project:
    return with_parts(project, bodies=each(project.bodies, lambda one: change(one) if one.id == body_id else one))


def with_connection(project: Project, connection_id: str, change: Callable[[Connection], Connection]) -> Project:
    connections = each(project.connections, lambda one: change(one) if one.id == connection_id else one)
    return with_parts(project, connections=connections)


def with_drive(project: Project, drive_id: str, change: Callable[[Drive], Drive]) -> Project:
    return with_parts(project, drives=each(project.drives, lambda one: change(one) if one.id == drive_id else one))


def with_sequence(project: Project, sequence_id: str, change: Callable[[Sequence], Sequence]) -> Project:
    sequences = each(project.sequences, lambda one: change(one) if one.id == sequence_id else one)
    return with_parts(project, sequences=sequences)


def with_step(project: Project, sequence_id: str, step_id: str, change: Callable[[Step], Step]) -> Project:
    def change_in(sequence: Sequence) -> Sequence:
        steps = each(sequence.steps, lambda one: change(one) if one.id == step_id else one)
        return sequence if steps is sequence.steps else replace(sequence, steps=steps)

    return with_sequence(project, sequence_id, change_in)
