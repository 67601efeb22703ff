"""Checks of the traced drawings: there, inside the project's folder, and pictures that can be read."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from pathlib import Path, PurePosixPath, PureWindowsPath

from core.document.json_text import shown
from core.document.names import problem
from core.document.problem import Place, Problem
from core.document.project import Project, TracedDrawing, View

MOST_PIXELS = 178_956_970
"""Of a picture: Pillow, which looks through them, takes more for an attack (twice its MAX_IMAGE_PIXELS)."""


def drawing_problems(project: Project, folder: Path | None, *, lost: bool = True) -> Iterator[Problem]:
    """Files that must not be looked at and, where the project's folder is known, those that are `lost` from it."""
    for place, view, drawing in drawings_in(project):
        path: Place = (*place, "file")
        name = drawing.file
        if not _inside(name):
            wrong = f"{shown(name)} is not a file inside the project's folder"
            yield problem(path, wrong, 'a path within it, such as "drawings/side.png"', thing=view.id)
        elif folder is not None and not _stays_inside(folder, name):
            wrong = f"{shown(name)} leads out of the project's folder"
            yield problem(path, wrong, "copy the drawing into it", thing=view.id)
        elif folder is not None and lost:
            yield from _lost(path, folder, name, view.id)


def lost_drawings(project: Project, folder: Path) -> tuple[Problem, ...]:
    """The drawings that are not there, or are no pictures any more: the aircraft is whole without them."""
    inside = set(drawing_problems(project, folder, lost=False))
    return tuple(one for one in drawing_problems(project, folder) if one not in inside)


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


def _stays_inside(folder: Path, name: str) -> bool:
    """Whether links lead nowhere else."""
    try:
        return (folder / name).resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):  # a ring of links, a name too long
        return True


def _lost(path: Place, folder: Path, name: str, thing: str) -> Iterator[Problem]:
    file = folder / name
    try:
        there = file.is_file()
    except (OSError, RuntimeError, ValueError):
        there = False
    if not there:
        right = "put it back, or take the drawing out of the view"
        yield problem(path, f"the drawing {shown(name)} is missing", right, thing=thing)
    elif not is_picture(file):
        right = "a whole PNG, JPEG, TIFF or WebP picture is needed"
        yield problem(path, f"the drawing {shown(name)} cannot be read as a picture", right, thing=thing)


def is_picture(file: Path) -> bool:
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
