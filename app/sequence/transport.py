"""The row above the time ruler: which sequence, the buttons that play it, and the moment in figures."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Protocol

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QMenu, QToolButton

from app.sequence.naming import NameLine
from app.sequence.playback import SPEEDS, Playback
from app.sequence.sequence_commands import SequenceCommands
from app.session import Session
from app.widgets.button import Button
from app.widgets.glyph_button import GlyphButton
from app.widgets.segments import Segments
from core.document.names import name_of
from core.motion.schedule import frame_times
from core.units import format_number
from core.units.times import model_seconds, prototype_seconds

HEIGHT = 42
APART = 24
"""Pixels between the parts of the row at the least, before the frame's number is told as well."""
BUTTONS = (
    ("to-start", "frame-back", "play", "frame-on", "to-end"),
    ("backwards", "loop"),
    ("finding-back", "finding-on"),
)
"""By the ids of their actions, which are the names of their glyphs as well."""
SPEED_WORDS: Mapping[float, str] = {
    0.05: "a twentieth", 0.1: "a tenth", 0.25: "a quarter", 0.5: "half", 1.0: "true", 2.0: "twice",
}  # fmt: skip
SEQUENCE_ACTIONS = (
    "sequence-new", "sequence-copy", "sequence-back", "sequence-rename", "sequence-sooner", "sequence-later",
    "sequence-remove",
)  # fmt: skip
PROTOTYPE = "prototype time"


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
        self.commands = SequenceCommands(self._session, self.ask_for_name)
        self.name_line = NameLine(self, "Name of the sequence")
        self.more = Button(
            "⋯", "Make, double, name, order or remove sequences, or one that runs backwards", look="quiet"
        )
        self.more.setAccessibleName("Change the sequences")
        self.more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(self.more)
        for action_id in SEQUENCE_ACTIONS:
            menu.addAction(self._actions[action_id])
        self.more.setMenu(menu)
        self._row.addWidget(self.more)

    def ask_for_name(self) -> None:
        """The name of the sequence that is looked at, typed over the chooser."""
        if self.commands.shown is not None:
            name = name_of(self.commands.shown[1])
            place = self.segments.geometry().adjusted(0, 2, 0, -2)
            self.name_line.ask(name, place, self.commands.rename, self.more.setFocus)

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
        every = (PROTOTYPE, *(f"{words} speed" for words in SPEED_WORDS.values()))
        self._speed.setMinimumWidth(max(QFontMetrics(self.font()).horizontalAdvance(words) for words in every) + 30)
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
        menu.aboutToShow.connect(lambda: self._fill_speeds(menu))
        return menu

    def _fill_speeds(self, menu: QMenu) -> None:
        """Each speed with what a second of it shows; the prototype's hangs on the scale."""
        menu.clear()
        for speed in SPEEDS:
            words = f"{SPEED_WORDS[speed].capitalize()} speed\t{second_words(speed)}"
            menu.addAction(words).triggered.connect(partial(self._playback.set_speed, speed))
        menu.addSeparator()
        project = self._session.shown
        rate = model_seconds(1.0, project.aircraft.scale) if project is not None else 1.0
        at_prototype = menu.addAction(f"{PROTOTYPE.capitalize()}\t{second_words(rate)}")
        at_prototype.triggered.connect(lambda: self._playback.set_as_prototype(True))

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
        self._share_room()
        super().resizeEvent(event)

    def _share_room(self) -> None:
        """Where room is short, the frame's number goes first."""
        without = self._row.sizeHint().width()
        if not self._frame.isHidden():
            without -= self._frame.sizeHint().width()
        wanted = without + max(self._frame.sizeHint().width(), self._frame.minimumWidth()) + 2 * APART
        self._frame.setVisible(self.width() >= wanted)

    # ---- what they show ------------------------------------------------------------------------------------------

    @property
    def readout(self) -> str:
        return self._readout.text()

    def _on_project_changed(self) -> None:
        project, current = self._session.project, self._session.sequence
        rows = tuple((one.id, name_of(one)) for one in project.sequences) if project is not None else ()
        self.segments.show_rows(rows, current.id if current is not None else None)
        self._share_room()
        self._on_schedule_changed()

    def _on_schedule_changed(self) -> None:
        schedule = self._session.schedule
        takes_time = schedule is not None and schedule.seconds > 0
        self._speed.setEnabled(takes_time)
        self._tell_speed()
        self._times = frame_times(schedule) if schedule is not None else np.zeros(1)
        self._show_moment()

    def _show_moment(self) -> None:
        schedule = self._session.schedule
        if schedule is None or schedule.seconds <= 0:
            self._readout.clear()
            self._frame.clear()
            return
        if self._playback.as_prototype and self._session.shown is not None:
            self._show_prototype(schedule.seconds, self._session.shown.aircraft.scale)
            return
        self._readout.setToolTip("Seconds of the model")
        moment = self._session.moment
        self._readout.setText(f"{moment:.3f} s  of  {schedule.seconds:.2f} s")
        number = int(np.searchsorted(self._times, moment + 1e-9, side="right"))
        self._frame.setText(f"frame {number} of {len(self._times)}")

    def _on_playback_changed(self) -> None:
        if self._play is not None:
            self._play.set_glyph("pause" if self._playback.playing else "play")
        self._actions["backwards"].setChecked(self._playback.backwards)
        self._actions["loop"].setChecked(self._playback.looping)
        self._actions["prototype-time"].setChecked(self._playback.as_prototype)
        self._tell_speed()
        self._show_moment()

    def _show_prototype(self, seconds: float, scale: float) -> None:
        """Where the prototype would be in its own time; the ruler stays in the model's."""
        moment = self._session.moment
        self._readout.setText(f"{moment:.3f} s  of  {seconds:.2f} s")
        now, end = (prototype_seconds(one, scale) for one in (moment, seconds))
        self._frame.setText(f"prototype {now:.1f} of {end:.1f} s")
        self._readout.setToolTip("Seconds of the model; beside them the prototype's, by the square root of the scale")

    def _tell_speed(self) -> None:
        """The speed's name, and beside it what a second of the clock shows."""
        playback, schedule, project = self._playback, self._session.schedule, self._session.shown
        as_prototype = playback.as_prototype and project is not None
        self._speed.setText(PROTOTYPE if as_prototype else f"{SPEED_WORDS[playback.speed]} speed")
        if schedule is None or schedule.seconds <= 0 or project is None:
            self._speed.setToolTip("How fast it plays  – not now: no step takes any time yet")
            return
        tip = f"How fast it plays: {second_words(playback.speed)}"
        if as_prototype:
            took = prototype_seconds(schedule.seconds, project.aircraft.scale)
            tip += (
                f",\nso that {format_number(schedule.seconds)} s of the model take {format_number(took, decimals=1)} s "
                f"as on the prototype:\nat 1 : {project.aircraft.scale:g}, times go by the square root of the scale"
            )
        self._speed.setToolTip(f"{tip}  (Z slower, X faster)")


def second_words(speed: float) -> str:
    """What a second of the clock shows."""
    return f"1 s shows {format_number(speed, decimals=3)} s of the model"
