"""A process that edits and saves aircraft as the window does, one child after another, each until it is killed.

It reads a line `FOLDER SEED TOLD` for each child, answers the child's number, and then that it has ended. The child
writes into the file TOLD, before each gesture and after it, where the aircraft stands: the number of its newest state
and how much can be undone and made again. Children are forked from one process that has loaded everything, so that a
kill comes amid the editing and not amid imports.
"""

from __future__ import annotations

import os
import random
import sys
from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace

from core.document.history import History
from core.document.journal import Journal, check_sum, check_sum_of, open_folder
from core.document.journal_records import KEPT_EDITS
from core.document.locks import Lock
from core.document.project import Project
from core.document.project_file import FILE_NAME, read_project, write_project

LONGEST_NOTE = 20_000


def numbered(project: Project, number: int, length: int) -> Project:
    return replace(project, aircraft=replace(project.aircraft, note=f"{number} ".ljust(length, "x")))


def standing(history: History) -> str:
    number = (history.project.aircraft.note.split() or ["0"])[0]
    return f"{number} {min(len(history.undo), KEPT_EDITS)} {len(history.redo)}"


class Editing:
    """One child's work."""

    def __init__(self, folder: Path, seed: int, told: int) -> None:
        self.folder, self.told, self.chance = folder, told, random.Random(seed)
        self.number = seed * 10_000
        if Lock(folder, str(seed)).take() is not None:
            self._tell("locked")
            os._exit(1)
        found = open_folder(folder, read_project(folder))
        self.history, self.journal = found.history, Journal(folder)
        self.journal.go_on(found, check_sum(folder / FILE_NAME))

    def go_on(self) -> None:
        gestures = (self._edit, self._edit, self._edit, self._undo, self._redo, self._save, self._begin)
        while True:
            self.chance.choice(gestures)()

    def _edit(self) -> None:
        self.number += 1
        label, length = f"Edit {self.number}", self.chance.randrange(LONGEST_NOTE)
        after = self.history.pushed(label, numbered(self.history.project, self.number, length))
        self._gesture(after, lambda: self.journal.push(label, after.project))

    def _undo(self) -> None:
        if self.history.undo:
            self._gesture(self.history.undone(), self.journal.undo)

    def _redo(self) -> None:
        if self.history.redo:
            self._gesture(self.history.redone(), self.journal.redo)

    def _save(self) -> None:
        before = self.history.project
        self.journal.saving(check_sum_of(self.history.project))
        if self.chance.random() < 0.5:  # the window writes on another thread, and edits go on meanwhile
            self._edit()
        write_project(before, self.folder)
        self.journal.saved(check_sum(self.folder / FILE_NAME))

    def _begin(self) -> None:
        undo = self.history.undo[-KEPT_EDITS:]
        self.history = History(project=self.history.project, undo=undo, redo=self.history.redo)
        self.journal.begin(self.history, check_sum(self.folder / FILE_NAME))

    def _gesture(self, after: History, keep: Callable[[], None]) -> None:
        self._tell(f"will {standing(after)}")
        keep()
        self.history = after
        self._tell(f"done {standing(after)}")

    def _tell(self, line: str) -> None:
        os.write(self.told, f"{line}\n".encode())


def main() -> None:
    for line in sys.stdin:
        folder, seed, told = line.split()
        child = os.fork()
        if child == 0:
            Editing(Path(folder), int(seed), os.open(told, os.O_WRONLY | os.O_APPEND)).go_on()
        sys.stdout.write(f"{child}\n")
        sys.stdout.flush()
        os.waitpid(child, 0)
        sys.stdout.write("ended\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
