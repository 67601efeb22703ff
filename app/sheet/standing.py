"""Where the bodies stand that the hand is over: at the moment that is looked at, or as drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.document.project import Moment, Point
from core.geometry.poses import carried_point, drawn_point

DRAWN = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    moment: Moment | None = None
    """None in the drawn position."""
    poses: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)
    """x, y in mm and turn in radians of the bodies that are not as drawn."""

    def pose(self, body: str) -> NDArray[np.float64]:
        return np.array(self.poses.get(body, DRAWN))

    def drawn(self, body: str, at: Point) -> Point:
        """Where a point of the sheet is drawn on a body that stands over it."""
        return drawn_point(self.pose(body), at)

    def placed(self, body: str, at: Point) -> Point:
        """Where a point of the sheet stands that is drawn on a body."""
        return carried_point(self.pose(body), at)
