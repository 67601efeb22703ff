"""Edits of the steps of a sequence: made, removed, ordered, chained, split and joined."""

from __future__ import annotations

import math
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import each, with_sequence, with_step
from core.document.names import by_id
from core.document.project import Move, Profile, Project, Sequence, Step
from core.document.sequence_checks import step_spans
from core.document.sequence_edits import without_acceptances
from core.document.steps import (
    both_of,
    keeping_times,
    leading_steps,
    moments_after,
    needs_of_both,
    parted,
    place_of,
    run_on,
    waiting_as_before,
    waiting_for_another,
    waits_for_the_one_above,
    without_step,
)


@dataclass(frozen=True, slots=True)
class AddStep:
    """A new step at a place of the list; at its end without one. What stood there begins when it did.

    A project without the sequence gets it.
    """

    sequence: str
    step: Step
    place: int | None = None
    sequence_name: str = ""

    @property
    def label(self) -> str:
        return f"Add step {self.step.name or self.step.id}"

    def apply(self, project: Project) -> Project:
        if not any(one.id == self.sequence for one in project.sequences):
            made = Sequence(id=self.sequence, name=self.sequence_name, steps=(self.step,))
            return replace(project, sequences=(*project.sequences, made))

        def add(sequence: Sequence) -> Sequence:
            place = len(sequence.steps) if self.place is None else self.place
            steps = [*sequence.steps[:place], self.step, *sequence.steps[place:]]
            if place + 1 < len(steps) and waits_for_the_one_above(steps[place + 1]):
                steps[place + 1] = waiting_as_before(sequence, steps, place + 1)
            return replace(sequence, steps=tuple(steps))

        return with_sequence(project, self.sequence, add)


@dataclass(frozen=True, slots=True)
class RemoveStep:
    """Without a step. What waited for it waits for what it waited for; moments after it are those after the step
    above it, or the start."""

    sequence: str
    step: str

    @property
    def label(self) -> str:
        return "Remove step"

    def apply(self, project: Project) -> Project:
        sequence = by_id(project.sequences, self.sequence)
        place = None if sequence is None else place_of(sequence, self.step)
        if sequence is None or place is None:
            return project
        gone = sequence.steps[place]
        named = gone.after is not None or gone.together_with is not None
        below = sequence.steps[place + 1 : place + 2] if named else ()
        waiting = [
            replace(step, after=gone.id) if step in below and waits_for_the_one_above(step) else step
            for step in sequence.steps
        ]
        steps = tuple(without_step(step, gone) for step in waiting if step.id != self.step)
        above = sequence.steps[place - 1].id if place else None
        changed = with_sequence(project, self.sequence, lambda one: replace(one, steps=steps))
        return moments_after(without_acceptances(changed, {self.step}), self.sequence, self.step, above)


@dataclass(frozen=True, slots=True)
class RemoveSteps:
    """Without several steps, one after the other."""

    sequence: str
    steps: tuple[str, ...]

    @property
    def label(self) -> str:
        return "Remove step" if len(self.steps) == 1 else f"Remove {len(self.steps)} steps"

    def apply(self, project: Project) -> Project:
        for step in self.steps:
            project = RemoveStep(self.sequence, step).apply(project)
        return project


@dataclass(frozen=True, slots=True)
class ShiftSteps:
    """Several steps begin so much later, or earlier; one that waits for another of them goes along with that."""

    sequence: str
    steps: tuple[str, ...]
    seconds: float

    @property
    def label(self) -> str:
        return "Shift step" if len(self.steps) == 1 else f"Shift {len(self.steps)} steps"

    def apply(self, project: Project) -> Project:
        if not math.isfinite(self.seconds) or self.seconds == 0.0:
            return project

        def change(sequence: Sequence) -> Sequence:
            leading = leading_steps(sequence, self.steps)
            return replace(sequence, steps=each(sequence.steps, lambda one: shift(one) if one.id in leading else one))

        def shift(step: Step) -> Step:
            return replace(step, delay=round(step.delay + self.seconds, 9))

        return with_sequence(project, self.sequence, change)


