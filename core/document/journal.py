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
import secrets
import struct
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Literal, Self

import msgspec

from core.document.project import Project
from core.document.project_file import FILE_NAME, encode, sync_folder
from core.errors import UnwritableProject

HEAD = b"bayfold-journal 2\n"
FOLDER = ".bayfold"
NAME = "journal"
RECORD = struct.Struct("<II")
MOST_BYTES = 8 << 20
"""A longer journal is written anew, with the newest of its history."""
KEPT_EDITS = 100
"""Edits that can be undone after a journal was written anew,"""
KEPT_BYTES = 4 << 20
"""or fewer, where these are too long for so many."""
MOST_RECORD = 64 << 20
OUTSIDE = "Change by another program"


Op = Literal["base", "push", "undo", "redo", "saving", "saved"]


class Record(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What one record says."""

    op: Op
    text: str = ""
    """An edit's label, or the check sum of the file that is about to be written, or was."""
    project: msgspec.Raw = msgspec.Raw()
    """The project after it; its values as they are in memory, which is quicker by far than the file's own text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """A state of the project, and the edit that led away from it."""

    label: str
    project: Project


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Where an aircraft stands, and the way there and on."""

    project: Project
    undo: tuple[Past, ...] = ()
    """The oldest first; the label is of the edit that was made in that state."""
    redo: tuple[Past, ...] = ()
    """The one to be made again next is the last."""

    def pushed(self, label: str, project: Project) -> History:
        return History(project=project, undo=(*self.undo, Past(label=label, project=self.project)))

    def undone(self) -> History:
        if not self.undo:
            return self
        last = self.undo[-1]
        redo = (*self.redo, Past(label=last.label, project=self.project))
        return History(project=last.project, undo=self.undo[:-1], redo=redo)

    def redone(self) -> History:
        if not self.redo:
            return self
        following = self.redo[-1]
        undo = (*self.undo, Past(label=following.label, project=self.project))
        return History(project=following.project, undo=undo, redo=self.redo[:-1])


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
        states = _States()
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
            data = self.path.read_bytes()
        except OSError:
            return []
        if not data.startswith(HEAD):
            return []
        decoder = msgspec.json.Decoder(Record)
        found, at = [], len(HEAD)
        while at + RECORD.size <= len(data):
            length, check = RECORD.unpack_from(data, at)
            body = data[at + RECORD.size : at + RECORD.size + length]
            if len(body) < length or length > MOST_RECORD or zlib.crc32(body) != check:
                break
            try:
                found.append(decoder.decode(zlib.decompress(body)))
            except (msgspec.MsgspecError, zlib.error):
                break  # what follows would be undone and made again from another state than it was
            at += RECORD.size + length
        return found

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
        made = [_record("push", history.undo[-1].label, history.project)] if history.undo else []
        first = history.undo[-1].project if history.undo else history.project
        size = sum(len(record) for record in made)
        for past, before in zip(reversed(history.undo[1:]), reversed(history.undo[:-1]), strict=True):
            record = _record("push", before.label, past.project)
            size += len(record)
            if len(made) >= KEPT_EDITS or size > KEPT_BYTES:
                break
            made.append(record)
            first = before.project
        records = [_record("base", project=first), *reversed(made)]
        after, lead = history, 0
        while after.redo:
            after, lead = after.redone(), lead + 1
            records.append(_record("push", after.undo[-1].label, after.project))
        records += [_record("undo")] * lead + [_record("saved", written)]
        self._write(HEAD + b"".join(records))

    def push(self, label: str, project: Project) -> None:
        self._add(_record("push", label, project))

    def undo(self) -> None:
        self._add(_record("undo"))

    def redo(self) -> None:
        self._add(_record("redo"))

    def saving(self, written: str) -> None:
        """Note the check sum that project.json is about to have."""
        self._add(_record("saving", written))

    def saved(self, written: str) -> None:
        """Note the check sum of project.json as it is now."""
        self._add(_record("saved", written))

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
                self._size = _sound_length(self._file)
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
        beside = self.path.with_name(f"{NAME}-{secrets.token_hex(4)}.tmp")
        try:
            self.path.parent.mkdir(exist_ok=True)  # but never the aircraft's own folder, where that has gone
            with beside.open("xb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            beside.replace(self.path)
            sync_folder(self.path.parent)
            self._size = self._begun = len(data)
        except OSError as error:
            with contextlib.suppress(OSError):
                beside.unlink(missing_ok=True)
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


class _States:
    """The states that a journal's records lead through, packed as they lie there until it is known which are left."""

    def __init__(self) -> None:
        self._now: msgspec.Raw | None = None
        self._undo: list[tuple[str, msgspec.Raw]] = []
        self._redo: list[tuple[str, msgspec.Raw]] = []

    def follow(self, record: Record) -> None:
        if record.op == "base" or self._now is None:
            self._now, self._undo, self._redo = record.project, [], []
        elif record.op == "push":
            self._undo.append((record.text, self._now))
            self._now, self._redo = record.project, []
        elif record.op == "undo":
            self._now = self._step(self._undo, self._redo)
        else:
            self._now = self._step(self._redo, self._undo)

    def _step(self, back: list[tuple[str, msgspec.Raw]], on: list[tuple[str, msgspec.Raw]]) -> msgspec.Raw | None:
        if not back or self._now is None:
            return self._now
        label, state = back.pop()
        on.append((label, self._now))
        return state

    @property
    def longer(self) -> bool:
        """Whether there is more than is kept."""
        return len(self._undo) > KEPT_EDITS

    def history(self) -> History | None:
        """None where there is no state, or none that this version understands."""
        decoder = msgspec.json.Decoder(Project)
        try:
            if self._now is None:
                return None
            project = decoder.decode(self._now)
        except msgspec.MsgspecError:
            return None
        undo, redo = _understood(self._undo[-KEPT_EDITS:], decoder), _understood(self._redo, decoder)
        return History(project=project, undo=undo, redo=redo)


def _understood(states: list[tuple[str, msgspec.Raw]], decoder: msgspec.json.Decoder[Project]) -> tuple[Past, ...]:
    """From the nearest state as far as they can be read; the nearest is the last."""
    found: list[Past] = []
    for label, state in reversed(states):
        try:
            found.append(Past(label=label, project=decoder.decode(state)))
        except msgspec.MsgspecError:
            break
    return tuple(reversed(found))


def _plain(value: object) -> float:
    """A number out of an array is a float of another class, which the encoder does not know."""
    if isinstance(value, float):
        return float(value)
    raise TypeError(f"a project holds no {type(value).__name__}")


def _record(op: Op, text: str = "", project: Project | None = None) -> bytes:
    if project is None:
        record = Record(op=op, text=text)
    else:
        record = Record(op=op, text=text, project=msgspec.Raw(msgspec.json.encode(project, enc_hook=_plain)))
    body = zlib.compress(msgspec.json.encode(record), 1)
    return RECORD.pack(len(body), zlib.crc32(body)) + body


def _sound_length(file: BinaryIO) -> int:
    """How much of a journal is whole: what follows a torn record is written over."""
    file.seek(0)
    if file.read(len(HEAD)) != HEAD:
        raise OSError("it is no journal")
    at = len(HEAD)
    while True:
        head = file.read(RECORD.size)
        if len(head) < RECORD.size:
            return at
        length, check = RECORD.unpack(head)
        body = file.read(length) if length <= MOST_RECORD else b""
        if len(body) < length or zlib.crc32(body) != check:
            return at
        at += RECORD.size + length
