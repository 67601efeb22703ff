"""What a part sweeps over a sequence or a step: the room that a bay must leave it, to a stated tolerance.

**The proof.** The part is placed at moments so close that no point of it strays from the straight line between its
places at two neighbouring moments by more than e, by the bound that `track` gives with its argument. Let the part go
along these straight lines: its edges pass over everything that it then covers and that it covers neither at the one
moment nor at the other. Let a piece of an edge, of length l, go so from one place to the next while it turns by a. A
point of the convex hull of both places is (1 - r) A(s) + r B(s'), with A and B the straight paths of its ends. The
point that the piece has at r when it has gone (1 - r) s + r s' of the way is off that by r (1 - r) (s' - s) times the
difference of the two paths' lengths and directions, which is l a at most: by no more than l a / 4. So

    the true sweep  lies within  the union of places and hulls, grown by e,  which lies within  the sweep grown by
    2 e + l a / 4.

The union is grown by e, a little more since round corners are drawn with flats, and its edge is smoothed by what it is
grown by for the purpose. All of this together is no more than the tolerance, unless the motion leaps; then the result
tells the tolerance it has.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.errors import SenselessRequest
from core.geometry.planar import Floats, Ints
from core.interference.depth import edges_of
from core.interference.placement import Parts, moved
from core.interference.track import Track, bend, centres

Polygons = NDArray[np.object_]

TOLERANCE = 0.05
"""mm; a tenth of what a saw takes."""
STRAY_SHARE, TURN_SHARE, SMOOTH_SHARE = 0.2, 0.15, 0.1
"""Which parts of the tolerance the straying between moments may take, the hulls of edges that turn, and smoothing.

Straying and smoothing count twice and the flats of round corners a twentieth of both: 0.8 in all.
"""
FLATS = 1.05
"""Round corners of quarters in four flats are drawn at most a fiftieth too near, and what is grown simplified by a
hundredth."""
FINE_SHARE = 0.25
"""Moments are looked at so close together that points stray by no more than this part between them."""
MOST_PIECES = 16
MOST_ROUNDS = 12
SHORTEST_SPAN = 1e-6
"""Spans shorter than this part of the time are not divided further."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sweep:
    """All that a part covers at some time of a span."""

    part: str
    view: str
    begin: float
    end: float
    area: BaseGeometry
    """It holds all of the true sweep."""
    tolerance: float
    """And reaches nowhere farther than this beyond it, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What is left between a sweep and what stands beside it."""

    left: float
    """mm, 0 where the sweep runs into it; the true sweep leaves up to its tolerance more."""
    points: tuple[tuple[float, float], tuple[float, float]]
    """The nearest points, the first on the sweep."""


def sweep_of(
    track: Track, part: str, *, begin: float | None = None, end: float | None = None, tolerance: float = TOLERANCE
) -> Sweep:
    """What a body, rod or jack sweeps from `begin` to `end`, seconds; without them, over the whole sequence.

    Raises SenselessRequest for what has no outline, for a span that is none, and for a tolerance that is not positive.
    """
    if part not in track.parts.by_id:
        raise SenselessRequest(f"{part!r} has no outline that could sweep anything")
    first, last = float(track.times[0]), float(track.times[-1])
    begin, end = first if begin is None else max(begin, first), last if end is None else min(end, last)
    if not begin <= end:
        raise SenselessRequest(f"nothing is swept from {begin:g} s to {end:g} s")
    if not tolerance > 0.0:
        raise SenselessRequest(f"a sweep cannot be exact to {tolerance:g} mm; a tolerance above nothing is needed")
    swept = [_sweep(track, index, begin, end, tolerance) for index in track.parts.by_id[part]]
    return Sweep(
        part=part,
        view=track.parts.views[track.parts.by_id[part][0]],
        begin=begin,
        end=end,
        area=swept[0][0] if len(swept) == 1 else shapely.union_all(np.array([one[0] for one in swept], dtype=object)),
        tolerance=max(one[1] for one in swept),
    )


