"""What the user is asked about the open aircraft's file: whose state counts, and where to keep it when the disk
refuses. Nothing waits for an answer, and nothing is lost whichever it is."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.dialogs.both import BothStates
from app.keeper import Theirs
from app.keeping import Keeping
from app.session import Session
from app.widgets.question import Question
from core.document.project_file import FILE_NAME


class Asking(QObject):
    def __init__(self, session: Session, keeping: Keeping, question: Question, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._keeping, self._keeper = session, keeping, keeping.keeper
        self._question, self._window = question, window
        self._opened: Theirs | None = None
        """Theirs where it was taken on opening, and nothing has been done since."""
        self._keeper.theirs_found.connect(self._ask_about_theirs)
        self._keeper.refused.connect(self._ask_where)
        self._keeper.gone.connect(self._ask_after_folder)
        keeping.rescue_wanted.connect(self._ask_to_rescue)
        session.project_opened.connect(self._settle)
        self._keeper.settled.connect(self._settle)
        self._keeper.beside.connect(keeping.done)
        session.pushed.connect(lambda _label: self._on_done())
        session.undone.connect(self._on_done)

    def _settle(self) -> None:
        self._opened = None
        self._question.put_away()

    # ---- another program -------------------------------------------------------------------------------------------

    def _ask_about_theirs(self, theirs: Theirs) -> None:
        self._opened = theirs if theirs.taken else None
        if theirs.project is None:
            text = f"{FILE_NAME} was changed by another program, and cannot be read: {theirs.why}"
            self._question.ask(text, (("&What you have", self._keeper.keep_mine), ("Read it a&gain", self._look_again)))
            return
        when = "while it was not open here" if theirs.taken else "and what you have is not in it"
        shown = "theirs is shown" if theirs.taken else "yours is shown"
        self._question.ask(
            f"{FILE_NAME} was changed by another program {when}; {shown}. Which counts?",
            (
                ("&What you have", self._keep_mine),
                ("What the &file has", self._take_theirs),
                ("&See both…", lambda: self._show_both(theirs)),
            ),
        )

    def _look_again(self) -> None:
        self._keeper.settle()
        self._keeper.look()

    def _show_both(self, theirs: Theirs) -> None:
        assert theirs.project is not None
        dialog = BothStates(theirs.mine, theirs.project, self._window)
        dialog.mine_wanted.connect(self._keep_mine)
        dialog.theirs_wanted.connect(self._take_theirs)
        dialog.open()

    def _keep_mine(self) -> None:
        """Where theirs was taken on opening, mine is what stood before it."""
        if self._opened is None:
            self._keeper.keep_mine()
        else:
            self._session.undo()

    def _take_theirs(self) -> None:
        opened, folder = self._opened, self._session.folder
        if opened is None:
            self._keeper.take_theirs()
        elif folder is not None:
            try:
                self._keeper.put_mine_beside(opened.mine, folder)
            except OSError as error:
                self._ask_where(f"{folder}: what you had could not be kept beside it: {error.strerror or error}")
                return
            self._keeper.settle()

    def _on_done(self) -> None:
        """Who goes on with theirs has taken it; who takes it back keeps their own, and theirs goes beside."""
        opened, folder = self._opened, self._session.folder
        if opened is None or folder is None:
            return
        if self._session.project is not None and self._session.project == opened.mine:
            try:
                self._keeper.put_theirs_beside(folder)
            except OSError as error:
                self._ask_where(f"{folder}: what was there could not be kept: {error.strerror or error}")
                return
        self._keeper.settle()
        self._keeper.flush()

    # ---- the disk --------------------------------------------------------------------------------------------------

    def _ask_where(self, why: str) -> None:
        self._question.ask(
            f"{why}. What you have is kept in this window, and it is tried again.",
            (("Try a&gain", self._keeper.try_again), ("Save in an&other folder…", self._keeping.ask_where_to_save)),
        )

    def _ask_to_rescue(self, folder: Path, why: str) -> None:
        self._question.ask(
            f"{why}. The journal has the aircraft as it last stood here.",
            (
                ("&Open what stood here", lambda: self._keeping.rescue(folder)),
                ("&Leave it", self._question.put_away),
            ),
        )

    def _ask_after_folder(self, folder: Path) -> None:
        self._question.ask(
            f"{folder} is not there any more: it was moved, renamed or removed. What you have is kept in this window.",
            (
                ("Look a&gain", self._keeper.look_again),
                ("Ma&ke it again", self._keeper.make_again),
                ("Save in an&other folder…", self._keeping.ask_where_to_save),
            ),
        )
