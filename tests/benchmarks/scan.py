"""A picture to lay under a sheet, as large as a scan."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter, QPen

LINES = 120


def draw_scan(file: Path, width: int, height: int) -> None:
    """Fine lines all over it."""
    image = QImage(width, height, QImage.Format.Format_Grayscale8)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setPen(QPen(QColor("black"), 3.0))
    for number in range(LINES):
        centre = QPointF(width / LINES * number, height / LINES * number)
        painter.drawEllipse(centre, 40.0 + 6.0 * number, 400.0)
    painter.end()
    image.save(str(file))
