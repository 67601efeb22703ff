"""A hand at the window, that counts what it does: clicks at places of the sheet, and keys."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.main_window import MainWindow

LETTERS = {key: getattr(Qt.Key, f"Key_{key}") for key in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"}


class Sketcher:
    def __init__(self, window: MainWindow) -> None:
        self.window = window
        self.clicks, self.keys = 0, 0

    @property
    def count(self) -> int:
        return self.clicks + self.keys

    @property
    def canvas(self):
        return self.window.sheet.canvases[0]

    def pixel(self, x: float, y: float) -> QPoint:
        return self.canvas.placement.to_device(x, y).toPoint()

    def move(self, x: float, y: float) -> None:
        QTest.mouseMove(self.canvas, self.pixel(x, y))
        QApplication.processEvents()

    def click(self, x: float, y: float) -> None:
        """A click at a place of the view, in millimetres."""
        self.move(x, y)
        QTest.mouseClick(self.canvas, Qt.MouseButton.LeftButton, pos=self.pixel(x, y))
        self.clicks += 1

    def press_on(self, widget: QWidget) -> None:
        QTest.mouseClick(widget, Qt.MouseButton.LeftButton)
        self.clicks += 1

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        self.move(*start)
        QTest.mousePress(self.canvas, Qt.MouseButton.LeftButton, pos=self.pixel(*start))
        for share in (0.3, 0.7, 1.0):
            at = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
            QTest.mouseMove(self.canvas, self.pixel(*at))
            QApplication.processEvents()
        QTest.mouseRelease(self.canvas, Qt.MouseButton.LeftButton, pos=self.pixel(*end))
        self.clicks += 1

    def tool(self, tool: str) -> None:
        """Take a tool up by its key, or where it has none by its button."""
        self.window.commands[f"tool-{tool}"].trigger()
        self.keys += 1

    def command(self, command: str) -> None:
        self.window.commands[command].trigger()
        QApplication.processEvents()  # a line of words that comes or goes has given the sheet another size
        self.keys += 1

    def key(self, key: Qt.Key, widget: QWidget | None = None) -> None:
        QTest.keyClick(widget or QApplication.focusWidget() or self.canvas, key)
        self.keys += 1

    def press_keys(self, text: str, widget: QWidget | None = None) -> None:
        """Letters typed where the keyboard is: each counts."""
        for letter in text:
            QTest.keyClicks(widget or QApplication.focusWidget() or self.canvas, letter)
        self.keys += len(text)

    def type(self, text: str, widget: QWidget | None = None) -> None:
        """Letters typed where the keyboard is, and Enter: each counts."""
        self.press_keys(text, widget)
        self.key(Qt.Key.Key_Return, widget or QApplication.focusWidget())
