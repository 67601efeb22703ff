"""Opening the window, and what is done in its stead where there is no display."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from app.bootstrap.purpose import has_display
from app.command_line import commands
from app.command_line.output import say
from core.document.project_file import read_project
from core.errors import SenselessRequest

SAMPLE = Path(__file__).resolve().parent.parent.parent / "sample_projects" / "merrow-t2"


def open_window(project: Path) -> int:
    """Show a project in the window until that is closed; raises SenselessRequest where no window can be shown."""
    if not _reaches_display():
        raise SenselessRequest(f"there is no display to open a window on; `bayfold check {project}` does without")
    from app.application import run_window

    return run_window(project)


def open_sample() -> int:
    """The window on the sample aircraft; without a display, the sample's check and its frame strip."""
    if _reaches_display():
        return open_window(SAMPLE)
    status = commands.check(project=SAMPLE, sequence=None, frames=None, as_json=False)
    first = read_project(SAMPLE).sequences[0].id
    file = _exports() / f"{first}.png"
    commands.strip(project=SAMPLE, sequence=first, frames=None, times=None, file=file, as_json=False)
    say(
        "\nThere is no display, so no window was opened: the sample aircraft was checked, and its frame strip drawn.\n"
        "On a desktop, `python3 app` opens the window: the aircraft on its sheet, its sequence to scrub and play, and "
        "every finding shown where it happens."
    )
    return status


def _reaches_display() -> bool:
    """Whether Qt can put up a window. Asked for a display that does not answer, Qt would abort the whole program."""
    if not has_display():
        return False
    if not sys.platform.startswith("linux"):
        return True
    wayland = "wayland;" if os.environ.get("WAYLAND_DISPLAY") else ""  # Qt would complain of one that is not there
    os.environ["QT_QPA_PLATFORM"] = os.environ.get("QT_QPA_PLATFORM") or f"{wayland}xcb;offscreen"
    from app.application import make_application

    return make_application().platformName() != "offscreen"


def _exports() -> Path:
    """The sample's folder for what is written; a folder of its own where that cannot be."""
    folder = SAMPLE / "exports"
    try:
        folder.mkdir(exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except OSError:
        return Path(tempfile.mkdtemp(prefix="bayfold-"))
