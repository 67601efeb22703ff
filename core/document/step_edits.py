"""Edits of the steps of a sequence: made, removed, ordered, chained, split and joined."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from msgspec.structs import replace

from core.document.changing import with_sequence, with_step
from core.document.project import Moment, Move, Need, Profile, Project, Sequence, Step
from core.document.sequence_checks import step_spans
from core.document.sequence_edits import without_acceptances


@dataclass(frozen=True, slots=True)
class AddStep:
    """A new step at a place of the list; at its end without one. A project without the sequence gets it."""

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
            return replace(sequence, steps=(*sequence.steps[:place], self.step, *sequence.steps[place:]))

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
        sequence = next((one for one in project.sequences if one.id == self.sequence), None)
        place = None if sequence is None else _place(sequence, self.step)
        if sequence is None or place is None:
            return project
        gone = sequence.steps[place]
        steps = tuple(_without(step, gone) for step in sequence.steps if step.id != self.step)
        above = sequence.steps[place - 1].id if place else None
        changed = with_sequence(project, self.sequence, lambda one: replace(one, steps=steps))
        return _moments_after(without_acceptances(changed, {self.step}), self.sequence, self.step, above)


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
class OrderStep:
    """A step at another place of the list, every step beginning when it did."""

    sequence: str
    step: str
    place: int

    @property
    def label(self) -> str:
        return "Order steps"

    def apply(self, project: Project) -> Project:
        def change(sequence: Sequence) -> Sequence:
            old = _place(sequence, self.step)
            if old is None or old == self.place:
                return sequence
            steps = list(sequence.steps)
            steps.insert(self.place, steps.pop(old))
            return replace(sequence, steps=_keeping_times(sequence, steps))

        return with_sequence(project, self.sequence, change)


@dataclass(frozen=True, slots=True)
class SplitStep:
    """A step parted at a share of its duration, the second part with an id of its own.

    Steady moves are parted where they are; eased ones become two eased moves, which come to rest between.
    `reached` gives each drive's value at the parting.
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
            place = _place(sequence, self.step)
            if place is None:
                return sequence
            whole = sequence.steps[place]
            first = replace(
                whole,
                duration=whole.duration * self.share,
                moves=tuple(replace(move, to=values.get(move.drive, move.to)) for move in whole.moves),
                engage=(),
            )
            second = Step(
                id=self.second, name=f"{whole.name or whole.id}, rest", after=whole.id,
                duration=whole.duration * (1.0 - self.share), moves=whole.moves, engage=whole.engage,
            )  # fmt: skip
            rest = tuple(
                replace(one, after=self.second) if one.after == whole.id else one for one in sequence.steps[place + 1 :]
            )
            before = tuple(
                replace(one, after=self.second) if one.after == whole.id else one for one in sequence.steps[:place]
            )
            return replace(sequence, steps=(*before, first, second, *rest))

        changed = with_sequence(project, self.sequence, change)
        return changed if changed is project else _moments_after(changed, self.sequence, self.step, self.second)


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
            moves = (
                *(later.pop(move.drive, move) for move in first.moves),
                *later.values(),
            )
            end = max(spans[self.first][1], spans[self.second][1])
            one = replace(
                first, duration=end - spans[self.first][0], moves=moves,
                engage=_both(first.engage, second.engage), release=_both(first.release, second.release),
                needs=_needs_of_both(first, second),
            )  # fmt: skip
            kept = [
                _renamed(one if step.id == self.first else step, self.second, self.first)
                for step in sequence.steps
                if step.id != self.second
            ]
            return replace(sequence, steps=_keeping_times(sequence, kept))

        changed = with_sequence(project, self.sequence, change)
        if changed is project:
            return project
        return _moments_after(without_acceptances(changed, {self.second}), self.sequence, self.second, self.first)


# ---- pieces ----------------------------------------------------------------------------------------------------------


def _place(sequence: Sequence, step: str) -> int | None:
    return next((place for place, one in enumerate(sequence.steps) if one.id == step), None)


def _without(step: Step, gone: Step) -> Step:
    """A step that waits for what a removed one waited for; its own delay comes on top."""
    if gone.id not in (step.after, step.together_with):
        return step
    return replace(step, after=gone.after, together_with=gone.together_with, delay=step.delay + gone.delay)


def _renamed(step: Step, old: str, new: str) -> Step:
    if old not in (step.after, step.together_with):
        return step
    if step.id == new:
        return replace(step, after=None, together_with=None)
    return replace(
        step,
        after=new if step.after == old else step.after,
        together_with=new if step.together_with == old else step.together_with,
    )


def _both(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *second)))


def _needs_of_both(first: Step, second: Step) -> tuple[Need, ...]:
    """What both need before either begins: the second's as well, but for what the first is there to bring about."""
    done = {*(move.drive for move in first.moves), *first.engage, *first.release}
    done |= {need.drive or need.latch or "" for need in first.needs}
    return (*first.needs, *(need for need in second.needs if not {need.drive, need.latch} & done))


def _keeping_times(before: Sequence, steps: list[Step]) -> tuple[Step, ...]:
    """Steps in a new order, each beginning when it did: a step that waited for the one above it gets a delay that
    makes up for there being another."""
    spans = step_spans(before)
    made: list[Step] = []
    for step in steps:
        wanted = spans.get(step.id, (0.0, 0.0))[0]
        now = step_spans(replace(before, steps=(*made, step))).get(step.id)
        if now is not None and _waits_for_the_one_above(step) and abs(now[0] - wanted) > 1e-12:
            step = replace(step, delay=step.delay + wanted - now[0])
        made.append(step)
    return tuple(made)


def _waits_for_the_one_above(step: Step) -> bool:
    return step.after is None and step.together_with is None


def _moments_after(project: Project, sequence: str, old: str, new: str | None) -> Project:
    """Moments after a step made moments after another, or of the start."""

    def moved(moment: Moment) -> Moment:
        if moment.after != old or moment.sequence not in (None, sequence):
            return moment
        return replace(moment, after=new) if new is not None else replace(moment, after=None, at="start")

    def moved_raw(one: Any) -> Any:
        if not isinstance(one, dict):
            return one
        if isinstance(one.get("at"), dict):
            return {**one, "at": moved_raw(one["at"])}
        if one.get("after") != old or one.get("sequence") not in (None, sequence):
            return one
        rest = {key: value for key, value in one.items() if key != "after"}
        return {**rest, "after": new} if new is not None else {**rest, "at": "start"}

    targets = tuple(replace(one, at=moved(one.at)) for one in project.targets)
    figures = tuple(
        replace(one, between=type(one.between)(moved_raw(part) for part in one.between))
        if isinstance(one.between, list | tuple)
        else one
        for one in project.figures
    )
    return replace(
        project,
        targets=targets if targets != project.targets else project.targets,
        figures=figures if figures != project.figures else project.figures,
    )
