"""Outlines out of a DXF file, by ezdxf.

Lines, arcs, circles and polylines with their bulges come as they are; splines and ellipses as arcs within `WITHIN`.
Source for units: the header's $INSUNITS, as the DXF reference lists its values.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import ezdxf.path
import ezdxf.recover
import numpy as np
from ezdxf.lldxf.const import DXFError

from core.document.project import Circle, Corner
from core.errors import SenselessRequest
from core.sketch.outside.lines import Outlines, Run, arcs_through, outlines_of

UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
WITHIN = 0.002
"""Of the drawing's units: how far arcs may stray from a spline or an ellipse."""
DEEPEST = 8
"""Blocks within blocks are opened so often."""


def outlines_of_dxf(file: Path) -> Outlines:
    """Everything flat in the model space; raises SenselessRequest where the file is no DXF or holds no outline."""
    try:
        document, _ = ezdxf.recover.readfile(str(file))
    except (OSError, DXFError, ValueError, UnicodeError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "it is not a whole DXF file"
        raise SenselessRequest(f"{file}: cannot be read: {reason}; save it as DXF, R12 or later") from error
    runs: list[Run] = []
    circles: list[Circle] = []
    left_out: Counter[str] = Counter()
    for entity in _flat_entities(document.modelspace(), DEEPEST):
        found = _found(entity)
        if found is None:
            left_out[entity.dxftype().lower()] += 1
        elif isinstance(found, Circle):
            circles.append(found)
        else:
            runs += found
    if not runs and not circles:
        raise SenselessRequest(f"{file}: there is no outline in its model space; lines, arcs and polylines are read")
    unit = UNITS.get(int(document.header.get("$INSUNITS", 0)))
    words = [f"{count} {kind}" for kind, count in sorted(left_out.items())]
    return outlines_of(runs, circles, unit=unit, left_out=words)


def _flat_entities(entities: Any, deepest: int) -> Iterator[Any]:
    for entity in entities:
        if entity.dxftype() == "INSERT" and deepest:
            yield from _flat_entities(entity.virtual_entities(), deepest - 1)
        else:
            yield entity


def _found(entity: Any) -> list[Run] | Circle | None:
    kind = entity.dxftype()
    upright = tuple(entity.dxf.get("extrusion", (0.0, 0.0, 1.0)))[2] > 0.999
    if kind == "LINE":
        start, end = entity.dxf.start, entity.dxf.end
        return [Run(corners=((start.x, start.y), (end.x, end.y)))] if start.distance(end) > 0.0 else []
    if kind == "CIRCLE" and upright and entity.dxf.radius > 0.0:
        return Circle(centre=(entity.dxf.center.x, entity.dxf.center.y), radius=entity.dxf.radius)
    if kind == "ARC" and upright:
        return [_arc(entity)]
    if kind == "LWPOLYLINE" and upright:
        return [_run([(x, y, bulge) for x, y, bulge in entity.get_points("xyb")], closed=bool(entity.closed))]
    try:
        path = ezdxf.path.make_path(entity)
    except (TypeError, ValueError, DXFError):
        return None
    runs = [_flattened(part) for part in path.sub_paths()]
    return [run for run in runs if run is not None]


def _arc(entity: Any) -> Run:
    start, end = entity.start_point, entity.end_point
    angle = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0 or 360.0)
    if angle < 1.9 * math.pi:
        return Run(corners=((start.x, start.y, math.tan(0.25 * angle)), (end.x, end.y)))
    half = math.radians(entity.dxf.start_angle) + 0.5 * angle
    centre, radius = entity.dxf.center, entity.dxf.radius
    middle = (centre.x + radius * math.cos(half), centre.y + radius * math.sin(half))
    bulge = math.tan(0.125 * angle)
    return Run(corners=((start.x, start.y, bulge), (*middle, bulge), (end.x, end.y)))


def _run(corners: list[tuple[float, float, float]], *, closed: bool) -> Run:
    kept: list[Corner] = [(x, y, bulge) if bulge else (x, y) for x, y, bulge in corners]
    if len(kept) > 2 and math.dist(kept[0][:2], kept[-1][:2]) == 0.0:
        kept, closed = kept[:-1], True
    return Run(corners=tuple(kept), closed=closed)


def _flattened(path: Any) -> Run | None:
    points = np.array([(point.x, point.y) for point in path.flattening(0.1 * WITHIN, segments=16)])
    if len(points) < 2:
        return None
    corners = arcs_through(points, WITHIN)
    if math.dist(corners[0][:2], corners[-1][:2]) <= 1e-9 * max(1.0, float(np.abs(points).max())):
        return Run(corners=corners[:-1], closed=True) if len(corners) > 2 else None
    return Run(corners=corners)
