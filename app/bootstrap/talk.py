"""What the set-up says, and the programs that it runs."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from subprocess import CompletedProcess


class SetUpFailed(Exception):
    """What stands in the way of a set-up, and what to do about it, in one message."""


def say(text: str) -> None:
    """Print a line on standard error."""
    print(f"bayfold: {text}", file=sys.stderr, flush=True)


def run(command: list[str], *, hold_lock: bool = False) -> CompletedProcess[str]:
    """Run with output kept, without the settings that would send packages elsewhere.

    With `hold_lock` the set-up lock stays taken until the command ends, even if this process is killed before it.
    """
    import subprocess

    elsewhere = {"PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PYTHONHOME", "PYTHONPATH"}
    environment = {name: value for name, value in os.environ.items() if name not in elsewhere}
    return subprocess.run(
        command, check=False, env=environment, text=True, errors="replace", stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, close_fds=not hold_lock,
    )  # fmt: skip
