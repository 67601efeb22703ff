"""How much room a view needs, so that what moves stays in sight."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
import shapely

from core.document.project import Gearing, Jack, Latch, Project, Rod
from core.geometry.planar import Floats
from core.geometry.poses import carried
from core.interference.placement import Parts, part_poses

Bounds = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""

FRAMES = 33
"""Frames looked at, evenly spread, both ends included."""
STILL = 1e-3
"""Millimetres or milliradians within which a body does not move."""


def extent(project: Project, parts: Parts, poses: Floats, view: str, left_out: Collection[str] = ()) -> Bounds | None:
    """The bounds of everything in a view over (F, B, 3) poses, without some of it; None where nothing is drawn."""
    frames = np.unique(np.linspace(0, len(poses) - 1, min(len(poses), FRAMES)).round().astype(int))
    poses = poses[frames]
    poses = poses[np.isfinite(poses).all(axis=(1, 2))]
    if not len(poses):
        return None
    corners = [
        *_part_corners(parts, poses, view, left_out), *_connection_corners(project, poses, view, left_out)
    ]  # fmt: skip
    if not corners:
        return None
    every = np.concatenate([corner.reshape(-1, 2) for corner in corners])
    (x0, y0), (x1, y1) = every.min(axis=0), every.max(axis=0)
    return (float(x0), float(y0), float(x1), float(y1))


def joined(one: Bounds | None, other: Bounds | None) -> Bounds | None:
    """Bounds that hold both."""
    if one is None or other is None:
        return one or other
    return (min(one[0], other[0]), min(one[1], other[1]), max(one[2], other[2]), max(one[3], other[3]))


def grown(bounds: Bounds, margin: float) -> Bounds:
    return (bounds[0] - margin, bounds[1] - margin, bounds[2] + margin, bounds[3] + margin)


def moving_views(project: Project, poses: Floats) -> tuple[str, ...]:
    """The views in which a body moves over (F, B, 3) poses."""
    travel = np.ptp(poses, axis=0).max(axis=1, initial=0.0)
    moving = {body.view for body, moved in zip(project.bodies, travel, strict=True) if moved > STILL}
    return tuple(view.id for view in project.views if view.id in moving)


def _part_corners(parts: Parts, poses: Floats, view: str, left_out: Collection[str]) -> list[Floats]:
    wanted = [i for i, its_view in enumerate(parts.views) if its_view == view and parts.ids[i] not in left_out]
    if not wanted:
        return []
    placed = part_poses(parts, poses)
    found = []
    for i in wanted:
        hull = shapely.get_coordinates(shapely.convex_hull(parts.polygons[i]))
        at = placed[:1, i] if parts.fixed[i] else placed[:, i]
        found.append(carried(at[:, None, :], hull[None]))
    return found


def _connection_corners(project: Project, poses: Floats, view: str, left_out: Collection[str]) -> list[Floats]:
    index = {body.id: i for i, body in enumerate(project.bodies)}
    found = []
    for one in project.connections:
        if isinstance(one, Gearing) or one.id in left_out or project.bodies[index[one.bodies[0]]].view != view:
            continue
        points = one.ends if isinstance(one, Rod | Jack | Latch) else (one.at, one.at)
        for body, point in zip(one.bodies, points, strict=True):
            found.append(carried(poses[:, index[body]], np.array(point, dtype=float)))
    return found
