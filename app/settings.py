"""What the window remembers from one day to the next, each value with its type."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths

from core.document.project_file import FILE_NAME

RECENT_KEPT = 8


class Look(StrEnum):
    """Which theme the window wears."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


class Settings:
    """A typed door to QSettings, which gives text back for everything that it has read from disk."""

    def __init__(self, store: QSettings | None = None) -> None:
        self._store = store if store is not None else QSettings("Bayfold", "Bayfold")

    @property
    def look(self) -> Look:
        kept = str(self._store.value("window/look", Look.SYSTEM.value, type=str))
        return Look(kept) if kept in set(Look) else Look.SYSTEM

    @look.setter
    def look(self, look: Look) -> None:
        self._store.setValue("window/look", look.value)

    def layout(self, part: str) -> QByteArray:
        """The kept state of a splitter or of the window; empty before there is one."""
        kept = self._store.value(f"layout/{part}", QByteArray(), type=QByteArray)
        return kept if isinstance(kept, QByteArray) else QByteArray()

    def keep_layout(self, part: str, state: QByteArray) -> None:
        self._store.setValue(f"layout/{part}", state)

    def flag(self, name: str, default: bool) -> bool:
        return bool(self._store.value(f"flags/{name}", default, type=bool))

    def keep_flag(self, name: str, value: bool) -> None:
        self._store.setValue(f"flags/{name}", value)

    def text(self, name: str, default: str) -> str:
        return str(self._store.value(f"texts/{name}", default, type=str))

    def keep_text(self, name: str, value: str) -> None:
        self._store.setValue(f"texts/{name}", value)

    @property
    def home(self) -> Path:
        """Where new aircraft get their folders."""
        documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        return Path(str(self._store.value("folders/home", str(Path(documents) / "Bayfold"), type=str)))

    @home.setter
    def home(self, folder: Path) -> None:
        self._store.setValue("folders/home", str(folder))

    @property
    def recent(self) -> tuple[Path, ...]:
        """Aircraft opened lately, the newest first; those that have gone from the disk are left out."""
        kept = self._store.value("recent/folders", [], type=list)
        folders = (Path(str(one)) for one in kept) if isinstance(kept, list) else ()
        return tuple(folder for folder in folders if (folder / FILE_NAME).is_file())

    def remember(self, folder: Path) -> None:
        folder = folder.resolve()
        others = [one for one in self.recent if one != folder]
        self._store.setValue("recent/folders", [str(one) for one in [folder, *others][:RECENT_KEPT]])

    def forget_recent(self) -> None:
        self._store.setValue("recent/folders", [])
