"""The parts that can touch: bodies, and rods and jacks with a width, with their outlines, depths and poses.

A body is one part. A rod is a bar between its two ends as they stand at each frame. A jack is two parts under one id:
the barrel stands at the first end and the piston rod at the second, both pointing at the other end.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, fields, replace
from operator import is_

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.document.names import name_of
from core.document.project import Body, Connection, Jack, Project, Rod, Span
from core.document.touched import touched
from core.geometry.outlines import bar, far_point, is_round, middle, outline, widest_hole
from core.geometry.planar import Floats, Ints


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Parts:
    """P parts: the bodies with shapes in the file's order, then the rods and jacks with a width in theirs."""

    ids: tuple[str, ...]
    """Of the body, or of the rod or jack; a jack's two parts share one."""
    names: tuple[str, ...]
    views: tuple[str, ...]
    polygons: NDArray[np.object_]
    """(P,) outlines in each part's own frame: a body's drawn position, or the x axis from the end it stands at."""
    near: Floats
    far: Floats
    """(P,) depth slab, mm; -inf and inf where it fills the whole depth."""
    fixed: NDArray[np.bool_]
    """(P,) whether it can never move."""
    bodies: Ints
    """(P, 2) indices of the bodies its two ends are on, in the motion's axis B; a body's own index twice."""
    ends: Floats
    """(P, 2, 2) where its ends are drawn; zeros for a body."""
    jointed: NDArray[np.bool_]
    """(P,) whether it is a bar between two ends and not a body."""
    centre: Floats
    """(P, 2) middle of the smallest circle about the outline, in the part's own frame."""
    radius: Floats
    """(P,) of that circle: how far its far point is from the centre."""
    round: NDArray[np.bool_]
    """(P,) whether its outer edge is a circle, so that its own turn changes nothing but where its holes are."""
    holes: Floats
    """(P,) half the longest side of the box about each outline's largest hole, mm; 0 without any."""
    by_id: dict[str, tuple[int, ...]] = field(repr=False)
    """Part indices by id."""
    made_of: tuple[object, ...] = field(repr=False)
    """(P,) what of the document each outline is made of."""

    def __len__(self) -> int:
        return len(self.ids)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    id: str
    name: str
    view: str
    polygon: BaseGeometry
    depth: Span | None
    fixed: bool
    bodies: tuple[int, int]
    ends: tuple[tuple[float, float], tuple[float, float]] = ((0.0, 0.0), (0.0, 0.0))
    jointed: bool = False
    made_of: object
    earlier: int = -1
    """Which part of the earlier ones has the same outline."""


class _Earlier:
    """Outlines that were made before, and are lent where what they are made of is still the same."""

    def __init__(self, parts: Parts | None) -> None:
        self._parts = parts

    def find(self, part_id: str, made_of: object) -> int:
        """The earlier part; -1 where there is none."""
        parts = self._parts
        known = parts.by_id.get(part_id, ()) if parts is not None else ()
        return next((i for i in known if parts is not None and parts.made_of[i] == made_of), -1)

    def outline(self, number: int) -> BaseGeometry:
        assert self._parts is not None
        polygon: BaseGeometry = self._parts.polygons[number]
        return polygon


def parts_of(project: Project, earlier: Parts | None = None) -> Parts:
    """The parts of a project. A body without shapes, or a rod or jack without a width, is none.

    `earlier` parts lend their outlines, as the same objects, where an edit left alone what they are made of.
    """
    found = _made(project, range(len(project.bodies)), project.connections, _Earlier(earlier))
    return _gather(found, earlier)


def parts_after(project: Project, before: Project, parts: Parts) -> Parts:
    """The parts of a project from those of another, `before` it: only what an edit touched is looked at. The same
    object where it touched none of them."""
    which = touched(before, project)
    if which is None:
        return parts_of(project, parts)
    connections = [project.connections[number] for number in which.connections]
    found = _made(project, which.bodies, connections, _Earlier(parts))
    ids = [*(project.bodies[number].id for number in which.bodies), *(one.id for one in connections)]
    rows = [row for part_id in ids for row in parts.by_id.get(part_id, ())]
    if [part.id for part in found] != [parts.ids[row] for row in rows]:
        return parts_of(project, parts)
    return _with_rows(parts, rows, _gather(found, parts)) if rows else parts


