"""A process that does nothing but study what it is sent: `python -c "from core.serving import main; main()"`.

Requests come on its input, answers go to its output, each as so many bytes after the count of them. It begins with a
greeting, keeps the study that it made last, so that the next one takes over what stayed the same, and ends with its
input: nothing is left running when whoever asked is gone.
"""

from __future__ import annotations

import os
import sys
import threading
from dataclasses import dataclass, replace
from typing import IO

import msgspec
import numpy as np

from core.document.project import Aircraft, Project
from core.errors import BayfoldError, CheckCancelled, one_line
from core.motion.placing import Placing
from core.parcels import Receiver, Sender
from core.study import Asked, Study, run

COUNT = 8
"""Bytes that say how many follow."""
GREETING = b"ready"
NOWHERE = Placing(np.zeros(0), np.zeros((0, 0)))
"""Stands for where all stood while a motion was put together, which only the next one takes from."""
NONE = Project(aircraft=Aircraft(name=""))
"""Stands for the project that was asked about."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The study without what only the next check needs; where there is none, why not, in one line, or nothing where it
    was stopped."""

    study: Study | None = None
    why: str = ""


def write_message(stream: IO[bytes], message: bytes) -> None:
    stream.write(len(message).to_bytes(COUNT, "little") + message)
    stream.flush()


def read_message(stream: IO[bytes]) -> bytes | None:
    """The next message; None when there is no other."""
    count = stream.read(COUNT)
    if len(count) < COUNT:
        return None
    size = int.from_bytes(count, "little")
    message = stream.read(size)
    return message if len(message) == size else None


def packed(asked: Asked | None) -> bytes:
    """A request to study a project; with None, to stop what is under way."""
    return msgspec.msgpack.encode(asked)


def unpacked(parcels: Receiver, message: bytes, project: Project) -> Answer:
    """An answer as it came, with the very project that was asked about, since what it keeps is told by identity."""
    answer = parcels.unpack(message)
    assert isinstance(answer, Answer)
    return answer if answer.study is None else Answer(study=replace(answer.study, project=project))


class _Inbox:
    """Requests as they come, read by a thread: one that comes while a study is under way stops it."""

    def __init__(self, stream: IO[bytes]) -> None:
        self._stream, self._decoder = stream, msgspec.msgpack.Decoder(Asked | None)
        self._came = threading.Condition()
        self._waiting: list[Asked | None] = []
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        while (message := read_message(self._stream)) is not None:
            with self._came:
                self._waiting.append(self._decoder.decode(message))
                self._came.notify()
        os._exit(0)  # whoever asked has gone, and wants no answer

    def next(self) -> Asked:
        """Wait for a project to study."""
        while True:
            with self._came:
                self._came.wait_for(lambda: self._waiting)
                asked = self._waiting.pop(0)
            if asked is not None:
                return asked

    def is_stopped(self) -> bool:
        """Whether something came since."""
        return bool(self._waiting)


def serve(requests: IO[bytes], answers: IO[bytes]) -> None:
    """Answer every request in turn, until there are no more."""
    inbox, parcels = _Inbox(requests), Sender({Placing: NOWHERE})
    write_message(answers, GREETING)
    previous: Study | None = None
    while True:
        asked = inbox.next()
        try:
            previous = run(asked.project, looked_at=asked.looked_at, previous=previous, cancelled=inbox.is_stopped)
            answer = Answer(study=_lightened(previous))
        except CheckCancelled:
            answer = Answer()
        except BayfoldError as error:
            answer = Answer(why=one_line(str(error)))
        except Exception as error:  # noqa: BLE001 - a fault of the program is told in one line, and the next is studied
            answer = Answer(why=one_line(f"{type(error).__name__}: {error}"))
        write_message(answers, parcels.parcel(answer))


def _lightened(study: Study) -> Study:
    """Without its project, which whoever asked has, and without what only the next check needs."""
    bare = tuple(
        replace(one, pairs=None, interference=replace(one.interference, track=None)) for one in study.sequences
    )
    parts = replace(study.parts, made_of=(None,) * len(study.parts))
    return replace(study, project=NONE, parts=parts, sequences=bare)


def main() -> None:
    """Serve on this process's own input and output; what else would print there goes to its error output."""
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    serve(sys.stdin.buffer, answers)
