"""The row above the time ruler: which sequence, the buttons that play it, and the moment in figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Protocol

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QMenu, QToolButton

from app.sequence.playback import SPEEDS, Playback
from app.session import Session
from app.widgets.button import Button
from app.widgets.glyph_button import GlyphButton
from app.widgets.segments import Segments
from core.motion.schedule import frame_times

HEIGHT = 42
ROOM_FOR_FRAME = 1040
"""Pixels of width from which the frame's number is told as well."""
BUTTONS = (
    ("to-start", "frame-back", "play", "frame-on", "to-end"),
    ("backwards", "loop"),
    ("finding-back", "finding-on"),
)
"""By the ids of their actions, which are the names of their glyphs as well."""
SPEED_WORDS: Mapping[float, str] = {0.1: "a tenth", 0.25: "a quarter", 0.5: "half", 1.0: "true", 2.0: "twice"}


class FindAction(Protocol):
    def __getitem__(self, action_id: str) -> QAction: ...


class Transport(QFrame):
    def __init__(self, session: Session, playback: Playback, actions: FindAction) -> None:
        super().__init__()
        self.setObjectName("head")
        self.setFixedHeight(HEIGHT)
        self._session, self._playback, self._actions = session, playback, actions
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(14, 0, 14, 0)
        self._row.setSpacing(2)
        self._make_chooser()
        self._row.addStretch(1)
        self._make_buttons()
        self._row.addStretch(1)
        self._make_readout()
        playback.changed.connect(self._on_playback_changed)
        session.moment_changed.connect(lambda _moment: self._show_moment())
        for signal in (session.project_changed, session.sequence_changed):
            signal.connect(self._on_project_changed)
        session.shown_changed.connect(self._on_schedule_changed)
        self._on_project_changed()
        self._on_playback_changed()

    # ---- parts ---------------------------------------------------------------------------------------------------

    def _make_chooser(self) -> None:
        self.segments = Segments("Sequence")
        self.segments.chosen.connect(self._session.choose_sequence)
        self._row.addWidget(self.segments)

    def _make_buttons(self) -> None:
        self._play: GlyphButton | None = None
        for number, group in enumerate(BUTTONS):
            if number:
                self._row.addSpacing(14)
            for action_id in group:
                self._row.addWidget(self._button(action_id))
        self._row.addSpacing(10)
        self._speed = Button()
        self._speed.setObjectName("speed")
        self._speed.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._speed.setAccessibleName("Speed")
        self._speed.setMenu(self._speed_menu())
        widest = max(QFontMetrics(self.font()).horizontalAdvance(f"{words} speed") for words in SPEED_WORDS.values())
        self._speed.setMinimumWidth(widest + 30)
        self._row.addWidget(self._speed)

    def _button(self, action_id: str) -> GlyphButton:
        action = self._actions[action_id]
        side = 34 if action_id == "play" else 28
        button = GlyphButton(action_id, side=side, sign=18 if action_id == "play" else 16)
        button.setDefaultAction(action)
        button.setAccessibleName(action.statusTip())
        if action_id == "play":
            self._play = button
        return button

    def _speed_menu(self) -> QMenu:
        menu = QMenu(self)
        for speed in SPEEDS:
            menu.addAction(f"{SPEED_WORDS[speed].capitalize()} speed").triggered.connect(self._at_speed(speed))
        return menu

    def _at_speed(self, speed: float) -> Callable[[], None]:
        return lambda: self._playback.set_speed(speed)

    def _make_readout(self) -> None:
        self._readout = QLabel()
        self._readout.setObjectName("readout")
        self._readout.setAccessibleName("Moment")
        self._frame = QLabel()
        self._frame.setObjectName("soft")
        for label in (self._readout, self._frame):
            label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._frame.setMinimumWidth(QFontMetrics(self.font()).horizontalAdvance("frame 0000 of 0000") + 8)
        self._row.addWidget(self._readout)
        self._row.addSpacing(10)
        self._row.addWidget(self._frame)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where room is short, the frame's number goes first."""
        self._frame.setVisible(self.width() >= ROOM_FOR_FRAME)
        super().resizeEvent(event)

    # ---- what they show ------------------------------------------------------------------------------------------

    @property
    def readout(self) -> str:
        return self._readout.text()

    def _on_project_changed(self) -> None:
        project, current = self._session.project, self._session.sequence
        rows = tuple((one.id, one.name or one.id) for one in project.sequences) if project is not None else ()
        self.segments.show_rows(rows, current.id if current is not None else None)
        self._on_schedule_changed()

    def _on_schedule_changed(self) -> None:
        schedule = self._session.schedule
        takes_time = schedule is not None and schedule.seconds > 0
        self._speed.setEnabled(takes_time)
        why = "(Z slower, X faster)" if takes_time else "– not now: no step takes any time yet"
        self._speed.setToolTip(f"How fast it plays  {why}")
        self._times = frame_times(schedule) if schedule is not None else np.zeros(1)
        self._show_moment()

    def _show_moment(self) -> None:
        schedule = self._session.schedule
        if schedule is None or schedule.seconds <= 0:
            self._readout.clear()
            self._frame.clear()
            return
        moment = self._session.moment
        self._readout.setText(f"{moment:.3f} s  of  {schedule.seconds:.2f} s")
        number = int(np.searchsorted(self._times, moment + 1e-9, side="right"))
        self._frame.setText(f"frame {number} of {len(self._times)}")

    def _on_playback_changed(self) -> None:
        if self._play is not None:
            self._play.set_glyph("pause" if self._playback.playing else "play")
        self._actions["backwards"].setChecked(self._playback.backwards)
        self._actions["loop"].setChecked(self._playback.looping)
        self._speed.setText(f"{SPEED_WORDS[self._playback.speed]} speed")
