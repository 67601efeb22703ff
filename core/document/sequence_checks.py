"""Checks of time: steps that wait for each other, begin before their sequence, or pull one drive two ways."""

from __future__ import annotations

from collections.abc import Iterator

from core.document.names import problem
from core.document.problem import Place, Problem
from core.document.project import Project, Sequence

LONGEST = 3600.0
"""Seconds a sequence may take; a retraction takes ten."""
SAME_TIME = 1e-9
LEAST_PART = 1e-6
"""Of a move: less of it cannot be told from nothing."""

Spans = dict[str, tuple[float, float]]


def sequence_problems(project: Project) -> Iterator[Problem]:
    for index, sequence in enumerate(project.sequences):
        path: Place = ("sequences", index)
        yield from _partners(path, sequence)
        yield from _parts(path, sequence)
        ring = ring_of_steps(sequence)
        if ring:
            first, *others = (repr(step) for step in (*ring, ring[0]))
            told = f"{first} waits for {', which waits for '.join(others)}"
            yield problem((*path, "steps"), told, "a step may not wait for itself", thing=sequence.id)
            continue
        spans = step_spans(sequence)
        yield from _times(path, sequence, spans)
        yield from _pulled_two_ways(path, sequence, spans)


def partner(sequence: Sequence, index: int) -> str | None:
    """The step that a step waits for: the one it names, or else the one above it."""
    step = sequence.steps[index]
    return step.together_with or step.after or (sequence.steps[index - 1].id if index else None)


def ring_of_steps(sequence: Sequence) -> tuple[str, ...]:
    """Steps that wait for each other in a ring, each for the next; empty where there is none."""
    waits = {step.id: partner(sequence, index) for index, step in enumerate(sequence.steps)}
    cleared: set[str] = set()
    for first in waits:
        way: dict[str, None] = {}  # in order, and quick to look in
        step: str | None = first
        while step in waits and step not in cleared:
            if step in way:
                steps = list(way)
                return tuple(steps[steps.index(step) :])
            way[step] = None
            step = waits[step]
        cleared.update(way)
    return ()


def step_spans(sequence: Sequence) -> Spans:
    """Begin and end of every step in seconds; steps that wait for one that is not there, or in a ring, are left out."""
    order = {step.id: index for index, step in enumerate(sequence.steps)}
    spans: Spans = {}
    for step_id in order:
        way = [step_id]
        while (before := partner(sequence, order[way[-1]])) in order and before not in spans:
            if before in way:
                break
            way.append(before)
        for waiting in reversed(way):
            _span(sequence, order[waiting], spans)
    return spans


def _span(sequence: Sequence, index: int, spans: Spans) -> None:
    step, before = sequence.steps[index], partner(sequence, index)
    if before is not None and before not in spans:
        return
    base = 0.0 if before is None else spans[before][0 if step.together_with else 1]
    spans[step.id] = (base + step.delay, base + step.delay + step.duration)


def _partners(path: Place, sequence: Sequence) -> Iterator[Problem]:
    for number, step in enumerate(sequence.steps):
        if step.after is not None and step.together_with is not None:
            wrong = f"waits for the end of {step.after!r} and begins with {step.together_with!r}"
            yield problem((*path, "steps", number), wrong, "either after or with", thing=step.id)


def _parts(path: Place, sequence: Sequence) -> Iterator[Problem]:
    for number, step in enumerate(sequence.steps):
        for place, move in enumerate(step.moves):
            first, last = move.part
            if not (0.0 <= first <= last - LEAST_PART and last <= 1.0):
                here: Place = (*path, "steps", number, "moves", place, "part")
                wrong = f"{first:g} to {last:g} is no part of a move"
                yield problem(here, wrong, "two shares of its time from 0 to 1, the smaller first", thing=step.id)


def _times(path: Place, sequence: Sequence, spans: Spans) -> Iterator[Problem]:
    for number, step in enumerate(sequence.steps):
        here: Place = (*path, "steps", number)
        if step.duration < 0.0:
            yield problem((*here, "duration"), f"{step.duration:g} s", "a step takes no less than 0 s", thing=step.id)
        begin, end = spans.get(step.id, (0.0, 0.0))
        if begin < -SAME_TIME:
            wrong = f"the step would begin {-begin:g} s before its sequence"
            yield problem((*here, "delay"), wrong, f"a delay of at least {step.delay - begin:g} s", thing=step.id)
        if end > LONGEST:
            wrong = f"the step would end {end:g} s into its sequence"
            yield problem(here, wrong, f"a sequence takes at most {LONGEST:g} s", thing=step.id)


def _pulled_two_ways(path: Place, sequence: Sequence, spans: Spans) -> Iterator[Problem]:
    numbers = {step.id: number for number, step in enumerate(sequence.steps)}
    for step in sequence.steps:
        drives = [move.drive for move in step.moves]
        for drive in dict.fromkeys(drive for drive in drives if drives.count(drive) > 1):
            here: Place = (*path, "steps", numbers[step.id], "moves")
            yield problem(here, f"drive {drive!r} is moved twice", "one move a drive", thing=step.id)
    for drive in dict.fromkeys(move.drive for step in sequence.steps for move in step.moves):
        moving = [step for step in sequence.steps if any(move.drive == drive for move in step.moves)]
        for one, other in _overlapping([step.id for step in moving if step.id in spans], spans):
            wrong = f"moves drive {drive!r} while step {one!r} is still moving it"
            here = (*path, "steps", numbers[other])
            yield problem(here, wrong, "let one step end before the other begins", thing=other)


def _overlapping(steps: list[str], spans: Spans) -> Iterator[tuple[str, str]]:
    """Each step that begins before one that began earlier has ended, with that one."""
    last: str | None = None
    for step in sorted(steps, key=lambda step: spans[step]):
        if last is not None and spans[step][0] < spans[last][1] - SAME_TIME:
            yield last, step
        if last is None or spans[step][1] > spans[last][1]:
            last = step
