"""How long a rod is, or a jack from pin to pin: as it is made, or at a moment."""

from __future__ import annotations

import math

from core.document.measured import moments_of
from core.document.names import Ids
from core.document.project import Figure, Jack, Project, Rod
from core.figures.measure import MotionFor, NotMeasured, poses_at
from core.figures.result import MadeLength
from core.geometry.poses import carried_point


def length_of(project: Project, ids: Ids, figure: Figure, motion_for: MotionFor) -> tuple[float, MadeLength | None]:
    """Millimetres between the two ends, and what is drawn where a rod is made otherwise; raises NotMeasured."""
    one = ids.connections.get(figure.of or "")
    if not isinstance(one, Rod | Jack):
        raise NotMeasured("There is no rod or jack of that name.")
    drawn = math.dist(*one.ends)
    for moment in moments_of(figure):
        poses = poses_at(project, moment, one.bodies, motion_for)
        return math.dist(*(carried_point(pose, end) for end, pose in zip(one.ends, poses, strict=True))), None
    if isinstance(one, Jack) or one.length is None:
        return drawn, None
    return one.length, MadeLength(made=one.length, drawn=drawn) if one.length != drawn else None
