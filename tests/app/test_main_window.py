"""The window as a whole: what can be reached without a mouse, what it wears, what it keeps."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QComboBox, QWidget

from app.action_table import TABLE
from app.main_window import MainWindow
from app.painting.theme import DARK, LIGHT
from app.palette import palette_of, theme_of
from app.settings import Look
from app.widgets.choice import Choice
from core.document.project import Figure
from core.document.step_time_edits import SetStepDuration
from tests.app.small_aircraft import clean_aircraft, small_aircraft
from tests.app.window import opened_window, settle


@pytest.fixture
def window(qtbot, tmp_path: Path) -> Iterator[MainWindow]:
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def test_whatever_takes_the_keyboard_has_a_name_that_can_be_read_out(window: MainWindow):
    window.session.choose("leg-up")
    nameless = [
        widget
        for widget in window.findChildren(QWidget)
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        and widget.isVisible()
        and not (widget.accessibleName() or (hasattr(widget, "text") and widget.text()))
        and not isinstance(widget.parent(), QAbstractScrollArea)
        and not widget.focusProxy()
    ]
    assert nameless == []


@pytest.mark.parametrize("chosen", [None, "leg", "leg-pivot", "leg-up"])
def test_no_wheel_picks_from_a_list(window: MainWindow, chosen: str | None):
    window.session.choose(chosen)
    lists = window.findChildren(QComboBox)
    assert lists
    assert all(isinstance(one, Choice) for one in lists)


def test_every_action_of_the_table_does_something(window: MainWindow):
    for row in TABLE:
        assert window.commands[row.id].receivers("2triggered(bool)") > 0, row.id


def test_the_window_wears_the_theme_and_keeps_to_it(window: MainWindow):
    for look, theme in ((Look.DARK, DARK), (Look.LIGHT, LIGHT)):
        window.set_look(look)
        assert QApplication.palette().color(QPalette.ColorRole.Base) == QColor(theme.panel)
        corner = window.sequence.lanes.grab().toImage().pixelColor(3, window.sequence.lanes.height() - 2)
        assert corner == QColor(theme.panel)
        assert window.commands[f"look-{look}"].isChecked()
        assert theme_of(window.settings.look) is theme


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_a_palette_leaves_no_colour_to_the_desktop(qapp, theme):
    palette = palette_of(theme)
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        off = palette.color(QPalette.ColorGroup.Disabled, role)
        assert off == QColor(theme.text_off)
    assert palette.color(QPalette.ColorRole.PlaceholderText) == QColor(theme.text_soft)


def test_nothing_found_is_said_only_when_it_is_known(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, clean_aircraft()) as window:
        assert window.standing == "nothing found"
        window.session.push(SetStepDuration("retract", "leg-up", 5.0))
        assert window.standing == "checking…"


def test_a_figure_outside_its_tolerance_is_not_told_as_nothing_found(qtbot, tmp_path: Path):
    """The leg swings by 92 degrees, and 91 are published, give or take a half."""
    between = ({"sequence": "retract", "at": "start"}, {"sequence": "retract", "at": "end"})
    figure = Figure(
        id="swing", quantity="travel", of="leg-pivot", between=between, published="91 deg", plus_minus="0.5 deg"
    )
    with opened_window(qtbot, tmp_path, replace(clean_aircraft(), figures=(figure,))) as window:
        assert window.standing == "1 figure off"
        assert window.findings.standing.title == "Nothing found, but 1 figure off"
        assert window.findings.standing.text.startswith("swing is 92°, 1° more than 91°")


def test_a_study_that_fails_is_told_in_the_title_block(qtbot, tmp_path: Path):
    def failing(asked, /, *, previous=None, cancelled=None, newer=None):
        raise ArithmeticError("no such thing")

    with opened_window(qtbot, tmp_path, work=failing) as window:
        window.session.open(small_aircraft(), None)
        qtbot.waitUntil(lambda: not window.runner.working)
        assert window.standing == "not checked"
        assert window.notice.text == "ArithmeticError: no such thing"


def test_a_notice_goes_when_something_was_done_since_that_went_well(window: MainWindow, tmp_path: Path):
    window.keeping.open_guarded(tmp_path / "nowhere")
    assert window.notice.isVisible()
    window.session.push(SetStepDuration("retract", "leg-up", 3999.0))
    assert "refused" in window.notice.text
    window.session.push(SetStepDuration("retract", "leg-up", 5.0))
    assert not window.notice.isVisible()


def test_why_something_is_not_done_is_said_until_something_else_is_asked_for(window: MainWindow, tmp_path: Path):
    session, notice, canvas = window.session, window.notice, window.sheet.canvases[0]
    window.sheet.take_up("measure-gap")
    nowhere = canvas.placement.to_device(-55.0, 12.0).toPoint()
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=nowhere)
    assert notice.text == "Nothing that can be measured is drawn there"
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=canvas.placement.to_device(0.0, -30.0).toPoint())
    assert not notice.isVisible(), "the second click fell on the leg"
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=nowhere)
    assert notice.isVisible()
    window.sheet.take_up("")
    assert not notice.isVisible()
    session.choose("leg-up")
    session.set_moment(0.0)
    window.commands["step-split"].trigger()
    assert "bring the rule between" in notice.text
    window.commands["fit"].trigger()
    assert not notice.isVisible()
    window.keeping.open_guarded(tmp_path / "nowhere")
    window.commands["fit"].trigger()
    assert notice.isVisible(), "what is wrong with a file is true whatever is done next"


def test_before_anything_is_open_the_window_says_what_to_do_first(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path) as window:
        assert window.start.isVisible()
        assert not window.sheet.isVisible()
        window.start.samples["merrow-t2"].click()
        assert window.session.project.aircraft.name == "Merrow T.2"
        assert window.sheet.isVisible()


def test_space_on_a_button_with_the_keyboard_presses_it_and_plays_nothing(window: MainWindow):
    button = window.sequence.transport.segments.button("hold")
    button.setFocus()
    QTest.keyClick(button, Qt.Key.Key_Space)
    assert window.session.sequence.id == "hold"
    assert not window.playback.playing


def test_regions_can_be_put_away_and_brought_back(window: MainWindow):
    for name, part in (("findings", window.findings), ("details", window.details), ("sequence", window.sequence)):
        window.commands[f"show-{name}"].trigger()
        assert not part.isVisible()
        window.commands[f"show-{name}"].trigger()
        assert part.isVisible()


def test_choosing_a_body_in_one_place_shows_it_in_the_others(window: MainWindow):
    window.session.choose("door")
    index = window.details.lists.view.currentIndex()
    assert index.data() == "Main door"
    window.session.choose(None)
    assert not window.details.lists.view.currentIndex().isValid()
    assert window.details.title == "Merrow T.2"


def test_tab_goes_from_part_to_part_and_changes_nothing(window: MainWindow, qtbot):
    window.session.choose("leg-up")
    window.session.set_moment(1.0)
    settle()
    window.findings.list.setFocus()
    reached = []
    for _ in range(60):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        reached.append(QApplication.focusWidget())
    assert (window.session.selection, window.session.finding, window.session.moment) == ("leg-up", None, 1.0)
    form = window.details.form
    fields = [*(field.line for field in form.fields.values()), *form.picks.values()]
    places = sorted(reached.index(field) for field in fields)
    assert places == list(range(places[0], places[0] + len(fields))), "the fields follow each other"
    for part in (window.details.lists.search, window.details.lists.view, window.sequence.lanes, window.findings.list):
        assert part in reached
    assert places[-1] < reached.index(window.details.lists.search) < reached.index(window.sequence.lanes), (
        "as one reads"
    )
