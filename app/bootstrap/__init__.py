"""Makes `python3 app` and `python3 tests` work on a bare machine: system libraries, `.venv`, packages, run again in it.

Standard library only. What is slow to import is imported where it is used, since every later run passes here too.
Everything said goes to standard error: standard output belongs to the command.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import NoReturn

from app.bootstrap.environment import alone, environment_folder, is_ready, python_of, set_up
from app.bootstrap.purpose import Purpose
from app.bootstrap.talk import SetUpFailed, say

ONE_THREAD = "OPENBLAS_NUM_THREADS"
"""numpy's matrices are small here: threads for them only wait for a processor that something else has."""


def ensure(purpose: Purpose) -> None:
    """Return when this is the ready environment's Python; otherwise make that ready and run the command again in it."""
    os.environ.setdefault(ONE_THREAD, "1")
    try:
        home = environment_folder()
        if Path(sys.prefix).resolve() == home.resolve():
            return
        if not is_ready(home, purpose):
            with alone(home):
                if not is_ready(home, purpose):
                    set_up(home, purpose)
        run_again(python_of(home))
    except SetUpFailed as failure:
        say(str(failure))
    except OSError as error:
        say(f"set-up could not go on: {error}")
    except KeyboardInterrupt:
        say("set-up interrupted; the next run starts it again")
        raise SystemExit(130) from None
    raise SystemExit(2)


def run_again(python: Path) -> NoReturn:
    """The same command with the same flags from the same folder, by the environment's Python."""
    guard, me = "BAYFOLD_RUN_AGAIN", str(os.getppid() if os.name == "nt" else os.getpid())
    if os.environ.get(guard) == me:
        raise SetUpFailed(f"{python} does not run in its own environment; is PYTHONHOME set?")
    command = [str(python), *sys.orig_argv[1:]]
    sys.stderr.flush()
    if os.name == "nt":  # exec there loses the console and the exit status
        import subprocess

        raise SystemExit(subprocess.call(command, env={**os.environ, guard: str(os.getpid())}))
    os.execve(python, command, {**os.environ, guard: me})
