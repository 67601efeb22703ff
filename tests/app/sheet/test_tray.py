"""Each tool has a sign of its own before its word, in the ink of the theme; and what there is room for is readable."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QWidget

from app.settings import Look
from app.sheet.tool_glyphs import GLYPHS, glyph_icon
from app.sheet.toolbox import TOOLS
from app.sheet.tray import FIRST, SHORT
from tests.app.sheet.tools.things import aircraft
from tests.app.sketcher import Sketcher
from tests.app.window import opened_window, settle

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")
SIDE = 20


def image(name: str, ink: str = "#000000") -> QImage:
    icon = glyph_icon(name, QColor(ink), QColor("#ffffff"), SIDE)
    return icon.pixmap(SIDE, SIDE).toImage().convertToFormat(QImage.Format.Format_ARGB32)


def inked(picture: QImage) -> int:
    return sum(picture.pixelColor(x, y).alpha() > 128 for x in range(picture.width()) for y in range(picture.height()))


def test_every_tool_has_a_sign(qapp):
    assert set(TOOLS) <= set(GLYPHS)
    for name in GLYPHS:
        share = inked(image(name)) / SIDE**2
        assert 0.03 < share < 0.75, name


def test_no_two_signs_are_alike(qapp):
    pictures = {name: image(name) for name in GLYPHS}
    for one, other in combinations(pictures, 2):
        assert pictures[one] != pictures[other], (one, other)


def test_no_sign_reaches_beyond_its_square(qapp):
    for name in GLYPHS:
        picture = image(name)
        last = picture.width() - 1
        rim = [(x, y) for n in range(last + 1) for x, y in ((0, n), (last, n), (n, 0), (n, last))]
        assert all(picture.pixelColor(x, y).alpha() < 160 for x, y in rim), name


def test_an_unknown_sign_is_none(qapp):
    assert glyph_icon("nothing", QColor("black"), QColor("white"), SIDE).isNull()


def test_every_short_tool_has_its_turn():
    assert set(FIRST) == set(SHORT)
    assert set(SHORT) <= set(TOOLS)


@pytest.mark.parametrize("size", [(1100, 700), (1440, 900), (1920, 1000)])
def test_what_is_shown_has_room_for_its_word(qtbot, tmp_path: Path, size: tuple[int, int]):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        window.resize(*size)
        settle()
        tray = window.sheet.tray
        shown = [one for one in tray.findChildren(QWidget) if one.parent() is tray and one.isVisible()]
        assert [tray.buttons[one] for one in FIRST if tray.buttons[one] in shown], tray.width()
        assert {tray.snap, tray.snap_more, tray.role} <= set(shown)
        for one in shown:
            assert one.width() >= one.sizeHint().width() - 1, one.accessibleName()
            assert tray.rect().contains(one.geometry()), one.accessibleName()
            assert one.accessibleName()
        for one, other in combinations(shown, 2):
            assert not one.geometry().intersects(other.geometry())


@pytest.mark.parametrize(
    ("size", "least", "worded"), [((1100, 700), 5, False), ((1280, 800), 8, False), ((1440, 900), 6, True)]
)
def test_a_narrow_sheet_has_the_signs_of_its_tools_without_their_words(qtbot, tmp_path: Path, size, least, worded):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        window.resize(*size)
        settle()
        shown = {one: button for one, button in window.sheet.tray.buttons.items() if button.isVisible()}
        assert len(shown) >= least
        for one, button in shown.items():
            assert (button.toolButtonStyle() is Qt.ToolButtonStyle.ToolButtonTextUnderIcon) is worded
            assert button.accessibleName() == f"{SHORT[one]} tool"
            assert button.toolTip()
            assert button.text() == SHORT[one]


def test_signs_take_the_ink_of_the_theme(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:

        def ink() -> QColor:
            picture = window.sheet.tray.buttons["outline"].icon().pixmap(SIDE, SIDE).toImage()
            pixels = (picture.pixelColor(x, y) for x in range(picture.width()) for y in range(picture.height()))
            return max(pixels, key=QColor.alpha)

        window.set_look(Look.LIGHT)
        assert ink().lightness() < 100
        window.set_look(Look.DARK)
        assert ink().lightness() > 150


@pytest.mark.parametrize("tool", sorted(TOOLS))
def test_what_a_tool_asks_pushes_nothing_about_in_a_small_window(qtbot, tmp_path: Path, tool):
    """Whatever numbers it has, the regions keep their widths, and its line its height."""
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        window.resize(1100, 700)
        settle()
        hand = Sketcher(window)
        before = window.regions.across.sizes()
        hand.tool(tool)
        heights = set()
        for place in ((0.0, 0.0), (0.0, -20.0), (31.0, -14.0)):
            hand.click(*place)
            settle()
            heights.add(window.sheet.line.height())
            assert window.regions.across.sizes() == before
            if window.sheet._choices.menu is not None:
                window.sheet._choices.menu.close()
        assert len(heights) == 1


def test_every_button_says_what_its_tool_does_and_its_key(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path) as window:
        tips = {tool: button.toolTip() for tool, button in window.sheet.tray.buttons.items()}
    assert all(tips.values())
    assert tips["rod"] == "Put a rod between two bodies  (Shift+D)"


def test_the_sheet_gets_its_share_of_a_window_that_shrinks(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        window.resize(1100, 700)
        settle()
        assert window.sequence.height() <= 0.4 * 700
