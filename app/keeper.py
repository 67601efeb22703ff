"""Keeps the open aircraft on disk: every finished edit at once in its journal, and the file a moment later.

One window at a time may change an aircraft; another looks only. What another program does to the file is never written
over without a copy. Where the disk refuses, the window says so and tries again until it succeeds, and nothing is lost
meanwhile: it is all in memory, and leaving asks.
"""

from __future__ import annotations

import secrets
import shutil
import time
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from app.session import Session
from core.document.journal import History, Journal, check_sum, open_folder
from core.document.locks import Lock
from core.document.project import Project
from core.document.project_file import FILE_NAME, write_project
from core.errors import BayfoldError

SOON_MS = 600
"""After an edit: the file is written when the hand rests so long, and within a second."""
AGAIN_MS = 5000
"""After the disk refused."""


class Keeper(QObject):
    kept = Signal()
    """project.json holds the newest state."""
    kept_by_hand = Signal()
    """The user asked for it to be written, and it was."""
    leaving = Signal()
    """The open aircraft is about to be left, and is written as far as can be."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._journal: Journal | None = None
        self._lock: Lock | None = None
        self._token = secrets.token_hex(8)
        self._written = ""
        self._told = ""
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self.flush)
        session.pushed.connect(self._on_pushed)
        session.undone.connect(lambda: self._note("undo"))
        session.redone.connect(lambda: self._note("redo"))

    # ---- taking up -------------------------------------------------------------------------------------------------

    def take_up(self, project: Project, folder: Path) -> None:
        """Open a folder's aircraft, with its history and whatever its journal has beyond the file."""
        self.let_go()
        found = open_folder(folder, project)
        self._session.open(project, folder, found.history)
        if found.recovered:
            self._session.trouble.emit("The last edits were not in the file yet; they are here again from the journal")
        elif found.changed_outside:
            self._session.trouble.emit(f"{FILE_NAME} was changed by another program; undo goes back to what it was")
        self.hold(folder, found.history)

    def hold(self, folder: Path, history: History | None = None) -> None:
        """Keep the session's aircraft in a folder from now on, if no other window does."""
        self.let_go()
        self._written = check_sum(folder / FILE_NAME)
        lock = Lock(folder, self._token)
        holder = lock.take()
        if holder is not None:
            self._session.look_only(
                f"This aircraft is open in another window (process {holder.pid} on {holder.host}); here it can only be "
                "looked at, or saved in another folder"
            )
            self._session.trouble.emit(self._session.looked_at_only)
            return
        self._session.look_only("")
        self._lock, self._journal = lock, Journal(folder)
        history = history or self._session.history
        if history is not None:
            self._guarded(lambda journal: journal.begin(history, self._written))
        if self._session.unsaved:
            self._soon.start(SOON_MS)

    def let_go(self) -> None:
        """Write what is left to write, and give the folder back."""
        if self._journal is not None:
            self.flush()
            self.leaving.emit()
            self._journal.close()
        if self._lock is not None:
            self._lock.give_back()
        self._journal, self._lock = None, None
        self._soon.stop()

    # ---- writing ---------------------------------------------------------------------------------------------------

    def flush(self) -> bool:
        """Write project.json now, if it is behind; False where that failed."""
        session, journal = self._session, self._journal
        project, folder = session.project, session.folder
        if journal is None or project is None or folder is None or not session.unsaved:
            return True
        self._soon.stop()
        try:
            self._keep_theirs(folder)
            write_project(project, folder)
        except (BayfoldError, OSError) as error:
            self._tell(f"{error}; the edits are kept here, and it is tried again")
            self._soon.start(AGAIN_MS)
            return False
        self._written = check_sum(folder / FILE_NAME)
        session.mark_saved(folder)
        if journal.long and session.history is not None:
            history = session.history
            self._guarded(lambda one: one.begin(history, self._written))
        else:
            self._guarded(lambda one: one.saved(self._written))
        self._told = ""
        self.kept.emit()
        return True

    def note_saved(self, folder: Path) -> None:
        """The project was written into a folder by hand; keep it there from now on."""
        self.kept_by_hand.emit()
        self.hold(folder)

    def _keep_theirs(self, folder: Path) -> None:
        """What another program wrote meanwhile stays beside the file, under its date."""
        file = folder / FILE_NAME
        now = check_sum(file)
        if not now or not self._written or now == self._written:
            return
        copy = folder / time.strftime("project-%Y-%m-%d-%H%M%S.json")
        shutil.copyfile(file, copy)
        self._session.trouble.emit(f"{FILE_NAME} was changed by another program; what it wrote is kept as {copy.name}")

    def _on_pushed(self, label: str) -> None:
        project = self._session.project
        if project is not None:
            self._guarded(lambda journal: journal.push(label, project))
        self._write_soon()

    def _note(self, op: str) -> None:
        self._guarded(lambda journal: journal.undo() if op == "undo" else journal.redo())
        self._write_soon()

    def _write_soon(self) -> None:
        if self._journal is not None and not self._soon.isActive():
            self._soon.start(SOON_MS)

    def _guarded(self, write: Callable[[Journal], object]) -> None:
        """A journal that cannot be written is said once; the file is written even so."""
        if self._journal is None:
            return
        try:
            write(self._journal)
        except BayfoldError as error:
            self._tell(str(error))

    def _tell(self, words: str) -> None:
        if words != self._told:
            self._told = words
            self._session.trouble.emit(words)
