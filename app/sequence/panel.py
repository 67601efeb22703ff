"""The whole sequence region: the transport row, the time ruler, and under it the lanes and the ribbons."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QSplitter, QVBoxLayout, QWidget

from app.painting.theme import Theme
from app.sequence.curves import Curves
from app.sequence.inks import inks_of
from app.sequence.lanes import Lanes
from app.sequence.pins import Pins
from app.sequence.playback import Playback
from app.sequence.ribbons import Ribbons
from app.sequence.ruler import TimeRuler
from app.sequence.step_menu import StepMenu
from app.sequence.time_scale import NAMES_WIDTH
from app.sequence.transport import FindAction, Transport
from app.session import Session
from app.widgets.scrolled import scrolled

FEW_RIBBONS = 100


class SequencePanel(QWidget):
    def __init__(self, session: Session, playback: Playback, actions: FindAction, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("panel")
        self._session = session
        inks = inks_of(theme)
        self.transport = Transport(session, playback, actions)
        self.pins = Pins(session, self)
        self.ruler = TimeRuler(session, playback, inks, self.pins)
        self.ruler.setAccessibleName("Time ruler")
        self.ruler.setStatusTip("Drag along the ruler to move through the sequence; press a mark to see its finding")
        self.lanes = Lanes(session, playback, inks)
        self.lanes.setStatusTip(
            "Drag a bar or its ends; from a corner's square onto a step that is to wait; the empty row makes a step"
        )
        self.ribbons = Ribbons(session, playback, inks)
        self.ribbons.setStatusTip("Press a pair's name to go to its worst moment")
        self.curves = Curves(session, playback, inks)
        self._scroll = self._scrolled(self.lanes, self.ribbons)

        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.transport)
        column.addWidget(self.ruler)
        self._split = QSplitter(Qt.Orientation.Vertical)
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(self._scroll)
        self._split.addWidget(self.curves)
        self._split.setStretchFactor(0, 1)
        column.addWidget(self._split, 1)
        self.ribbons.pair_pressed.connect(self.curves.follow_pair)
        for track in (self.ruler, self.ribbons, self.curves):
            self.lanes.held.connect(track.hold)
        self.step_menu = StepMenu(session, self.lanes.commands, actions, self.lanes)
        self.lanes.menu_wanted.connect(self.step_menu.offer)
        session.finding_changed.connect(self._show_ribbon)
        session.sequence_changed.connect(session.follow(self.ruler, self.ruler.look_again))

    def set_theme(self, theme: Theme) -> None:
        inks = inks_of(theme)
        for track in (self.ruler, self.lanes, self.ribbons, self.curves):
            track.set_inks(inks)

    @property
    def wanted_height(self) -> int:
        """Room for every lane, and for the worst few pairs."""
        heads = self.transport.height() + self.ruler.sizeHint().height()
        return heads + self.lanes.sizeHint().height() + FEW_RIBBONS

    def offer_curves(self) -> None:
        """A menu of everything that can be drawn as a curve."""
        self.curves.which_menu().popup(self.ruler.mapToGlobal(QPoint(NAMES_WIDTH, 0)))

    def _show_ribbon(self) -> None:
        """The ribbon of the pair that a finding is about comes into sight, above the curve that opens with it."""
        finding = self._session.finding
        place = self.ribbons.place_of(finding.bodies) if finding is not None else None
        if place is not None:
            top = self.ribbons.mapTo(self._page, QPoint(0, place.top())).y()
            QTimer.singleShot(
                0, self, lambda: self._scroll.ensureVisible(0, top + place.height() // 2, 0, place.height())
            )

    def _scrolled(self, *tracks: QWidget) -> QScrollArea:
        page = self._page = QWidget()
        page.setObjectName("page")
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for track in tracks:
            column.addWidget(track)
        column.setStretch(len(tracks) - 1, 1)  # the rule goes down to the window's edge
        area = scrolled(page)
        page.installEventFilter(self)
        return area

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The ruler ends where the lanes end, whether or not there is a scroll bar beside them."""
        if event.type() == QEvent.Type.Resize and isinstance(event, QResizeEvent):
            for track in (self.ruler, self.curves):
                track.set_right_margin(self.width() - event.size().width())
        return super().eventFilter(watched, event)
