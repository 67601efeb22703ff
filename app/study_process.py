"""Studies in a process of its own, so that the interpreter stays free for the window's repaints.

It is begun when the window is, and until it is ready, or if it fails, studies are made by the thread that asks. While
the hand goes on it is not left idle: what comes next is sent before the answer that came is unpacked.
"""

from __future__ import annotations

import queue
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from core.errors import BayfoldError, CheckCancelled
from core.parcels import Receiver
from core.serving import GREETING, packed, read_message, unpacked, write_message
from core.study import Asked, Study, run

try:
    import fcntl
except ImportError:  # there is none on Windows
    fcntl = None  # type: ignore[assignment]

ROOT = Path(__file__).resolve().parent.parent
PROGRAM = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from core.serving import main; main()"
LOOK = 0.01
"""Seconds between two looks whether a study is still wanted."""
WIDE = 1 << 20
"""Bytes that the pipe of answers is to hold; what any user may ask for on Linux."""
PATIENCE = 2.0
"""Seconds that the process is given to end by itself."""

Newer = Callable[[], Asked | None]


def nothing() -> Asked | None:
    return None


class StudyFailed(BayfoldError):
    """The process could not study a project; why, in one line."""


class StudyProcess:
    """What `core.study.run` does, one call at a time, by a process that is kept alive between calls."""

    def __init__(self) -> None:
        self._answers: queue.SimpleQueue[bytes | None] = queue.SimpleQueue()
        self._ready = threading.Event()
        self._parcels = Receiver()
        self._ahead: Asked | None = None
        """What it studies already, though nobody has called for it yet."""
        self._missed: Asked | None = None
        """What was studied here before it was ready; it studies that first, so that the next check takes from it."""
        self._process = _begun()
        if self._process is not None:
            _widen(self._process)
            threading.Thread(target=self._read, args=(self._process,), daemon=True).start()

    @property
    def ready(self) -> bool:
        return self._ready.is_set()

    @property
    def pid(self) -> int | None:
        """Of the process; None where there is none."""
        return None if self._process is None else self._process.pid

    def __call__(
        self, asked: Asked, /, *, previous: Study | None, cancelled: Callable[[], bool], newer: Newer = nothing
    ) -> Study:
        """Study a project; raises CheckCancelled when `cancelled` says so, StudyFailed where it cannot be done.

        `newer` is asked, when the answer is there, for what will be called for next, as it is known by then.
        """
        if self.ready and self._is_asked(asked):
            answer = self._wait(cancelled)
            if answer is not None:
                following = newer()
                if following is not None and self._send(following):
                    self._ahead = following
                found = unpacked(self._parcels, answer, asked.project)
                if found.why:
                    raise StudyFailed(found.why)
                if found.study is None:
                    raise CheckCancelled
                return found.study
        self._missed = asked
        return run(asked.project, looked_at=asked.looked_at, previous=previous, cancelled=cancelled)

    def shut_down(self) -> None:
        """End the process; it goes by itself when nothing more can come."""
        process, self._process = self._process, None
        self._ready.clear()
        if process is None or process.stdin is None:
            return
        with suppress(OSError):
            process.stdin.close()
        try:
            process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()

    def _is_asked(self, asked: Asked) -> bool:
        """See that what is asked is the next that is answered to; False where there is nobody to ask."""
        ahead, self._ahead = self._ahead, None
        if ahead is asked:
            return True
        if ahead is not None:
            unwanted = self._wait(lambda: True)
            if unwanted is None:
                return False
            self._parcels.unpack(unwanted)
        return self._send(asked)

    def _wait(self, cancelled: Callable[[], bool]) -> bytes | None:
        """The answer, even to what was stopped, so that the next one is to the next request; None when none comes."""
        stopped = False
        while True:
            if not stopped and cancelled():
                stopped = self._send(None) or True
            with suppress(queue.Empty):
                return self._answers.get(timeout=LOOK)

    def _send(self, asked: Asked | None) -> bool:
        """Ask for a study, or with None that what is under way is stopped; False where nobody is there to be asked."""
        process = self._process
        if process is None or process.stdin is None:
            return False
        try:
            write_message(process.stdin, packed(asked))
        except (OSError, ValueError):  # it has ended, or is being ended
            self._ready.clear()
            return False
        return True

    def _read(self, process: subprocess.Popen[bytes]) -> None:
        assert process.stdout is not None
        with process.stdout as answers:
            if read_message(answers) == GREETING:
                missed = self._missed
                if missed is not None and self._send(missed):
                    self._ahead = missed  # before it is ready nobody else looks at it
                self._ready.set()
                while (answer := read_message(answers)) is not None:
                    self._answers.put(answer)
        self._ready.clear()
        self._answers.put(None)


def _widen(process: subprocess.Popen[bytes]) -> None:
    """Let a whole answer lie in the pipe, where the system can: each piece that is read by itself waits for the
    interpreter, which the window's painting holds."""
    if fcntl is not None and process.stdout is not None and hasattr(fcntl, "F_SETPIPE_SZ"):
        with suppress(OSError):
            fcntl.fcntl(process.stdout.fileno(), fcntl.F_SETPIPE_SZ, WIDE)


def _begun() -> subprocess.Popen[bytes] | None:
    """The process; None where none can be begun. Ctrl-C in the terminal is not for it: it ends with the window."""
    hidden = getattr(subprocess, "CREATE_NO_WINDOW", 0)
    try:
        return subprocess.Popen(
            [sys.executable, "-c", PROGRAM],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            creationflags=hidden,
            start_new_session=True,
        )
    except OSError:
        return None
