"""A canvas of the sheet under the tests' hand."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest

from app.sheet.canvas import Canvas
from app.sheet.sheet import Sheet


def canvas_of(sheet: Sheet, number: int = 0) -> Canvas:
    return sheet.canvases[number]


def at(canvas: Canvas, x: float, y: float) -> QPoint:
    return canvas.placement.to_device(x, y).toPoint()


def pixels(sheet: Sheet) -> np.ndarray:
    image = canvas_of(sheet).grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    return np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4)[:, :, :3].astype(int)


def drag(canvas: Canvas, start: QPoint, end: QPoint, button: Qt.MouseButton = Qt.MouseButton.LeftButton) -> None:
    QTest.mousePress(canvas, button, Qt.KeyboardModifier.NoModifier, start)
    for share in (0.3, 0.7, 1.0):
        QTest.mouseMove(canvas, start + (end - start) * share)
    QTest.mouseRelease(canvas, button, Qt.KeyboardModifier.NoModifier, end)
