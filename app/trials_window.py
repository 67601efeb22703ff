"""The window of trials, which stays open beside the sheet that shows them, and the banner over the sheet meanwhile."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QWidget

from app.dialogs.frame import Dialog
from app.panels.trials import TrialsPanel
from app.session import Session
from app.trying import Trying
from app.uses import Uses
from app.widgets.banner import Banner

SIZE = (900, 560)


class TrialsWindow(Dialog):
    def __init__(self, session: Session, trying: Trying, parent: QWidget) -> None:
        super().__init__("What if something fails", parent)
        self.setWindowModality(Qt.WindowModality.NonModal)
        self._trying = trying
        self.panel = TrialsPanel(session)
        self.page.addWidget(self.panel, 1)
        self.add_button("Close").clicked.connect(self.close)
        self.panel.form.wanted.connect(trying.show)
        self.panel.every_wanted.connect(partial(self._try_all, pairs=False))
        self.panel.pairs_wanted.connect(partial(self._try_all, pairs=True))
        self.panel.stop_wanted.connect(trying.stop)
        trying.progressed.connect(self._show_progress)
        trying.changed.connect(self.refresh)
        self.open_to(*SIZE)
        self.refresh()

    def refresh(self) -> None:
        self.panel.show_working(self._trying.working)
        self.panel.show_outcomes(self._trying.outcomes)
        if not self._trying.working:
            self.panel.show_standing(outdated=self._trying.outdated, pairs=self._trying.pairs_words)
        self.panel.show_trial(self._trying.trial)

    def _try_all(self, waits: bool, *, pairs: bool) -> None:
        self.panel.show_progress("", 0.0, "Beginning…")
        self._trying.try_all(waits=waits, pairs=pairs)

    def _show_progress(self, words: str, share: float) -> None:
        """Of what is given up a last word may still come."""
        if self._trying.working:
            self.panel.show_progress(words, share, self._trying.left_words(share))


class Trials(QObject):
    """Opens the window once, and says in the banner what is tried."""

    def __init__(self, session: Session, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._window = session, window
        self.trying = Trying(session, self)
        self.shown: TrialsWindow | None = None
        self.banner = Banner("Trial")
        self.keep = self.banner.add_button(
            "Keep as a sequence", "Add what is tried to the aircraft as a sequence of its own"
        )
        self.leave = self.banner.add_button("Back to the sequence (Esc)", "Show the sequence as drawn again")
        self.keep.clicked.connect(self.trying.keep)
        self.leave.clicked.connect(self.trying.leave)
        self.trying.changed.connect(self._say)

    @property
    def uses(self) -> Uses:
        """What their actions do, by their ids in the table."""
        return {
            "try-fault": self.ask, "try-every": self.try_all, "try-pairs": partial(self.try_all, pairs=True),
            "keep-trial": self.trying.keep, "let-go": self.let_go,
        }  # fmt: skip

    def ask(self) -> None:
        """Open the window, with what is chosen picked."""
        self._open().panel.form.pick(self._session.selection)

    def try_all(self, *, pairs: bool = False) -> None:
        window = self._open()
        self.trying.try_all(waits=window.panel.form.waits.isChecked(), pairs=pairs)

    def let_go(self) -> None:
        """Of the finding that is looked at, and then of the trial."""
        if self._session.finding is not None:
            self._session.show_finding(None)
        else:
            self.trying.leave()

    def shut_down(self) -> bool:
        return self.trying.shut_down()

    def _open(self) -> TrialsWindow:
        if self.shown is None:
            self.shown = TrialsWindow(self._session, self.trying, self._window)
            self.shown.finished.connect(self._forget)
            self.shown.destroyed.connect(self._forget)
        self.shown.show()
        self.shown.activateWindow()
        return self.shown

    def _forget(self) -> None:
        self.shown = None

    def _say(self) -> None:
        self.banner.say(*self.trying.words)
        self.keep.setEnabled(not self._session.looked_at_only)
