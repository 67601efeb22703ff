"""One lane a step: bars to stretch and shift by hand, what each waits for, and how it moves."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QWidget

from app.sequence.gestures import LaneGesture, ShiftStep, StretchStep
from app.sequence.inks import Inks
from app.sequence.playback import Playback
from app.sequence.time_scale import NAMES_WIDTH, TimeScale
from app.sequence.track import Track, put_text, with_alpha
from app.session import Session
from core.document.project import Pivot, Project, Step
from core.findings.sentences import Names
from core.motion.schedule import Schedule, ScheduledStep
from core.units import format_angle, format_length

LANE = 28
BAR = 20
EDGE = 7
"""Pixels about a bar's right edge that take hold of it."""
DRAG_STARTS = 3


class Lanes(Track):
    previewed = Signal(object)
    """The schedule as it would be, while a step is dragged; None when it is let go."""

    def __init__(self, session: Session, playback: Playback, inks: Inks, parent: QWidget | None = None) -> None:
        super().__init__(session, playback, inks, parent)
        self._gesture: LaneGesture | None = None
        self._pressed_x = 0.0
        self._moved = False
        self._held: TimeScale | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Steps")
        for signal in (session.project_changed, session.sequence_changed):
            signal.connect(self._on_changed)
        session.shown_changed.connect(self.renew)
        session.selection_changed.connect(self.renew)

    def _on_changed(self) -> None:
        self._gesture, self._held = None, None
        self.keep_height()
        self.renew()
        self.previewed.emit(None)

    def sizeHint(self) -> QSize:
        return QSize(600, max(1, len(self._steps)) * LANE + 8)

    # ---- where things are ----------------------------------------------------------------------------------------

    @property
    def _schedule(self) -> Schedule | None:
        """As it would be while a gesture goes on; otherwise as it is."""
        if self._gesture is not None and self._gesture.preview is not None:
            return self._gesture.preview
        return self.session.schedule

    @property
    def _steps(self) -> tuple[ScheduledStep, ...]:
        schedule = self._schedule
        return schedule.steps if schedule is not None else ()

    @property
    def scale(self) -> TimeScale:
        """Held still while a gesture goes on, so that the bar stays under the hand."""
        return self._held or super().scale

    def bar(self, step_id: str) -> QRectF:
        """The box of a step's bar."""
        for row, step in enumerate(self._steps):
            if step.id == step_id:
                left, right = self.scale.x(step.begin), self.scale.x(step.end)
                return QRectF(left, row * LANE + 4 + (LANE - BAR) / 2, max(2.0, right - left), BAR)
        raise LookupError(step_id)

    def _step_at(self, point: QPointF) -> ScheduledStep | None:
        row = int((point.y() - 4) // LANE)
        return self._steps[row] if 0 <= row < len(self._steps) else None

    def _on_edge(self, step: ScheduledStep, x: float) -> bool:
        box = self.bar(step.id)
        return box.right() - min(EDGE, box.width() / 3) <= x <= box.right() + EDGE

    def _on_bar(self, step: ScheduledStep, x: float) -> bool:
        box = self.bar(step.id)
        return box.left() <= x <= box.right()

    # ---- the mouse and the keys ----------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        x = event.position().x()
        step = self._step_at(event.position())
        if step is not None and (x < NAMES_WIDTH or self._on_edge(step, x) or self._on_bar(step, x)):
            self.session.choose(step.id)
            if x >= NAMES_WIDTH:
                self._take_hold(step, x)
            return
        super().mousePressEvent(event)

    def _take_hold(self, step: ScheduledStep, x: float) -> None:
        self._held = self.scale
        make = StretchStep if self._on_edge(step, x) else ShiftStep
        self._gesture = make(self.session, step.id)
        self._pressed_x, self._moved = x, False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        x = event.position().x()
        if self._gesture is None:
            self._show_cursor(event.position())
            super().mouseMoveEvent(event)
            return
        self._moved = self._moved or abs(x - self._pressed_x) >= DRAG_STARTS
        if self._moved:
            free = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
            self._gesture.move((x - self._pressed_x) * self.scale.seconds_per_pixel, free=free)
            self.renew()
            self.previewed.emit(self._gesture.preview)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        gesture, moved = self._gesture, self._moved
        self._let_go()
        if gesture is not None and moved:
            gesture.end()
        super().mouseReleaseEvent(event)

    def _let_go(self) -> None:
        self._gesture, self._held, self._moved = None, None, False
        self.renew()
        self.previewed.emit(None)

    def _show_cursor(self, point: QPointF) -> None:
        step = self._step_at(point)
        shape = Qt.CursorShape.ArrowCursor
        if step is not None and point.x() >= NAMES_WIDTH:
            if self._on_edge(step, point.x()):
                shape = Qt.CursorShape.SizeHorCursor
            elif self._on_bar(step, point.x()):
                shape = Qt.CursorShape.OpenHandCursor
        self.setCursor(shape)

    def event(self, event: QEvent) -> bool:
        """Escape lets a bar go before it means anything to the window."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and self._gesture is not None:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._gesture is not None:
            self._let_go()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._choose_next(1 if event.key() == Qt.Key.Key_Down else -1)
        else:
            super().keyPressEvent(event)

    def _choose_next(self, way: int) -> None:
        ids = [step.id for step in self._steps]
        if not ids:
            return
        chosen = self.session.selection
        row = ids.index(chosen) + way if chosen in ids else (0 if way > 0 else len(ids) - 1)
        self.session.choose(ids[min(max(0, row), len(ids) - 1)])

    # ---- painting ------------------------------------------------------------------------------------------------

    def paint_content(self, painter: QPainter) -> None:
        sequence, project = self.session.sequence, self.session.shown
        if sequence is None or project is None:
            return
        if not self._steps:
            box = QRectF(NAMES_WIDTH + 22, 4, self.width() - NAMES_WIDTH - 30, LANE)
            put_text(painter, box, "No steps: everything stands in its drawn position.", self.inks.soft)
            return
        names, degrees = Names(project), drives_in_degrees(project)
        written = {step.id: step for step in sequence.steps}
        for row, step in enumerate(self._steps):
            self._paint_row(painter, row, step, what_moves(step, names, degrees))
        for row, step in enumerate(self._steps):
            self._paint_chain(painter, row, written[step.id])
        for step in self._steps:
            self._paint_bar(painter, step)

    def _paint_row(self, painter: QPainter, row: int, step: ScheduledStep, what: str) -> None:
        top = 4 + row * LANE
        if step.id == self.session.selection:
            painter.fillRect(QRectF(0, top, self.width(), LANE), with_alpha(self.inks.chosen_ground, 0.55))
        painter.setPen(QPen(self.inks.line, 1))
        painter.drawLine(QPointF(14, top + LANE - 0.5), QPointF(self.width() - 8, top + LANE - 0.5))
        painter.setFont(self.small_font())
        box = QRectF(14, top, NAMES_WIDTH - 28, LANE)
        put_text(painter, box, what, self.inks.soft, Qt.AlignmentFlag.AlignRight)

    def _paint_chain(self, painter: QPainter, row: int, step: Step) -> None:
        """From what the step waits for down to its lane, and along its delay."""
        ids = [one.id for one in self._steps]
        partner = step.together_with or step.after or (ids[row - 1] if row else None)
        box = self.bar(step.id)
        y = box.center().y()
        painter.setPen(QPen(self.inks.soft, 1))
        if partner is None:
            base = self.scale.x(0.0)
        else:
            other = self.bar(partner)
            base = other.left() if step.together_with else other.right()
            from_y = other.bottom() if other.center().y() < y else other.top()
            painter.drawLine(QPointF(base, from_y), QPointF(base, y))
        if abs(box.left() - base) > 1:
            pen = QPen(self.inks.soft, 1, Qt.PenStyle.CustomDashLine)
            pen.setDashPattern([3, 3])
            painter.setPen(pen)
            painter.drawLine(QPointF(base, y), QPointF(box.left(), y))

    def _paint_bar(self, painter: QPainter, step: ScheduledStep) -> None:
        box = self.bar(step.id)
        chosen = step.id == self.session.selection
        painter.setPen(QPen(self.inks.chosen if chosen else self.inks.bar_edge, 1.6 if chosen else 1))
        painter.setBrush(self.inks.chosen_ground if chosen else self.inks.bar)
        painter.drawRect(box)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        self._paint_rates(painter, step, box)
        self._paint_grip(painter, box)
        self._paint_latches(painter, step, box)
        self._paint_name(painter, step, box)

    def _paint_rates(self, painter: QPainter, step: ScheduledStep, box: QRectF) -> None:
        """How the step gets there: a straight line at a constant rate, a swung one where it starts and ends at rest."""
        if box.width() < 16 or not step.moves:
            return
        inner = box.adjusted(1, 3, -1, -3)
        path = QPainterPath(inner.bottomLeft())
        if any(move.profile == "eased" for move in step.moves):
            middle = inner.center().x()
            path.cubicTo(QPointF(middle, inner.bottom()), QPointF(middle, inner.top()), inner.topRight())
        else:
            path.lineTo(inner.topRight())
        painter.setPen(QPen(with_alpha(self.inks.bar_edge, 0.6), 1))
        painter.drawPath(path)

    def _paint_grip(self, painter: QPainter, box: QRectF) -> None:
        if box.width() < 24:
            return
        painter.setPen(QPen(self.inks.bar_edge, 1))
        for x in (box.right() - 4, box.right() - 6.5):
            painter.drawLine(QPointF(x, box.top() + 7), QPointF(x, box.bottom() - 7))

    def _paint_latches(self, painter: QPainter, step: ScheduledStep, box: QRectF) -> None:
        """A filled dot at the end where latches take hold, an open one at the start where they let go."""
        painter.setPen(QPen(self.inks.text, 1.2))
        if step.engage:
            painter.setBrush(self.inks.text)
            painter.drawEllipse(QPointF(box.right(), box.center().y()), 3.2, 3.2)
        if step.release:
            painter.setBrush(self.inks.ground)
            painter.drawEllipse(QPointF(box.left(), box.center().y()), 3.2, 3.2)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_name(self, painter: QPainter, step: ScheduledStep, box: QRectF) -> None:
        """Inside the bar where it fits, otherwise beside it."""
        painter.setFont(self.font())
        text = step.name
        if self._gesture is not None and self._gesture.step == step.id and self._moved:
            text = f"{step.name}   {self._gesture.says}"
        width = QFontMetricsF(painter.font()).horizontalAdvance(text)
        room = self.width() - 8 - box.right() - 10
        if width <= box.width() - 22 or (width > room and box.left() - NAMES_WIDTH - 12 < width):
            put_text(painter, box.adjusted(9, 0, -12, 0), text, self.inks.text)
        elif width <= room:
            put_text(painter, QRectF(box.right() + 10, box.top(), width + 4, BAR), text, self.inks.text)
        else:
            left = QRectF(box.left() - 10 - width - 4, box.top(), width + 4, BAR)
            put_text(painter, left, text, self.inks.text, Qt.AlignmentFlag.AlignRight)


def drives_in_degrees(project: Project) -> frozenset[str]:
    """Drives on pivots; the others count in millimetres."""
    pivots = {one.id for one in project.connections if isinstance(one, Pivot)}
    return frozenset(drive.id for drive in project.drives if drive.on in pivots)


def what_moves(step: ScheduledStep, names: Names, degrees: frozenset[str]) -> str:
    """Which drives the step moves, and where to; which latches it works when it moves none."""
    if step.moves:
        targets = (format_angle(m.to) if m.drive in degrees else format_length(m.to) for m in step.moves)
        return ", ".join(f"{names(m.drive)} to {to}" for m, to in zip(step.moves, targets, strict=True))
    if step.engage:
        return f"engages {names.listed(step.engage)}"
    if step.release:
        return f"releases {names.listed(step.release)}"
    return "a wait"
