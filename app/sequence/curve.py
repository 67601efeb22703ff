"""The curve of what is chosen, on the lanes' own time ruler: its value over time, its limits, and the value now."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.sequence.inks import Inks
from app.sequence.playback import Playback
from app.sequence.series import Series, series_of
from app.sequence.time_scale import NAMES_WIDTH
from app.sequence.track import Track, put_text
from app.session import Session
from core.study import SequenceStudy, Study

HEIGHT = 72
TOP, BOTTOM = 14, 60


class Curve(Track):
    """Stands below the lanes while something with a value over time is chosen."""

    def __init__(self, session: Session, playback: Playback, inks: Inks, parent: QWidget | None = None) -> None:
        super().__init__(session, playback, inks, parent)
        self._series: Series | None = None
        self._key: tuple[object, ...] = ()
        self.setFixedHeight(HEIGHT)
        self.setAccessibleName("Curve of what is chosen")
        self.setStatusTip("The value of what is chosen, over time; drag along it to move through the sequence")
        for signal in (
            session.study_changed, session.sequence_changed, session.selection_changed, session.finding_changed
        ):  # fmt: skip
            signal.connect(self._on_changed)
        self._on_changed()

    @property
    def series(self) -> Series | None:
        return self._series

    def sizeHint(self) -> QSize:
        return QSize(600, HEIGHT)

    def _on_changed(self) -> None:
        session = self.session
        study, sequence = session.study, session.sequence_study
        if session.project is None:
            self._series, self._key = None, ()
        elif study is not None and sequence is not None and session.study_current:
            self._follow(study, sequence)
        self.setVisible(self._series is not None)
        self.renew()

    def _follow(self, study: Study, sequence: SequenceStudy) -> None:
        """A gap takes a frame's time to measure, and several signals tell of one change."""
        key = (id(study), sequence.sequence.id, self.session.selection, self.session.finding)
        if key != self._key:
            self._key = key
            self._series = series_of(study, sequence, self.session.selection, self.session.finding)

    # ---- painting ------------------------------------------------------------------------------------------------

    def paint_content(self, painter: QPainter) -> None:
        painter.setPen(QPen(self.inks.line, 1))
        painter.drawLine(QPointF(0, 0.5), QPointF(self.width(), 0.5))
        series = self._series
        if series is None:
            return
        if not self.session.study_current:
            painter.setOpacity(0.35)
        low, high = series.reach
        self._paint_names(painter, series, low, high)
        self._paint_levels(painter, series, low, high)
        painter.setPen(QPen(self.inks.text, 1.5))
        painter.save()
        painter.setClipRect(QRectF(NAMES_WIDTH, TOP - 2, self.width(), BOTTOM - TOP + 4))
        for run in _unbroken(series):
            points = [
                QPointF(self.scale.x(float(series.times[i])), _y(float(series.values[i]), low, high)) for i in run
            ]
            painter.drawPolyline(QPolygonF(points))
        painter.restore()
        painter.setOpacity(1.0)

    def _paint_names(self, painter: QPainter, series: Series, low: float, high: float) -> None:
        painter.setFont(self.small_font())
        column = QRectF(NAMES_WIDTH - 84, 0, 70, 14)
        for value, y in ((high, TOP), (low, BOTTOM)):
            column.moveTop(y - 7)
            put_text(painter, column, series.written(value), self.inks.soft, Qt.AlignmentFlag.AlignRight)
        put_text(painter, QRectF(14, 6, NAMES_WIDTH - 106, 16), series.title, self.inks.soft)

    def _paint_levels(self, painter: QPainter, series: Series, low: float, high: float) -> None:
        """Limits, and the clearance that is wanted, as dashed lines with their word."""
        levels = [(limit, "limit", self.inks.grave) for limit in series.limits or ()]
        if series.wanted is not None:
            levels.append((series.wanted, "wanted", self.inks.mild))
        for value, word, ink in levels:
            if low - 1e-9 <= value <= high + 1e-9:
                self._paint_level(painter, _y(value, low, high), word, ink)

    def _paint_level(self, painter: QPainter, y: float, word: str, ink: QColor) -> None:
        pen = QPen(ink, 1, Qt.PenStyle.CustomDashLine)
        pen.setDashPattern([5, 4])
        painter.setPen(pen)
        right = self.scale.x(self.scale.seconds)
        painter.drawLine(QPointF(self.scale.x(0), y), QPointF(right, y))
        painter.setFont(self.small_font())
        width = QFontMetricsF(painter.font()).horizontalAdvance(word) + 2
        above = y > TOP + 14
        box = QRectF(right - width, y - 14 if above else y + 1, width, 13)
        painter.fillRect(box.adjusted(-3, 1, 3, 0), self.inks.ground)
        put_text(painter, box, word, ink, Qt.AlignmentFlag.AlignRight)

    def paint_rule(self, painter: QPainter) -> None:
        """With a dot where the rule meets the curve, and the value there in figures."""
        super().paint_rule(painter)
        if self._series is None or not self.session.study_current:
            return
        value = self._series.at(self.session.moment)
        if not np.isnan(value):
            painter.setFont(self.font())
            put_text(painter, QRectF(14, 26, NAMES_WIDTH - 106, 20), self._series.told(value), self.inks.text)
        low, high = self._series.reach
        if low <= value <= high:
            painter.setPen(QPen(self.inks.rule, 1.6))
            painter.setBrush(self.inks.ground)
            painter.drawEllipse(QPointF(self.scale.x(self.session.moment), _y(value, low, high)), 3.5, 3.5)

    def _on_moment_changed(self, moment: float) -> None:
        super()._on_moment_changed(moment)
        self.update(0, 20, NAMES_WIDTH, 30)  # the value in figures


def _y(value: float, low: float, high: float) -> float:
    return BOTTOM - (value - low) / (high - low) * (BOTTOM - TOP)


def _unbroken(series: Series) -> list[list[int]]:
    """The frames that have a value, in runs without gaps."""
    runs: list[list[int]] = []
    for frame in np.flatnonzero(~np.isnan(series.values)).tolist():
        if runs and runs[-1][-1] == frame - 1:
            runs[-1].append(frame)
        else:
            runs.append([frame])
    return runs
