"""What moves the chosen thing, through what, and how well; of what is loose, how it could move, as a film."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from html import escape

import numpy as np
from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.aside import Newest
from app.panels import chain_words
from app.session import Session
from app.widgets.button import Button
from core.findings.moves import friction_sentence
from core.findings.sentences import Names
from core.geometry.planar import Floats
from core.motion.chains import chains_of
from core.motion.looseness import looseness_of, swing
from core.motion.motion import Motion
from core.motion.transmission import Transmission, transmissions_of
from core.motion.trouble import Loose

SETTLE_MS = 150
"""After the moment was moved: a film is made anew when it rests."""
POSES = 14
"""Of a film, on either side."""
AMOUNT = 0.35
"""Of the mechanism's size: how far a film goes."""


@dataclass(frozen=True, slots=True)
class _Known:
    """Of one motion, found out when something is chosen that it tells of: with 40 bodies that takes a tenth of a second
    or more, and the window does not wait for it."""

    motion: Motion
    chains: chain_words.Chains
    transmissions: tuple[Transmission, ...]


class MovedBy(QWidget):
    film_wanted = Signal(object)
    """(N, B, 3) poses that a loose set passes through, to be shown as a ghost, or None for no more."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._known: _Known | None = None
        self._newest = Newest(self)
        self._newest.done.connect(self._on_known)
        self._mode = 0
        self._shown: tuple[str, int, float] | None = None
        self._heading = _label("heading")
        self._chain, self._push_heading, self._push, self._joints = _label(), _label("heading"), _label(), _label()
        self._push_heading.setText("Transmission")
        self._chain.setAccessibleName("What moves it")
        self._push.setAccessibleName("How well it is pushed")
        self.show_button = Button("Show how it can move", look="segment", checkable=True)
        self.other_button = Button("Another way", look="segment", checkable=False)
        self.show_button.setStatusTip("Swings a ghost of what is loose along what nothing holds")
        self.other_button.setStatusTip("What is loose can move in more ways than one: shows the next")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(7)
        for part in (self._heading, self._chain, self._push_heading, self._push, self._joints):
            column.addWidget(part)
        for button in (self.show_button, self.other_button):
            column.addWidget(button, alignment=Qt.AlignmentFlag.AlignLeft)
        for text in (self._chain, self._push):
            text.linkActivated.connect(self._follow)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(SETTLE_MS)
        self._timer.timeout.connect(self._show_film)
        self.show_button.toggled.connect(lambda _on: self._show_film())
        self.other_button.clicked.connect(self._next_mode)
        session.finding_changed.connect(self.refresh)
        self.hide()

    def changeEvent(self, event: QEvent) -> None:
        """A link keeps the ink it was read with: in another look it is read again."""
        if event.type() == QEvent.Type.PaletteChange:
            for label in (self._chain, self._push):
                text = label.text()
                label.clear()
                label.setText(text)
        super().changeEvent(event)

    @property
    def text(self) -> str:
        """All that is said, as rich text."""
        return "\n".join(one.text() for one in (self._chain, self._push, self._joints) if not one.isHidden())

    @property
    def working(self) -> bool:
        """Whether it is still being found out what there is to say."""
        return self._newest.working

    def refresh(self) -> None:
        """What is said of the session's chosen thing at its moment; nothing while there is no current check, or it has
        not been looked through yet."""
        thing, known, project = self._session.selection, self._know(), self._session.project
        if known is None or project is None:
            self._end_film()
            self.hide()
            return
        names, moment = Names(project), self._session.moment
        said: tuple[str, ...] = ()
        if thing is not None and thing in known.chains:
            self._heading.setText("Moved by")
            said = chain_words.moved_by(known.chains[thing], moment, names)
        elif thing in known.motion.drive_ids:
            self._heading.setText("Bodies that hang on it")
            said = chain_words.moves(known.chains, moment, thing, names)
        pushes = chain_words.pushes(known.transmissions, thing, names) if thing is not None else ()
        _put(self._chain, said, self._heading)
        _put(self._push, pushes, self._push_heading)
        loose = self._loose(known.motion)
        self._offer(known.motion, loose, names)
        self.setVisible(bool(said or pushes or loose))

    # ---- what is known ---------------------------------------------------------------------------------------------

    def _know(self) -> _Known | None:
        study = self._session.sequence_study if self._session.study_current else None
        if study is None or study.motion.course is None or self._session.drafting:
            self._newest.forget()
            return None  # under the hand it would be past before it is worked out
        motion, thing = study.motion, self._session.selection
        if self._known is not None and self._known.motion is motion:
            return self._known
        if thing in (*motion.bodies, *motion.connections, *motion.drive_ids) and self._newest.asked is not motion:
            self._newest.ask(motion, partial(_looked_through, motion))
        return None

    def _on_known(self, _motion: object, known: _Known) -> None:
        self._known = known
        self.refresh()

    def shut_down(self) -> bool:
        """Wait; True when nothing is looked through any more."""
        return self._newest.shut_down()

    def _loose(self, motion: Motion) -> Loose | None:
        """The loose set at the moment that the chosen body belongs to."""
        moment, thing = self._session.moment, self._session.selection
        sets = (one for one in motion.troubles if isinstance(one, Loose) and one.begin <= moment <= one.end)
        return next((one for one in sets if thing in one.bodies), None)

    # ---- the film --------------------------------------------------------------------------------------------------

    def _offer(self, motion: Motion, loose: Loose | None, names: Names) -> None:
        self.show_button.setVisible(loose is not None)
        self._joints.setVisible(loose is not None)
        self._offer_other(loose)
        if loose is None:
            self._end_film()
            return
        if self._shown is not None and self._shown != self._key(loose):
            self._shown = None  # the moment runs on, or something else was chosen
            self.film_wanted.emit(None)
            self._timer.start()
        elif self._timer.isActive():
            self._timer.start()
        joints = looseness_of(motion, loose, self._session.moment).joints
        self._joints.setText(escape(friction_sentence(joints[self._mode % len(joints)] if joints else (), names)))

    def _offer_other(self, loose: Loose | None) -> None:
        self.other_button.setVisible(loose is not None and loose.freedoms > 1 and self.show_button.isChecked())

    def _key(self, loose: Loose) -> tuple[str, int, float]:
        return (loose.bodies[0], self._mode, self._session.moment)

    def _show_film(self) -> None:
        known = self._know()
        loose = self._loose(known.motion) if known is not None else None
        if loose is None or known is None or known.motion.course is None or not self.show_button.isChecked():
            self._end_film()
        else:
            amount = AMOUNT * known.motion.course.mechanism.size
            self._shown = self._key(loose)
            moment = self._session.moment
            self.film_wanted.emit(_that_moves(swing(known.motion, loose, moment, amount, mode=self._mode, count=POSES)))
        self._offer_other(loose)

    def _next_mode(self) -> None:
        self._mode += 1
        self._shown = None
        self._show_film()
        self.refresh()

    def _end_film(self) -> None:
        self._timer.stop()
        self._mode = 0
        if self._shown is not None:
            self._shown = None
            self.film_wanted.emit(None)
        if self.show_button.isChecked():
            self.show_button.setChecked(False)

    # ---- what is done with it --------------------------------------------------------------------------------------

    def _follow(self, href: str) -> None:
        chain_words.follow(href, choose=self._session.choose, go_to=self._session.set_moment)


def _looked_through(motion: Motion) -> _Known:
    return _Known(motion, chains_of(motion), transmissions_of(motion))


def _that_moves(film: Floats) -> Floats:
    """Without the poses at which it waits, stopped by a limit."""
    moves = np.abs(np.diff(film, axis=0)).max(axis=(1, 2)) > 0.0
    return np.asarray(film[np.concatenate([[True], moves])])


def _label(name: str = "") -> QLabel:
    label = QLabel()
    label.setObjectName(name)
    label.setWordWrap(True)
    if not name:
        label.setTextFormat(Qt.TextFormat.RichText)
        label.setTextInteractionFlags(Qt.TextInteractionFlag.TextBrowserInteraction)
    return label


def _put(label: QLabel, paragraphs: tuple[str, ...], heading: QLabel) -> None:
    text = "<br>".join(paragraphs)
    if text != label.text():
        label.setText(text)
    for part in (heading, label):
        part.setVisible(bool(paragraphs))
