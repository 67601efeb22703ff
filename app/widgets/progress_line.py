"""How much of some work is done."""

from __future__ import annotations

from PySide6.QtWidgets import QProgressBar


def progress_line(name: str) -> QProgressBar:
    """In thousandths, without words; it keeps its room while it is hidden."""
    line = QProgressBar()
    line.setAccessibleName(name)
    line.setRange(0, 1000)
    line.setTextVisible(False)
    room = line.sizePolicy()
    room.setRetainSizeWhenHidden(True)
    line.setSizePolicy(room)
    return line
