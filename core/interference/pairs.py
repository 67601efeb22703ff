"""Which parts are checked against each other, and how: views, depth, joints, and the project's pair rules."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.document.project import PairRule, Project
from core.geometry.outlines import disc
from core.geometry.planar import Bools, Floats, Ints
from core.interference.joints import PIN_SNAP, Joint, joints_of
from core.interference.placement import Parts
from core.interference.planes import axes_of_parts, in_two_planes, upright


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

    across: PairsAcross | None = None
    """Pairs of parts in different views, which are checked besides."""

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

    def only(self, which: Ints) -> Pairs:
        """Only some of the reported pairs, numbered anew, within views."""
        number = np.full(len(self), -1)
        number[which] = np.arange(len(which))
        some = self.of(np.flatnonzero(number[self.reported] >= 0))
        return replace(
            some,
            ids=tuple(self.ids[n] for n in which.tolist()),
            views=tuple(self.views[n] for n in which.tolist()),
            wanted=self.wanted[which],
            reported=number[some.reported],
            across=None,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairsAcross:
    """Pairs of parts in different views, and how each is seen from the other's."""

    pairs: Pairs
    """N reported pairs of K pairs of parts; its views are those of the first parts."""
    other_views: tuple[str, ...]
    """(N) the views of the second parts."""
    upright: Bools
    """(K, 2) as `planes.upright`."""
    slabs: Floats
    """(K, 2, 2) near and far of the other part's depth, along the axis of the own view that is not shared."""
    without_depth: tuple[str, ...] = ()
    """Parts that could meet others across views but whose depth is not given."""

    def __len__(self) -> int:
        return len(self.pairs)

    def of(self, rows: Ints) -> PairsAcross:
        """Only some of the pairs of parts."""
        return replace(self, pairs=self.pairs.of(rows), upright=self.upright[rows], slabs=self.slabs[rows])

    def only(self, which: Ints) -> PairsAcross:
        """Only some of the reported pairs, numbered anew."""
        some = self.of(np.flatnonzero(np.isin(self.pairs.reported, which)))
        other_views = tuple(self.other_views[n] for n in which.tolist())
        return replace(some, pairs=self.pairs.only(which), other_views=other_views)


def checked_pairs(project: Project, parts: Parts) -> Pairs:
    """Every pair of parts in one view whose depths overlap, that can move, and that nothing excuses.

    Bodies joined by a pivot, slide, slot or latch lap by nature, and so do a rod or jack and the bodies at its ends,
    and whatever shares a pin with another; these are checked only where a rule says so. Pairs of parts in views of
    different planes come beside them.
    """
    rules = {frozenset(rule.bodies): rule for rule in project.pairs}
    joints = joints_of(project)
    first, second = np.triu_indices(len(parts), k=1)
    if len(first):
        first, second = _meetable(parts, first, second)
    first_polygons, second_polygons = parts.polygons[first], parts.polygons[second]
    wanted = np.full(len(first), project.least_clearance)
    kept = np.ones(len(first), dtype=bool)
    for at in np.flatnonzero(_told_of(parts, first, second, {*rules, *joints})).tolist():
        i, j = int(first[at]), int(second[at])
        names = frozenset((parts.ids[i], parts.ids[j]))
        rule, joint = rules.get(names), joints.get(names)
        if (rule is not None and rule.rule == "ignore") or (rule is None and joint is not None):
            kept[at] = False
            continue
        one, other = _outlines(parts, i, j, rule, joint)
        first_polygons[at], second_polygons[at], wanted[at] = one, other, _clearance(project, rule)
        kept[at] = not (one.is_empty or other.is_empty)
    found = _gather(parts, first[kept], second[kept], first_polygons[kept], second_polygons[kept], wanted[kept])
    return replace(found, across=_pairs_across(project, parts, rules))


def _meetable(parts: Parts, first: Ints, second: Ints) -> tuple[Ints, Ints]:
    """Those pairs that share a view and some depth, and of which one part at least can move."""
    views, labels = _labels(parts.views), _labels(parts.ids)
    lap = np.minimum(parts.far[first], parts.far[second]) - np.maximum(parts.near[first], parts.near[second])
    keep = views[first] == views[second]
    keep &= lap > 0.0
    keep &= ~(parts.fixed[first] & parts.fixed[second])
    keep &= labels[first] != labels[second]
    return first[keep], second[keep]


