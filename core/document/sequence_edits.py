"""Edits of whole sequences: made, removed, named and ordered, and where their drives start."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import those, with_parts, with_sequence
from core.document.fresh import fresh_id, fresh_name
from core.document.names import by_id, name_of
from core.document.project import Project, Sequence


@dataclass(frozen=True, slots=True)
class AddSequence:
    """A new sequence at a place among the others; after them without one."""

    sequence: Sequence
    place: int | None = None

    @property
    def label(self) -> str:
        return f"Add sequence {name_of(self.sequence)}"

    def apply(self, project: Project) -> Project:
        place = len(project.sequences) if self.place is None else self.place
        return replace(project, sequences=(*project.sequences[:place], self.sequence, *project.sequences[place:]))


@dataclass(frozen=True, slots=True)
class RemoveSequence:
    """Without a sequence, the targets and figures that are measured at its moments, and what was accepted of them."""

    sequence: str
    name: str = ""

    @property
    def label(self) -> str:
        return f"Remove sequence {self.name}".rstrip()

    def apply(self, project: Project) -> Project:
        gone = by_id(project.sequences, self.sequence)
        if gone is None:
            return project
        steps = {step.id for step in gone.steps}
        last = len(project.sequences) == 1

        def is_lost(sequence: object, after: object) -> bool:
            """Whether a moment that names these goes with it; with the last sequence every one does."""
            return last or sequence == self.sequence or (sequence is None and after in steps)

        lost = {one.id for one in project.targets if is_lost(one.at.sequence, one.at.after)}
        return replace(
            project,
            sequences=those(project.sequences, lambda one: one is not gone),
            targets=those(project.targets, lambda one: one.id not in lost),
            figures=those(
                project.figures, lambda one: not any(is_lost(*moment) for moment in _moments_named(one.between))
            ),
            accepted=those(
                project.accepted,
                lambda one: one.sequence != self.sequence and one.target not in lost and one.step not in steps,
            ),
        )


@dataclass(frozen=True, slots=True)
class RenameSequence:
    sequence: str
    name: str

    @property
    def label(self) -> str:
        return "Rename sequence"

    def apply(self, project: Project) -> Project:
        return with_sequence(project, self.sequence, lambda one: replace(one, name=self.name))


@dataclass(frozen=True, slots=True)
class OrderSequence:
    """A sequence at another place among the others."""

    sequence: str
    place: int

    @property
    def label(self) -> str:
        return "Order sequences"

    def apply(self, project: Project) -> Project:
        others = [one for one in project.sequences if one.id != self.sequence]
        moved = [one for one in project.sequences if one.id == self.sequence]
        place = min(max(0, self.place), len(others))
        ordered = (*others[:place], *moved, *others[place:])
        return project if ordered == project.sequences else replace(project, sequences=ordered)


@dataclass(frozen=True, slots=True)
class SetDriveStart:
    """The value a drive has when the sequence starts, in the drive's terms; None for that of the drawn position."""

    sequence: str
    drive: str
    value: float | None

    @property
    def label(self) -> str:
        return "Change drive start"

    def apply(self, project: Project) -> Project:
        if self.value is not None and not math.isfinite(self.value):
            return project
        asked = {} if self.value is None else {self.drive: self.value}

        def change(sequence: Sequence) -> Sequence:
            kept = {drive: value for drive, value in sequence.start.items() if asked or drive != self.drive}
            return replace(sequence, start=kept | asked)

        return with_sequence(project, self.sequence, change)


def copied_sequence(project: Project, sequence: Sequence) -> Sequence:
    """The same sequence once more, with steps and a name of its own."""
    made: dict[str, str] = {}
    for step in sequence.steps:
        made[step.id] = fresh_id(project, step.id, frozenset(made.values()))
    steps = tuple(
        replace(
            step, id=made[step.id], after=made.get(step.after or "", step.after),
            together_with=made.get(step.together_with or "", step.together_with),
        )
        for step in sequence.steps
    )  # fmt: skip
    return replace(
        sequence,
        id=fresh_id(project, sequence.id, frozenset(made.values())),
        name=fresh_name({one.name for one in project.sequences}, name_of(sequence)),
        steps=steps,
    )


def without_acceptances(project: Project, steps: set[str]) -> Project:
    """The project without what was accepted of some steps."""
    accepted = those(project.accepted, lambda one: one.step not in steps)
    return with_parts(project, accepted=accepted)


def _moments_named(between: object) -> Iterator[tuple[object, object]]:
    """The moments in a figure's `between`, each the sequence and the step that it names; it stands as the file has
    it."""
    for one in between if isinstance(between, list | tuple) else ():
        for moment in (one, one.get("at")) if isinstance(one, dict) else ():
            if isinstance(moment, dict) and not {"at", "after"}.isdisjoint(moment):
                yield moment.get("sequence"), moment.get("after")
