"""Where labels come to stand: free of each other, within the room, and left out where they may be."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from app.fonts import register_fonts
from app.painting.laid import Laid
from app.painting.lettering import SetLabel, set_labels
from app.painting.painter import Painter
from app.painting.placement import Placement
from app.painting.theme import LIGHT
from core.drawing.drawing import Drawing, Label

ROOM = QRectF(0.0, 0.0, 600.0, 400.0)
UNIT = 4.0


def set_in(labels: list[Label], room: QRectF = ROOM, keep_clear: tuple[QRectF, ...] = ()) -> list[SetLabel]:
    placement = Placement(scale=4.0, x=300.0, y=200.0)
    return set_labels(labels, placement, UNIT, register_fonts(), room, keep_clear)


def name(text: str, x: float = 0.0, y: float = 0.0) -> Label:
    return Label(text=text, at=(x, y), anchor=(0.5, 0.5), offset=(5.0, 3.5), optional=True, boxed=True)


@pytest.fixture(autouse=True)
def _application(qapp):
    return qapp


def test_a_name_stands_on_its_point_where_that_is_free():
    (one,) = set_in([name("Nose leg")])
    assert one.leader is None
    assert (one.box.center().x(), one.box.center().y()) == pytest.approx((300.0, 200.0))


def test_names_at_one_point_stand_free_of_each_other_with_a_leader():
    found = set_in([name(f"Brace link {number}") for number in range(6)])
    assert len(found) == 6
    assert [one.leader is None for one in found] == [True, *[False] * 5]
    for at, one in enumerate(found):
        assert ROOM.contains(one.ground)
        assert not any(one.ground.intersects(other.ground) for other in found[:at])


def test_names_that_find_no_room_are_left_out_and_the_first_is_kept():
    found = set_in([name(f"Brace link {number}") for number in range(80)])
    assert 1 < len(found) < 80
    assert found[0].label.text == "Brace link 0"
    for at, one in enumerate(found):
        assert not any(one.ground.intersects(other.ground) for other in found[:at])


def test_what_must_be_said_comes_before_names():
    clash = Label(text="4 mm deep", at=(0.0, 0.0), offset=(6.0, 5.0), clash=True, boxed=True)
    names = [name("Nose leg"), name("Uplock hook", 12.0, -2.0)]
    alone, among = set_in([clash]), set_in([*names, clash])
    assert among[0].ground == alone[0].ground
    assert not any(one.ground.intersects(among[0].ground) for one in among[1:])


def test_no_name_covers_what_is_to_be_kept_clear():
    overlap = QRectF(280.0, 190.0, 40.0, 20.0)
    (one,) = set_in([name("Nose leg")], keep_clear=(overlap,))
    assert not one.ground.intersects(overlap)


def test_what_is_out_of_sight_is_not_named():
    assert set_in([name("Nose leg", 400.0, 0.0)]) == []


def test_what_is_lettered_alike_is_alike_though_one_of_them_was_painted():
    labels = [Label(text="1.5 mm deep", at=(0.0, 0.0), offset=(6.0, 5.0), clash=True, boxed=True), name("Nose leg")]
    painted, later = set_in(labels), set_in(labels)
    image = QImage(600, 400, QImage.Format.Format_ARGB32_Premultiplied)
    laid = Laid(Drawing(), Placement(scale=4.0, x=300.0, y=200.0), ROOM, labels=tuple(painted))
    with QPainter(image) as painter:
        Painter(LIGHT, unit=UNIT).paint_laid(painter, laid, ROOM)
    assert painted == later
    assert set_in([name("Nose leg", x=1.0)]) != later[1:]
