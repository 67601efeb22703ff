"""Which parts are checked against each other, and how: depth, joints, and the project's pair rules."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.document.project import Jack, Latch, PairRule, Pivot, Project, Rod, Slide, Slot
from core.geometry.outlines import disc
from core.interference.placement import Parts

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

PIN_SNAP = 1e-6
"""Points drawn within this many mm of each other on one body are the same pin."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pairs:
    """N checked pairs as they are reported, made of K pairs of parts: a jack brings its barrel and its piston rod."""

    ids: tuple[tuple[str, str], ...]
    """(N) part ids, in the order of the parts."""
    views: tuple[str, ...]
    """(N)"""
    wanted: Floats
    """(N,) clearance asked for, mm."""
    reported: Ints
    """(K,) which reported pair each pair of parts belongs to."""
    first: Ints
    second: Ints
    """(K,) part indices."""
    first_polygons: NDArray[np.object_]
    second_polygons: NDArray[np.object_]
    """(K,) outlines in each part's own frame, without what lies within `beyond` of the points that join them."""

    def __len__(self) -> int:
        return len(self.ids)

    def of(self, rows: Ints) -> Pairs:
        """Only some of the pairs of parts."""
        return replace(
            self,
            reported=self.reported[rows],
            first=self.first[rows],
            second=self.second[rows],
            first_polygons=self.first_polygons[rows],
            second_polygons=self.second_polygons[rows],
        )


@dataclass(frozen=True, slots=True)
class _Joint:
    """Two parts that lap by nature, and the drawn points at which they do, by the part each moves with.

    A point without a part moves with both.
    """

    points: tuple[tuple[str | None, tuple[float, float]], ...]


def checked_pairs(project: Project, parts: Parts) -> Pairs:
    """Every pair of parts in one view whose depths overlap, that can move, and that nothing excuses.

    Bodies joined by a pivot, slide, slot or latch lap by nature, and so do a rod or jack and the bodies at its ends,
    and whatever shares a pin with another; these are checked only where a rule says so.
    """
    rules = {frozenset(rule.bodies): rule for rule in project.pairs}
    joints = _joints(project)
    first, second = np.triu_indices(len(parts), k=1)
    if len(first):
        first, second = _meetable(parts, first, second)

    ids: dict[tuple[str, str], int] = {}
    wanted: list[float] = []
    rows: list[tuple[int, int, int, BaseGeometry, BaseGeometry]] = []
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        names = (parts.ids[i], parts.ids[j])
        rule, joint = rules.get(frozenset(names)), joints.get(frozenset(names))
        if (rule is not None and rule.rule == "ignore") or (rule is None and joint is not None):
            continue
        outlines = _outlines(parts, i, j, rule, joint)
        if outlines[0].is_empty or outlines[1].is_empty:
            continue
        if names not in ids:
            ids[names] = len(ids)
            asked = rule.clearance if rule is not None else None
            wanted.append(project.least_clearance if asked is None else asked)
        rows.append((ids[names], i, j, *outlines))
    return _gather(parts, ids, wanted, rows)


def _meetable(parts: Parts, first: Ints, second: Ints) -> tuple[Ints, Ints]:
    """Those pairs that share a view and some depth, and of which one part at least can move."""
    views = np.unique(np.array(parts.views), return_inverse=True)[1]
    labels = np.unique(np.array(parts.ids), return_inverse=True)[1]
    lap = np.minimum(parts.far[first], parts.far[second]) - np.maximum(parts.near[first], parts.near[second])
    keep = views[first] == views[second]
    keep &= lap > 0.0
    keep &= ~(parts.fixed[first] & parts.fixed[second])
    keep &= labels[first] != labels[second]
    return first[keep], second[keep]


