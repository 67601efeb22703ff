"""How long a repaint takes while a corner is dragged, or a body carried: 40 bodies of 200 corners over a 6000 x 4000
drawing.

    python tests/benchmarks/benchmark_reshape.py

The goal is 16 ms from a move of the hand to the painted sheet, at 1600 x 1000, with snapping on.
"""

from __future__ import annotations

import math
import os
import sys
import tempfile
from functools import partial
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[2])]
os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtCore import QEvent, QPointF, Qt  # noqa: E402
from PySide6.QtGui import QFont, QImage, QMouseEvent  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from app.fonts import register_fonts  # noqa: E402
from app.painting.theme import LIGHT  # noqa: E402
from app.session import Session  # noqa: E402
from app.sheet.canvas import Canvas  # noqa: E402
from app.sheet.sheet import Sheet  # noqa: E402
from core.document.project import Aircraft, Body, Polygon, Project, TracedDrawing, View  # noqa: E402
from tests.benchmarks.measuring import Taken  # noqa: E402
from tests.benchmarks.scan import draw_scan  # noqa: E402

BODIES, ACROSS, CORNERS = 40, 8, 200
STEP = 30.0
MOVES = 150
GOAL_MS = 16.0
WIDTH, HEIGHT = 1600, 1000


def main() -> None:
    """Print the median and the 95th percentile of each kind of drag, by the clock on the wall and as processor time,
    and how long the edit at its end takes."""
    application = QApplication([])
    application.setFont(QFont(register_fonts(), 10))
    with tempfile.TemporaryDirectory() as folder:
        draw_scan(Path(folder) / "side.png", 6000, 4000)
        session = Session()
        sheet = Sheet(session, theme=LIGHT)
        sheet.resize(WIDTH + 22, HEIGHT + 120)
        sheet.show()
        session.open(aircraft(), Path(folder))
        application.processEvents()
        (canvas,) = sheet.canvases
        middle = body(17)
        session.choose(middle.id)
        sheet.take_up("reshape")
        assert isinstance(middle.shapes[0], Polygon)
        corner = middle.shapes[0].points[20]
        measure("corner", canvas, (corner[0], corner[1]))
        session.undo()
        sheet.take_up("")
        session.choose(middle.id)
        measure("carry", canvas, centre(17))
        sheet.take_up("outline")
        measure("snap", canvas, centre(20), pressed=False)


def measure(name: str, canvas: Canvas, start: tuple[float, float], *, pressed: bool = True) -> None:
    """Time moves of the hand in a spiral about a place, each with the repaint after it."""
    image = QImage(canvas.size(), QImage.Format.Format_ARGB32_Premultiplied)
    at = canvas.placement.to_device(*start)
    send(canvas, QEvent.Type.MouseMove, at, held=False)
    canvas.render(image)
    if pressed:
        send(canvas, QEvent.Type.MouseButtonPress, at, held=True)
    taken, ended = Taken(), Taken()

    def move(to: QPointF) -> None:
        send(canvas, QEvent.Type.MouseMove, to, held=pressed)
        canvas.render(image)

    def end() -> None:
        send(canvas, QEvent.Type.MouseButtonRelease, at + QPointF(6.0, 5.0), held=False)
        canvas.render(image)

    for number in range(MOVES):
        turn, far = 0.3 * number, 8.0 + 0.3 * number
        taken.time(partial(move, at + QPointF(far * math.cos(turn), far * math.sin(turn))))
    if pressed:
        ended.time(end)
    edit = f", edit at the end {ended.spent[0]:4.1f} ms spent" if pressed else ""
    sys.stdout.write(f"{name:6s} {taken.told()}{edit}; goal {GOAL_MS:g} ms\n")


def send(canvas: Canvas, kind: QEvent.Type, at: QPointF, *, held: bool) -> None:
    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    button = none if kind is QEvent.Type.MouseMove else left
    there = canvas.mapToGlobal(at)
    event = QMouseEvent(kind, at, there, button, left if held else none, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(canvas, event)


def centre(number: int) -> tuple[float, float]:
    return ((number % ACROSS) * STEP, (number // ACROSS) * STEP)


def body(number: int) -> Body:
    """A wavy ring of corners about a place."""
    x, y = centre(number)
    turns = np.linspace(0.0, 2.0 * np.pi, CORNERS, endpoint=False)
    far = 10.0 + 1.5 * np.sin(7.0 * turns)
    points = tuple((float(x + r * math.cos(t)), float(y + r * math.sin(t))) for r, t in zip(far, turns, strict=True))
    return Body(id=f"part-{number}", name=f"Part {number}", view="side", role="door", shapes=(Polygon(points=points),))


def aircraft() -> Project:
    drawing = TracedDrawing(file="side.png", pixel_to_mm=((0.045, 0.0, -25.0), (0.0, -0.045, 150.0), (0.0, 0.0, 1.0)))
    return Project(
        aircraft=Aircraft(name="Merrow T.2", scale=12),
        views=(View(id="side", name="Side elevation", plane="side", drawing=drawing),),
        bodies=tuple(body(number) for number in range(BODIES)),
    )


if __name__ == "__main__":
    main()
