"""Every kind of finding has a mark of its own shape, and a title."""

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from app.panels.finding_rows import TITLES
from app.widgets.finding_mark import paint_mark
from core.findings.finding import Kind


def painted(kind: str) -> bytes:
    """The mark's ink alone, all in one colour."""
    image = QImage(32, 32, QImage.Format.Format_Grayscale8)
    image.fill(255)
    painter = QPainter(image)
    paint_mark(painter, kind, QRectF(0, 0, 32, 32), QColor("black"))
    painter.end()
    return bytes(image.constBits())


def test_every_kind_has_a_mark_of_its_own_shape(qapp):
    """Kinds are told apart without their colours: any two marks differ in a good part of their ink."""
    marks = {kind: painted(kind) for kind in Kind}
    for one in Kind:
        ink = sum(255 - level for level in marks[one])
        assert ink > 255 * 60, f"{one} can be seen"
        for other in Kind:
            if other != one:
                apart = sum(abs(a - b) for a, b in zip(marks[one], marks[other], strict=True))
                assert apart > 0.4 * ink, f"{one} and {other} look alike"


def test_every_kind_has_a_title():
    assert set(TITLES) == set(Kind)
