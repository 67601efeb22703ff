"""The `sweep` command: what bodies pass over, as corners or on paper, and what room that leaves them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from core.document.lengths import shown_length, small_length
from core.document.project import Project
from core.drawing.sweep_sheet import Swept, sweeps_of
from core.findings.sentences import Names
from core.interference.sweeps import TOLERANCE, Room
from core.study import Study, run
from core.units import number

Json = dict[str, Any]


def swept(
    project: Project, *, sequence: str, bodies: Sequence[str] | None, step: str | None, tolerance: float | None
) -> tuple[Study, tuple[Swept, ...]]:
    """What is swept in a sequence; raises SenselessRequest for what is not there."""
    study = run(project, sequence=sequence)
    (one,) = study.sequences
    within = TOLERANCE if tolerance is None else tolerance
    return study, sweeps_of(study, one, bodies, step=step, tolerance=within)


def sweep_json(file: Path, sequence: str, found: Sequence[Swept]) -> Json:
    return {"file": str(file), "sequence": sequence, "sweeps": [_one(one) for one in found]}


def _one(one: Swept) -> Json:
    sweep = one.sweep
    return {
        "body": sweep.part,
        "view": sweep.view,
        "from": number(sweep.begin),
        "to": number(sweep.end),
        "area": number(sweep.area.area),
        "tolerance": number(sweep.tolerance),
        "rooms": [
            {"to": part, "left": number(room.left), "at": [[number(x), number(y)] for x, y in room.points]}
            for part, room in one.rooms.items()
        ],
    }


def sweep_in_words(project: Project, file: Path, found: Sequence[Swept]) -> str:
    names = Names(project)
    lines = [f"{file}: {len(found)} swept"]
    for one in found:
        sweep = one.sweep
        exact = f"within {small_length(project, sweep.tolerance)}"
        said = f"  {names(sweep.part)}, {sweep.begin:.2f} to {sweep.end:.2f} s, {exact}"
        rooms = [_room(project, part, room, names) for part, room in one.rooms.items()]
        lines.append(said + (": " + "; ".join(rooms) if rooms else ""))
    return "\n".join(lines)


def _room(project: Project, part: str, room: Room, names: Names) -> str:
    if room.left <= 0.0:
        return f"runs into {names(part)}"
    x, y = (shown_length(project, value) for value in room.points[0])
    return f"{small_length(project, room.left)} left to {names(part)}, at x {x}, y {y}"