@dataclass(frozen=True, slots=True)
class SetStepSpan:
    """When a step begins after what it waits for, and how long it takes."""

    sequence: str
    step: str
    delay: float
    duration: float

    @property
    def label(self) -> str:
        return "Change step begin"

    def apply(self, project: Project) -> Project:
        if not (math.isfinite(self.delay) and math.isfinite(self.duration)):
            return project
        made = {"delay": self.delay, "duration": max(0.0, self.duration)}
        return with_step(project, self.sequence, self.step, lambda one: replace(one, **made))


@dataclass(frozen=True, slots=True)
class ReplaceStep:
    """Another value for the step of the same id; `words` say what is done to it."""

    sequence: str
    step: Step
    words: str = "Change step"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        return with_step(project, self.sequence, self.step.id, lambda _: self.step)


@dataclass(frozen=True, slots=True)
class SetMove:
    """What a step asks of a drive, whether it moved that drive before or not; None takes the move out."""

    sequence: str
    step: str
    drive: str
    to: float | None
    profile: Profile | None = None

    @property
    def label(self) -> str:
        return "Take drive out of step" if self.to is None else "Change drive target"

    def apply(self, project: Project) -> Project:
        if self.to is not None and not math.isfinite(self.to):
            return project

        def change(step: Step) -> Step:
            old = next((move for move in step.moves if move.drive == self.drive), None)
            if self.to is None:
                return replace(step, moves=tuple(move for move in step.moves if move is not old)) if old else step
            if old is None:
                return replace(
                    step, moves=(*step.moves, Move(drive=self.drive, to=self.to, profile=self.profile or "steady"))
                )
            new = replace(old, to=self.to, profile=self.profile or old.profile)
            if new == old:
                return step
            return replace(step, moves=tuple(new if move is old else move for move in step.moves))

        return with_step(project, self.sequence, self.step, change)


@dataclass(frozen=True, slots=True)
class ChainStep:
    """What a step waits for: the end of another, or its begin; then a delay. Neither is the step above it."""

    sequence: str
    step: str
    after: str | None = None
    together_with: str | None = None
    delay: float = 0.0

    @property
    def label(self) -> str:
        return "Chain step"

    def apply(self, project: Project) -> Project:
        def change(step: Step) -> Step:
            return replace(step, after=self.after, together_with=self.together_with, delay=self.delay)

        return with_step(project, self.sequence, self.step, change)


@dataclass(frozen=True, slots=True)
class OrderSteps:
    """Steps at another place of the list, one below the other as they stood, every step beginning when it did; `place`
    is where the first of them comes to stand."""

    sequence: str
    steps: tuple[str, ...]
    place: int

    @property
    def label(self) -> str:
        return "Order steps"

    def apply(self, project: Project) -> Project:
        def change(sequence: Sequence) -> Sequence:
            mine = [one for one in sequence.steps if one.id in self.steps]
            others = [one for one in sequence.steps if one.id not in self.steps]
            place = min(max(0, self.place), len(others))
            steps = [*others[:place], *mine, *others[place:]]
            if not mine or steps == list(sequence.steps):
                return sequence
            return replace(sequence, steps=keeping_times(sequence, steps))

        return with_sequence(project, self.sequence, change)


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
        values = dict(self.reached)

        def change(sequence: Sequence) -> Sequence:
            place = place_of(sequence, self.step)
            if place is None:
                return sequence
            whole = sequence.steps[place]
            first = replace(
                whole,
                duration=whole.duration * self.share,
                moves=tuple(
                    replace(parted(move, 0.0, self.share), to=values.get(move.drive, move.to)) for move in whole.moves
                ),
                engage=(),
            )
            second = Step(
                id=self.second, name=f"{whole.name or whole.id}, rest", after=whole.id,
                duration=whole.duration * (1.0 - self.share), engage=whole.engage,
                moves=tuple(parted(move, self.share, 1.0) for move in whole.moves),
            )  # fmt: skip
            rest = tuple(
                replace(one, after=self.second) if one.after == whole.id else one for one in sequence.steps[place + 1 :]
            )
            before = tuple(
                replace(one, after=self.second) if one.after == whole.id else one for one in sequence.steps[:place]
            )
            return replace(sequence, steps=(*before, first, second, *rest))

        changed = with_sequence(project, self.sequence, change)
        return changed if changed is project else moments_after(changed, self.sequence, self.step, self.second)


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
