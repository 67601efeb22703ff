"""What of a standing model lies under the hand, as it is written in a figure, without its moment."""

from __future__ import annotations

import math

import numpy as np

from app.sheet.standing import Stand
from app.sheet.tools.tool import Hand
from core.document.names import by_id
from core.document.project import FigurePoint, Gearing, Pivot, Project
from core.figures.measure import drawn_at
from core.sketch.body_edits import bodies_at
from core.sketch.edges import edge_near
from core.sketch.snap_targets import Kind

ON_A_BODY = 1e-6


def point_under(project: Project, view: str, hand: Hand, stand: Stand) -> FigurePoint | None:
    """The pivot that the hand snapped to, or the body's point under it; of nothing the airframe's."""
    if hand.snap.kind is Kind.PIVOT:
        pivot = next((c for c in project.connections if isinstance(c, Pivot) and c.id == hand.snap.owner), None)
        if pivot is not None:
            return FigurePoint(pivot=pivot.id)
    body = hand.snap.owner if any(one.id == hand.snap.owner for one in project.bodies) else None
    body = body or _joined_body(project, hand, stand) or next(iter(bodies_standing(project, view, hand, stand)), None)
    body = body or next((one.id for one in project.bodies if one.view == view and one.fixed), None)
    if body is None:
        return None
    x, y = stand.drawn(body, hand.point)
    return FigurePoint(body=body, point=(round(x, 6) + 0.0, round(y, 6) + 0.0))


def edge_under(project: Project, hand: Hand, stand: Stand) -> FigurePoint | None:
    """The edge that the hand snapped to; None of nothing."""
    body = by_id(project.bodies, hand.snap.owner)
    if body is None or hand.snap.kind is not Kind.EDGE:
        return None
    edge = edge_near(body.shapes, stand.drawn(body.id, hand.point))
    return None if edge is None else FigurePoint(body=body.id, edge=edge)


def _joined_body(project: Project, hand: Hand, stand: Stand) -> str | None:
    """The body that carries the end of a connection that the hand snapped to."""
    one = by_id(project.connections, hand.snap.owner)
    if one is None or isinstance(one, Gearing):
        return None
    ends = getattr(one, "ends", None) or (one.at, one.at)  # type: ignore[union-attr]
    away = [math.dist(stand.placed(body, at), hand.point) for body, at in zip(one.bodies, ends, strict=True)]
    return one.bodies[int(np.argmin(away))]


def bodies_standing(project: Project, view: str, hand: Hand, stand: Stand) -> tuple[str, ...]:
    """The bodies in sight under the hand where they stand, the last drawn first."""
    return bodies_at(project, view, hand.raw, 0.25 * hand.reach + ON_A_BODY, drawn=stand.drawn)


def place_of(project: Project, point: FigurePoint, stand: Stand) -> np.ndarray:
    """(2,) where a figure's point stands; raises NotMeasured where it is there no longer."""
    body, drawn = drawn_at(project, point)
    return np.array(stand.placed(body, drawn))
