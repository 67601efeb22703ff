"""Sweeps on the sheet: what a part covers in the course of a motion, as a faint tint within a ghost's line, and the
narrowest room that is left to a wall, as a dimension."""

from __future__ import annotations

from core.document.lengths import small_length
from core.document.project import Project
from core.drawing.drawing import Geometry, Label, Line, Mark, Tint
from core.drawing.pieces import lines_of, rings_of, tint_of
from core.interference.sweeps import Room, Sweep


def sweep_marks(sweep: Sweep, project: Project, *, stale: bool = False) -> tuple[Mark, ...]:
    """The part's tint under everything it passes over, and the rim of it as a ghost's line; of a stale
    one the rim alone, dashed as what is not to be seen."""
    geometry = Geometry(rings=rings_of(sweep.area))
    if stale:
        return (Mark(geometry=geometry, line=Line.HIDDEN, faint=True),)
    return (Mark(geometry=geometry, line=Line.GHOST, tint=_tint(sweep.part, project), faint=True),)


def room_marks(room: Room) -> tuple[Mark, ...]:
    """The narrowest place between a sweep and what stands beside it; nothing where none is left."""
    return (Mark(geometry=lines_of(room.points), line=Line.DIMENSION),) if room.left > 0.0 else ()


def room_labels(project: Project, room: Room) -> tuple[Label, ...]:
    """How wide that is, in the project's unit, beside it."""
    (x1, y1), (x2, y2) = room.points
    if not room.left > 0.0:
        return ()
    at = (0.5 * (x1 + x2), 0.5 * (y1 + y2))
    return (Label(text=small_length(project, room.left), at=at, offset=(6.0, -5.0), boxed=True),)


def _tint(part: str, project: Project) -> Tint:
    """Of a body its own or that of its role; of a rod or jack a link's."""
    return next((tint_of(body) for body in project.bodies if body.id == part), Tint.LINK)
