"""New steps for a sequence: what they wait for, and what they ask of a drive until another target is typed."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from msgspec.structs import replace

from core.document.fresh import fresh_id, fresh_name
from core.document.names import name_of
from core.document.project import Drive, Jack, Move, Pivot, Project, Sequence, Step
from core.mechanism.build import build
from core.motion.inputs import inputs_of
from core.motion.schedule import Schedule, ScheduledStep, lay_out
from core.units.times import tidy

QUARTER = 90.0
"""Degrees that a new step turns a pivot by that has no limits."""
SAME_TIME = 1e-9


def drawn_step(project: Project, sequence: Sequence, begin: float, end: float, drives: Iterable[Drive]) -> Step:
    """A step from one moment to another that moves some drives somewhere else than they will be."""
    drives = tuple(drives)
    words = name_of(drives[0]) if len(drives) == 1 else "Step" if drives else "Wait"
    moves = tuple(Move(drive=one.id, to=next_value(project, sequence, one, begin), profile="eased") for one in drives)
    step = Step(
        id=fresh_id(project, f"{words}-step", frozenset({sequence.id})),
        name=fresh_name({one.name for one in sequence.steps}, words),
        duration=tidy(end - begin), moves=moves,
    )  # fmt: skip
    return waiting(lay_out(sequence), step, begin)


def waiting(schedule: Schedule, step: Step, begin: float) -> Step:
    """A step at the end of the list that begins at a moment: after what ended last, or with what began last, before."""
    ended = [one for one in schedule.steps if one.end <= begin + SAME_TIME]
    begun = [one for one in schedule.steps if one.begin <= begin + SAME_TIME]
    if not schedule.steps:
        return replace(step, delay=tidy(begin))
    above = schedule.steps[-1]
    if ended:
        last = max(ended, key=lambda one: (one.end, one is above))
        return replace(step, after=None if last is above else last.id, delay=tidy(begin - last.end))
    if begun:
        last = max(begun, key=lambda one: one.begin)
        return replace(step, together_with=last.id, delay=tidy(begin - last.begin))
    return replace(step, delay=tidy(begin - above.end))


def next_value(project: Project, sequence: Sequence | None, drive: Drive, begin: float | None = None) -> float:
    """Somewhere else than the drive will be at a moment, or at the end: its start where it is away from that, else the
    farther limit, a quarter turn or a stroke."""
    mechanism = build(project)
    start = mechanism.drawn[mechanism.drive_of[drive.id]]
    if sequence is not None:
        start = sequence.start.get(drive.id, start)
    now = start
    for step in _moving(sequence, drive.id):
        if begin is None or step.end <= begin + SAME_TIME:
            now = next(move.to for move in step.moves if move.drive == drive.id)
    if abs(now - start) > 1e-9:
        return start
    connection = next(one for one in project.connections if one.id == drive.on)
    if isinstance(connection, Pivot):
        low, high = connection.limits or (start - QUARTER, start + QUARTER)
        return high if abs(high - start) >= abs(low - start) else low
    if isinstance(connection, Jack):
        return connection.stroke if start < 0.5 * connection.stroke else 0.0
    return start + 10.0


def asked_at(project: Project, sequence: Sequence, time: float) -> dict[str, float]:
    """What each drive is asked for at a moment of a sequence, by the drives' ids."""
    mechanism = build(project)
    values = inputs_of(mechanism, lay_out(sequence)).at(np.array([time]))[0]
    return dict(zip(mechanism.drives, values.tolist(), strict=True))


def reached(project: Project, sequence: Sequence, step: Step, time: float) -> tuple[tuple[str, float], ...]:
    """What each drive that a step moves is asked for at a moment."""
    values = asked_at(project, sequence, time)
    return tuple((move.drive, values[move.drive]) for move in step.moves)


def copied_step(project: Project, sequence: Sequence, step: Step) -> Step:
    """The same step once more, under a name of its own, after the end of the first."""
    words = name_of(step)
    return replace(
        step, id=fresh_id(project, words), name=fresh_name({one.name for one in sequence.steps}, words), after=step.id,
        together_with=None, delay=0.0,
    )  # fmt: skip


def _moving(sequence: Sequence | None, drive: str) -> list[ScheduledStep]:
    """The steps that move a drive, in time."""
    if sequence is None:
        return []
    moving = [one for one in lay_out(sequence).steps if any(move.drive == drive for move in one.moves)]
    return sorted(moving, key=lambda one: one.end)
