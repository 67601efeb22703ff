"""From a project to its mechanism. Whether the project has sense is for the document's checks, which went before."""

from __future__ import annotations

import math

from core.document.project import (
    Body,
    Circle,
    Connection,
    Drive,
    Gearing,
    Jack,
    Latch,
    Pivot,
    Point,
    Polygon,
    Project,
    Rod,
    Slide,
    Slot,
)
from core.mechanism.mechanism import Kind, Link, Mechanism

ROUND = 1e-3
"""How far, in millimetres, a wheel's rim may be from a circle about its pivot."""


def build(project: Project) -> Mechanism:
    """The mechanism of a project's bodies, connections and drives."""
    bodies = {body.id: number for number, body in enumerate(project.bodies)}
    numbers = {one.id: number for number, one in enumerate(project.connections)}
    drives = {drive.on: number for number, drive in enumerate(project.drives)}
    links = tuple(_link(one, bodies, numbers, drives.get(one.id, -1)) for one in project.connections)
    return Mechanism(
        bodies=tuple(bodies),
        fixed=tuple(body.fixed for body in project.bodies),
        round=tuple(_is_round(body, project.connections) for body in project.bodies),
        links=links,
        drives=tuple(drive.id for drive in project.drives),
        driven=tuple(numbers[drive.on] for drive in project.drives),
        drawn=tuple(drawn_value(drive, links[numbers[drive.on]]) for drive in project.drives),
        size=_size(links),
    )


def drawn_value(drive: Drive, link: Link) -> float:
    """A drive's value in the drawn position: how far a jack is drawn open; of a pivot and a slide nothing."""
    return abs(link.q - link.p) - link.length if link.kind is Kind.JACK and drive.on == link.id else 0.0


def _xy(point: Point) -> complex:
    return complex(point[0], point[1])


def _direction(vector: complex) -> complex:
    return vector / abs(vector) if abs(vector) > 0.0 else 1 + 0j


def _link(one: Connection, bodies: dict[str, int], numbers: dict[str, int], drive: int) -> Link:
    if isinstance(one, Gearing):
        pivots = (numbers[one.pivots[0]], numbers[one.pivots[1]])
        return Link(id=one.id, kind=Kind.GEARING, pivots=pivots, ratio=one.ratio)
    first, second = (bodies[body] for body in one.bodies)
    match one:
        case Pivot(at=at, limits=limits):
            here = _xy(at)
            return Link(
                id=one.id, kind=Kind.PIVOT, first=first, second=second, p=here, q=here, drive=drive, limits=limits
            )
        case Slide(at=at, along=along, limits=limits):
            here, way = _xy(at), _direction(_xy(along))
            return Link(
                id=one.id, kind=Kind.SLIDE, first=first, second=second, p=here, q=here, along=way, drive=drive,
                limits=limits,
            )  # fmt: skip
        case Slot(at=at, start=start, end=end):
            line = _xy(end) - _xy(start)
            return Link(
                id=one.id, kind=Kind.SLOT, first=first, second=second, p=_xy(start), q=_xy(at),
                along=_direction(line), length=abs(line), limits=(0.0, abs(line)),
            )  # fmt: skip
        case Rod(ends=ends, length=length):
            p, q = _xy(ends[0]), _xy(ends[1])
            kept = abs(q - p) if length is None else length
            return Link(id=one.id, kind=Kind.ROD, first=first, second=second, p=p, q=q, length=kept)
        case Jack(ends=ends, closed=closed, stroke=stroke):
            return Link(
                id=one.id, kind=Kind.JACK, first=first, second=second, p=_xy(ends[0]), q=_xy(ends[1]), length=closed,
                stroke=stroke, drive=drive, limits=(0.0, stroke),
            )  # fmt: skip
        case Latch(ends=ends, reach=reach):
            return Link(
                id=one.id, kind=Kind.LATCH, first=first, second=second, p=_xy(ends[0]), q=_xy(ends[1]), reach=reach
            )


def link_alone(connection: Connection) -> Link:
    """A connection of two bodies as if they were all there is: the first is body 0 and the second body 1."""
    return _link(connection, {body: number for number, body in enumerate(connection.bodies)}, {}, -1)  # type: ignore[union-attr]


def _size(links: tuple[Link, ...]) -> float:
    """Half the way across all connections' points; where there is but one, a millimetre."""
    points = [point for link in links if link.first >= 0 for point in (link.p, link.q)]
    if not points:
        return 1.0
    xs, ys = [point.real for point in points], [point.imag for point in points]
    across = math.hypot(max(xs) - min(xs), max(ys) - min(ys))
    return across / 2.0 if across > 1e-6 else 1.0


def _is_round(body: Body, connections: tuple[Connection, ...]) -> bool:
    if body.role != "wheel" or not body.shapes:
        return False
    held = [one for one in connections if not isinstance(one, Gearing) and body.id in one.bodies]
    if len(held) != 1 or not isinstance(held[0], Pivot):
        return False
    centre = _xy(held[0].at)
    return all(_shape_is_round(shape, centre) for shape in body.shapes)


def _shape_is_round(shape: object, centre: complex) -> bool:
    """Of a polygon the rim alone is looked at: holes within it turn unseen."""
    if isinstance(shape, Circle):
        return abs(_xy(shape.centre) - centre) <= ROUND
    if not isinstance(shape, Polygon):
        return False
    corners = [complex(corner[0], corner[1]) for corner in shape.points]
    bulges = [corner[2] if len(corner) > 2 else 0.0 for corner in shape.points]
    for corner, following, bulge in zip(corners, corners[1:] + corners[:1], bulges, strict=True):
        chord = following - corner
        if bulge == 0.0 or abs(chord) == 0.0:
            return False
        middle = corner + chord / 2 + 1j * chord * (1.0 - bulge * bulge) / (4.0 * bulge)
        if abs(middle - centre) > ROUND:
            return False
    return True