def _labels(names: tuple[str, ...]) -> Ints:
    """A number for each, the same for the same name."""
    known: dict[str, int] = {}
    return np.array([known.setdefault(name, len(known)) for name in names], dtype=np.intp)


def _told_of(parts: Parts, first: Ints, second: Ints, known: set[frozenset[str]]) -> Bools:
    """(K,) of which pairs a rule or a joint tells: of thousands of pairs most are told of by none."""
    told = np.zeros((len(parts), len(parts)), dtype=bool)
    for pair in known:
        here = [part for name in pair for part in parts.by_id.get(name, ())]
        told[np.ix_(here, here)] = True
    return told[first, second]


def _outlines(
    parts: Parts, i: int, j: int, rule: PairRule | None, joint: Joint | None
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


def _gather(
    parts: Parts,
    first: Ints,
    second: Ints,
    first_polygons: NDArray[np.object_],
    second_polygons: NDArray[np.object_],
    wanted: Floats,
) -> Pairs:
    labels = _labels(parts.ids)
    keys, begins, number = np.unique(
        labels[first] * len(parts) + labels[second], return_index=True, return_inverse=True
    )
    order = np.argsort(begins)  # as they first come
    place = np.empty(len(keys), dtype=np.intp)
    place[order] = np.arange(len(keys))
    leads = begins[order]
    firsts = first[leads].tolist()
    return Pairs(
        ids=tuple((parts.ids[i], parts.ids[j]) for i, j in zip(firsts, second[leads].tolist(), strict=True)),
        views=tuple(parts.views[i] for i in firsts),
        wanted=wanted[leads],
        reported=place[number.reshape(-1)],
        first=first,
        second=second,
        first_polygons=first_polygons,
        second_polygons=second_polygons,
    )


def _pairs_across(project: Project, parts: Parts, rules: dict[frozenset[str], PairRule]) -> PairsAcross:
    """Every pair of parts in views of different planes that can move and that no rule excuses."""
    axes = axes_of_parts(project, parts)
    ids: dict[tuple[str, str], int] = {}
    wanted: list[float] = []
    rows: list[tuple[int, int, int]] = []
    without: dict[str, None] = {}
    for i, j in in_two_planes(parts, axes):
        names = (parts.ids[i], parts.ids[j])
        rule = rules.get(frozenset(names))
        if rule is not None and rule.rule == "ignore":
            continue
        unknown = [part for part in (i, j) if np.isinf(parts.far[part])]
        if unknown and rule is None:
            without.update(dict.fromkeys(parts.ids[part] for part in unknown))
            continue
        if names not in ids:
            ids[names] = len(ids)
            wanted.append(_clearance(project, rule))
        rows.append((ids[names], i, j))
    return _gather_across(
        parts, axes, ids, wanted, rows, tuple(name for name in dict.fromkeys(parts.ids) if name in without)
    )


def _clearance(project: Project, rule: PairRule | None) -> float:
    return project.least_clearance if rule is None or rule.clearance is None else rule.clearance


def _gather_across(
    parts: Parts,
    axes: Ints,
    ids: dict[tuple[str, str], int],
    wanted: list[float],
    rows: list[tuple[int, int, int]],
    without_depth: tuple[str, ...],
) -> PairsAcross:
    numbers = np.array(rows, dtype=np.intp).reshape(-1, 3)
    first, second = numbers[:, 1], numbers[:, 2]
    slabs = np.stack([parts.near, parts.far], axis=-1)
    return PairsAcross(
        pairs=Pairs(
            ids=tuple(ids),
            views=tuple(parts.views[parts.by_id[one][0]] for one, _ in ids),
            wanted=np.array(wanted, dtype=float),
            reported=numbers[:, 0],
            first=first,
            second=second,
            first_polygons=parts.polygons[first],
            second_polygons=parts.polygons[second],
        ),
        other_views=tuple(parts.views[parts.by_id[other][0]] for _, other in ids),
        upright=upright(axes, first, second),
        slabs=np.stack([slabs[second], slabs[first]], axis=1),
        without_depth=without_depth,
    )
