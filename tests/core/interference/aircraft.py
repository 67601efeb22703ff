"""Bodies in side, front and plan views, and what they are in space."""

from __future__ import annotations

from collections.abc import Sequence

from core.document.project import Aircraft, Body, Circle, Connection, PairRule, Plane, Polygon, Project, View, Wall

PLANES: tuple[Plane, ...] = ("side", "front", "plan")
AXES = {"side": (0, 2, 1), "front": (1, 2, 0), "plan": (0, 1, 2)}
"""Which of station, buttock line and waterline each view draws to the right, upwards, and across."""

Box = tuple[Sequence[float], Sequence[float]]
"""Low and high along station, buttock line and waterline."""


def aircraft(
    *bodies: Body,
    pairs: tuple[PairRule, ...] = (),
    connections: tuple[Connection, ...] = (),
    least_clearance: float = 0.0,
) -> Project:
    views = (*(View(id=plane, plane=plane) for plane in PLANES), View(id="apart"), View(id="again", plane="side"))
    return Project(
        aircraft=Aircraft(name="Merrow T.2"),
        views=views,
        bodies=bodies,
        pairs=pairs,
        connections=connections,
        least_clearance=least_clearance,
    )


def drawn(identity: str, view: str, *shapes: Polygon | Circle | Wall, **rest: object) -> Body:
    return Body(id=identity, view=view, shapes=shapes, **rest)  # type: ignore[arg-type]


def block(name: str, view: str, box: Box, **rest: object) -> Body:
    """A box in space, drawn in one of the views."""
    low, high = box
    right, up, across = AXES[view]
    corners = ((low[right], low[up]), (high[right], low[up]), (high[right], high[up]), (low[right], high[up]))
    return drawn(name, view, Polygon(points=corners), depth=(low[across], high[across]), **rest)
