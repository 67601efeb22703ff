"""The sweep of a chosen body: shown, told, kept up with edits, and written."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.panels.sweep_form import Span
from app.study_process import StudyProcess
from app.sweeping import BEFORE_EDIT, UNCHECKED, writing
from core.document.step_edits import SetMove
from core.drawing.drawing import Line
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def ghosts(window):
    view = window.session.project.views[0].id
    return [mark for mark in window.sheet.shown.drawing(view).marks if mark.line is Line.GHOST and mark.faint]


def settled(qtbot, window):
    qtbot.waitUntil(lambda: window.details.sweep.said.text() not in ("", "…"))


def test_only_what_has_an_outline_can_sweep(window):
    form = window.details.sweep
    assert form.isHidden()
    window.session.choose("leg")
    assert not form.isHidden()
    window.session.choose(window.session.project.drives[0].id)
    assert form.isHidden()


def test_the_sweep_is_drawn_and_the_room_told(qtbot, window):
    window.session.choose("leg")
    before = len(ghosts(window))
    QTest.mouseClick(window.details.sweep.choices.button(1), Qt.MouseButton.LeftButton)
    settled(qtbot, window)
    assert len(ghosts(window)) == before + 1
    assert "left to" in window.details.sweep.said.text() or "runs into" in window.details.sweep.said.text()
    window.details.sweep.set_span(Span.NONE)
    assert len(ghosts(window)) == before
    assert window.details.sweep.export.isHidden()


def test_it_is_drawn_of_studies_that_another_process_makes(qtbot, tmp_path: Path):
    studies = StudyProcess()
    qtbot.waitUntil(lambda: studies.ready)
    with opened_window(qtbot, tmp_path, small_aircraft(), work=studies) as window:
        window.session.choose("leg")
        window.details.sweep.set_span(Span.SEQUENCE)
        settled(qtbot, window)
        assert window.sheet.shown.swept
    studies.shut_down()


def test_what_was_asked_for_comes_into_sight(qtbot, window):
    window.session.choose("leg")
    window.details.sweep.set_span(Span.SEQUENCE)
    settled(qtbot, window)
    page = window.details._page.viewport()

    def in_sight() -> bool:
        button = window.details.sweep.export
        foot = button.mapTo(page, button.rect().bottomLeft()).y()
        return 0 < foot <= page.height()

    qtbot.waitUntil(in_sight)


def test_a_steps_sweep_follows_the_moment(qtbot, window):
    window.session.choose("leg")
    schedule = window.session.schedule
    window.session.set_moment(0.5 * (schedule.steps[0].begin + schedule.steps[0].end))
    window.details.sweep.set_span(Span.STEP)
    settled(qtbot, window)
    first = window.sheet.shown.swept[0].sweep
    assert (first.begin, first.end) == (schedule.steps[0].begin, schedule.steps[0].end)
    window.session.set_moment(0.5 * (schedule.steps[1].begin + schedule.steps[1].end))
    qtbot.waitUntil(lambda: bool(window.sheet.shown.swept) and window.sheet.shown.swept[0].sweep is not first)


def test_while_an_edit_is_checked_the_sweep_of_before_is_shown_as_stale_and_tells_no_room(qtbot, window):
    window.session.choose("leg")
    form = window.details.sweep
    form.set_span(Span.SEQUENCE)
    settled(qtbot, window)
    (old,) = window.sheet.shown.swept
    window.session.push(SetMove("retract", "leg-up", "gear", 60.0))
    (stale,) = window.sheet.shown.swept
    assert (stale.stale, stale.sweep) == (True, old.sweep)
    assert not form.isHidden()
    assert form.export.isHidden()
    assert form.said.text() == BEFORE_EDIT
    view = window.session.project.views[0].id
    assert not [mark for mark in window.sheet.shown.drawing(view).marks if mark.line is Line.DIMENSION]
    wait_for_check(qtbot, window)
    qtbot.waitUntil(lambda: not window.sheet.shown.swept[0].stale)
    assert window.sheet.shown.swept[0].sweep.area.area < old.sweep.area.area
    assert "left to" in form.said.text() or "runs into" in form.said.text()


def test_another_body_does_not_inherit_a_stale_sweep(qtbot, window):
    window.session.choose("leg")
    window.details.sweep.set_span(Span.SEQUENCE)
    settled(qtbot, window)
    window.session.push(SetMove("retract", "leg-up", "gear", 60.0))
    window.session.choose("door")
    assert window.sheet.shown.swept == ()


def test_a_check_that_fails_leaves_the_sweep_of_before_and_says_so(qtbot, window):
    window.session.choose("leg")
    window.details.sweep.set_span(Span.SEQUENCE)
    settled(qtbot, window)
    window.runner.shut_down()
    window.session.push(SetMove("retract", "leg-up", "gear", 60.0))
    window.session.put_failure("no such thing")
    assert window.details.sweep.said.text() == UNCHECKED
    assert window.sheet.shown.swept[0].stale


@pytest.mark.parametrize("kind", [".csv", ".svg", ".pdf", ".png"])
def test_it_is_written(qtbot, window, tmp_path: Path, kind):
    window.session.choose("leg")
    window.details.sweep.set_span(Span.SEQUENCE)
    settled(qtbot, window)
    session = window.session
    said = writing(session.study, session.sequence_study, window.sheet.shown.swept[0], tmp_path / f"leg{kind}")()
    assert said.startswith("The sweep is drawn: leg")
    assert (tmp_path / f"leg{kind}").stat().st_size > 500
