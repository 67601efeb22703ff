"""The journal of an aircraft: every finished edit on disk at once, and with it what can be undone and made again.

It lies in the project's folder as `.bayfold/journal`: a first line, and records one after another, each its length, its
check sum and what it holds. Records are only ever added, and each is on the disk before the edit counts as kept. A
record that was being written when the power went is short or fails its check sum, and it and what follows is left out;
whatever was finished before it is there. project.json is written a moment later, whole or not at all; the journal notes
what was written, so that it can tell a file that it is ahead of from a file that another program has changed.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
import struct
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Self

from core.document.project import Project
from core.document.project_file import FILE_NAME, decode, encode
from core.errors import UnreadableProject, UnwritableProject

HEAD = b"bayfold-journal 1\n"
FOLDER = ".bayfold"
NAME = "journal"
RECORD = struct.Struct("<II")
MOST_BYTES = 8 << 20
"""A longer journal is written anew, with the newest of its history."""
KEPT_EDITS = 100
"""Edits that can be undone after a journal was written anew."""
MOST_RECORD = 64 << 20


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
class Found:
    """What a folder holds when it is opened."""

    history: History
    recovered: bool = False
    """The journal was ahead of project.json: edits that were not in the file yet."""
    changed_outside: bool = False
    """Another program had changed project.json: its state counts, and what stood before can be undone to."""


class Journal:
    """The journal of one folder, open for adding. One process writes it at a time; see `locks`."""

    def __init__(self, folder: Path) -> None:
        self._folder = Path(folder)
        self._file: BinaryIO | None = None
        self._size = 0

    @property
    def path(self) -> Path:
        return self._folder / FOLDER / NAME

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # ---- reading -------------------------------------------------------------------------------------------------

    def read(self) -> tuple[History, str] | None:
        """The history that the journal tells, and the check sum of the project.json written last; None without any."""
        history: History | None = None
        written = ""
        for record in self._records():
            history, written = _after(history, written, record, self._folder)
        return None if history is None else (history, written)

    def _records(self) -> list[dict[str, str]]:
        try:
            data = self.path.read_bytes()
        except OSError:
            return []
        if not data.startswith(HEAD):
            return []
        found, at = [], len(HEAD)
        while at + RECORD.size <= len(data):
            length, check = RECORD.unpack_from(data, at)
            body = data[at + RECORD.size : at + RECORD.size + length]
            if len(body) < length or length > MOST_RECORD or zlib.crc32(body) != check:
                break
            with contextlib.suppress(ValueError, zlib.error):
                found.append(json.loads(zlib.decompress(body)))
            at += RECORD.size + length
        return found

    # ---- writing -------------------------------------------------------------------------------------------------

    def begin(self, history: History, written: str) -> None:
        """Write the journal anew, from a history on; raises UnwritableProject."""
        self.close()
        kept = history.undo[-KEPT_EDITS:]
        states = [one.project for one in kept] + [history.project]
        records = [_record("base", project=states[0])]
        records += [_record("push", kept[i].label, states[i + 1]) for i in range(len(kept))]
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

    def saved(self, written: str) -> None:
        """Note the check sum of project.json as it has just been written."""
        self._add(_record("saved", written))

    @property
    def long(self) -> bool:
        """Whether it is time to begin anew."""
        return self._size > MOST_BYTES

    def close(self) -> None:
        if self._file is not None:
            with contextlib.suppress(OSError):
                self._file.close()
            self._file = None

    def _add(self, record: bytes) -> None:
        try:
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

    def _write(self, data: bytes) -> None:
        beside = self.path.with_name(f"{NAME}-{secrets.token_hex(4)}.tmp")
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with beside.open("xb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            beside.replace(self.path)
        except OSError as error:
            with contextlib.suppress(OSError):
                beside.unlink(missing_ok=True)
            raise UnwritableProject(f"{self.path}: could not be written: {error.strerror or error}") from error


def open_folder(folder: Path, project: Project) -> Found:
    """What a folder holds: its project.json, already read, and what the journal says beyond it."""
    told = Journal(folder).read()
    if told is None:
        return Found(history=History(project=project))
    history, written = told
    if history.project == project:
        return Found(history=history)
    if written and written == check_sum(Path(folder) / FILE_NAME):
        return Found(history=history, recovered=True)
    return Found(history=history.pushed("Change by another program", project), changed_outside=True)


def check_sum(file: Path) -> str:
    """Of a file's bytes; empty where there is none."""
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest()
    except OSError:
        return ""


def check_sum_of(project: Project) -> str:
    """Of the file that a project makes."""
    return hashlib.sha256(encode(project)).hexdigest()


def _record(op: str, text: str = "", project: Project | None = None) -> bytes:
    held = {"op": op, "text": text}
    if project is not None:
        held["project"] = encode(project).decode()
    body = zlib.compress(json.dumps(held).encode(), 1)
    return RECORD.pack(len(body), zlib.crc32(body)) + body


def _after(history: History | None, written: str, record: dict[str, str], folder: Path) -> tuple[History | None, str]:
    """What is known after one more record; one that makes no sense changes nothing."""
    op, text = record.get("op"), record.get("text", "")
    if op == "saved":
        return history, text
    if op in ("base", "push"):
        try:
            project = decode(record.get("project", "").encode(), folder / FILE_NAME)
        except UnreadableProject:
            return history, written
        if op == "base" or history is None:
            return History(project=project), written
        return history.pushed(text, project), written
    if history is not None and op == "undo":
        return history.undone(), written
    if history is not None and op == "redo":
        return history.redone(), written
    return history, written


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
