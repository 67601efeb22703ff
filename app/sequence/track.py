"""What the ruler, the lanes and the ribbons share: one time scale, and the rule at the moment through them all."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QWidget

from app.sequence.foreseen import foreseen
from app.sequence.inks import Inks
from app.sequence.playback import Playback
from app.sequence.time_scale import NAMES_WIDTH, TimeScale, over
from app.session import Session
from app.widgets.sizes import small

RULE_REACH = 76
"""Pixels to either side of the rule that its tag may cover, with the figures under it, and that are painted again when
it moves."""


class Track(QWidget):
    """A strip of the sequence region, as wide as its neighbours; pressing it anywhere brings the rule there."""

    def __init__(self, session: Session, playback: Playback, inks: Inks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session, self.playback, self.inks = session, playback, inks
        self._rule_x = 0.0
        self._right_margin = 0
        self._scrubbing = False
        self._held_seconds: float | None = None
        self._content: QPixmap | None = None
        self._painted: tuple[object, ...] = ()
        self._painted_stale = True
        self._content_key: tuple[QSize, float] = (QSize(), 1.0)
        self.setMouseTracking(True)
        session.moment_changed.connect(self._on_moment_changed)
        for signal in (session.shown_changed, session.study_changed):
            signal.connect(self._paint_past_as_past)

    def set_inks(self, inks: Inks) -> None:
        self.inks = inks
        self.renew()

    def look_again(self) -> None:
        """Paint again where what stands under the rule is another than was painted last."""
        seen = self._seen()
        if len(seen) != len(self._painted) or not all(map(_alike, seen, self._painted)):
            self.renew()

    def _seen(self) -> tuple[object, ...]:
        """What the content depends on that changes while something is dragged; compared by identity where it is not
        made of numbers and words."""
        session = self.session
        words = (session.drafting, bool(session.senseless), session.failure)
        return (self.stale, self.faint, *words, session.study, session.schedule)

    @property
    def painted_as_checked(self) -> bool:
        """Whether what is put on the screen until it is painted again was painted as checked."""
        return self._content is not None and not self._painted_stale

    def _paint_past_as_past(self) -> None:
        """At once, whenever what is painted looks checked and no longer is; all else may wait for its turn."""
        if self.stale and self.painted_as_checked:
            self.look_again()

    def renew(self) -> None:
        """Paint again; what stands under the rule has changed."""
        self._content = None
        self.update()

    @property
    def scale(self) -> TimeScale:
        schedule = self.session.schedule
        seconds = schedule.seconds if schedule is not None else 0.0
        return over(self.width() - self._right_margin, seconds if self._held_seconds is None else self._held_seconds)

    # ---- what is not checked yet ---------------------------------------------------------------------------------

    def hold(self, seconds: float | None) -> None:
        """Show so many seconds while a step is dragged, so that its bar stays under the hand; None lets go."""
        if seconds != self._held_seconds:
            self._held_seconds = seconds
            self.renew()

    @property
    def stale(self) -> bool:
        """Whether what was found is of another state than what is shown, or the hand changes that as we look; it may be
        shown as such, never as clear."""
        return self.session.moving or not self.session.study_current

    @property
    def faint(self) -> bool:
        """Whether what was found wrong is shown as past; not while it is of where the hand was a moment ago."""
        return not self.session.study_current and not self.session.following

    def x_of(self, times: Sequence[float]) -> list[float]:
        """Where moments of the study lie; while it is stale, where they are to be looked for."""
        found, now, scale = self.session.sequence_study, self.session.schedule, self.scale
        if self.stale and found is not None and now is not None and found.schedule != now:
            times = foreseen(np.asarray(times, dtype=np.float64), found.schedule, now).tolist()
        return [scale.x(time) for time in times]

    def keep_height(self) -> None:
        """As high as its rows need, no more and no less."""
        wanted = self.sizeHint().height()
        if self.minimumHeight() != wanted:
            self.setFixedHeight(wanted)

    def set_right_margin(self, pixels: int) -> None:
        """Room kept free at the right, so that strips beside and without a scroll bar agree."""
        if pixels != self._right_margin:
            self._right_margin = pixels
            self.renew()

    # ---- the rule ------------------------------------------------------------------------------------------------

    def _on_moment_changed(self, moment: float) -> None:
        x = self.scale.x(moment)
        for at in {math.floor(self._rule_x), math.floor(x)}:
            self.update(QRect(at - RULE_REACH, 0, 2 * RULE_REACH, self.height()))
        self._rule_x = x

    @property
    def has_rule(self) -> bool:
        """Whether there is any time to move a rule through."""
        return self.session.project is not None and self.scale.seconds > 0.0

    def paint_rule(self, painter: QPainter) -> None:
        if not self.has_rule:
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
        if self.session.project is not None:
            self._rule_x = self.scale.x(self.session.moment)  # an edit moves the rule too, by another scale
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._kept_content())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.paint_rule(painter)

    def _kept_content(self) -> QPixmap:
        """What stays while only the rule moves."""
        ratio = self.devicePixelRatioF()
        if self._content is None or self._content_key != (self.size(), ratio):
            self._content = QPixmap(self.size() * ratio)
            self._content.setDevicePixelRatio(ratio)
            self._content.fill(self.inks.ground)
            self._content_key = (self.size(), ratio)
            self._painted, self._painted_stale = self._seen(), self.stale
            with self._on(self._content) as painter:
                self.paint_content(painter)
        return self._content

    def _on(self, content: QPixmap) -> QPainter:
        """A painter on the content, to be entered."""
        painter = QPainter(content)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font())
        return painter

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.FontChange:
            self.renew()
        super().changeEvent(event)

    def paint_content(self, painter: QPainter) -> None:
        """Everything but the rule."""
        raise NotImplementedError

    def small_font(self) -> QFont:
        return small(self.font())


def _alike(one: object, other: object) -> bool:
    """A study is compared by which it is: going through its numbers would take longer than painting."""
    return one is other or (type(one) is tuple and one == other)


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
