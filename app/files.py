"""An aircraft's folder, as the window opens it and keeps it: the project, and the drawings that go with it."""

from __future__ import annotations

import shutil
from contextlib import suppress
from pathlib import Path

from core.document.drawing_checks import lost_drawings
from core.document.packing import SUFFIX
from core.document.project import Project
from core.document.project_file import project_file, read_project, write_project
from core.errors import UnwritableProject

SAMPLES = Path(__file__).resolve().parent.parent / "sample_projects"
SAMPLE = SAMPLES / "merrow-t2"


def open_aircraft(path: Path) -> tuple[Project, Path]:
    """The project and its folder; raises UnreadableProject. A drawing that is lost keeps nobody from the rest."""
    file = project_file(path)
    return read_project(file, lost=False), file.resolve().parent


def lost_words(project: Project, folder: Path) -> str:
    """In a line, which drawings are not there, or are broken; empty where none is."""
    lost = lost_drawings(project, folder)
    if not lost:
        return ""
    others = f"; so {'is one more' if len(lost) == 2 else f'are {len(lost) - 1} more'}" if len(lost) > 1 else ""
    wrong = lost[0].wrong
    return (
        f"{wrong[0].upper()}{wrong[1:]}{others}. Put it back into {folder}, or take it away (Tracing); all else is here"
    )


def is_packed(path: Path) -> bool:
    """Whether a path means an aircraft in one file."""
    return path.suffix.lower() == SUFFIX and not path.is_dir()


def save_aircraft(project: Project, folder: Path, came_from: Path | None) -> None:
    """Put the project into a folder, and the drawings it had in its old one; raises UnwritableProject.

    A drawing that is there already is left as it is: reference pictures are never rewritten.
    """
    if came_from is not None and folder.resolve() != came_from.resolve():
        for view in project.views:
            for drawing in view.drawings:
                _copy(came_from / drawing.file, folder / drawing.file)
    write_project(project, folder)


def _copy(source: Path, copy: Path) -> None:
    if copy.exists() or not source.is_file():
        return
    try:
        copy.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, copy)
    except OSError as error:
        with suppress(OSError):  # what is half there would be taken for the drawing next time
            copy.unlink(missing_ok=True)
        raise UnwritableProject(f"{copy}: could not be written: {error.strerror or error}") from error
