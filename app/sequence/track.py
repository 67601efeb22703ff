"""What the ruler, the lanes and the ribbons share: one time scale, and the rule at the moment through them all."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.sequence.inks import Inks
from app.sequence.playback import Playback
from app.sequence.time_scale import NAMES_WIDTH, TimeScale, over
from app.session import Session

RULE_REACH = 44
"""Pixels to either side of the rule that its tag may cover, and that are painted again when it moves."""


class Track(QWidget):
    """A strip of the sequence region, as wide as its neighbours; pressing it anywhere brings the rule there."""

    def __init__(self, session: Session, playback: Playback, inks: Inks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session, self.playback, self.inks = session, playback, inks
        self._rule_x = 0.0
        self._right_margin = 0
        self._scrubbing = False
        self.setMouseTracking(True)
        session.moment_changed.connect(self._on_moment_changed)

    def set_inks(self, inks: Inks) -> None:
        self.inks = inks
        self.update()

    @property
    def scale(self) -> TimeScale:
        schedule = self.session.schedule
        return over(self.width() - self._right_margin, schedule.seconds if schedule is not None else 0.0)

    def keep_height(self) -> None:
        """As high as its rows need, no more and no less."""
        wanted = self.sizeHint().height()
        if self.minimumHeight() != wanted:
            self.setFixedHeight(wanted)

    def set_right_margin(self, pixels: int) -> None:
        """Room kept free at the right, so that strips beside and without a scroll bar agree."""
        if pixels != self._right_margin:
            self._right_margin = pixels
            self.update()

    # ---- the rule ------------------------------------------------------------------------------------------------

    def _on_moment_changed(self, moment: float) -> None:
        x = self.scale.x(moment)
        for at in {math.floor(self._rule_x), math.floor(x)}:
            self.update(QRect(at - RULE_REACH, 0, 2 * RULE_REACH, self.height()))
        self._rule_x = x

    def paint_rule(self, painter: QPainter) -> None:
        if self.session.project is None:
            return
        x = self.scale.x(self.session.moment)
        painter.setPen(QPen(self.inks.rule, 1.4))
        painter.drawLine(QPointF(x, 0), QPointF(x, self.height()))

    def scrub_to(self, x: float) -> None:
        self.playback.go_to(self.scale.time(x))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and event.position().x() >= NAMES_WIDTH:
            self._scrubbing = True
            self.scrub_to(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._scrubbing:
            self.scrub_to(event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._scrubbing = False

    # ---- painting ------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(event.rect(), self.inks.ground)
        self.paint_content(painter, QRectF(event.rect()))
        self.paint_rule(painter)

    def paint_content(self, painter: QPainter, dirty: QRectF) -> None:
        raise NotImplementedError

    def small_font(self) -> QFont:
        font = QFont(self.font())
        font.setPointSizeF(self.font().pointSizeF() * 0.88)
        return font


def put_text(
    painter: QPainter, box: QRectF, text: str, ink: QColor, align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft
) -> None:
    """One line of text in a box, shortened with dots where it does not fit."""
    metrics = QFontMetricsF(painter.font())
    painter.setPen(ink)
    shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, box.width())
    painter.drawText(box, align | Qt.AlignmentFlag.AlignVCenter, shown)


def with_alpha(ink: QColor, alpha: float) -> QColor:
    thinner = QColor(ink)
    thinner.setAlphaF(alpha)
    return thinner
