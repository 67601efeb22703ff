"""One window at a time may change an aircraft: a lock in its folder, and who holds it."""

from __future__ import annotations

import contextlib
import json
import os
import socket
from dataclasses import dataclass
from pathlib import Path

from core.document.journal import FOLDER

NAME = "lock"


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Who has an aircraft open."""

    pid: int
    host: str
    token: str
    """Tells two windows of one process apart, and a process from a later one of the same number."""


class Lock:
    """Held while a window may change a folder's aircraft."""

    def __init__(self, folder: Path, token: str) -> None:
        self._file = Path(folder) / FOLDER / NAME
        self._me = Holder(pid=os.getpid(), host=socket.gethostname(), token=token)

    def take(self) -> Holder | None:
        """Take the lock; who holds it instead, where another living window does.

        The lock of a process that is gone is taken over. A folder that cannot be written to has no lock, and needs
        none.
        """
        for _ in range(2):
            try:
                self._file.parent.mkdir(parents=True, exist_ok=True)
                descriptor = os.open(self._file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644)
            except FileExistsError:
                holder = self.holder()
                if holder == self._me:
                    return None
                if holder is not None and _alive(holder):
                    return holder
                with contextlib.suppress(OSError):
                    self._file.unlink()
                continue
            except OSError:
                return None
            with os.fdopen(descriptor, "w") as out:
                json.dump({"pid": self._me.pid, "host": self._me.host, "token": self._me.token}, out)
            return None
        return self.holder()

    def holder(self) -> Holder | None:
        """Who holds it now; None where nobody does, or it cannot be told."""
        try:
            held = json.loads(self._file.read_text())
            return Holder(pid=int(held["pid"]), host=str(held["host"]), token=str(held["token"]))
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def give_back(self) -> None:
        if self.holder() == self._me:
            with contextlib.suppress(OSError):
                self._file.unlink()


def _alive(holder: Holder) -> bool:
    """Whether the process is there; one on another machine is believed to be."""
    if holder.host != socket.gethostname():
        return True
    if holder.pid <= 0:
        return False
    try:
        os.kill(holder.pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
