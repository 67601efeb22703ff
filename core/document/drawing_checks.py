"""Checks of the traced drawings: there, inside the project's folder, and pictures that can be read."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from pathlib import Path, PurePosixPath, PureWindowsPath

from core.document.json_text import shown
from core.document.names import problem
from core.document.problem import Place, Problem
from core.document.project import Project, TracedDrawing, View


def drawing_problems(project: Project, folder: Path | None) -> Iterator[Problem]:
    for place, view, drawing in drawings_in(project):
        path: Place = (*place, "file")
        name = drawing.file
        if not _inside(name):
            wrong = f"{shown(name)} is not a file inside the project's folder"
            yield problem(path, wrong, 'a path within it, such as "drawings/side.png"', thing=view.id)
        elif folder is not None:
            yield from _there(path, folder, name, view.id)


def drawings_in(project: Project) -> Iterator[tuple[Place, View, TracedDrawing]]:
    """Every traced drawing with its place in the file, and its view."""
    for index, view in enumerate(project.views):
        if view.drawing is not None:
            yield ("views", index, "drawing"), view, view.drawing
        for number, drawing in enumerate(view.more_drawings):
            yield ("views", index, "more_drawings", number), view, drawing


def _inside(name: str) -> bool:
    """Whether a name stays inside the folder on every system."""
    if not name.strip() or "\0" in name or "\\" in name:
        return False
    posix, windows = PurePosixPath(name), PureWindowsPath(name)
    return not (posix.is_absolute() or windows.is_absolute() or windows.drive or ".." in posix.parts)


def _there(path: Place, folder: Path, name: str, thing: str) -> Iterator[Problem]:
    try:
        file = (folder / name).resolve()
        inside, there = file.is_relative_to(folder.resolve()), file.is_file()
    except (OSError, RuntimeError, ValueError):  # a ring of links, a name too long
        inside, there = True, False
    if not inside:
        yield problem(path, f"{shown(name)} leads out of the project's folder", "copy the drawing into it", thing=thing)
    elif not there:
        right = "put it back, or take the drawing out of the view"
        yield problem(path, f"the drawing {shown(name)} is missing", right, thing=thing)
    elif not _is_picture(file):
        right = "a whole PNG, JPEG, TIFF or WebP picture is needed"
        yield problem(path, f"the drawing {shown(name)} cannot be read as a picture", right, thing=thing)


def _is_picture(file: Path) -> bool:
    """Whether its head names a kind of picture and, where the kind has check sums, they are right."""
    from PIL import Image  # where a drawing is there to be looked at; most commands have none to wait for

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # a large scan is no attack here
            with Image.open(file) as picture:
                picture.verify()
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):  # as Pillow tells of broken files
        return False
    return True
