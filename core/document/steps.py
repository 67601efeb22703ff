"""What the steps of a sequence wait for when others come, go or change places."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from core.document.project import Moment, Need, Project, Sequence, Step
from core.document.sequence_checks import partner, step_spans


def leading_steps(sequence: Sequence, steps: tuple[str, ...]) -> frozenset[str]:
    """Those of some steps that wait for none of the others, be it through steps between."""
    order = {step.id: number for number, step in enumerate(sequence.steps)}

    def waits(step: str | None) -> bool:
        seen: set[str] = set()
        while step in order and step not in seen:
            seen.add(step)
            step = partner(sequence, order[step])
            if step in steps:
                return True
        return False

    return frozenset(step for step in steps if step in order and not waits(step))


def place_of(sequence: Sequence, step: str) -> int | None:
    return next((place for place, one in enumerate(sequence.steps) if one.id == step), None)


def without_step(step: Step, gone: Step) -> Step:
    """A step that waits for what a removed one waited for; its own delay comes on top."""
    if gone.id not in (step.after, step.together_with):
        return step
    return replace(step, after=gone.after, together_with=gone.together_with, delay=step.delay + gone.delay)


def waiting_for_another(step: Step, old: str, new: str) -> Step:
    if old not in (step.after, step.together_with):
        return step
    if step.id == new:
        return replace(step, after=None, together_with=None)
    return replace(
        step,
        after=new if step.after == old else step.after,
        together_with=new if step.together_with == old else step.together_with,
    )


def both_of(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *second)))


def needs_of_both(first: Step, second: Step) -> tuple[Need, ...]:
    """What both need before either begins: the second's as well, but for what the first is there to bring about."""
    done = {*(move.drive for move in first.moves), *first.engage, *first.release}
    done |= {need.drive or need.latch or "" for need in first.needs}
    return (*first.needs, *(need for need in second.needs if not {need.drive, need.latch} & done))


def keeping_times(before: Sequence, steps: list[Step]) -> tuple[Step, ...]:
    """Steps in a new order, each beginning when it did: a step that waited for the one above it gets a delay that
    makes up for there being another."""
    spans = step_spans(before)
    made: list[Step] = []
    for step in steps:
        wanted = spans.get(step.id, (0.0, 0.0))[0]
        now = step_spans(replace(before, steps=(*made, step))).get(step.id)
        if now is not None and waits_for_the_one_above(step) and abs(now[0] - wanted) > 1e-12:
            step = replace(step, delay=step.delay + wanted - now[0])
        made.append(step)
    return tuple(made)


def waiting_as_before(sequence: Sequence, steps: list[Step], number: int) -> Step:
    """A step that waited for the one above it, which now is another."""
    step = steps[number]
    if number > 1:
        return replace(step, after=steps[number - 2].id)
    end = step_spans(replace(sequence, steps=tuple(steps[:number]))).get(steps[0].id, (0.0, 0.0))[1]
    return replace(step, delay=step.delay - end)


def waits_for_the_one_above(step: Step) -> bool:
    return step.after is None and step.together_with is None


def moments_after(project: Project, sequence: str, old: str, new: str | None) -> Project:
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
