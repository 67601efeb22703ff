"""Small pictures of aircraft that were never left here, made away from the window's thread for the start page."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.aside import Aside
from app.painting.thumbnail import keep_thumbnails, thumbnail_file
from core.document.project_file import read_project


class RecentPictures(QObject):
    made = Signal()
    """There is a picture that was not there before."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._aside = Aside(self)
        self._aside.done.connect(self._on_made)
        self._tried: set[Path] = set()

    def want(self, folders: Iterable[Path]) -> None:
        """Have pictures of these; each folder is tried once, and one that cannot be read or written to has none."""
        for folder in folders:
            if folder not in self._tried and not _pictured(folder):
                self._tried.add(folder)
                self._aside.ask(folder, partial(_make, folder))

    def shut_down(self) -> bool:
        return self._aside.shut_down()

    def _on_made(self, _folder: object, made: object) -> None:
        if made:
            self.made.emit()


def _make(folder: Path) -> bool:
    keep_thumbnails(read_project(folder, lost=False), folder)
    return _pictured(folder)


def _pictured(folder: Path) -> bool:
    return all(thumbnail_file(folder, dark=dark).is_file() for dark in (False, True))
