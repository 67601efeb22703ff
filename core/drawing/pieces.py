"""What is drawn of each part, in its own frame: made once and kept by identity, so that a moment only moves it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from core.document.project import Body, Circle, Connection, Gearing, Jack, Latch, Pivot, Project, Rod, Slide, Slot
from core.document.touched import touched
from core.drawing.drawing import Geometry, Line, Tint
from core.geometry.curves import circle_corners
from core.geometry.outlines import bar
from core.geometry.planar import Floats
from core.interference.placement import Parts

Source = tuple[object, ...]

ROUND = 0.97
"""Share of the smallest circle about it from which an outline counts as round."""
BEYOND = 1.15
"""How far a centre mark reaches, in radii of its circle."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Detail:
    geometry: Geometry
    line: Line
    tint: Tint | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Piece:
    """Marks that move as one: with a body, or along the line between two ends."""

    owner: str
    view: str
    bodies: tuple[int, int]
    """Indices in the project of the body it moves with, or of the bodies at its two ends."""
    ends: tuple[tuple[float, float], tuple[float, float]] | None
    """Where its two ends are drawn, the first at the root of its own x axis; None moves with its body alone."""
    details: tuple[Detail, ...]
    near: float
    far: float
    moves: bool = True
    source: Source
    """The values of the project that it was made from, held so that their identity stays theirs."""
    joins: tuple[int, int]
    """Indices of the bodies among these, in their order."""


def pieces_of(project: Project, parts: Parts, kept: Iterable[Piece] = ()) -> tuple[Piece, ...]:
    """The pieces of a project, the lowest first; of `kept`, those made of the very same values are used again."""
    index = {body.id: i for i, body in enumerate(project.bodies)}
    before: dict[tuple[int, ...], list[Piece]] = {}
    for piece in kept:
        before.setdefault(_identity(piece.source), []).append(piece)

    pieces: list[Piece] = []
    for i, body in enumerate(project.bodies):
        pieces.extend(_again(before, i, i, (body,)) or _body_pieces(body, i, parts))
    for one in project.connections:
        if isinstance(one, Gearing | Latch):
            continue
        a, b = (index[body] for body in one.bodies)
        source = (one, project.bodies[a], project.bodies[b])
        pieces.extend(_again(before, a, b, source) or _connection_pieces(source, (a, b), parts))
    return _far_to_near(pieces)


