"""The journal of an aircraft: every finished edit on disk at once, and with it what can be undone and made again.

It lies in the project's folder as `.bayfold/journal`: a first line, and records one after another, each its length, its
check sum and what it holds. Records are only ever added, and each is on the disk before the edit counts as kept. A
record that was being written when the power went is short or fails its check sum, and it and what follows is left out;
whatever was finished before it is there. project.json is written a moment later, whole or not at all; the journal notes
what is about to be written and what was, so that it can tell a file that it is ahead of from a file that another
program has changed, whenever the power went.

A record holds the project whole and squeezed, not as a difference: that is half a millisecond's work for a sample
aircraft beside the disk's own time (tests/benchmarks/benchmark_journal.py), and nothing can be put together wrongly.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Self

from core.document.history import History
from core.document.journal_records import HEAD, KEPT_EDITS, Record, States, packed, records_in, sound_length
from core.document.project import Project
from core.document.project_file import FILE_NAME, encode, put_in_place
from core.errors import UnwritableProject

FOLDER = ".bayfold"
NAME = "journal"
MOST_BYTES = 8 << 20
"""A longer journal is written anew, with the newest of its history."""
KEPT_BYTES = 4 << 20
"""Of the edits that are kept when a journal is written anew; fewer are, where these are too long for so many."""
OUTSIDE = "Change by another program"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a journal tells."""

    history: History
    sums: tuple[str, ...]
    """What project.json may be if nobody else wrote it: the check sum of what was written last, and then of what was
    about to be."""
    whole: bool
    """The history is all there is in the journal, and not only the newest of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a folder holds when it is opened."""

    history: History
    recovered: bool = False
    """The journal was ahead of project.json: edits that were not in the file yet."""
    changed_outside: bool = False
    """Another program had changed project.json: its state counts, and what stood before can be undone to."""
    in_journal: bool = False
    """The journal leads to just this history."""
    sums: tuple[str, ...] = ()
    """Check sums that the journal knows for what this program wrote last."""


class Journal:
    """The journal of one folder, open for adding. One process writes it at a time; see `locks`."""

    def __init__(self, folder: Path) -> None:
        self._folder = Path(folder)
        self._file: BinaryIO | None = None
        self._size = 0
        self._begun = 0

    @property
    def path(self) -> Path:
        return self._folder / FOLDER / NAME

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # ---- reading -------------------------------------------------------------------------------------------------

    def read(self) -> Told | None:
        """What the journal tells; None where there is none."""
        sums: tuple[str, ...] = ()
        states = States()
        for record in self._records():
            if record.op == "saved":
                sums = (record.text,)
            elif record.op == "saving":
                sums = (*sums, record.text)
            else:
                states.follow(record)
        history = states.history()
        return None if history is None else Told(history=history, sums=sums, whole=not states.longer)

    def _records(self) -> list[Record]:
        try:
            return records_in(self.path.read_bytes())
        except OSError:
            return []

    # ---- writing -------------------------------------------------------------------------------------------------

    def go_on(self, found: Found, written: str) -> None:
        """Go on from what was found on opening, with project.json as it is now; raises UnwritableProject."""
        if not found.in_journal:
            self.begin(found.history, written)
        elif found.sums != (written,):
            self.saved(written)

    def begin(self, history: History, written: str) -> None:
        """Write the journal anew, from a history on; raises UnwritableProject."""
        self.close()
        made = [packed("push", history.undo[-1].label, history.project)] if history.undo else []
        first = history.undo[-1].project if history.undo else history.project
        size = sum(len(record) for record in made)
        for past, before in zip(reversed(history.undo[1:]), reversed(history.undo[:-1]), strict=True):
            record = packed("push", before.label, past.project)
            size += len(record)
            if len(made) >= KEPT_EDITS or size > KEPT_BYTES:
                break
            made.append(record)
            first = before.project
        records = [packed("base", project=first), *reversed(made)]
        after, lead = history, 0
        while after.redo:
            after, lead = after.redone(), lead + 1
            records.append(packed("push", after.undo[-1].label, after.project))
        records += [packed("undo")] * lead + [packed("saved", written)]
        self._write(HEAD + b"".join(records))

    def push(self, label: str, project: Project) -> None:
        self._add(packed("push", label, project))

    def undo(self) -> None:
        self._add(packed("undo"))

    def redo(self) -> None:
        self._add(packed("redo"))

    def saving(self, written: str) -> None:
        """Note the check sum that project.json is about to have."""
        self._add(packed("saving", written))

    def saved(self, written: str) -> None:
        """Note the check sum of project.json as it is now."""
        self._add(packed("saved", written))

    @property
    def long(self) -> bool:
        """Whether it is time to begin anew."""
        return self._size > max(MOST_BYTES, 2 * self._begun)

    def close(self) -> None:
        if self._file is not None:
            with contextlib.suppress(OSError):
                self._file.close()
            self._file = None

    def _add(self, record: bytes) -> None:
        try:
            if self._file is not None and not self._is_there(self._file):
                self.close()  # the folder was taken away under it, and perhaps another stands there now
            if self._file is None:
                self._file = self.path.open("r+b")
                self._size = sound_length(self._file)
                self._file.truncate(self._size)
            self._file.seek(self._size)
            self._file.write(record)
            self._file.flush()
            os.fsync(self._file.fileno())
            self._size += len(record)
        except OSError as error:
            self.close()
            raise UnwritableProject(f"{self.path}: could not be written: {error.strerror or error}") from error

    def _is_there(self, file: BinaryIO) -> bool:
        try:
            return os.path.samestat(os.fstat(file.fileno()), self.path.stat())
        except OSError:
            return False

    def _write(self, data: bytes) -> None:
        try:
            self.path.parent.mkdir(exist_ok=True)  # but never the aircraft's own folder, where that has gone
            put_in_place(self.path, data)
            self._size = self._begun = len(data)
        except OSError as error:
            raise UnwritableProject(f"{self.path}: could not be written: {error.strerror or error}") from error


def open_folder(folder: Path, project: Project) -> Found:
    """What a folder holds: its project.json, already read, and what the journal says beyond it."""
    told = Journal(folder).read()
    if told is None:
        return Found(history=History(project=project))
    history = told.history
    if same(history.project, project):
        here = History(project=project, undo=history.undo, redo=history.redo)
        return Found(history=here, in_journal=told.whole, sums=told.sums)
    if check_sum(Path(folder) / FILE_NAME) in told.sums:
        return Found(history=history, recovered=True, in_journal=told.whole, sums=told.sums)
    return Found(history=history.pushed(OUTSIDE, project), changed_outside=True)


def same(one: Project, other: Project) -> bool:
    """Whether two projects make the same file; what a newer version wrote may be held in more ways than one."""
    return one == other or encode(one) == encode(other)


def check_sum(file: Path) -> str:
    """Of a file's bytes; empty where there is none."""
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest()
    except OSError:
        return ""


def check_sum_of(project: Project) -> str:
    """Of the file that a project makes."""
    return hashlib.sha256(encode(project)).hexdigest()
