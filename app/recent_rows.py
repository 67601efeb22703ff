"""What the start page says of an aircraft: its name, its folder, when it was last changed, and its small picture."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

from PySide6.QtGui import QPixmap

from app.painting.thumbnail import thumbnail_file
from app.widgets.start_page import RecentRow
from core.document.project_file import FILE_NAME


def row_of(folder: Path, *, dark: bool) -> RecentRow:
    picture = QPixmap(str(thumbnail_file(folder, dark=dark)))
    return RecentRow(
        name=_name(folder), where=str(folder), shown=short(folder), changed=_changed(folder),
        picture=None if picture.isNull() else picture,
    )  # fmt: skip


def short(folder: Path) -> str:
    """With ~ for the home folder."""
    home = Path.home()
    return f"~/{folder.relative_to(home)}" if folder.is_relative_to(home) and folder != home else str(folder)


def _name(folder: Path) -> str:
    """The aircraft's; the folder's where its file cannot be read, which opening it will explain."""
    try:
        name = json.loads((folder / FILE_NAME).read_bytes())["aircraft"]["name"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return folder.name
    return name if isinstance(name, str) and name.strip() else folder.name


def _changed(folder: Path, today: datetime.date | None = None) -> str:
    try:
        when = datetime.datetime.fromtimestamp((folder / FILE_NAME).stat().st_mtime)
    except (OSError, ValueError, OverflowError):
        return ""
    days = ((today or datetime.date.today()) - when.date()).days
    if days == 0:
        return f"changed today, {when:%H:%M}"
    if days == 1:
        return f"changed yesterday, {when:%H:%M}"
    return f"changed {when.day}.{when.month}.{when.year}"
