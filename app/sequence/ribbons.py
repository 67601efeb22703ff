"""One ribbon a pair that ever comes near: clear, nearer than wanted, touching, over time, worst first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QFontMetrics, QHelpEvent, QMouseEvent, QPainter, QPen, QPixmap
from PySide6.QtWidgets import QToolTip, QWidget

from app.sequence.inks import Inks
from app.sequence.playback import Playback
from app.sequence.ribbon_spans import Ribbon, Span, State, ribbons
from app.sequence.time_scale import MARGIN, NAMES_WIDTH
from app.sequence.track import Track, put_text
from app.session import Session
from core.findings.finding import Finding, Kind
from core.study import SequenceStudy, Study

ROW = 22
HEADING = 25
LEAST_WIDTH = 3.0
"""Pixels that a span takes at the least, so that a contact of a moment can be seen."""


class Ribbons(Track):
    pair_pressed = Signal(object)
    """The ids of the pair whose name is pressed."""

    def __init__(self, session: Session, playback: Playback, inks: Inks, parent: QWidget | None = None) -> None:
        super().__init__(session, playback, inks, parent)
        self._ribbons: tuple[Ribbon, ...] = ()
        self._shown: tuple[Study | None, SequenceStudy | None] = (None, None)
        self._others: set[int] = set()
        """Rows that say something else than was painted."""
        self.setAccessibleName("Pairs that come near")
        session.study_changed.connect(self._on_new_study)
        session.follow(self, self._on_study_changed)
        session.sequence_changed.connect(self._on_study_changed)

    @property
    def ribbons(self) -> tuple[Ribbon, ...]:
        return self._ribbons

    def _on_new_study(self) -> None:
        """The verdict waits for nothing, while the hand moves on and the window finds no time for all else."""
        if self.session.study is not self._shown[0]:
            self._on_study_changed()

    def _on_study_changed(self) -> None:
        """Of an earlier state where that is all there is; it is shown as such."""
        whole, study = self.session.study, self.session.sequence_study
        if whole is not self._shown[0] or study is not self._shown[1]:
            self._shown = (whole, study)
            self._tell(() if whole is None or study is None else ribbons(whole.project, study))
        self.look_again()

    def _tell(self, now: tuple[Ribbon, ...]) -> None:
        """Where there are as many as before, only the rows are painted again that say something else."""
        before, self._ribbons = self._ribbons, now
        if len(before) != len(now):
            self.setMinimumHeight(self.sizeHint().height())
            self.renew()
            return
        for row, (one, other) in enumerate(zip(before, now, strict=True)):
            if one != other:
                self._others.add(row)
                self.update(self._row(row))

    def _seen(self) -> tuple[object, ...]:
        """Without the study: what it says of each pair is compared by row."""
        session = self.session
        found, now = session.sequence_study, session.schedule
        foreseen = found.schedule if self.stale and found is not None and found.schedule != now else None
        return (self.stale, self.faint, session.drafting, bool(session.senseless), session.failure, foreseen, now)

    def sizeHint(self) -> QSize:
        return QSize(600, HEADING + max(1, len(self._ribbons)) * ROW + 8)

    def place_of(self, parts: tuple[str, ...]) -> QRect | None:
        """Where the ribbon of a pair is; None where it has none."""
        for row, ribbon in enumerate(self._ribbons):
            if ribbon.parts == parts:
                return self._row(row)
        return None

    def _row(self, row: int) -> QRect:
        return QRect(0, HEADING + row * ROW, self.width(), ROW)

    # ---- the mouse -----------------------------------------------------------------------------------------------

    def _ribbon_at(self, y: float) -> Ribbon | None:
        row = int((y - HEADING) // ROW)
        return self._ribbons[row] if y >= HEADING and row < len(self._ribbons) else None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A name goes to the pair's worst moment; elsewhere the rule comes to the hand."""
        ribbon = self._ribbon_at(event.position().y())
        if ribbon is not None and event.position().x() < NAMES_WIDTH and event.button() == Qt.MouseButton.LeftButton:
            self.playback.go_to(ribbon.time)
            finding = self._finding_of(ribbon)
            if finding is not None:
                self.session.show_finding(finding)
            self.pair_pressed.emit(ribbon.parts)
            return
        super().mousePressEvent(event)

    def _finding_of(self, ribbon: Ribbon) -> Finding | None:
        study = self.session.sequence_study
        if study is None or not self.session.study_current:
            return None
        alike = (one for one in study.findings if one.kind in (Kind.CLASH, Kind.TIGHT) and one.bodies == ribbon.parts)
        return next(alike, None)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            ribbon = self._ribbon_at(event.pos().y())
            QToolTip.showText(event.globalPos(), told(ribbon) if ribbon is not None else "", self)
            return True
        return super().event(event)

    # ---- painting ------------------------------------------------------------------------------------------------

    def paint_content(self, painter: QPainter) -> None:
        self._others.clear()
        if self.session.project is None:
            return
        self._paint_heading(painter)
        for row, ribbon in enumerate(self._ribbons):
            self._paint_ribbon(painter, ribbon, HEADING + row * ROW)

    def _kept_content(self) -> QPixmap:
        content = super()._kept_content()
        if self._others:
            with self._on(content) as painter:
                for row in self._others:
                    painter.fillRect(self._row(row), self.inks.ground)
                    self._paint_ribbon(painter, self._ribbons[row], HEADING + row * ROW)
            self._others.clear()
        return content

    def _paint_heading(self, painter: QPainter) -> None:
        painter.setFont(self.small_font())
        box = QRectF(14, 4, NAMES_WIDTH - 28, HEADING - 4)
        put_text(painter, box, "Pairs that come near", self.inks.soft, Qt.AlignmentFlag.AlignRight)
        left = NAMES_WIDTH + MARGIN
        if self.stale and self.session.drafting and self._ribbons and not self.session.senseless:
            words = "Following the hand; what was clear is dotted until it is checked."
            put_text(painter, QRectF(left, 4, self.width() - left, HEADING - 4), words, self.inks.text)
            return
        if self.stale:
            words = "Not checked." if self.session.failure or self.session.senseless else "Checking…"
            if self._ribbons:
                words = f"{words} Shown is what was found before."
            put_text(painter, QRectF(left, 4, self.width() - left, HEADING - 4), words, self.inks.text)
            return
        if not self._ribbons:
            box = QRectF(left, 4, self.width() - left, HEADING - 4)
            put_text(painter, box, "No checked pair comes near.", self.inks.soft)
            return
        for state, text in ((State.CLEAR, "clear"), (State.TIGHT, "nearer than wanted"), (State.TOUCHING, "touching")):
            self._paint_span(painter, QRectF(left, 8, 26, 14), state)
            box = QRectF(left + 33, 4, 130, HEADING - 4)
            put_text(painter, box, text, self.inks.soft)
            left += 33 + painter.fontMetrics().horizontalAdvance(text) + 22

    def _paint_ribbon(self, painter: QPainter, ribbon: Ribbon, top: float) -> None:
        painter.setFont(self.small_font())
        figure = ribbon.amount_words
        width = painter.fontMetrics().horizontalAdvance(figure) + 2
        grave = ribbon.worst == State.TOUCHING
        ink = self.inks.grave if grave else self.inks.mild if ribbon.worst == State.TIGHT else self.inks.soft
        ink = self.inks.stale if self.faint else ink
        right = NAMES_WIDTH - 14
        put_text(painter, QRectF(right - width, top, width, ROW), figure, ink, Qt.AlignmentFlag.AlignRight)
        room = right - width - 24
        title = both_shortened(ribbon.names, room, painter.fontMetrics())
        put_text(painter, QRectF(14, top, room, ROW), title, self.inks.soft if self.faint else self.inks.text)
        spans = sorted(ribbon.spans, key=lambda one: one.state)
        for span, box in zip(spans, self._span_boxes(spans, top), strict=True):
            self._paint_span(painter, box, span.state)
        if ribbon.worst != State.TOUCHING:
            (x,) = self.x_of([ribbon.time])
            self._paint_nearest(painter, QPointF(x, top + ROW / 2), ink)

    def _paint_nearest(self, painter: QPainter, at: QPointF, ink: QColor) -> None:
        """Two edges about the moment at which the pair comes nearest."""
        painter.setPen(QPen(ink, 1.2))
        for side in (-2.5, 2.5):
            painter.drawLine(at + QPointF(side, -4), at + QPointF(side, 4))

    def _span_boxes(self, spans: Sequence[Span], top: float) -> Iterator[QRectF]:
        ends = self.x_of([moment for span in spans for moment in (span.begin, span.end)])
        for span, left, right in zip(spans, ends[::2], ends[1::2], strict=True):
            wide = right - left if span.state == State.CLEAR else max(right - left, LEAST_WIDTH)
            yield QRectF((left + right - wide) / 2, top + 5, wide, ROW - 10)

    def _paint_span(self, painter: QPainter, box: QRectF, state: State) -> None:
        """A thin line, a low dotted band, a high hatched one: told apart without their colours.

        What is stale has one ink, and a line of dots where it was clear; what follows the hand only has the dots.
        """
        if state == State.CLEAR:
            painter.setPen(QPen(self.inks.stale, 1, Qt.PenStyle.DotLine) if self.stale else QPen(self.inks.bar_edge, 1))
            painter.drawLine(QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y()))
            return
        tight = state == State.TIGHT
        ink = self.inks.stale if self.faint else self.inks.mild if tight else self.inks.grave
        box = box.adjusted(0, 3.5, 0, -3.5) if tight else box
        ground = self.inks.mild_ground if tight else self.inks.grave_ground
        painter.fillRect(box, self.inks.ground if self.faint else ground)
        painter.setPen(QPen(ink, 1.2))
        painter.setBrush(QBrush(ink, Qt.BrushStyle.Dense6Pattern if tight else Qt.BrushStyle.BDiagPattern))
        painter.drawRect(box)
        painter.setBrush(Qt.BrushStyle.NoBrush)


def both_shortened(names: tuple[str, str], room: float, metrics: QFontMetrics) -> str:
    """Both names, the longer one shortened first, so that a pair can be told from another that begins alike."""
    first, second = (metrics.horizontalAdvance(name) for name in names)
    left = room - metrics.horizontalAdvance(" – ")
    share = max(left / 2, left - min(first, second))
    return " – ".join(metrics.elidedText(name, Qt.TextElideMode.ElideRight, int(share)) for name in names)


def told(ribbon: Ribbon) -> str:
    """A ribbon in words."""
    proved = "proved between the frames" if ribbon.proved else "at the frames only"
    if ribbon.worst == State.TOUCHING:
        return f"{ribbon.title}: overlap, {ribbon.amount_words} deep at {ribbon.time:.2f} s"
    least = f"{ribbon.title}: {ribbon.amount_words} apart at the nearest, at {ribbon.time:.2f} s, {proved}"
    return f"{least}; {ribbon.wanted} is wanted" if ribbon.worst == State.TIGHT else least
