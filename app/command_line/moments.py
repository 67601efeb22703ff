"""Where every body is at the moments that are asked for, as numbers to print."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from core.document.lengths import plain_unit
from core.document.names import name_of
from core.document.project import Pivot, Project
from core.errors import SenselessRequest
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import Schedule, frame_times, lay_out
from core.motion.solve import solve_motion
from core.study import sequences_of
from core.units import DECIMALS, LENGTH_UNITS, format_number, number

Moment = dict[str, Any]
LATE = 1e-6
"""Seconds by which a time may pass the end: what is lost when an end such as 7.1 is added up from its steps."""
ALSO = ("drives", "connections")
"""What stands below the bodies."""


def moments(project: Project, sequence_id: str, times: Sequence[float]) -> list[Moment]:
    """One entry a time, in the order asked; raises SenselessRequest for a time beyond the sequence.

    The moments are solved among the sequence's own frames, so that they stand on the branch that the motion took.
    """
    (sequence,) = sequences_of(project, sequence_id)
    schedule = lay_out(sequence)
    wanted = np.array([_within(time, schedule) for time in times])
    grid = np.union1d(frame_times(schedule), wanted)
    motion = solve_motion(build(project), schedule, grid)
    return [_moment(motion, int(np.searchsorted(grid, at)), asked) for at, asked in zip(wanted, times, strict=True)]


def _within(time: float, schedule: Schedule) -> float:
    if time > schedule.seconds + LATE:
        raise SenselessRequest(
            f"--time {time:g} is past the end of {schedule.sequence!r}, which is {schedule.seconds:g} s"
        )
    return min(time, schedule.seconds)


def _moment(motion: Motion, frame: int, asked: float) -> Moment:
    x, y, turn = motion.poses[frame].T
    moment = {
        "time": asked,
        "bodies": {
            body: {"x": number(x[i]), "y": number(y[i]), "turn": number(np.degrees(turn[i]))}
            for i, body in enumerate(motion.bodies)
        },
        "drives": _numbers(motion.drive_ids, motion.drives[frame]),
        "connections": _numbers(motion.connections, motion.values[frame]),
    }
    held = [body for body, free in zip(motion.bodies, motion.assembled[frame], strict=True) if not free]
    return moment | ({"held": held} if held else {})


def _numbers(ids: Sequence[str], values: np.ndarray) -> dict[str, float]:
    """Gearings and latches have no value, and are left out."""
    return {name: number(value) for name, value in zip(ids, values, strict=True) if np.isfinite(value)}


def moments_in_words(project: Project, sequence_id: str, answer: Sequence[Moment]) -> str:
    """The same as a table a moment."""
    return "\n\n".join([f"{project.aircraft.name}, {sequence_id}", *(_in_words(project, moment) for moment in answer)])


def _in_words(project: Project, moment: Moment) -> str:
    names = {body.id: name_of(body) for body in project.bodies}
    turning = {one.id for one in project.connections if isinstance(one, Pivot)}
    turning |= {drive.id for drive in project.drives if drive.on in turning}
    width = max([len(name) for name in names.values()] + [len(one) for title in ALSO for one in moment[title]] + [10])
    unit = plain_unit(project)
    lines = [f"{moment['time']:g} s", f"  {'':<{width}} {f'x {unit}':>10} {f'y {unit}':>10} {'turn °':>10}"]
    for body, pose in moment["bodies"].items():
        held = "  held: its connections cannot meet" if body in moment.get("held", ()) else ""
        x, y = (_length(project, pose[key]) for key in ("x", "y"))
        lines.append(f"  {names[body]:<{width}} {x} {y} {_column(pose['turn'])}{held}")
    for title in ALSO:
        if moment[title]:
            lines.append(f"  {title}")
        for name, value in moment[title].items():
            told = f"{_column(value)} °" if name in turning else f"{_length(project, value)} {unit}"
            lines.append(f"    {name:<{width - 2}} {told}")
    return "\n".join(lines)


def _length(project: Project, millimetres: float) -> str:
    unit = plain_unit(project)
    return _column(millimetres / LENGTH_UNITS[unit], DECIMALS[unit] + 1)


def _column(value: float, decimals: int = 3) -> str:
    return f"{format_number(value, decimals=decimals, fixed=True):>10}"
