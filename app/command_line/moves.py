"""What moves each body of an aircraft, for the terminal; nothing is checked for clashes, so that it answers at once."""

from __future__ import annotations

from typing import Any

from core.document.names import name_of
from core.document.project import Project, Sequence
from core.errors import SenselessRequest
from core.findings.moves import to_json, to_text
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import frame_times, lay_out
from core.motion.solve import solve_motion
from core.motion.trouble import Loose
from core.study import sequences_of

Solved = tuple[Sequence, Motion]


def solved(project: Project, sequence: str | None, body: str | None) -> list[Solved]:
    """The sequences that are asked for; raises SenselessRequest for a body or sequence that does not exist."""
    known = [one.id for one in project.bodies]
    if body is not None and body not in known:
        raise SenselessRequest(f"there is no body {body!r}; the project has {', '.join(known) or 'none'}")
    mechanism, found = build(project), list[Solved]()
    for one in sequences_of(project, sequence):
        schedule = lay_out(one)
        found.append((one, solve_motion(mechanism, schedule, frame_times(schedule))))
    return found


def moves_json(project: Project, motions: list[Solved], body: str | None) -> dict[str, Any]:
    return {
        "project": project.aircraft.name,
        "sequences": [{"id": sequence.id, **to_json(motion, body)} for sequence, motion in motions],
    }


def moves_in_words(project: Project, motions: list[Solved], body: str | None) -> str:
    told = [f"{name_of(sequence)}\n{to_text(project, motion, body)}" for sequence, motion in motions]
    return "\n\n".join([project.aircraft.name, *told])


def any_loose(motions: list[Solved], body: str | None) -> bool:
    """Whether a body that is asked about has a freedom that nothing drives or holds."""
    sets = [one for _, motion in motions for one in motion.troubles if isinstance(one, Loose)]
    return any(body is None or body in one.bodies for one in sets)
