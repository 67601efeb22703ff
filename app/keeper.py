"""Keeps the open aircraft on disk: every finished edit at once in its journal, and the file a moment later.

One window at a time may change an aircraft; another looks only. What another program does to the file is never written
over unasked: which of the two counts is for the user to say, and the other is kept beside it under its date. Where the
disk refuses, the window says so and tries again until it succeeds, and nothing is lost meanwhile: it is all in memory,
and leaving asks.
"""

from __future__ import annotations

import secrets
import shutil
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer, Signal

from app.session import Session
from core.document.aircraft_edits import TakeState
from core.document.fresh import fresh_path
from core.document.journal import OUTSIDE, Found, Journal, check_sum, check_sum_of, open_folder
from core.document.locks import Lock
from core.document.project import Project
from core.document.project_file import FILE_NAME, encode, put_in_place, read_project, write_project
from core.errors import BayfoldError

SOON_MS = 600
"""After an edit: the file is written when the hand rests so long, and within a second."""
AGAIN_MS = 5000
"""After the disk refused."""
LOOK_MS = 300
"""After the folder changed: another program may still be at it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Theirs:
    """What another program has made of the open aircraft's file."""

    project: Project | None
    """None where it cannot be read."""
    mine: Project
    why: str = ""
    """Why it cannot be read."""
    taken: bool = False
    """The window shows theirs already, since it was written while no window was open; mine is what stood before."""


