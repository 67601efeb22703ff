"""The time ruler in seconds, with pins, a mark for every finding, and the tag of the rule, which is dragged along."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QContextMenuEvent, QFontMetricsF, QHelpEvent, QMouseEvent, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QMenu, QToolTip

from app.sequence.inks import Inks
from app.sequence.pins import Pins
from app.sequence.playback import Playback
from app.sequence.time_scale import NAMES_WIDTH, ticks
from app.sequence.track import Track, put_text
from app.session import Session
from app.widgets.finding_mark import MILD, paint_mark
from core.drawing.ghosts import seconds_text
from core.findings.finding import Finding

HEIGHT = 44
TAG_HEIGHT = 18
FIGURES_TOP = 1
FIGURE, FIGURE_REACH = 14, 30
"""Pixels: how high a figure is, and how far it may reach to either side of its tick."""
TICKS_BOTTOM = 24
MARK_SIDE = 14
MARKS_TOP = 27
PIN_TOP, PIN_HEAD = 13, 3.5
PIN_REACH = 5.0
"""Pixels to either side within which a pin is taken hold of."""
DRAG_STARTS = 3


class TimeRuler(Track):
    def __init__(self, session: Session, playback: Playback, inks: Inks, pins: Pins) -> None:
        super().__init__(session, playback, inks)
        self.pins = pins
        self._held_pin: float | None = None
        pins.changed.connect(self._on_pins_changed)

    def sizeHint(self) -> QSize:
        return QSize(600, HEIGHT)

    def minimumSizeHint(self) -> QSize:
        return QSize(320, HEIGHT)

    # ---- marks ---------------------------------------------------------------------------------------------------

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Those of the sequence that have a moment; while the study is stale, those that were found before."""
        study = self.session.sequence_study
        if study is None:
            return ()
        return tuple(one for one in study.findings if one.time is not None)

    @property
    def marks(self) -> tuple[tuple[Finding, QRectF], ...]:
        """Findings with the boxes of their marks, in time; those of one moment stand beside each other."""
        findings = sorted(self.findings, key=lambda one: one.time or 0.0)
        middles = apart(self.x_of([one.time or 0.0 for one in findings]), MARK_SIDE + 2, self.width() - MARK_SIDE)
        boxes = (QRectF(x - MARK_SIDE / 2, MARKS_TOP, MARK_SIDE, MARK_SIDE) for x in middles)
        return tuple(zip(findings, boxes, strict=True))

    def finding_at(self, point: QPointF) -> Finding | None:
        """The finding whose mark is under a point; none while it is not known whether it is still one."""
        if self.stale:
            return None
        return next((one for one, box in self.marks if box.adjusted(-1, -2, 1, 2).contains(point)), None)

    # ---- pins ----------------------------------------------------------------------------------------------------

    def pin_at(self, point: QPointF) -> float | None:
        """The pinned moment whose pin is under a point."""
        near = [one for one in self.pins.moments if abs(self.scale.x(one) - point.x()) <= PIN_REACH]
        if not near or not PIN_TOP - 2 <= point.y() <= TICKS_BOTTOM + 2:
            return None
        return min(near, key=lambda one: abs(self.scale.x(one) - point.x()))

    def _on_pins_changed(self) -> None:
        told = ", ".join(seconds_text(one) for one in self.pins.moments)
        self.setAccessibleDescription(f"Pinned: {told}" if told else "")
        self.renew()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if not self.has_rule:
            return
        by_mouse = event.reason() == QContextMenuEvent.Reason.Mouse
        at = QPointF(event.pos()) if by_mouse else QPointF(self.scale.x(self.session.moment), TICKS_BOTTOM)
        pointed = min(max(self.scale.time(at.x()), 0.0), self.scale.seconds)
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for words, does in self.pins.menu_rows(pointed, self.pin_at(at)):
            menu.addAction(words, does)
        menu.popup(event.globalPos())

    # ---- the mouse -----------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        finding = self.finding_at(event.position())
        if finding is not None and event.button() == Qt.MouseButton.LeftButton:
            self.playback.pause()
            self.session.show_finding(finding)
            return
        pin = self.pin_at(event.position())
        if pin is not None and event.button() == Qt.MouseButton.LeftButton:
            self._held_pin, self._pressed_x = pin, event.position().x()
            return
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        if self._held_pin is not None:
            if self.pins.dragging or abs(at.x() - self._pressed_x) >= DRAG_STARTS:
                self.pins.drag(self._held_pin, self.scale.time(at.x()))
            return
        self.setCursor(self._cursor_at(at))
        super().mouseMoveEvent(event)

    def _cursor_at(self, at: QPointF) -> Qt.CursorShape:
        if self.finding_at(at) is not None:
            return Qt.CursorShape.PointingHandCursor
        return Qt.CursorShape.SplitHCursor if self.pin_at(at) is not None else Qt.CursorShape.ArrowCursor

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A pin that was not dragged is gone to."""
        pin, self._held_pin = self._held_pin, None
        if self.pins.dragging:
            self.pins.drop()
        elif pin is not None:
            self.playback.go_to(pin)
        super().mouseReleaseEvent(event)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            QToolTip.showText(event.globalPos(), self._told_at(QPointF(event.pos())), self)
            return True
        return super().event(event)

    def _told_at(self, at: QPointF) -> str:
        """What is said of the mark or the pin under the pointer."""
        finding, pin = self.finding_at(at), self.pin_at(at)
        if finding is not None:
            return finding.sentence
        return "" if pin is None else f"Pinned at {seconds_text(pin)}: drag it along, or unpin it by a right click"

    # ---- painting ------------------------------------------------------------------------------------------------

    def _seen(self) -> tuple[object, ...]:
        marks = tuple((one.kind, box.x()) for one, box in self.marks)
        return (marks, (self.faint, len(self.findings), self.scale.seconds, self.session.project is None))

    def paint_content(self, painter: QPainter) -> None:
        self._paint_heading(painter)
        if self.session.project is None:
            return
        self._paint_ticks(painter)
        self._paint_pins(painter)
        for finding, box in self.marks:
            ink = self.inks.stale if self.faint else self.inks.mild if finding.kind in MILD else self.inks.grave
            paint_mark(painter, finding.kind, box, ink)
        painter.setPen(QPen(self.inks.line, 1))
        painter.drawLine(QPointF(0, HEIGHT - 0.5), QPointF(self.width(), HEIGHT - 0.5))

    def _paint_heading(self, painter: QPainter) -> None:
        painter.setFont(self.small_font())
        box = QRectF(14, FIGURES_TOP, NAMES_WIDTH - 28, FIGURE)
        put_text(painter, box, "Seconds", self.inks.soft, Qt.AlignmentFlag.AlignRight)
        if self.findings:
            counted = len(self.findings)
            text = "1 finding in this sequence" if counted == 1 else f"{counted} findings in this sequence"
            if self.faint:
                text = "not checked yet"
            box = QRectF(14, MARKS_TOP, NAMES_WIDTH - 28, MARK_SIDE)
            put_text(painter, box, text, self.inks.soft, Qt.AlignmentFlag.AlignRight)

    def _paint_ticks(self, painter: QPainter) -> None:
        scale = self.scale
        painter.setFont(self.small_font())
        painter.setPen(QPen(self.inks.line, 1))
        painter.drawLine(QPointF(scale.x(0), TICKS_BOTTOM), QPointF(scale.x(scale.seconds), TICKS_BOTTOM))
        for tick in ticks(scale):
            x = scale.x(tick.time)
            painter.setPen(QPen(self.inks.text if tick.text else self.inks.line, 1))
            painter.drawLine(QPointF(x, TICKS_BOTTOM - (5 if tick.text else 3)), QPointF(x, TICKS_BOTTOM))
            if tick.text:
                box = QRectF(x - FIGURE_REACH, FIGURES_TOP, 2 * FIGURE_REACH, FIGURE)
                put_text(painter, box, tick.text, self.inks.text, Qt.AlignmentFlag.AlignHCenter)

    def _paint_pins(self, painter: QPainter) -> None:
        """A head on a needle that stands on the ruler's line."""
        painter.setPen(QPen(self.inks.chosen, 1.4))
        for moment in self.pins.moments:
            x = self.scale.x(moment)
            painter.setBrush(self.inks.ground)
            painter.drawLine(QPointF(x, PIN_TOP + 2 * PIN_HEAD), QPointF(x, TICKS_BOTTOM + 2))
            painter.drawEllipse(QPointF(x, PIN_TOP + PIN_HEAD), PIN_HEAD, PIN_HEAD)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def paint_rule(self, painter: QPainter) -> None:
        """The rule hangs from a tag with the moment on it, under which no figure is left half covered."""
        if not self.has_rule:
            return
        painter.setFont(self.small_font())
        x, text, box = self.scale.x(self.session.moment), self._tag_text, self.tag
        for figure in self.hidden_figures:
            painter.fillRect(figure, self.inks.ground)
        painter.setPen(QPen(self.inks.rule, 1.4))
        painter.drawLine(QPointF(x, TAG_HEIGHT), QPointF(x, self.height()))
        tag = QPainterPath()
        tag.addRect(box)
        tag.moveTo(x - 4, TAG_HEIGHT - 4)
        tag.lineTo(x + 4, TAG_HEIGHT - 4)
        tag.lineTo(x, TAG_HEIGHT + 1)
        tag.closeSubpath()
        painter.fillPath(tag, self.inks.rule)
        painter.setPen(self.inks.rule_text)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    @property
    def _tag_text(self) -> str:
        return f"{self.session.moment:.3f} s"

    @property
    def tag(self) -> QRectF:
        """The box of the tag that the rule hangs from."""
        width = QFontMetricsF(self.small_font()).horizontalAdvance(self._tag_text) + 14
        left = self.scale.x(self.session.moment) - width / 2
        return QRectF(min(max(left, NAMES_WIDTH), self.width() - width), 0, width, TAG_HEIGHT - 4)

    @property
    def hidden_figures(self) -> tuple[QRectF, ...]:
        """The boxes of those that the tag would cover in part."""
        metrics, near, scale = QFontMetricsF(self.small_font()), self.tag.adjusted(-4, 0, 4, 4), self.scale
        left, right = near.left() - FIGURE_REACH, near.right() + FIGURE_REACH
        told = ((scale.x(tick.time), tick.text) for tick in ticks(scale) if tick.text)
        halves = ((x, metrics.horizontalAdvance(text) / 2 + 1) for x, text in told if left < x < right)
        boxes = (QRectF(x - half, FIGURES_TOP, 2 * half, FIGURE) for x, half in halves)
        return tuple(box for box in boxes if box.intersects(near))


def apart(places: list[float], least: float, end: float) -> list[float]:
    """Places in order, moved on where they would lie upon each other, and back where they would pass the end."""
    moved: list[float] = []
    for place in places:
        moved.append(max(place, moved[-1] + least) if moved else place)
    limit = end
    for number in range(len(moved) - 1, -1, -1):
        moved[number] = min(moved[number], limit)
        limit = moved[number] - least
    return moved
