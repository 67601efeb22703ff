"""Paths of points on the sheet: a narrow line with ticks at equal steps of time, an arrow, and where the point is."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from core.document.looks import not_drawn
from core.document.names import name_of
from core.document.project import PointPath, Project
from core.drawing.drawing import Drawing, Geometry, Label, Line, Mark, Sign, Symbol
from core.drawing.extent import Bounds, joined
from core.geometry.planar import Floats
from core.geometry.poses import carried_point
from core.motion.motion import Motion
from core.motion.tracing import Trace, arrow_of, tick_step, ticks_of, trace_of
from core.units import format_number

LABEL_OFFSET, LABEL_AWAY = (4.0, -4.0), 6.0
"""Millimetres on paper by which a path's name stands off it."""
BOWS = 1.0
"""Millimetres from the middle between its ends from which a path is said to bow."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TracedPath:
    """A path as it is drawn, made once for a motion."""

    path: PointPath
    trace: Trace
    step: float
    """Seconds from tick to tick."""
    geometry: Geometry
    signs: tuple[Sign, ...]
    """Ticks and an arrow."""


def traced_path(path: PointPath, motion: Motion) -> TracedPath | None:
    """None where the motion has no such body."""
    if path.body not in motion.bodies:
        return None
    trace = trace_of(motion, motion.bodies.index(path.body), complex(*path.point))
    step = tick_step(float(motion.times[-1]))
    return TracedPath(
        path=path, trace=trace, step=step, geometry=Geometry(lines=trace.stretches), signs=tuple(_signs(trace, step))
    )


def traced_paths(project: Project, motion: Motion) -> tuple[TracedPath, ...]:
    """Every path of a project over a motion, but of what is hidden."""
    hidden = not_drawn(project)
    found = (traced_path(one, motion) for one in project.paths if one.body not in hidden)
    return tuple(one for one in found if one is not None)


def _signs(trace: Trace, step: float) -> Iterator[Sign]:
    for tick in ticks_of(trace, step):
        yield Sign(symbol=Symbol.PATH_TICK, at=(tick.at.real, tick.at.imag), turn=tick.turn)
    arrow = arrow_of(trace)
    if arrow is not None:
        yield Sign(symbol=Symbol.PATH_ARROW, at=(arrow.at.real, arrow.at.imag), turn=arrow.turn)


def with_paths(
    drawing: Drawing,
    project: Project,
    traced: Mapping[str, TracedPath],
    poses: Floats,
    view: str,
    *,
    chosen: str | None = None,
    told: bool = False,
) -> Drawing:
    """A view's drawing with the paths of points of its bodies, when those stand at (B, 3) `poses`.

    `traced` are by the paths' ids; one that is not there yet is shown by its point alone. What a tick is stands beside
    the name of the chosen one, or of all where that is to be `told`.
    """
    numbers = {body.id: number for number, body in enumerate(project.bodies) if body.view == view}
    hidden = not_drawn(project)
    marks, signs, labels = list(drawing.marks), list(drawing.signs), list(drawing.labels)
    for path in project.paths:
        if path.body not in numbers or path.body in hidden:
            continue
        one, is_chosen = traced.get(path.id), path.id == chosen
        at = carried_point(poses[numbers[path.body]], path.point)
        if one is not None:
            marks.append(Mark(geometry=one.geometry, line=Line.THIN, chosen=is_chosen, owner=path.id))
            signs += one.signs
        signs.append(Sign(symbol=Symbol.PATH_POINT, at=at, chosen=is_chosen, owner=path.id))
        labels.append(_label(path, one, at, told=told or is_chosen))
    return replace(drawing, marks=tuple(marks), signs=tuple(signs), labels=tuple(labels))


def _label(path: PointPath, traced: TracedPath | None, at: tuple[float, float], *, told: bool) -> Label:
    """Its name half way along it, where it is clear of what stands at either end, on the side to which it bows."""
    arrows = [] if traced is None else [sign.at for sign in traced.signs if sign.symbol is Symbol.PATH_ARROW]
    offset = LABEL_OFFSET
    if traced is not None and arrows:
        at, lines = arrows[0], traced.geometry.lines
        middle = 0.5 * (lines[0][0] + lines[-1][-1])
        x, y = at[0] - float(middle[0]), at[1] - float(middle[1])
        far = math.hypot(x, y)
        if far > BOWS:
            offset = (LABEL_AWAY * x / far, LABEL_AWAY * y / far)
    text = name_of(path) if traced is None or not told else f"{name_of(path)}, {step_words(traced.step)}"
    return Label(text=text, at=at, offset=offset, faint=True, boxed=True)


def step_words(step: float) -> str:
    return f"a tick every {format_number(step, decimals=3)} s"


def path_bounds(project: Project, traced: Mapping[str, TracedPath], view: str) -> Bounds | None:
    """The room that the paths of a view need; None where none goes anywhere."""
    views = {body.id: body.view for body in project.bodies}
    bounds: Bounds | None = None
    for one in traced.values():
        for line in one.geometry.lines if views.get(one.path.body) == view else ():
            (x0, y0), (x1, y1) = line.min(axis=0).tolist(), line.max(axis=0).tolist()
            bounds = joined(bounds, (x0, y0, x1, y1))
    return bounds
