"""The records of a journal: how each is written, which are whole, and the states that they lead through."""

from __future__ import annotations

import struct
import zlib
from typing import BinaryIO, Literal

import msgspec

from core.document.history import History, Past
from core.document.project import Project

HEAD = b"bayfold-journal 2\n"
RECORD = struct.Struct("<II")
"""The length of what follows, and its check sum."""
MOST_RECORD = 64 << 20
KEPT_EDITS = 100
"""Edits that can be undone after a journal was written anew, or was read."""

Op = Literal["base", "push", "undo", "redo", "saving", "saved"]


class Record(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What one record says."""

    op: Op
    text: str = ""
    """An edit's label, or the check sum of the file that is about to be written, or was."""
    project: msgspec.Raw = msgspec.Raw()
    """The project after it; its values as they are in memory, which is quicker by far than the file's own text."""


def packed(op: Op, text: str = "", project: Project | None = None) -> bytes:
    """A record as it lies in the file."""
    if project is None:
        record = Record(op=op, text=text)
    else:
        record = Record(op=op, text=text, project=msgspec.Raw(msgspec.json.encode(project, enc_hook=_plain)))
    body = zlib.compress(msgspec.json.encode(record), 1)
    return RECORD.pack(len(body), zlib.crc32(body)) + body


def _plain(value: object) -> float:
    """A number out of an array is a float of another class, which the encoder does not know."""
    if isinstance(value, float):
        return float(value)
    raise TypeError(f"a project holds no {type(value).__name__}")


def records_in(data: bytes) -> list[Record]:
    """The records of a journal as far as they are whole; none where it is no journal."""
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


def sound_length(file: BinaryIO) -> int:
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


class States:
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
