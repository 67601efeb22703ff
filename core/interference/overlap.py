"""Where parts overlap at one moment, and when an overlap counts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.geometry.planar import Floats, Ints
from core.interference.depth import quick_depth
from core.interference.interference import Overlap
from core.interference.pairs import Pairs
from core.interference.placement import Parts, moved, part_poses

Polygons = NDArray[np.object_]

TOUCH = 1e-5
"""Parts touch where their common area is thicker than this, in mm; less is faces that lie against each other."""
FIT = 0.005
"""A contact no deeper than this, in mm, or with a common area no thicker than half of it, is a fit and no clash: two
curves that fit each other overlap by as much, as they are flattened."""


def is_clash(depth: float, thick: float) -> bool:
    """Whether an overlap of this depth and thickness, mm, is more than a fit."""
    return depth > FIT and thick > 0.5 * FIT


def common_areas(first: Polygons, second: Polygons) -> Polygons:
    """(M,) what pairs of outlines have in common; lines or nothing where they only touch."""
    try:
        return shapely.intersection(first, second)
    except shapely.GEOSException:
        # Turning can make an outline that touches itself cross itself in the last digit.
        return shapely.intersection(shapely.make_valid(first), shapely.make_valid(second))


def thickness(common: Polygons) -> Floats:
    """(M,) how thick areas are at their thickest piece, mm: twice the area over the girth, for a thin strip its width.

    A piece without holes holds a disc of at least half as much radius.
    """
    pieces, index = shapely.get_parts(common, return_index=True)
    girth, thick = shapely.length(pieces), np.zeros(len(common))
    pieces_thick = np.divide(2.0 * shapely.area(pieces), girth, out=np.zeros(len(pieces)), where=girth > 0.0)
    np.maximum.at(thick, index, pieces_thick)
    return thick


Stand = tuple[tuple[str, str], str, bytes, bytes]
"""A pair of parts, the view, and the two outlines where they stand."""


class KeptOverlaps:
    """Overlaps of one moment after another: of outlines that stand as they stood a moment ago nothing is worked out
    again, and what they have in common is the same object."""

    def __init__(self) -> None:
        self._last: dict[Stand, Overlap | None] = {}

    def at(
        self, stands: Sequence[Stand], work: Callable[[Ints], Iterable[Overlap | None]]
    ) -> tuple[Overlap | None, ...]:
        """What each has in common, None where that is nothing; `work` finds it for those that are not known, by their
        numbers. What the last moment has not seen is forgotten."""
        last = self._last
        new = [number for number, stand in enumerate(stands) if stand not in last]
        found = dict(zip(new, work(np.array(new, dtype=np.intp)), strict=True)) if new else {}
        every = tuple(found[n] if n in found else last[stand] for n, stand in enumerate(stands))
        self._last = dict(zip(stands, every, strict=True))
        return every


def overlaps_at(parts: Parts, pairs: Pairs, poses: Floats, kept: KeptOverlaps | None = None) -> tuple[Overlap, ...]:
    """Every overlap of checked pairs at one moment; `poses` is (B, 3). Deepest first. `kept` are those of the moment
    before."""
    if not len(pairs.first):
        return ()
    there = part_poses(parts, poses[None])[0]
    near = _may_meet(parts, pairs, there)
    first = moved(pairs.first_polygons[near], there[pairs.first[near]])
    second = moved(pairs.second_polygons[near], there[pairs.second[near]])
    meet = shapely.intersects(first, second)
    near, first, second = near[meet], first[meet], second[meet]
    reported = pairs.reported[near].tolist()
    told = [(pairs.ids[pair], pairs.views[pair]) for pair in reported]
    stands = [(*pair, *both) for pair, *both in zip(told, shapely.to_wkb(first), shapely.to_wkb(second), strict=True)]

    def work(rows: Ints) -> list[Overlap | None]:
        return _overlaps_of(first[rows], second[rows], [told[row] for row in rows])

    by_pair: dict[int, list[Overlap]] = {}
    for pair, found in zip(reported, (kept or KeptOverlaps()).at(stands, work), strict=True):
        if found is not None:
            by_pair.setdefault(pair, []).append(found)
    return tuple(sorted((joined_overlaps(few) for few in by_pair.values()), key=lambda overlap: -overlap.depth))


def _overlaps_of(
    first: Polygons, second: Polygons, told: Sequence[tuple[tuple[str, str], str]]
) -> list[Overlap | None]:
    """What (M,) outlines have in common with (M,) others that they meet; None where that is no clash. Of each, `told`
    are the parts and the view."""
    found: list[Overlap | None] = [None] * len(first)
    common = common_areas(first, second)
    thick = thickness(common)
    for row in np.flatnonzero(thick > TOUCH).tolist():
        area = only_areas(common[row])
        depth = quick_depth(first[row], second[row], area)
        if is_clash(depth, thick[row]):
            ids, view = told[row]
            found[row] = Overlap(parts=ids, view=view, area=area, depth=depth, at=point_in(area))
    return found


def only_areas(common: BaseGeometry) -> BaseGeometry:
    """What is common without the lines along which outlines only touch."""
    pieces = shapely.get_parts(common)
    areas = pieces[shapely.get_type_id(pieces) == shapely.GeometryType.POLYGON]
    return areas[0] if len(areas) == 1 else shapely.multipolygons(areas)


def point_in(area: BaseGeometry) -> tuple[float, float]:
    """A point well inside an area, in the largest of its pieces."""
    pieces = shapely.get_parts(area)
    point = shapely.point_on_surface(pieces[int(np.argmax(shapely.area(pieces)))])
    return (float(shapely.get_x(point)), float(shapely.get_y(point)))


def _may_meet(parts: Parts, pairs: Pairs, there: Floats) -> NDArray[np.intp]:
    """The pairs of parts whose circles overlap at (P, 3) poses that are numbers."""
    cosine, sine = np.cos(there[:, 2]), np.sin(there[:, 2])
    x = cosine * parts.centre[:, 0] - sine * parts.centre[:, 1] + there[:, 0]
    y = sine * parts.centre[:, 0] + cosine * parts.centre[:, 1] + there[:, 1]
    first, second = pairs.first, pairs.second
    apart = np.hypot(x[first] - x[second], y[first] - y[second])
    return np.flatnonzero(apart <= parts.radius[first] + parts.radius[second])


def joined_overlaps(found: list[Overlap]) -> Overlap:
    """One overlap of a pair from those of its parts: a jack's barrel and its piston rod."""
    deepest = max(found, key=lambda overlap: overlap.depth)
    if len(found) == 1:
        return deepest
    area = shapely.union_all(np.array([overlap.area for overlap in found], dtype=object))
    return Overlap(parts=deepest.parts, view=deepest.view, area=area, depth=deepest.depth, at=deepest.at)