def _with_rows(parts: Parts, rows: list[int], others: Parts) -> Parts:
    """Parts with others in some of their rows."""
    changes: dict[str, object] = {}
    for one in fields(Parts):
        held, put = getattr(parts, one.name), getattr(others, one.name)
        if isinstance(held, np.ndarray):
            changes[one.name] = held.copy()
            changes[one.name][rows] = put  # type: ignore[index]
        elif isinstance(held, tuple):
            there = dict(zip(rows, put, strict=True))
            changes[one.name] = tuple(there.get(row, old) for row, old in enumerate(held))
    return replace(parts, **changes)  # type: ignore[arg-type]


def _made(project: Project, bodies: Iterable[int], connections: Iterable[Connection], before: _Earlier) -> list[_Part]:
    """The parts that some bodies, by their numbers, and some connections are."""
    found: list[_Part] = []
    for i in bodies:
        found.extend(_body(project.bodies[i], i, before))
    index = {body.id: i for i, body in enumerate(project.bodies)}
    for connection in connections:
        if isinstance(connection, (Rod, Jack)):
            found.extend(_bars(project, connection, index, before))
    return found


def _body(body: Body, number: int, before: _Earlier) -> list[_Part]:
    old = before.find(body.id, body.shapes)
    polygon = before.outline(old) if old >= 0 else outline(body) if body.shapes else None
    if polygon is None or polygon.is_empty:
        return []
    return [
        _Part(
            id=body.id,
            name=name_of(body),
            view=body.view,
            polygon=polygon,
            depth=body.depth,
            fixed=body.fixed,
            bodies=(number, number),
            made_of=body.shapes,
            earlier=old,
        )
    ]


def part_poses(parts: Parts, poses: Floats, wanted: Ints | None = None) -> Floats:
    """(F, B, 3) poses of bodies -> (F, P, 3) poses of parts, millimetres and radians.

    A bar's turn is continuous over the frames. Where only some parts are `wanted`, the other bars stand anywhere.
    """
    posed = poses.take(parts.bodies[:, 0], axis=1)
    bars = np.flatnonzero(parts.jointed) if wanted is None else wanted[parts.jointed[wanted]]
    if len(bars):
        here = _carried(poses.take(parts.bodies[bars, 0], axis=1), parts.ends[bars, 0])
        there = _carried(poses.take(parts.bodies[bars, 1], axis=1), parts.ends[bars, 1])
        posed[:, bars, 0:2] = here
        turns = np.arctan2(there[..., 1] - here[..., 1], there[..., 0] - here[..., 0])
        posed[:, bars, 2] = _continuous(turns)
    return posed


def turning_radius(parts: Parts) -> Floats:
    """(P,) how far any point of a part is from its centre; 0 of a full disc, which looks the same however it turns."""
    return np.where(parts.round & (shapely.get_num_interior_rings(parts.polygons) == 0), 0.0, parts.radius)


def as_drawn_before(parts: Parts, earlier: Parts) -> Ints:
    """(P,) which of the earlier parts each is, where its outline is as it was; -1 for the others."""
    old = {name: part for part, name in enumerate(_numbered(earlier))}
    same = np.array([old.get(name, -1) for name in _numbered(parts)], dtype=np.intp)
    there = np.flatnonzero(same >= 0)
    same[there[~alike(parts.polygons[there], earlier.polygons[same[there]])]] = -1
    return same


def _numbered(parts: Parts) -> list[tuple[str, str, int]]:
    """Each part's id and view, and which of that id it is."""
    told = enumerate(zip(parts.ids, parts.views, strict=True))
    return [(name, view, parts.by_id[name].index(part)) for part, (name, view) in told]


def alike(one: NDArray[np.object_], other: NDArray[np.object_]) -> NDArray[np.bool_]:
    """(M,) whether outlines are the same, corner for corner; most are the very same objects."""
    same = np.fromiter(map(is_, one, other), dtype=bool, count=len(one))
    others = np.flatnonzero(~same)
    same[others] = shapely.equals_exact(one[others], other[others], 0.0)
    return same


def moved(polygons: NDArray[np.object_], poses: Floats) -> NDArray[np.object_]:
    """(M,) outlines where (M, 3) poses put them; every pose must be a number."""
    corners, index = shapely.get_coordinates(polygons, return_index=True)
    cosine, sine = np.cos(poses[:, 2])[index], np.sin(poses[:, 2])[index]
    x, y = corners[:, 0], corners[:, 1]
    there = np.empty_like(corners)
    there[:, 0] = cosine * x - sine * y + poses[index, 0]
    there[:, 1] = sine * x + cosine * y + poses[index, 1]
    return shapely.set_coordinates(polygons.copy(), there)


