"""What each command does. Qt is imported only by those that open a window or paint, and the solver where it is needed.

A file that cannot be read is refused before the solver's libraries have had their half second to load.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from app import __version__
from app.bootstrap import has_display
from app.command_line.output import say, say_json
from core.document.project_file import read_project
from core.errors import SenselessRequest

SAMPLE = Path(__file__).resolve().parent.parent.parent / "sample_projects" / "merrow-t2"
STRIP_KINDS = (".png", ".svg", ".pdf")
STRIP_FRAMES = 8


def check(*, project: Path, sequence: str | None, frames: int | None, as_json: bool) -> int:
    """Status 1 where anything was found."""
    read = read_project(project)
    from core.report import to_json, to_text
    from core.study import run

    study = run(read, sequence=sequence, frames=frames)
    if as_json:
        say_json(to_json(read, study))
    else:
        say(to_text(read, study))
    return int(any(one.findings for one in study.sequences))


def poses(*, project: Path, sequence: str, times: Sequence[float], as_json: bool) -> int:
    """Status 1 where a body could not be brought to where it should be."""
    read = read_project(project)
    from app.command_line.moments import moments, moments_in_words

    answer = moments(read, sequence, times)
    if as_json:
        say_json({"poses": answer})
    else:
        say(moments_in_words(read, sequence, answer))
    return int(any("held" in moment for moment in answer))


def strip(
    *, project: Path, sequence: str, frames: int | None, times: Sequence[float] | None, file: Path, as_json: bool
) -> int:
    """Status 1 where the sequence that was drawn has findings."""
    read = read_project(project)
    from app.command_line.strip import draw_strip

    study, drawn = draw_strip(read, project, sequence, frames or STRIP_FRAMES, times, file)
    if as_json:
        say_json({"file": str(file), "sequence": sequence, "times": list(drawn)})
    else:
        found = len(study.findings)
        told = f"; {found} found, which `bayfold check` names" if found else ""
        say(f"{file}: {len(drawn)} frames of {study.sequence.name or sequence}{told}")
    return int(bool(study.findings))


def open_window(project: Path) -> int:
    """Show a project in the window until that is closed."""
    if not has_display():
        raise SenselessRequest(f"there is no display to open a window on; `bayfold check {project}` does without")
    _choose_platform()
    from app.application import run_window

    return run_window(project)


def open_sample() -> int:
    """The window on the sample aircraft; without a display, the sample's check and its frame strip."""
    if has_display():
        return open_window(SAMPLE)
    from app.command_line.strip import draw_strip

    status = check(project=SAMPLE, sequence=None, frames=None, as_json=False)
    read = read_project(SAMPLE)
    first = read.sequences[0].id
    file = _exports() / f"{first}.png"
    draw_strip(read, SAMPLE, first, STRIP_FRAMES, None, file)
    say(
        f"\nThere is no display, so no window was opened. The sample aircraft was checked, and its frame strip drawn:\n"
        f"  {file}\nOn a desktop, `python3 app` opens the window: the aircraft on its sheet, its sequence to scrub and "
        "play, every finding shown where it happens."
    )
    return status


def tell_version() -> int:
    """Print the program's version."""
    say(f"Bayfold {__version__}")
    return 0


def _choose_platform() -> None:
    """Wayland, else X11, unless the user has chosen."""
    if sys.platform.startswith("linux"):
        os.environ.setdefault("QT_QPA_PLATFORM", "wayland;xcb")


def _exports() -> Path:
    """The sample's folder for what is written; a folder of its own where that cannot be."""
    folder = SAMPLE / "exports"
    try:
        folder.mkdir(exist_ok=True)
        (folder / ".touch").touch()
        (folder / ".touch").unlink()
    except OSError:
        return Path(tempfile.mkdtemp(prefix="bayfold-"))
    return folder
