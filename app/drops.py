"""What is dropped on the window: an aircraft to open, or a drawing or outlines to take in."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QUrl

from app.files import is_packed
from app.pictures import KINDS as DRAWING_KINDS
from core.document.project_file import FILE_NAME


def dropped_sheet(urls: list[QUrl]) -> Path | None:
    """The drawing or the outlines among things that are dropped."""
    files = (Path(url.toLocalFile()) for url in urls if url.isLocalFile())
    return next((file for file in files if file.suffix.lower() in (*DRAWING_KINDS, ".dxf")), None)


def dropped_path(urls: list[QUrl]) -> Path | None:
    """The aircraft among things that are dropped: a folder, a project.json, or one packed in a file."""
    for url in urls:
        path = Path(url.toLocalFile()) if url.isLocalFile() else None
        if path is not None and (path.name == FILE_NAME or (path / FILE_NAME).is_file() or is_packed(path)):
            return path
    return None