class Keeper(QObject):
    kept = Signal()
    """project.json holds the newest state."""
    kept_by_hand = Signal()
    """The user asked for it to be written, and it was."""
    leaving = Signal()
    """The open aircraft is about to be left, and is written as far as can be."""
    theirs_found = Signal(object)
    """Another program has changed the file: what it made of it, as `Theirs`."""
    refused = Signal(str)
    """The file could not be written: why, in one line."""
    gone = Signal(object)
    """The aircraft's folder is not there any more."""
    settled = Signal()
    """What was asked about the file is answered, or no question any more."""
    beside = Signal(str)
    """What is kept beside the file, in words."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._journal: Journal | None = None
        self._lock: Lock | None = None
        self._token = secrets.token_hex(8)
        self._written = ""
        self._told = ""
        self._journal_told = ""
        self._asked = ""
        """The check sum of the file that the user has been asked about."""
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self.flush)
        self._watcher = QFileSystemWatcher(self)
        self._look_soon = QTimer(self)
        self._look_soon.setSingleShot(True)
        self._look_soon.setInterval(LOOK_MS)
        self._look_soon.timeout.connect(self.look)
        self._watcher.directoryChanged.connect(lambda _folder: self._look_soon.start())
        self._watcher.fileChanged.connect(lambda _file: self._look_soon.start())
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
        self.hold(folder, found)
        if found.changed_outside and self._journal is not None:
            self._asked = self._written
            self.theirs_found.emit(Theirs(project=project, mine=found.history.undo[-1].project, taken=True))

    def hold(self, folder: Path, found: Found | None = None) -> None:
        """Keep the session's aircraft in a folder from now on, if no other window does."""
        self.let_go()
        self._written = check_sum(folder / FILE_NAME)
        lock = Lock(folder, self._token)
        holder = lock.take()
        if holder is not None:
            which = f"process {holder.pid} on {holder.host}" if holder.pid else "which does not answer"
            self._session.look_only(
                f"This aircraft is open in another window ({which}); here it can only be looked at, "
                "or saved in another folder"
            )
            self._session.trouble.emit(self._session.looked_at_only)
            return
        self._session.look_only("")
        self._lock, self._journal = lock, Journal(folder)
        history = self._session.history
        if found is not None:
            self._guarded(lambda journal: journal.go_on(found, self._written))
        elif history is not None:
            self._guarded(lambda journal: journal.begin(history, self._written))
        self._watcher.addPaths([str(folder), str(folder / FILE_NAME)])
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
        self._journal, self._lock, self._journal_told = None, None, ""
        self._soon.stop()
        self._look_soon.stop()
        if watched := [*self._watcher.directories(), *self._watcher.files()]:
            self._watcher.removePaths(watched)
        self.settle()

    # ---- writing ---------------------------------------------------------------------------------------------------

    def flush(self) -> bool:
        """Write project.json now, if it is behind; False where that failed, or has to be asked about first."""
        session, journal = self._session, self._journal
        project, folder = session.project, session.folder
        if journal is None or project is None or folder is None or not session.unsaved:
            return True
        self._soon.stop()
        if not folder.is_dir():
            self._tell_gone(folder)
            return False
        if self._changed_outside(folder):
            self._ask_about_theirs(folder, project)
            return False
        return self._put(project, folder, journal)

    def make_again(self) -> bool:
        """Write the aircraft where its folder was, with its history."""
        project, folder, history = self._session.project, self._session.folder, self._session.history
        if project is None or folder is None or self._journal is None or history is None:
            return False
        if not self._put(project, folder, self._journal):
            return False
        self._guarded(lambda journal: journal.begin(history, self._written))
        return True

    def look_again(self) -> bool:
        """Whether the folder is there again; what is to be written is written."""
        self._told = ""
        self.look()
        folder = self._session.folder
        if folder is None or not folder.is_dir():
            return False
        self.settle()
        return self.flush()

    def _put(self, project: Project, folder: Path, journal: Journal) -> bool:
        try:
            written = check_sum_of(project)
            self._guarded(lambda one: one.saving(written))  # should the power go before the next line is done
            write_project(project, folder)
        except (BayfoldError, OSError) as error:
            self._soon.start(AGAIN_MS)
            if str(error) != self._told:
                self._told = str(error)
                self.refused.emit(str(error))
            return False
        self._written = written  # the file itself may be another program's again by now
        self._session.mark_saved(folder)
        if journal.long and self._session.history is not None:
            history = self._session.history
            self._guarded(lambda one: one.begin(history, self._written))
        else:
            self._guarded(lambda one: one.saved(self._written))
        self._watcher.addPaths([str(folder), str(folder / FILE_NAME)])  # the file is another since, and so is its watch
        self.settle()
        self.kept.emit()
        return True

    def note_saved(self, folder: Path) -> None:
        """The project was written into a folder by hand; keep it there from now on."""
        self.kept_by_hand.emit()
        self.hold(folder)

    # ---- other programs ------------------------------------------------------------------------------------------

    def look(self) -> None:
        """Whether another program has changed the file, or the folder has gone, since it was last looked at."""
        project, folder = self._session.project, self._session.folder
        if self._journal is None or project is None or folder is None:
            return
        if not folder.is_dir():
            self._tell_gone(folder)
        elif self._changed_outside(folder):
            self._ask_about_theirs(folder, project)
        elif self._asked and not self._changed_outside(folder) and self._asked != self._written:
            self.settle()  # it is again as it was
            self.flush()

    def _changed_outside(self, folder: Path) -> bool:
        now = check_sum(folder / FILE_NAME)
        return bool(now and self._written and now != self._written)

    def _ask_about_theirs(self, folder: Path, mine: Project) -> None:
        """Once for each state that another program leaves the file in; one that is the very same is no question."""
        now = check_sum(folder / FILE_NAME)
        if now == self._asked:
            return
        self._asked = now
        try:
            theirs = read_project(folder, lost=False)
        except BayfoldError as error:
            self.theirs_found.emit(Theirs(project=None, mine=mine, why=str(error)))
            return
        if theirs == mine:
            self._take_as_written(folder, now)
        else:
            self.theirs_found.emit(Theirs(project=theirs, mine=mine))

    def _take_as_written(self, folder: Path, written: str) -> None:
        self._written = written
        self._session.mark_saved(folder)
        self._guarded(lambda journal: journal.saved(written))
        self.settle()

    def keep_mine(self) -> bool:
        """The window's state counts; what another program wrote is kept beside the file. False where that failed."""
        project, folder, journal = self._session.project, self._session.folder, self._journal
        if project is None or folder is None or journal is None:
            return False
        try:
            self.put_theirs_beside(folder)
        except OSError as error:
            self.refused.emit(f"{folder}: what the other program wrote could not be kept: {error.strerror or error}")
            return False
        return self._put(project, folder, journal)

    def take_theirs(self) -> bool:
        """What another program wrote counts; the window's state is kept beside it, and one undo away."""
        project, folder = self._session.project, self._session.folder
        if project is None or folder is None or self._journal is None:
            return False
        try:
            now = check_sum(folder / FILE_NAME)  # first: should the file change meanwhile, that is seen
            theirs = read_project(folder, lost=False)
            self.put_mine_beside(project, folder)
        except (BayfoldError, OSError) as error:
            self.refused.emit(str(error))
            return False
        before, self._written = self._written, now
        self._session.push(TakeState(theirs, OUTSIDE))
        if self._session.project != theirs:  # the session has said why
            self._written = before
            return False
        self._take_as_written(folder, now)
        return True

    def put_theirs_beside(self, folder: Path) -> None:
        """A copy of the file as another program has left it, under its date; nothing where none has. Raises OSError."""
        if self._changed_outside(folder) or (self._asked and self._asked == self._written):
            copy = dated(folder)
            shutil.copyfile(folder / FILE_NAME, copy)
            self.beside.emit(f"What the other program wrote is kept as {copy.name}")

    def put_mine_beside(self, mine: Project, folder: Path) -> None:
        """The window's state under its date. Raises OSError."""
        copy = dated(folder)
        put_in_place(copy, encode(mine))
        self.beside.emit(f"What you had is kept as {copy.name}, and undo goes back to it")

    def _tell_gone(self, folder: Path) -> None:
        self._soon.start(AGAIN_MS)
        if self._told != str(folder):
            self._told = str(folder)
            self.gone.emit(folder)

    def settle(self) -> None:
        """Nothing is asked about the file any more."""
        self._told = self._asked = ""
        self.settled.emit()

    # ---- the journal ---------------------------------------------------------------------------------------------

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
        """A journal that cannot be written is told once; the file is written even so."""
        if self._journal is None:
            return
        try:
            write(self._journal)
        except BayfoldError as error:
            folder = self._session.folder
            if folder is not None and not folder.is_dir():
                self._tell_gone(folder)
            elif str(error) != self._journal_told:
                self._journal_told = str(error)
                self.refused.emit(str(error))
        else:
            self._journal_told = ""

    def try_again(self) -> bool:
        """Write the journal and the file, after the disk refused; False where it still does, which is told again."""
        history = self._session.history
        if self._journal is None or history is None:
            return False
        self._told = self._journal_told = ""
        self._guarded(lambda journal: journal.begin(history, self._written))
        if not self.flush() or self._journal_told:
            return False
        self.settle()
        return True


def dated(folder: Path) -> Path:
    """A name beside the file that tells when."""
    return fresh_path(folder, time.strftime("project-%Y-%m-%d-%H%M%S"), ".json")
