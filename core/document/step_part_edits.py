"""Edits that part a step in two, and that join two in one."""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import with_sequence
from core.document.names import name_of
from core.document.project import Project, Sequence, Step
from core.document.sequence_checks import step_spans
from core.document.sequence_edits import without_acceptances
from core.document.steps import (
    both_of,
    keeping_times,
    moments_after,
    needs_of_both,
    parted,
    place_of,
    run_on,
    waiting_for_another,
)


@dataclass(frozen=True, slots=True)
class SplitStep:
    """A step parted at a share of its duration, the second part with an id of its own.

    Each part of an eased move runs its part of the course, so that nothing moves otherwise than before. `reached` gives
    each drive's value at the parting.
    """

    sequence: str
    step: str
    share: float
    second: str
    reached: tuple[tuple[str, float], ...]

    @property
    def label(self) -> str:
        return "Split step"

    def apply(self, project: Project) -> Project:
        if not 0.0 < self.share < 1.0:
            return project

        def change(sequence: Sequence) -> Sequence:
            place = place_of(sequence, self.step)
            if place is None:
                return sequence
            others = [replace(one, after=self.second) if one.after == self.step else one for one in sequence.steps]
            steps = (*others[:place], *self._parts(sequence.steps[place]), *others[place + 1 :])
            return replace(sequence, steps=steps)

        changed = with_sequence(project, self.sequence, change)
        return changed if changed is project else moments_after(changed, self.sequence, self.step, self.second)

    def _parts(self, whole: Step) -> tuple[Step, Step]:
        values = dict(self.reached)
        before = [replace(parted(one, 0.0, self.share), to=values.get(one.drive, one.to)) for one in whole.moves]
        first = replace(whole, duration=whole.duration * self.share, moves=tuple(before), engage=())
        second = Step(
            id=self.second, name=f"{name_of(whole)}, rest", after=whole.id,
            duration=whole.duration * (1.0 - self.share), engage=whole.engage,
            moves=tuple(parted(one, self.share, 1.0) for one in whole.moves),
        )  # fmt: skip
        return first, second


@dataclass(frozen=True, slots=True)
class JoinSteps:
    """Two steps made one that takes from the first's begin to the second's end; where both move a drive, the later
    target counts."""

    sequence: str
    first: str
    second: str

    @property
    def label(self) -> str:
        return "Join steps"

    def apply(self, project: Project) -> Project:
        def change(sequence: Sequence) -> Sequence:
            steps = {step.id: step for step in sequence.steps}
            if self.first not in steps or self.second not in steps or self.first == self.second:
                return sequence
            spans = step_spans(sequence)
            first, second = steps[self.first], steps[self.second]
            if self.first not in spans or self.second not in spans:
                return sequence
            later = {move.drive: move for move in second.moves}
            moves = (*(run_on(move, later.pop(move.drive, move)) for move in first.moves), *later.values())
            end = max(spans[self.first][1], spans[self.second][1])
            one = replace(
                first, duration=round(end - spans[self.first][0], 9), moves=moves,
                engage=both_of(first.engage, second.engage), release=both_of(first.release, second.release),
                needs=needs_of_both(first, second),
            )  # fmt: skip
            kept = [
                waiting_for_another(one if step.id == self.first else step, self.second, self.first)
                for step in sequence.steps
                if step.id != self.second
            ]
            return replace(sequence, steps=keeping_times(sequence, kept))

        changed = with_sequence(project, self.sequence, change)
        if changed is project:
            return project
        return moments_after(without_acceptances(changed, {self.second}), self.sequence, self.second, self.first)
