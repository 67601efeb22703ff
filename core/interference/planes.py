"""How the views of one aircraft stand to each other, and which parts drawn in different ones could meet.

Along station, buttock line and waterline: a side elevation draws (station, waterline) with depth along the buttock
line, a front elevation (buttock line, waterline) with depth along the station, a plan (station, buttock line) with
depth along the waterline. Two of these share one axis; the other axis that each draws is the one across the other.

A part is checked against parts of other views only where its own depth is given: one of unknown depth fills the whole
aircraft from side to side and would meet everything. Which parts are left out for that is told with the result; a pair
rule that names the pair has it checked all the same, as filling the whole depth. Views whose plane is `other` stand
alone, and two views of one plane are separate drawings.
"""

from __future__ import annotations

import numpy as np

from core.document.project import Plane, Project
from core.geometry.planar import Bools, Ints
from core.interference.placement import Parts


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


def axes_of_parts(project: Project, parts: Parts) -> Ints:
    """(P, 3) as `drawn_axes`; -1 in a view that stands alone."""
    of_view = {view.id: drawn_axes(view.plane) or (-1, -1, -1) for view in project.views}
    return np.array([of_view[view] for view in parts.views], dtype=np.intp).reshape(-1, 3)


def in_two_planes(parts: Parts, axes: Ints) -> list[tuple[int, int]]:
    """Every two parts of some depth in views of different planes, of which one at least can move."""
    first, second = np.triu_indices(len(parts), k=1)
    across = axes[:, 2]
    keep = (across[first] >= 0) & (across[second] >= 0) & (across[first] != across[second])
    keep &= ~(parts.fixed[first] & parts.fixed[second])
    keep &= (parts.far > parts.near)[first] & (parts.far > parts.near)[second]
    return list(zip(first[keep].tolist(), second[keep].tolist(), strict=True))


def upright(axes: Ints, first: Ints, second: Ints) -> Bools:
    """(K, 2) whether the axis that both views share is drawn upwards, in the first's view and in the second's.

    What a view draws upwards is shared unless it lies across the other view.
    """
    return np.stack([axes[first, 1] != axes[second, 2], axes[second, 1] != axes[first, 2]], axis=-1)