def _bars(project: Project, connection: Rod | Jack, index: dict[str, int], before: _Earlier) -> list[_Part]:
    first, second = (index[body] for body in connection.bodies)
    start, end = connection.ends

    def part(size: tuple[float, float, bool], *, from_end: int) -> _Part:
        forward = from_end == 0
        old = before.find(connection.id, size)
        length, width, square_end = size
        return _Part(
            id=connection.id,
            name=name_of(connection),
            view=project.bodies[first].view,
            polygon=before.outline(old) if old >= 0 else bar(length, width, square_end=square_end),
            depth=connection.depth,
            fixed=project.bodies[first].fixed and project.bodies[second].fixed,
            bodies=(first, second) if forward else (second, first),
            ends=(start, end) if forward else (end, start),
            jointed=True,
            made_of=size,
            earlier=old,
        )

    if isinstance(connection, Rod):
        if not connection.width:
            return []
        length = connection.length if connection.length is not None else math.dist(start, end)
        return [part((length, connection.width, False), from_end=0)]
    return [part(size, from_end=end) for end, size in _jack(connection)]


def _jack(jack: Jack) -> list[tuple[int, tuple[float, float, bool]]]:
    """A jack's barrel and piston rod: the end each stands at, its length, its width, and whether it ends square.

    The barrel is as long as leaves room for the piston rod's eye when closed; the piston rod is as long as the
    stroke and its eye, so that it still reaches the barrel when it is all the way out, and never out at its foot.
    """
    bars: list[tuple[int, tuple[float, float, bool]]] = []
    eye = jack.rod or 0.0
    if jack.barrel:
        bars.append((0, (max(jack.closed - eye, 0.5 * jack.barrel), jack.barrel, True)))
    if jack.rod:
        bars.append((1, (min(jack.stroke + eye, jack.closed), jack.rod, False)))
    return bars


def _gather(found: list[_Part], earlier: Parts | None) -> Parts:
    polygons = np.empty(len(found), dtype=object)
    polygons[:] = [part.polygon for part in found]
    by_id: dict[str, tuple[int, ...]] = {}
    for i, part in enumerate(found):
        by_id[part.id] = (*by_id.get(part.id, ()), i)
    measured = [_measured(part, earlier) for part in found]
    return Parts(
        ids=tuple(part.id for part in found),
        names=tuple(part.name for part in found),
        views=tuple(part.view for part in found),
        polygons=polygons,
        near=np.array([-np.inf if part.depth is None else min(part.depth) for part in found], dtype=np.float64),
        far=np.array([np.inf if part.depth is None else max(part.depth) for part in found], dtype=np.float64),
        fixed=np.array([part.fixed for part in found], dtype=bool),
        bodies=np.array([part.bodies for part in found], dtype=np.intp).reshape(-1, 2),
        ends=np.array([part.ends for part in found], dtype=np.float64).reshape(-1, 2, 2),
        jointed=np.array([part.jointed for part in found], dtype=bool),
        centre=np.array([one[0] for one in measured], dtype=np.float64).reshape(-1, 2),
        radius=np.array([one[1] for one in measured], dtype=np.float64),
        round=np.array([one[2] for one in measured], dtype=bool),
        holes=np.array([one[3] for one in measured], dtype=np.float64),
        by_id=by_id,
        made_of=tuple(part.made_of for part in found),
    )


def _measured(part: _Part, earlier: Parts | None) -> tuple[tuple[float, float], float, bool, float]:
    """An outline's centre and radius, whether it is round, and half its widest hole."""
    if earlier is not None and part.earlier >= 0:
        n = part.earlier
        x, y = earlier.centre[n].tolist()
        return (x, y), float(earlier.radius[n]), bool(earlier.round[n]), float(earlier.holes[n])
    at = middle(part.polygon)
    far = far_point(part.polygon, at)
    return at, far, is_round(part.polygon, at, far), widest_hole(part.polygon)


def _carried(poses: Floats, points: Floats) -> Floats:
    """(F, N, 3) poses and (N, 2) drawn points -> (F, N, 2) where the points are."""
    cosine, sine = np.cos(poses[..., 2]), np.sin(poses[..., 2])
    x = cosine * points[:, 0] - sine * points[:, 1] + poses[..., 0]
    y = sine * points[:, 0] + cosine * points[:, 1] + poses[..., 1]
    return np.stack([x, y], axis=-1)


def _continuous(turns: Floats) -> Floats:
    """(F, N) angles without the leaps of a whole turn, as far as they are numbers."""
    if len(turns) < 2:
        return turns
    leaps = np.round(np.diff(turns, axis=0) / (2.0 * np.pi))
    turns = turns.copy()
    turns[1:] -= 2.0 * np.pi * np.cumsum(np.where(np.isfinite(leaps), leaps, 0.0), axis=0)
    return turns
