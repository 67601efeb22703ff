"""The whole sequence region: the transport row, the time ruler, and under it the lanes and the ribbons."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from app.painting.theme import Theme
from app.sequence.curve import Curve
from app.sequence.inks import inks_of
from app.sequence.lanes import Lanes
from app.sequence.playback import Playback
from app.sequence.ribbons import Ribbons
from app.sequence.ruler import TimeRuler
from app.sequence.transport import FindAction, Transport
from app.session import Session

FEW_RIBBONS = 100


class SequencePanel(QWidget):
    def __init__(self, session: Session, playback: Playback, actions: FindAction, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("panel")
        inks = inks_of(theme)
        self.transport = Transport(session, playback, actions)
        self.ruler = TimeRuler(session, playback, inks)
        self.ruler.setAccessibleName("Time ruler")
        self.ruler.setStatusTip("Drag along the ruler to move through the sequence; press a mark to see its finding")
        self.lanes = Lanes(session, playback, inks)
        self.lanes.setStatusTip(
            "Drag a bar's right end for how long the step takes, the bar itself for its delay; with Alt, off the grid"
        )
        self.ribbons = Ribbons(session, playback, inks)
        self.ribbons.setStatusTip("Press a pair's name to go to its worst moment")
        self.curve = Curve(session, playback, inks)
        self._scroll = self._scrolled(self.lanes, self.ribbons)

        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.transport)
        column.addWidget(self.ruler)
        column.addWidget(self._scroll, 1)
        column.addWidget(self.curve)
        for signal in (session.project_changed, session.study_changed, session.sequence_changed):
            signal.connect(self.ruler.renew)

    def set_theme(self, theme: Theme) -> None:
        inks = inks_of(theme)
        for track in (self.ruler, self.lanes, self.ribbons, self.curve):
            track.set_inks(inks)

    @property
    def wanted_height(self) -> int:
        """Room for every lane, and for the worst few pairs."""
        heads = self.transport.height() + self.ruler.sizeHint().height()
        return heads + self.lanes.sizeHint().height() + FEW_RIBBONS

    def _scrolled(self, *tracks: QWidget) -> QScrollArea:
        page = QWidget()
        page.setObjectName("page")
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for track in tracks:
            column.addWidget(track)
        column.setStretch(len(tracks) - 1, 1)  # the rule goes down to the window's edge
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setWidget(page)
        page.installEventFilter(self)
        return area

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The ruler ends where the lanes end, whether or not there is a scroll bar beside them."""
        if event.type() == QEvent.Type.Resize and isinstance(event, QResizeEvent):
            for track in (self.ruler, self.curve):
                track.set_right_margin(self.width() - event.size().width())
        return super().eventFilter(watched, event)
