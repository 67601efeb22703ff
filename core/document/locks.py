"""One window at a time may change an aircraft: a lock in its folder, and who holds it."""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import socket
import sys
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import BinaryIO

from core.document.journal import FOLDER

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

NAME = "lock"
TRIES = 250
PAUSE = 0.01
"""Seconds between tries while another window clears away what a killed one has left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Who has an aircraft open."""

    pid: int
    host: str
    token: str
    """Tells two windows of one process apart."""
    started: str = ""
    """When the process began, as the system counts; tells it from a later one of the same number. Empty: not known."""

    @property
    def alive(self) -> bool:
        """Whether the process is there; one on another machine is believed to be."""
        if self.host != socket.gethostname():
            return True
        if self.pid <= 0 or not _runs(self.pid):
            return False
        return not self.started or self.started == _started(self.pid)


class Lock:
    """Held while a window may change a folder's aircraft."""

    def __init__(self, folder: Path, token: str) -> None:
        self._file = Path(folder) / FOLDER / NAME
        pid = os.getpid()
        self._me = Holder(pid=pid, host=socket.gethostname(), token=token, started=_started(pid))

    def take(self) -> Holder | None:
        """Take the lock; who holds it instead, where another living window does, of number 0 where that is not told.

        The lock of a process that is gone is taken over. A folder that cannot be written to has no lock, and needs
        none.
        """
        try:
            self._file.parent.mkdir(exist_ok=True)
        except OSError:  # a file may stand where the folder would be
            return None
        for _ in range(TRIES):
            try:
                self._put()
            except FileExistsError:
                holder = self.holder()
                if holder == self._me:
                    return None
                if holder is not None and holder.alive:
                    return holder
                self._clear_away()
                continue
            except OSError:
                return None
            return None
        return self.holder() or Holder(pid=0, host=self._me.host, token="")

    def holder(self) -> Holder | None:
        """Who holds it now; None where nobody does, or it cannot be told."""
        try:
            return _told(self._file.read_text(errors="replace"))
        except OSError:
            return None

    def give_back(self) -> None:
        if self.holder() == self._me:
            with contextlib.suppress(OSError):
                self._file.unlink()

    def _put(self) -> None:
        """Put the lock there with all that it says, so that nobody finds it half written; raises FileExistsError."""
        beside = self._file.with_name(f"{NAME}-{secrets.token_hex(4)}.tmp")
        try:
            beside.write_text(json.dumps(asdict(self._me)))
            try:
                self._file.hardlink_to(beside)
            except FileExistsError:
                raise
            except (OSError, NotImplementedError):  # a stick's file system has no second names
                with self._file.open("x") as out:
                    out.write(json.dumps(asdict(self._me)))
        finally:
            with contextlib.suppress(OSError):
                beside.unlink()

    def _clear_away(self) -> None:
        """Take away the lock of a process that is gone, and no other's: windows may come to it at once, so one does it
        at a time, and looks again. Who halts in its turn keeps it, and who is killed in it does not, so that nobody has
        to guess by the clock which it was."""
        with contextlib.suppress(OSError), self._file.with_name(f"{NAME}-turn").open("ab") as turn:
            if not _alone_with(turn):
                time.sleep(PAUSE)
                return
            holder = _told(self._file.read_text(errors="replace"))
            if holder is None or not holder.alive:
                self._file.unlink()


def _alone_with(file: BinaryIO) -> bool:
    """Whether no other window holds this file, which is held until it is closed, or its process is gone; True where the
    file system has nothing of the kind."""
    try:
        if sys.platform == "win32":
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        return True
    return True


def _told(text: str) -> Holder | None:
    try:
        held = json.loads(text)
        return Holder(
            pid=int(held["pid"]), host=str(held["host"]), token=str(held["token"]), started=str(held.get("started", ""))
        )
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _runs(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def _started(pid: int) -> str:
    """Ticks from the machine's start to the process's, and which start that was; empty where it is not told.

    Field 22 of /proc/PID/stat, counted after the name in brackets, which may hold anything (proc_pid_stat(5)).
    """
    try:
        ticks = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[19]
        return f"{Path('/proc/sys/kernel/random/boot_id').read_text().strip()} {ticks}"
    except (OSError, IndexError, ValueError):
        return ""
