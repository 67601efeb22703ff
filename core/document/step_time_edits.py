"""Edits of when the steps of a sequence begin and how long they take: set, shifted, chained, and put in order."""

from __future__ import annotations

import math
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import each, with_sequence, with_step
from core.document.project import Project, Sequence, Step
from core.document.steps import keeping_times, leading_steps


@dataclass(frozen=True, slots=True)
class SetStepDuration:
    """How long a step takes; less than nothing is nothing."""

    sequence: str
    step: str
    seconds: float

    @property
    def label(self) -> str:
        return "Change step duration"

    def apply(self, project: Project) -> Project:
        if not math.isfinite(self.seconds):
            return project
        seconds = max(0.0, self.seconds)
        return with_step(project, self.sequence, self.step, lambda one: replace(one, duration=seconds))


@dataclass(frozen=True, slots=True)
class SetStepDelay:
    """How long a step waits after what it follows; less than nothing begins it earlier."""

    sequence: str
    step: str
    seconds: float

    @property
    def label(self) -> str:
        return "Change step delay"

    def apply(self, project: Project) -> Project:
        if not math.isfinite(self.seconds):
            return project
        return with_step(project, self.sequence, self.step, lambda one: replace(one, delay=self.seconds))


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
