"""What has not changed is not painted again, and what has is."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage, QPainter

from app.sheet.still import Still
from core.document.joint_edits import MoveEnd
from tests.app.sheet.tools.things import aircraft
from tests.app.window import opened_window, wait_for_check

SIZE = QSize(20, 10)


class Drawn:
    """Paints a still on an image, and counts how often what it holds is drawn."""

    def __init__(self) -> None:
        self.still, self.count = Still(), 0
        self.image = QImage(SIZE, QImage.Format.Format_ARGB32_Premultiplied)

    def paint(self, key: int, *, keep: bool = False, size: QSize = SIZE) -> int:
        """How often it has been drawn by then; the image has the colour that the key is."""
        with QPainter(self.image) as painter:
            self.still.paint(painter, size, 1.0, (key,), lambda onto, _part: self._draw(onto, key), keep=keep)
        assert self.image.pixelColor(5, 5).value() == key
        return self.count

    def _draw(self, onto: QPainter, key: int) -> None:
        self.count += 1
        onto.fillRect(0, 0, 20, 10, f"#{key:02x}{key:02x}{key:02x}")


def test_what_is_kept_is_drawn_once_for_a_key_and_anew_for_another(qapp):
    drawn = Drawn()
    assert [drawn.paint(1, keep=True), drawn.paint(1, keep=True), drawn.paint(1)] == [1, 1, 1]
    assert [drawn.paint(2, keep=True), drawn.paint(2, keep=True)] == [2, 2]
    drawn.still.forget()
    assert drawn.paint(2, keep=True) == 3
    assert drawn.paint(2, keep=True, size=QSize(18, 10)) == 4


def test_what_is_not_to_be_kept_is_kept_from_the_second_time_on(qapp):
    drawn = Drawn()
    assert [drawn.paint(1), drawn.paint(1), drawn.paint(1), drawn.paint(3), drawn.paint(4)] == [1, 2, 2, 3, 4]


def test_a_check_that_comes_changes_no_drawing_of_the_drawn_position(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        wait_for_check(qtbot, window)
        canvas, session = window.sheet.canvases[0], window.session
        session.set_moment(0.4)
        window.sheet.take_up("reshape")
        session.propose(MoveEnd("rod", 0, (29.0, -15.0)))
        drawn = canvas.drawing
        qtbot.waitUntil(lambda: session.study_current)
        assert canvas.drawing is drawn
        session.propose(MoveEnd("rod", 0, (29.0, -14.0)))
        assert canvas.drawing.marks != drawn.marks
        session.withdraw()
        before = canvas.drawing
        session.choose("door")
        assert canvas.drawing is not before
        window.sheet.take_up("")
        moved = canvas.drawing
        session.set_moment(0.5)
        assert canvas.drawing.marks != moved.marks


def test_the_last_of_many_moments_is_told(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        wait_for_check(qtbot, window)
        details, session = window.details, window.session
        session.choose("door")
        for number in range(8):
            session.set_moment(0.05 * number)
        qtbot.waitUntil(lambda: not details._behind.isActive())
        told = details.table.grab().toImage()
        details.refresh()
        assert details.table.grab().toImage() == told
