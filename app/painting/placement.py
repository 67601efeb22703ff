"""Where a drawing lies on a device: so many device units a millimetre, and its origin somewhere; y turns over."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QPointF
from PySide6.QtGui import QTransform

from core.drawing.drawing import DRAWN, Pose


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    scale: float
    """Device units for one millimetre of the drawing."""
    x: float
    y: float
    """Where the drawing's origin is, in device units from the upper left."""

    def to_device(self, x: float, y: float) -> QPointF:
        return QPointF(self.x + self.scale * x, self.y - self.scale * y)

    def to_drawing(self, x: float, y: float) -> tuple[float, float]:
        return ((x - self.x) / self.scale, (self.y - y) / self.scale)

    def transform(self, pose: Pose = DRAWN) -> QTransform:
        """Takes a point of a geometry that stands at a pose to the device."""
        x, y, turn = pose
        across, up = self.scale * math.cos(turn), self.scale * math.sin(turn)
        return QTransform(across, -up, -up, -across, self.x + self.scale * x, self.y - self.scale * y)

    def zoomed(self, factor: float, x: float, y: float) -> Placement:
        """Larger by a factor, with what lies at a point of the device staying there."""
        return Placement(scale=self.scale * factor, x=x + factor * (self.x - x), y=y + factor * (self.y - y))

    def moved(self, dx: float, dy: float) -> Placement:
        return Placement(scale=self.scale, x=self.x + dx, y=self.y + dy)


def fitted(bounds: tuple[float, float, float, float], width: float, height: float, margin: float = 0.0) -> Placement:
    """The largest placement that shows bounds (least x and y, greatest x and y) in the middle of a device."""
    x0, y0, x1, y1 = bounds
    room_x, room_y = max(width - 2.0 * margin, 1.0), max(height - 2.0 * margin, 1.0)
    scale = min(room_x / max(x1 - x0, 1e-3), room_y / max(y1 - y0, 1e-3))
    return Placement(scale=scale, x=0.5 * width - 0.5 * scale * (x0 + x1), y=0.5 * height + 0.5 * scale * (y0 + y1))