def sweep_of_step(track: Track, part: str, step: str, *, tolerance: float = TOLERANCE) -> Sweep:
    """What a part sweeps during one step. Raises SenselessRequest as `sweep_of` does, and for a step there is not."""
    for one in track.motion.schedule.steps:
        if one.id == step:
            return sweep_of(track, part, begin=one.begin, end=one.end, tolerance=tolerance)
    known = ", ".join(one.id for one in track.motion.schedule.steps)
    raise SenselessRequest(f"there is no step {step!r}; the sequence has {known}")


def swept_by(
    track: Track,
    wanted: Sequence[str] | None,
    *,
    step: str | None = None,
    tolerance: float = TOLERANCE,
) -> tuple[Sweep, ...]:
    """The sweeps of several parts, by id, over the whole motion or one step; of every one that moves where none is
    named.

    Raises SenselessRequest as `sweep_of` does, and where nothing moves.
    """
    if wanted is None:
        moving = np.ptp(np.nan_to_num(track.poses), axis=0).max(axis=1) > 0.0
        wanted = tuple(dict.fromkeys(track.parts.ids[index] for index in np.flatnonzero(moving).tolist()))
        if not wanted:
            raise SenselessRequest("nothing moves in this sequence, so that nothing is swept")
    if step is not None:
        return tuple(sweep_of_step(track, part, step, tolerance=tolerance) for part in wanted)
    return tuple(sweep_of(track, part, tolerance=tolerance) for part in wanted)


def room_left(sweep: Sweep, other: BaseGeometry) -> Room:
    """The room between a sweep and an outline that stands in the same view."""
    line = shapely.get_coordinates(shapely.shortest_line(sweep.area, other))
    points = [(float(x), float(y)) for x, y in line] or [(math.nan, math.nan)] * 2
    return Room(left=float(shapely.distance(sweep.area, other)), points=(points[0], points[1]))


def rooms_left(sweep: Sweep, parts: Parts) -> dict[str, Room]:
    """The room to every fixed part of the sweep's view whose depth laps the swept part's, by its id, least first."""
    own = parts.by_id[sweep.part]
    near, far = parts.near[list(own)].min(), parts.far[list(own)].max()
    rooms = {
        parts.ids[other]: room_left(sweep, parts.polygons[other])
        for other in np.flatnonzero(parts.fixed).tolist()
        if parts.views[other] == sweep.view
        and parts.ids[other] != sweep.part
        and min(parts.far[other], far) > max(parts.near[other], near)
    }
    return dict(sorted(rooms.items(), key=lambda item: item[1].left))


def _sweep(track: Track, index: int, begin: float, end: float, tolerance: float) -> tuple[BaseGeometry, float]:
    """What one part sweeps, and how far that is beyond the truth at most."""
    parts = track.parts
    walk = _Walk(track, index, begin, end)
    outline = _without_passed_holes(parts.polygons[index], walk.poses)
    if parts.round[index] and not shapely.get_num_interior_rings(outline):
        walk.radius = 0.0
    stray = walk.refine(STRAY_SHARE * tolerance)
    kept = walk.few(max(STRAY_SHARE * tolerance, stray))
    poses, turned = walk.poses[kept], np.abs(np.diff(walk.turns[kept]))
    smooth = SMOOTH_SHARE * tolerance
    stray = max(STRAY_SHARE * tolerance, stray)
    pieces = [moved(np.full(len(poses), outline), poses)]
    still = np.all(np.diff(poses, axis=0) == 0.0, axis=1)
    if _is_convex(outline) and (2.0 * parts.radius[index] * turned <= 4.0 * TURN_SHARE * tolerance).all():
        pieces.append(_hulls(pieces[0][:-1][~still], pieces[0][1:][~still]))
    else:
        longest = 4.0 * TURN_SHARE * tolerance / max(float(turned.max(initial=0.0)), 1e-12)
        pieces.append(_edge_hulls(outline, poses, pieces[0], longest))
    union = shapely.union_all(np.concatenate(pieces))
    grown = union.buffer((stray + smooth) * FLATS, quad_segs=4)
    beyond = FLATS * (stray + smooth) + stray + smooth + TURN_SHARE * tolerance
    return grown.simplify(smooth), max(beyond, tolerance)


