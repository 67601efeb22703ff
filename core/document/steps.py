"""What the steps of a sequence wait for when others come, go or change places."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from core.document.project import Moment, Move, Need, Project, Sequence, Step
from core.document.sequence_checks import partner, step_spans

ROUNDING = 1e-12
"""Seconds that sums may be off by."""


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


def parted(move: Move, first: float, last: float) -> Move:
    """A share of a move's course; a steady one is the same all the way."""
    if move.profile == "steady":
        return move
    begin, end = move.part
    return replace(move, part=(begin + first * (end - begin), begin + last * (end - begin)))


def run_on(move: Move, later: Move) -> Move:
    """What two moves of a drive are as one: the later one, and of one course again where that was parted between."""
    if later is not move and move.profile == later.profile and abs(move.part[1] - later.part[0]) < ROUNDING:
        return replace(later, part=(move.part[0], later.part[1]))
    return later


def rest_of(sequence: Sequence, step: Step) -> str | None:
    """The step that another goes on from, as its second part does where it was split: at its very end, by the same
    drives in the same courses; None where it begins something of its own."""
    place = None if step.after is None else place_of(sequence, step.after)
    if place is None or abs(step.delay) > ROUNDING or step.release or step.needs:
        return None
    first = sequence.steps[place]
    moves = {move.drive: move for move in first.moves}
    alike = moves.keys() == {move.drive for move in step.moves} and not first.engage
    return first.id if alike and all(_goes_on(moves[move.drive], move) for move in step.moves) else None


def _goes_on(move: Move, later: Move) -> bool:
    """Whether one move of a drive can be the later part of another's course."""
    return move.profile == later.profile and (move.profile == "steady" or abs(move.part[1] - later.part[0]) < ROUNDING)


def both_of(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *second)))


def needs_of_both(first: Step, second: Step) -> tuple[Need, ...]:
    """What both need before either begins: the second's as well, but for what the first is there to bring about."""
    done = {*(move.drive for move in first.moves), *first.engage, *first.release}
    done |= {need.drive or need.latch or "" for need in first.needs}
    return (*first.needs, *(need for need in second.needs if not {need.drive, need.latch} & done))


def keeping_times(before: Sequence, steps: list[Step]) -> tuple[Step, ...]:
    """Steps in a new order, each beginning when it did: one that waited for the one above it names that now, or has a
    delay that makes up for there being another."""
    ids = {step.id for step in steps}
    waited = {step.id: partner(before, number) for number, step in enumerate(before.steps)}
    made = list(steps)
    for number, step in enumerate(steps):
        above = steps[number - 1].id if number else None
        old = waited.get(step.id)
        if waits_for_the_one_above(step) and old != above and old in ids:
            made[number] = replace(step, after=old)
    for number, step in enumerate(made):
        if number and waits_for_the_one_above(step) and (waited.get(step.id) is None or _in_a_ring(before, made, step)):
            _begin_by_itself(before, made, number)
    return _begun_at(before, made, {step: span[0] for step, span in step_spans(before).items()})


def _in_a_ring(sequence: Sequence, steps: list[Step], step: Step) -> bool:
    return step.id not in step_spans(replace(sequence, steps=tuple(steps)))


def _begin_by_itself(before: Sequence, steps: list[Step], number: int) -> None:
    """Have a step that waited for none go along with the first one that does not wait for it; where every one does,
    with the uppermost, which then waits for none."""
    step = steps[number]
    looped = [replace(one, after=one.id) if one.id == step.id else one for one in steps]
    fixed = step_spans(replace(before, steps=tuple(looped)))  # without the step, nor what waits for it
    lead = next((one.id for one in steps if one.id in fixed), None)
    if lead is None:
        lead = steps[0].id
        steps[0] = replace(steps[0], after=None, together_with=None)
    steps[number] = replace(step, together_with=lead)


def _begun_at(before: Sequence, steps: list[Step], wanted: dict[str, float]) -> tuple[Step, ...]:
    """The steps with such delays that each begins when it is wanted to, what others wait for first."""
    waits = {step.id: partner(replace(before, steps=tuple(steps)), number) for number, step in enumerate(steps)}

    def depth(step: str) -> int:
        way = [step]
        while (one := waits.get(way[-1])) is not None and one not in way:
            way.append(one)
        return len(way)

    for step in sorted((step for step in waits if step in wanted), key=depth):
        number = next(number for number, one in enumerate(steps) if one.id == step)
        now = step_spans(replace(before, steps=tuple(steps))).get(step)
        if now is not None and abs(now[0] - wanted[step]) > ROUNDING:
            steps[number] = replace(steps[number], delay=steps[number].delay + wanted[step] - now[0])
    return tuple(steps)


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