def pieces_after(project: Project, parts: Parts, before: Project, pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """The pieces of a project from those of another, `before` it: only what an edit touched is looked at."""
    which = touched(before, project)
    if which is None:
        return pieces_of(project, parts, pieces)
    made = {project.bodies[number].id: _body_pieces(project.bodies[number], number, parts) for number in which.bodies}
    index = {body.id: i for i, body in enumerate(project.bodies)}
    for one in (project.connections[number] for number in which.connections):
        if not isinstance(one, Gearing | Latch):
            a, b = (index[body] for body in one.bodies)
            made[one.id] = _connection_pieces((one, project.bodies[a], project.bodies[b]), (a, b), parts)
    now = list(pieces)
    for owner, others in made.items():
        places = [number for number, piece in enumerate(pieces) if piece.owner == owner]
        if [_slab(piece) for piece in others] != [_slab(pieces[number]) for number in places]:
            return pieces_of(project, parts, pieces)
        for number, piece in zip(places, others, strict=True):
            now[number] = piece
    return tuple(now)


def _slab(piece: Piece) -> tuple[float, float]:
    """By which it lies over others or under them."""
    return (piece.near, piece.far)


def _far_to_near(pieces: list[Piece]) -> tuple[Piece, ...]:
    """In the project's order, but what lies wholly behind another by its depth before that."""
    near, far = (np.array([getattr(piece, end) for piece in pieces]) for end in ("near", "far"))
    apart = (near[:, None] != near) | (far[:, None] != far)
    behind = (near[:, None] >= far) & apart
    left = np.ones(len(pieces), dtype=bool)
    order: list[int] = []
    for number in range(len(pieces)):
        waiting = [number] if left[number] else []
        while waiting:
            before = np.flatnonzero(behind[:, waiting[-1]] & left)
            if len(before):
                waiting.append(int(before[0]))
            else:
                order.append(waiting.pop())
                left[order[-1]] = False
    return tuple(pieces[number] for number in order)


def _again(before: dict[tuple[int, ...], list[Piece]], a: int, b: int, source: Source) -> list[Piece]:
    """The pieces made of the very same values, if the bodies have kept their places."""
    found = before.get(_identity(source), [])
    sound = all(piece.joins == (a, b) and _identity(piece.source) == _identity(source) for piece in found)
    return found if sound else []


def _identity(source: Source) -> tuple[int, ...]:
    return tuple(id(value) for value in source)


def rings_of(area: BaseGeometry) -> tuple[Floats, ...]:
    """Every ring of a polygon or several, without the repeated corner."""
    rings = shapely.get_rings(shapely.get_parts(np.atleast_1d(np.asarray(area, dtype=object))))
    return tuple(shapely.get_coordinates(ring)[:-1] for ring in rings)


def lines_of(*lines: Sequence[Sequence[float]]) -> Geometry:
    return Geometry(lines=tuple(np.array(line, dtype=float) for line in lines))


def tint_of(body: Body) -> Tint:
    """The tint of its own that a body has, or else that of its role."""
    return Tint(body.tint or body.role)


def _body_pieces(body: Body, index: int, parts: Parts) -> list[Piece]:
    numbers = parts.by_id.get(body.id, ())
    if not numbers:
        return []
    part = numbers[0]
    details = [Detail(geometry=Geometry(rings=rings_of(parts.polygons[part])), line=Line.OUTLINE, tint=tint_of(body))]
    if body.role == "wheel":
        details.extend(_wheel_details(body, parts.polygons[part]))
    return [
        Piece(
            owner=body.id,
            view=body.view,
            bodies=(index, index),
            ends=None,
            details=tuple(details),
            near=float(parts.near[part]),
            far=float(parts.far[part]),
            moves=not body.fixed,
            source=(body,),
            joins=(index, index),
        )
    ]


def _wheel_details(body: Body, solid: BaseGeometry) -> list[Detail]:
    """Circles within the tyre, and a centre mark, by which one sees it turn; a wheel seen edge on has neither."""
    circles = [shape for shape in body.shapes if isinstance(shape, Circle)]
    outer: dict[tuple[float, float], float] = {}
    for circle in circles:
        outer[circle.centre] = max(circle.radius, outer.get(circle.centre, 0.0))
    details = [
        Detail(geometry=Geometry(rings=(circle_corners(circle.centre, circle.radius),)), line=Line.THIN)
        for circle in circles
        if circle.radius < outer[circle.centre]
    ]
    if not outer:
        circle = shapely.minimum_bounding_circle(solid)
        reach = shapely.minimum_bounding_radius(solid)
        if shapely.Polygon(solid.exterior if solid.geom_type == "Polygon" else None).area > ROUND * circle.area:
            outer[circle.centroid.coords[0]] = reach
    for (x, y), radius in outer.items():
        reach = BEYOND * radius
        cross = lines_of([(x - reach, y), (x + reach, y)], [(x, y - reach), (x, y + reach)])
        details.append(Detail(geometry=cross, line=Line.CENTRE))
    return details


def _connection_pieces(source: tuple[Connection, Body, Body], index: tuple[int, int], parts: Parts) -> list[Piece]:
    one = source[0]
    if isinstance(one, Rod | Jack):
        return _bar_pieces(one, source, index, parts)
    return _guide_pieces(one, source, index)


def _bar_pieces(
    one: Rod | Jack, source: tuple[Connection, Body, Body], ends: tuple[int, int], parts: Parts
) -> list[Piece]:
    """A rod as a bar, a jack as a barrel and a piston rod; a line where there is no width."""
    _, first, second = source
    near, far = (-math.inf, -math.inf) if one.depth is None else (min(one.depth), max(one.depth))

    def piece(details: tuple[Detail, ...], *, from_end: int) -> Piece:
        ways = slice(None) if from_end == 0 else slice(None, None, -1)
        return Piece(
            owner=one.id,
            view=first.view,
            bodies=ends[ways],  # type: ignore[arg-type]
            ends=one.ends[ways],  # type: ignore[arg-type]
            details=details,
            near=near,
            far=far,
            moves=not (first.fixed and second.fixed),
            source=source,
            joins=ends,
        )

    polygons = [parts.polygons[number] for number in parts.by_id.get(one.id, ())]
    if isinstance(one, Rod):
        length = one.length if one.length is not None else math.dist(*one.ends)
        return [piece(_bar_details(polygons.pop(0) if one.width else None, length, Line.OUTLINE), from_end=0)]
    barrel = polygons.pop(0) if one.barrel else None
    piston = polygons.pop(0) if one.rod else None
    return [
        piece(_bar_details(piston, one.stroke, Line.THIN), from_end=1),
        piece(_bar_details(barrel, one.closed, Line.OUTLINE), from_end=0),
    ]


def _bar_details(polygon: BaseGeometry | None, length: float, line: Line) -> tuple[Detail, ...]:
    if polygon is None:
        return (Detail(geometry=lines_of([(0.0, 0.0), (length, 0.0)]), line=line),)
    return (Detail(geometry=Geometry(rings=rings_of(polygon)), line=Line.OUTLINE, tint=Tint.LINK),)


def _guide_pieces(one: Connection, source: tuple[Connection, Body, Body], index: tuple[int, int]) -> list[Piece]:
    """A pin at its true size, and the lines along which a slide or a slot's pin may go."""
    details: list[Detail] = []
    if isinstance(one, Pivot):
        if one.pin:
            details.append(_true_pin(one.at, one.pin))
    elif isinstance(one, Slide):
        if one.limits is not None:
            length = math.hypot(*one.along)
            travel = [[a + c * limit / length for a, c in zip(one.at, one.along, strict=True)] for limit in one.limits]
            details.append(Detail(geometry=lines_of(travel), line=Line.CENTRE))
    elif isinstance(one, Slot):
        details.append(Detail(geometry=lines_of([one.start, one.end]), line=Line.CENTRE))
        if one.pin:
            details.append(_slot_edge(one, one.pin))
    if not details:
        return []
    # A pin goes with the second body, a guide with the first.
    carrier = 1 if isinstance(one, Pivot) else 0
    body = source[2] if carrier else source[1]
    return [
        Piece(
            owner=one.id,
            view=body.view,
            bodies=(index[carrier], index[carrier]),
            ends=None,
            details=tuple(details),
            near=-math.inf,
            far=-math.inf,
            moves=not body.fixed,
            source=source,
            joins=index,
        )
    ]


def _true_pin(at: tuple[float, float], diameter: float) -> Detail:
    return Detail(geometry=Geometry(rings=(circle_corners(at, 0.5 * diameter),)), line=Line.THIN)


def _slot_edge(one: Slot, width: float) -> Detail:
    """The slot's own edge, as wide as the pin, laid from its one end to the other."""
    length, turn = math.dist(one.start, one.end), math.atan2(one.end[1] - one.start[1], one.end[0] - one.start[0])
    cosine, sine = math.cos(turn), math.sin(turn)
    laid = np.array([[cosine, sine], [-sine, cosine]])
    edge = tuple(ring @ laid + np.array(one.start) for ring in rings_of(bar(length, width)))
    return Detail(geometry=Geometry(rings=edge), line=Line.THIN)