def _without_passed_holes(outline: BaseGeometry, poses: Floats) -> BaseGeometry:
    """The outline without those holes of which nothing is left open.

    What the part never covers and lies in a hole of it stays in that hole all the while: a hole that is at one moment
    clear of where it is at another has none of that.
    """
    if not shapely.get_num_interior_rings(outline):
        return outline
    holes = [shapely.Polygon(ring) for ring in outline.interiors]
    placed = [moved(np.full(len(poses), hole), poses) for hole in holes]
    open_ = [hole for hole, there in zip(holes, placed, strict=True) if not shapely.disjoint(there[0], there).any()]
    return shapely.Polygon(outline.exterior, [hole.exterior for hole in open_])


class _Walk:
    """Moments of one part, from sparse ones to as many as are needed."""

    def __init__(self, track: Track, index: int, begin: float, end: float) -> None:
        self._track, self._index = track, index
        inside = track.times[(track.times > begin) & (track.times < end)]
        self.times = np.unique(np.concatenate([[begin], inside, [end]]))
        self.poses = track.between(self.times)[:, index]
        self.radius = float(track.parts.radius[index])
        """How far a point is from the part's centre at most; 0 where turning changes nothing."""
        self._stray = np.zeros(0)

    @property
    def turns(self) -> Floats:
        """(T,) as far as they can be seen."""
        return np.asarray(self.poses[:, 2] if self.radius > 0.0 else np.zeros(len(self.poses)))

    @property
    def _places(self) -> Floats:
        return centres(self._track.parts.centre[self._index], self.poses)

    def refine(self, most: float) -> float:
        """Add moments until no point strays between two of them by more than a part of `most` from its chord; the
        most that any does after all, mm."""
        aim = FINE_SHARE * most
        shortest = SHORTEST_SPAN * (self.times[-1] - self.times[0])
        for _ in range(MOST_ROUNDS):
            steps = np.diff(self.times)
            self._stray = self._strays(steps)
            wide = (self._stray > aim) & (steps > shortest)
            if not wide.any():
                break
            pieces = np.where(wide, np.ceil(np.sqrt(self._stray / aim)).clip(2, MOST_PIECES), 1).astype(int)
            spans = zip(self.times[:-1], steps, pieces, strict=True)
            more = [start + step * np.arange(1, count) / count for start, step, count in spans]
            self.times = np.unique(np.concatenate([self.times, *more]))
            self.poses = self._track.between(self.times)[:, self._index]
        return float(self._stray.max(initial=0.0))

    def _strays(self, steps: Floats) -> Floats:
        """(T - 1,) how far any point may stray between two moments, as `track` says it: what the equations bound in the
        track's own span, for the piece of it that is here, or else what is seen."""
        seen = np.nan_to_num(bend(self.times, self._places, self.turns, np.asarray(self.radius)))
        strays = 0.5 * seen * steps**2 + self.radius * np.diff(self.turns) ** 2 / 8.0
        if self._track.ways is None or not len(steps):
            return np.asarray(strays)
        times = self._track.times
        span = np.searchsorted(times, 0.5 * (self.times[1:] + self.times[:-1])).clip(1, len(times) - 1) - 1
        ways = self._track.ways.at(span, np.full(len(span), self._index))
        falls, stays = ways.stray(np.asarray(self.radius))
        share = steps / np.diff(times)[span]
        return np.where(ways.proved, falls * share**2 + stays, strays)

    def few(self, most: float) -> list[int]:
        """Only as many of the moments as are needed for no point to stray by more than `most` from the straight way
        between two of them.

        How the straight way is timed does not matter to what is swept: it is gone at the pace of the part. A moment in
        between shows how far points are off it; between moments they are farther off by what they stray there.
        """
        places, turns = self._places, self.turns
        pace = np.hypot(*np.diff(places, axis=0).T) + self.radius * np.abs(np.diff(turns))
        along = np.concatenate([[0.0], np.cumsum(pace)])
        last = len(self.times) - 1

        def strays(start: int, end: int) -> bool:
            between = slice(start, end + 1)
            share = (along[between] - along[start]) / max(along[end] - along[start], 1e-300)
            off = places[between] - places[start] - share[:, None] * (places[end] - places[start])
            turned = turns[between] - turns[start] - share * (turns[end] - turns[start])
            far = np.hypot(off[:, 0], off[:, 1]) + self.radius * np.abs(turned)
            bow = self.radius * (turns[end] - turns[start]) ** 2 / 8.0  # of a turn from its chord
            return bool(far.max() + bow + self._stray[start:end].max() > most)

        kept, reach = [0], 1
        while kept[-1] < last:
            start, reach = kept[-1], 2 * reach
            reach = min(reach, last - start)
            while reach > 1 and strays(start, start + reach):
                reach -= max(reach // 4, 1)
            kept.append(start + reach)
        return kept


def _is_convex(outline: BaseGeometry) -> bool:
    hull = shapely.convex_hull(outline)
    return bool(hull.area - outline.area <= 1e-12 * hull.area)


def _hulls(first: Polygons, second: Polygons) -> Polygons:
    """Convex hulls of two outlines each."""
    return shapely.convex_hull(shapely.geometrycollections(np.stack([first, second], axis=1)))


def _edge_hulls(outline: BaseGeometry, poses: Floats, placed: Polygons, longest: float) -> Polygons:
    """The hulls of edges, or of pieces of them, at neighbouring poses, but for those that lie within the outline at one
    of the two.

    Where the four ends make a convex quadrilateral, one hull is exact. Other pieces are halved until they are no longer
    than `longest`: those that hold the point about which the part turns.
    """
    edges = edges_of(outline).T.reshape(-1, 2, 2)
    there = centres(edges[None], np.repeat(poses[:, None, None], len(edges), axis=1))
    moves = np.flatnonzero((poses[1:] != poses[:-1]).any(axis=1))
    span = np.repeat(moves, len(edges))
    quads = np.concatenate([there[:-1], there[1:, :, ::-1]], axis=2)[moves].reshape(-1, 4, 2)
    done: list[tuple[Ints, Floats]] = []
    while len(quads):
        ready = _is_convex_quad(quads) | (np.hypot(*(quads[:, 1] - quads[:, 0]).T) <= longest)
        done.append((span[ready], quads[ready]))
        span, quads = np.repeat(span[~ready], 2), _halved(quads[~ready])
    span = np.concatenate([np.zeros(0, dtype=np.intp), *(one[0] for one in done)])
    quads = np.concatenate([np.zeros((0, 4, 2)), *(one[1] for one in done)])
    hulls = shapely.convex_hull(shapely.multipoints(quads))
    shapely.prepare(placed)
    kept = shapely.area(hulls) > 0.0
    with np.errstate(invalid="ignore"):  # of slivers the geometry library cannot always tell an angle
        for at in (span + 1, span):
            kept[kept] = ~shapely.covers(placed[at[kept]], hulls[kept])
    return hulls[kept]


def _is_convex_quad(quads: Floats) -> NDArray[np.bool_]:
    """(Q,) whether corners (Q, 4, 2) turn the same way all round."""
    sides = np.roll(quads, -1, axis=1) - quads
    after = np.roll(sides, -1, axis=1)
    turns = sides[..., 0] * after[..., 1] - sides[..., 1] * after[..., 0]
    return np.asarray((turns >= 0.0).all(axis=1) | (turns <= 0.0).all(axis=1))


def _halved(quads: Floats) -> Floats:
    """Each edge, from its first place (corners 0 and 1) to its next (3 and 2), as two halves: (2 Q, 4, 2)."""
    near, far = 0.5 * (quads[:, 0] + quads[:, 1]), 0.5 * (quads[:, 3] + quads[:, 2])
    first = np.stack([quads[:, 0], near, far, quads[:, 3]], axis=1)
    second = np.stack([near, quads[:, 1], quads[:, 2], far], axis=1)
    return np.stack([first, second], axis=1).reshape(-1, 4, 2)
