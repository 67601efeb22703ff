"""Traced drawings are read whatever their size is."""

from __future__ import annotations

from pathlib import Path

from PIL import Image
from PySide6.QtGui import QImage, QImageReader, QPainter

from app.painting.pictures import Pictures
from app.painting.placement import Placement
from core.drawing.drawing import Picture


def test_a_picture_larger_than_qt_reads_by_itself_is_seen(qapp, tmp_path: Path):
    """The limit is set low, so that a small picture stands for the scan of a large sheet."""
    Image.new("RGB", (800, 800), "black").save(tmp_path / "sheet.png")
    picture = Picture(
        file=str(tmp_path / "sheet.png"), pixel_to_mm=((0.1, 0, 0), (0, -0.1, 80), (0, 0, 1)), opacity=1.0
    )
    before = QImageReader.allocationLimit()
    QImageReader.setAllocationLimit(1)
    try:
        onto = QImage(100, 100, QImage.Format.Format_RGB32)
        onto.fill("white")
        painter = QPainter(onto)
        assert Pictures().paint(painter, picture, Placement(scale=1.0, x=10.0, y=90.0), dark=False)
        painter.end()
    finally:
        QImageReader.setAllocationLimit(before)
    assert onto.pixelColor(50, 50).lightness() < 20
