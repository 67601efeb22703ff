"""How a sheet shows parts: nearer ones before farther ones, jacks as they look, far positions as ghosts."""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from core.document.project import KnownPoint, TracedDrawing
from core.geometry.outlines import bar
from sample_projects.tools.draughting import CENTRE, GHOST, HIDDEN, NARROW, Sheet
from sample_projects.tools.plane import Point, bearing, distance

Solid = tuple[float, float, BaseGeometry]
"""The near side of a part's depth, its line's width, and its outline."""


def traced(name: str, sheet: Sheet, known: Iterable[Point]) -> TracedDrawing:
    """Where a sheet lies, and points of which it prints the place."""
    pixels = ((point, sheet.pixel(point)) for point in known)
    return TracedDrawing(
        file=f"drawings/{name}.png", opacity=0.5, pixel_to_mm=sheet.pixel_to_mm(),
        known=tuple(KnownPoint(pixel=(round(pixel[0], 3), round(pixel[1], 3)), mm=point) for point, pixel in pixels),
    )  # fmt: skip


def in_order(sheet: Sheet, solids: Iterable[Solid]) -> None:
    """Every part's edges, but for what lies behind a nearer one."""
    nearer: BaseGeometry = shapely.Polygon()
    for _, width, shape in sorted(solids, key=lambda solid: solid[0]):
        sheet.outline(shape, width=width, behind=nearer)
        nearer = nearer.union(shape)


def hidden_within(sheet: Sheet, inner: BaseGeometry, outer: BaseGeometry) -> None:
    """In dashed line what of one part is inside another."""
    edges = shapely.line_merge(inner.boundary.intersection(outer.buffer(-0.3)))
    for line in getattr(edges, "geoms", [edges]):
        sheet.line(line.coords, pattern=HIDDEN)


def jack(anchor: Point, end: Point, closed: float, barrel: float, rod: float, near: float) -> list[Solid]:
    """Gland, barrel and piston rod."""
    gland = affinity.translate(shapely.box(-0.55 * barrel, -0.6 * barrel, 0.0, 0.6 * barrel), closed - 0.7 * barrel)
    pieces = (gland, bar(closed - 0.7 * barrel, barrel, square_end=True), bar(distance(anchor, end), rod))
    return [(near + 0.01 * i, 2.0, laid(piece, anchor, end)) for i, piece in enumerate(pieces)]


def rod(start: Point, end: Point, width: float, near: float) -> Solid:
    return (near, 2.0, laid(bar(distance(start, end), width), start, end))


def laid(shape: BaseGeometry, start: Point, end: Point) -> BaseGeometry:
    """A shape along the x axis, put between two points."""
    return affinity.translate(affinity.rotate(shape, bearing(start, end), origin=(0.0, 0.0)), *start)


def carried(shape: BaseGeometry, drawn: tuple[Point, Point], there: tuple[Point, Point]) -> BaseGeometry:
    """The shape moved so that a line of it comes to lie on another line."""
    turned_about_first = affinity.rotate(shape, bearing(*there) - bearing(*drawn), origin=drawn[0])
    return affinity.translate(turned_about_first, there[0][0] - drawn[0][0], there[0][1] - drawn[0][1])


def ghosts(sheet: Sheet, shapes: Iterable[BaseGeometry]) -> None:
    """Extreme positions of moving parts, in long-dashed double-dotted line."""
    for shape in shapes:
        sheet.outline(shape, width=NARROW, pattern=GHOST)


def track(sheet: Sheet, centre: Point, point: Point, turn: float) -> None:
    """The way of a point about a centre."""
    start = bearing(centre, point)
    sheet.arc(centre, distance(centre, point), start, start + turn, width=1.0, pattern=CENTRE)
