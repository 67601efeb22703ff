"""Edits of whole sequences: made, removed, named and ordered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import those, with_sequence
from core.document.project import Project, Sequence


@dataclass(frozen=True, slots=True)
class AddSequence:
    sequence: Sequence

    @property
    def label(self) -> str:
        return f"Add sequence {self.sequence.name or self.sequence.id}"

    def apply(self, project: Project) -> Project:
        return replace(project, sequences=(*project.sequences, self.sequence))


@dataclass(frozen=True, slots=True)
class RemoveSequence:
    """Without a sequence, the targets and figures that are measured at its moments, and what was accepted of them."""

    sequence: str

    @property
    def label(self) -> str:
        return "Remove sequence"

    def apply(self, project: Project) -> Project:
        gone = next((one for one in project.sequences if one.id == self.sequence), None)
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


def without_acceptances(project: Project, steps: set[str]) -> Project:
    """The project without what was accepted of some steps."""
    accepted = those(project.accepted, lambda one: one.step not in steps)
    return project if accepted is project.accepted else replace(project, accepted=accepted)


def _moments_named(between: object) -> Iterator[tuple[object, object]]:
    """The moments in a figure's `between`, each the sequence and the step that it names; it stands as the file has
    it."""
    for one in between if isinstance(between, list | tuple) else ():
        for moment in (one, one.get("at")) if isinstance(one, dict) else ():
            if isinstance(moment, dict) and not {"at", "after"}.isdisjoint(moment):
                yield moment.get("sequence"), moment.get("after")
