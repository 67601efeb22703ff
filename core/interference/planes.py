"""How the views of one aircraft stand to each other, and which parts drawn in different ones are checked.

Along station, buttock line and waterline: a side elevation draws (station, waterline) with depth along the buttock
line, a front elevation (buttock line, waterline) with depth along the station, a plan (station, buttock line) with
depth along the waterline. Two of these share one axis; the other axis that each draws is the one across the other.

A part is checked against parts of other views only where its own depth is given: one of unknown depth fills the whole
aircraft from side to side and would meet everything. Which parts are left out for that is told with the result; a pair
rule that names the pair has it checked all the same, as filling the whole depth. Views whose plane is `other` stand
alone, and two views of one plane are separate drawings.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.document.project import PairRule, Plane, Project
from core.interference.pairs import Pairs
from core.interference.placement import Parts

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairsAcross:
    """Pairs of parts in different views, and how each is seen from the other's."""

    pairs: Pairs
    """N reported pairs of K pairs of parts; its views are those of the first parts."""
    other_views: tuple[str, ...]
    """(N) the views of the second parts."""
    upright: Bools
    """(K, 2) whether the axis that both views share is drawn upwards, in the first's view and in the second's."""
    slabs: Floats
    """(K, 2, 2) near and far of the other part's depth, along the axis of the own view that is not shared."""
    without_depth: tuple[str, ...] = ()
    """Parts that could meet others across views but whose depth is not given."""

    def __len__(self) -> int:
        return len(self.pairs)

    def of(self, rows: Ints) -> PairsAcross:
        """Only some of the pairs of parts."""
        return replace(self, pairs=self.pairs.of(rows), upright=self.upright[rows], slabs=self.slabs[rows])


def drawn_axes(plane: Plane) -> tuple[int, int, int] | None:
    """Which of station (0), buttock line (1) and waterline (2) a plane draws to the right, upwards, and across."""
    match plane:
        case "side":
            return (0, 2, 1)
        case "front":
            return (1, 2, 0)
        case "plan":
            return (0, 1, 2)
        case _:
            return None


def pairs_across(project: Project, parts: Parts) -> PairsAcross:
    """Every pair of parts in views of different planes that can move and that no rule excuses."""
    rules = {frozenset(rule.bodies): rule for rule in project.pairs}
    axes = _axes_of_parts(project, parts)
    ids: dict[tuple[str, str], int] = {}
    wanted: list[float] = []
    rows: list[tuple[int, int, int]] = []
    without: dict[str, None] = {}
    for i, j in _in_two_planes(parts, axes):
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
    return _gather(parts, axes, ids, wanted, rows, tuple(name for name in dict.fromkeys(parts.ids) if name in without))


def _axes_of_parts(project: Project, parts: Parts) -> Ints:
    """(P, 3) as `drawn_axes`; -1 in a view that stands alone."""
    of_view = {view.id: drawn_axes(view.plane) or (-1, -1, -1) for view in project.views}
    return np.array([of_view[view] for view in parts.views], dtype=np.intp).reshape(-1, 3)


def _in_two_planes(parts: Parts, axes: Ints) -> list[tuple[int, int]]:
    first, second = np.triu_indices(len(parts), k=1)
    across = axes[:, 2]
    keep = (across[first] >= 0) & (across[second] >= 0) & (across[first] != across[second])
    keep &= ~(parts.fixed[first] & parts.fixed[second])
    keep &= (parts.far > parts.near)[first] & (parts.far > parts.near)[second]
    return list(zip(first[keep].tolist(), second[keep].tolist(), strict=True))


def _clearance(project: Project, rule: PairRule | None) -> float:
    return project.least_clearance if rule is None or rule.clearance is None else rule.clearance


def _gather(
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
        # What a view draws upwards is shared unless it lies across the other view.
        upright=np.stack([axes[first, 1] != axes[second, 2], axes[second, 1] != axes[first, 2]], axis=-1),
        slabs=np.stack([slabs[second], slabs[first]], axis=1),
        without_depth=without_depth,
    )
