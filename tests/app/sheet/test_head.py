"""Where the pointer is told to be, and how large the model stands."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QToolButton

from app.painting.placement import Placement
from app.sheet.framing import scale_words
from app.sheet.head import MOST_NEEDED, decimals_of
from app.sheet.sheet import Sheet
from core.document.project import View
from tests.app.sheet.under_hand import canvas_of


def test_how_large_the_sheet_stands_cannot_be_taken_for_the_aircrafts_scale():
    """Of paper of 25.4 mm to the inch and 96 pixels to the inch, 3.78 pixels are a millimetre."""
    said = [scale_words(Placement(scale=scale, x=0.0, y=0.0), 96.0 / 25.4) for scale in (0.01, 96.0 / 25.4, 2.5, 9.45)]
    assert said == ["on screen 0.3 %", "on screen 100 %", "on screen 66 %", "on screen 250 %"]


@pytest.mark.parametrize(("pixels", "decimals"), [(0.2, 0), (1.0, 0), (4.0, 1), (10.0, 1), (60.0, 2), (1e7, 4)])
def test_the_pointers_place_has_the_decimals_that_a_pixel_is_worth(pixels: float, decimals: int):
    assert decimals_of(pixels) == decimals


def test_the_pointers_place_does_not_jump_as_its_figures_run(sheet: Sheet):
    canvas = canvas_of(sheet)
    told = []
    for place in (10.0, 10.5, -10.25):
        canvas.pointer_moved.emit(place, 20.0)
        told.append(sheet.head.pointer.text())
    decimals = decimals_of(canvas.placement.scale)
    assert {len(words.split(" mm")[0].rpartition(".")[2]) for words in told} == {decimals}
    assert "−10." in told[-1]


def test_long_names_of_views_take_no_room_that_others_need_and_can_be_read(sheet: Sheet, qtbot):
    views = tuple(
        View(id=name, name=f"{name} elevation of the port undercarriage, seen from ahead", plane="side")
        for name in "ab"
    )
    sheet.head.show_views(views, "a", two=False)
    qtbot.waitUntil(lambda: sheet.head.layout().minimumSize().width() > MOST_NEEDED)
    assert sheet.head.minimumSizeHint().width() == MOST_NEEDED
    tips = [button.toolTip() for button in sheet.head.findChildren(QToolButton)]
    assert all(view.name in tips for view in views)


def test_an_ampersand_in_a_views_name_is_read(sheet: Sheet):
    views = (View(id="both", name="Leg & doors", plane="side"),)
    sheet.head.show_views(views, "both", two=False)
    (made,) = (one for one in sheet.head.findChildren(QToolButton) if one.toolTip() == "Leg & doors")
    sheet.head.show_views(views, None, two=False)
    assert made.text() == "Leg && doors"
    assert [one for one in sheet.head.findChildren(QToolButton) if one.toolTip() == "Leg & doors"] == [made]
