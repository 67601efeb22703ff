"""Curves as a picture in a file, in the light theme whatever the window wears."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgGenerator

from app.painting.theme import LIGHT
from app.sequence.chart import LEAD, Chart
from app.sequence.inks import inks_of
from app.sequence.time_scale import TimeScale
from core.curves.series import Series

SIZE = QSize(1200, 520)
"""Pixels; a PNG has twice as many each way."""
FINER = 2
END = 24.0
PER_INCH = 96


def write_picture(file: Path, curves: tuple[Series, ...], over: Series | None, seconds: float) -> bool:
    """An SVG or a PNG, by the file's ending; False where it cannot be written."""
    in_lines = file.suffix.lower() == ".svg"
    chart = _chart(curves, over, seconds, 1.0 if in_lines else FINER)
    try:
        title = ", ".join(one.name for one in curves)
        return _svg(file, chart, title) if in_lines else _png(file, chart, title)
    finally:
        chart.deleteLater()


def _chart(curves: tuple[Series, ...], over: Series | None, seconds: float, finer: float) -> Chart:
    chart = Chart(inks_of(LIGHT), own_time=True, finer=finer)
    chart.resize(SIZE)
    chart.show_curves(curves, over)
    chart.grab()  # of what is never shown, everything has its size only then
    chart.set_scale(TimeScale(LEAD, chart.plot.width() - LEAD - END, seconds))
    return chart


def _png(file: Path, chart: Chart, title: str) -> bool:
    image = QImage(SIZE * FINER, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(FINER)
    image.setText("Title", title)
    with QPainter(image) as painter:
        chart.paint_picture(painter)
    return image.save(str(file))


def _svg(file: Path, chart: Chart, title: str) -> bool:
    generator = QSvgGenerator()
    generator.setFileName(str(file))
    generator.setResolution(PER_INCH)
    generator.setSize(SIZE)
    generator.setViewBox(QRectF(0.0, 0.0, SIZE.width(), SIZE.height()))
    generator.setTitle(title)
    painter = QPainter()
    if not painter.begin(generator):
        return False
    chart.paint_picture(painter)
    return painter.end()
