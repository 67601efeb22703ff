"""What a command needs to be there: a window's libraries, or only what paints and computes."""

from __future__ import annotations

import os
import sys
from typing import Literal

Purpose = Literal["command", "window", "tests"]
PURPOSES: tuple[Purpose, ...] = ("command", "window", "tests")
WITHOUT_DISPLAY = ("check", "poses", "strip", "-h", "--help", "--version")


def purpose_of(arguments: list[str]) -> Purpose:
    """A window is only wanted where there is a display, and not by a command that does without."""
    if has_display() and not (arguments and arguments[0] in WITHOUT_DISPLAY):
        return "window"
    return "command"


def has_display() -> bool:
    """Whether a window could be shown."""
    if not sys.platform.startswith("linux"):
        return True
    if os.environ.get("QT_QPA_PLATFORM", "") == "offscreen":
        return False
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
