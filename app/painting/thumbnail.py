"""A small picture of an aircraft, kept in its folder beside the journal, so that it is known again at a glance."""

from __future__ import annotations

import contextlib
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
from PySide6.QtCore import QBuffer, QIODevice, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from app.painting.painter import Painter
from app.painting.placement import fitted
from app.painting.theme import DARK, LIGHT, Theme
from core.document.journal import FOLDER
from core.document.project import Project
from core.document.project_file import FILE_NAME, put_in_place
from core.drawing.extent import extent
from core.drawing.scene import scene
from core.interference.placement import parts_of

WIDTH, HEIGHT = 96, 60
"""Pixels as shown; the file has twice as many each way, for fine screens."""
TIMES = 2
MARGIN = 10.0
UNIT = 2.4
"""Pixels of the file that make a millimetre on paper: lines stay fine, and a hatching can be told."""


def thumbnail_file(folder: Path, *, dark: bool) -> Path:
    return folder / FOLDER / f"picture-{'dark' if dark else 'light'}.png"


def keep_thumbnails(project: Project, folder: Path) -> None:
    """Write both pictures, unless they are newer than the project. A disk that refuses is no trouble here."""
    with contextlib.suppress(OSError):
        written = (folder / FILE_NAME).stat().st_mtime
        for theme in (LIGHT, DARK):
            file = thumbnail_file(folder, dark=theme.dark)
            if file.exists() and file.stat().st_mtime >= written:
                continue
            image = thumbnail(project, theme)
            if image is None:
                file.unlink(missing_ok=True)
                continue
            file.parent.mkdir(exist_ok=True)
            put_in_place(file, _png(image))


def thumbnail(project: Project, theme: Theme, *, times: int = TIMES) -> QImage | None:
    """The view with the most bodies as drawn, without words; None where there is nothing to see. `times` as large."""
    if not project.bodies:
        return None
    view, _ = Counter(body.view for body in project.bodies).most_common(1)[0]
    parts, poses = parts_of(project), np.zeros((len(project.bodies), 3))
    bounds = extent(project, parts, poses[None], view)
    if bounds is None:
        return None
    drawing = replace(scene(project, parts, poses, view=view), labels=(), pictures=())
    image = QImage(WIDTH * times, HEIGHT * times, QImage.Format.Format_RGB32)
    image.fill(QColor(theme.paper))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    room = QRectF(image.rect())
    placement = fitted(bounds, room.width(), room.height(), MARGIN)
    Painter(theme, unit=UNIT, wide=0.6, signs=0.5, hatch=2.0).paint(painter, drawing, placement, room)
    painter.end()
    return image


def _png(image: QImage) -> bytes:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]  # its stub wants the name as bytes
    return bytes(buffer.data().data())
