"""Where the lanes have what: each step's bar, its edges and handles, its row, and the free row below the last."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

from PySide6.QtCore import QPointF, QRectF

from app.sequence.time_scale import NAMES_WIDTH, TimeScale
from core.motion.schedule import Schedule, ScheduledStep

LANE = 28
BAR = 20
TOP = 4
EDGE = 7
"""Pixels about a bar's ends that take hold of them."""
HANDLE = 9
"""The side of the square by which a step is chained to another."""
MARK = 14


class Part(Enum):
    NAME = auto()
    """Of a step, at the left of its row."""
    BODY = auto()
    LEFT = auto()
    RIGHT = auto()
    BEGIN = auto()
    """The handle that another step begins with."""
    END = auto()
    """The handle that another step comes after."""
    MARK = auto()
    """That of a step which begins too soon."""
    FREE = auto()
    """The row below the last step."""
    NOTHING = auto()


@dataclass(frozen=True, slots=True)
class Bars:
    schedule: Schedule
    scale: TimeScale
    free: bool = True
    """Whether a step can be made, so that there is a free row."""

    @property
    def height(self) -> int:
        """Of all rows with the free one."""
        return (len(self.schedule.steps) + self.free) * LANE + 2 * TOP

    def row_of(self, step_id: str) -> int:
        for row, step in enumerate(self.schedule.steps):
            if step.id == step_id:
                return row
        raise LookupError(step_id)

    def row_at(self, y: float) -> int:
        """The row under a height; the nearest one above and below all of them."""
        return min(max(0, int((y - TOP) // LANE)), len(self.schedule.steps))

    def row_box(self, row: int, width: float) -> QRectF:
        return QRectF(0, TOP + row * LANE, width, LANE)

    def box(self, step_id: str) -> QRectF:
        """A step's bar."""
        row = self.row_of(step_id)
        step = self.schedule.steps[row]
        left, right = self.scale.x(step.begin), self.scale.x(step.end)
        return QRectF(left, row * LANE + TOP + (LANE - BAR) / 2, max(2.0, right - left), BAR)

    def handle(self, step_id: str, part: Part) -> QRectF:
        """At a lower corner of the bar; those of a narrow bar stand apart."""
        box = self.box(step_id)
        apart = max(0.0, HANDLE + 1 - box.width()) / 2
        x = box.right() + apart if part is Part.END else box.left() - apart
        return QRectF(x - HANDLE / 2, box.bottom() - HANDLE / 2 + 0.5, HANDLE, HANDLE)

    def mark(self, step_id: str) -> QRectF:
        """Before the bar's left edge."""
        box = self.box(step_id)
        return QRectF(box.left() - MARK - 3, box.center().y() - MARK / 2, MARK, MARK)

    def step_at(self, y: float) -> ScheduledStep | None:
        """The step whose row is at a height."""
        row = int((y - TOP) // LANE)
        return self.schedule.steps[row] if 0 <= row < len(self.schedule.steps) else None

    def part_at(self, point: QPointF, marked: frozenset[str]) -> tuple[Part, ScheduledStep | None]:
        """What lies under the hand, and of which step; `marked` are those that begin too soon."""
        step = self.step_at(point.y())
        if step is None:
            free = self.row_box(len(self.schedule.steps), point.x() + 1)
            in_it = self.free and free.contains(point) and point.x() >= NAMES_WIDTH
            return (Part.FREE if in_it else Part.NOTHING), None
        if point.x() < NAMES_WIDTH:
            return Part.NAME, step
        if step.id in marked and self.mark(step.id).contains(point):
            return Part.MARK, step
        return self._part_of_bar(point, step), step

    def _part_of_bar(self, point: QPointF, step: ScheduledStep) -> Part:
        box, x = self.box(step.id), point.x()
        for part in (Part.END, Part.BEGIN):
            if self.handle(step.id, part).adjusted(-1, -1, 1, 2).contains(point):
                return part
        within = min(EDGE, box.width() / 3)
        if box.right() - within <= x <= box.right() + EDGE:
            return Part.RIGHT
        if box.left() - EDGE <= x <= box.left() + within:
            return Part.LEFT
        return Part.BODY if box.left() <= x <= box.right() else Part.NOTHING