def _outlines(
    parts: Parts, i: int, j: int, rule: PairRule | None, joint: _Joint | None
) -> tuple[BaseGeometry, BaseGeometry]:
    """The two outlines, less a disc of `beyond` about each joining point that moves with them."""
    one, other = parts.polygons[i], parts.polygons[j]
    if rule is None or joint is None or not rule.beyond:
        return one, other
    for owner, point in joint.points:
        if owner in (None, parts.ids[i]):
            one = one.difference(disc(_own_frame(parts, i, point), rule.beyond))
        if owner in (None, parts.ids[j]):
            other = other.difference(disc(_own_frame(parts, j, point), rule.beyond))
    return one, other


def _own_frame(parts: Parts, part: int, point: tuple[float, float]) -> tuple[float, float]:
    """A drawn point in a part's own frame: as drawn for a body; a bar's own end, or its far one, along the x axis."""
    if not parts.jointed[part]:
        return point
    if np.hypot(*(parts.ends[part, 0] - point)) <= PIN_SNAP:
        return (0.0, 0.0)
    return (float(np.hypot(*(parts.ends[part, 1] - parts.ends[part, 0]))), 0.0)


def _joints(project: Project) -> dict[frozenset[str], _Joint]:
    """What laps by nature, by the two ids."""
    points: dict[frozenset[str], list[tuple[str | None, tuple[float, float]]]] = {}

    def join(one: str, other: str, *where: tuple[str | None, tuple[float, float]]) -> None:
        if one != other:
            points.setdefault(frozenset((one, other)), []).extend(where)

    for connection in project.connections:
        if isinstance(connection, (Slide, Slot)):
            join(*connection.bodies, (connection.bodies[1], connection.at))
        elif isinstance(connection, Latch):
            hook, held = connection.bodies
            join(hook, held, (hook, connection.ends[0]), (held, connection.ends[1]))
    for pin in _shared_pins(project):
        members = sorted(pin)
        for number, (one, at) in enumerate(members):
            for other, _ in members[number + 1 :]:
                join(one, other, (None, at))
    return {pair: _Joint(tuple(dict.fromkeys(found))) for pair, found in points.items()}


def _shared_pins(project: Project) -> Iterable[set[tuple[str, tuple[float, float]]]]:
    """Each pin as the parts on it, with the point where it is drawn on each; pins at one point of one body are one."""
    pins: list[set[tuple[str, tuple[float, float]]]] = []
    for connection in project.connections:
        if isinstance(connection, Pivot):
            pins.append({(body, connection.at) for body in connection.bodies})
        elif isinstance(connection, (Rod, Jack)):
            for body, end in zip(connection.bodies, connection.ends, strict=True):
                pins.append({(connection.id, end), (body, end)})
    merged: list[set[tuple[str, tuple[float, float]]]] = []
    for pin in pins:
        same = [other for other in merged if _meet(pin, other)]
        merged = [other for other in merged if not any(other is one for one in same)]
        merged.append(pin.union(*same))
    return merged


def _meet(one: set[tuple[str, tuple[float, float]]], other: set[tuple[str, tuple[float, float]]]) -> bool:
    """Whether two pins go through one body at one point."""
    return any(
        body == same and abs(at[0] - there[0]) <= PIN_SNAP and abs(at[1] - there[1]) <= PIN_SNAP
        for body, at in one
        for same, there in other
    )


def _gather(
    parts: Parts,
    ids: dict[tuple[str, str], int],
    wanted: list[float],
    rows: list[tuple[int, int, int, BaseGeometry, BaseGeometry]],
) -> Pairs:
    firsts, seconds = np.empty(len(rows), dtype=object), np.empty(len(rows), dtype=object)
    firsts[:] = [row[3] for row in rows]
    seconds[:] = [row[4] for row in rows]
    numbers = np.array([row[:3] for row in rows], dtype=np.intp).reshape(-1, 3)
    return Pairs(
        ids=tuple(ids),
        views=tuple(parts.views[parts.by_id[one][0]] for one, _ in ids),
        wanted=np.array(wanted, dtype=float),
        reported=numbers[:, 0],
        first=numbers[:, 1],
        second=numbers[:, 2],
        first_polygons=firsts,
        second_polygons=seconds,
    )
