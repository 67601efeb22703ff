"""Pinned moments: marks on the time ruler that are pressed, dragged along and taken away, each with its ghost."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from core.document.pin_edits import PinMoment
from core.document.step_time_edits import SetStepDuration
from core.drawing.drawing import Line
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.sheet.set_ghosts(False, False)
        yield window


def pinned(window) -> tuple[float, ...]:
    return window.session.sequence.pinned


def place_of(window, moment: float) -> QPoint:
    return QPointF(window.sequence.ruler.scale.x(moment), 17.0).toPoint()


def told(window) -> list[str]:
    return [label.text for label in window.sheet.canvases[0].drawing.labels if label.text.endswith(" s")]


def ghosts(window) -> list[tuple[float, float, float]]:
    return [mark.pose for mark in window.sheet.canvases[0].drawing.marks if mark.line is Line.GHOST]


def test_a_key_pins_the_moment_and_unpins_it(qtbot, window):
    window.session.set_moment(3.0)
    window.commands["pin"].trigger()
    assert pinned(window) == (3.0,)
    window.session.set_moment(1.0)
    assert told(window) == ["3 s"]
    assert ghosts(window)
    window.session.set_moment(3.0002)
    window.commands["pin"].trigger()
    assert pinned(window) == ()
    window.session.set_moment(1.0)
    assert ghosts(window) == []


def test_pins_are_undone_and_come_back(qtbot, window):
    for moment in (2.0, 3.0):
        window.session.push(PinMoment("retract", moment))
    window.commands["unpin-all"].trigger()
    assert pinned(window) == ()
    assert not window.commands["unpin-all"].isEnabled()
    window.session.undo()
    assert pinned(window) == (2.0, 3.0)
    assert window.commands["unpin-all"].isEnabled()
    window.session.undo()
    assert pinned(window) == (2.0,)


def test_their_ghosts_can_be_put_out_of_sight(window):
    window.session.push(PinMoment("retract", 3.0))
    window.commands["pinned-ghosts"].trigger()
    assert ghosts(window) == []
    assert pinned(window) == (3.0,), "and the pins stay"
    window.commands["pinned-ghosts"].trigger()
    assert ghosts(window)


def test_a_pin_that_is_pressed_is_gone_to(window):
    window.session.push(PinMoment("retract", 3.0))
    QTest.mouseClick(window.sequence.ruler, LEFT, NONE, place_of(window, 3.0) + QPoint(3, 0))
    assert window.session.moment == 3.0
    assert pinned(window) == (3.0,)


def test_a_pin_is_dragged_along_with_its_ghost_and_leaves_one_edit(window):
    window.session.push(PinMoment("retract", 3.0))
    ruler, before = window.sequence.ruler, ghosts(window)
    QTest.mousePress(ruler, LEFT, NONE, place_of(window, 3.0))
    QTest.mouseMove(ruler, place_of(window, 3.6))
    QTest.mouseMove(ruler, place_of(window, 4.0))
    assert pinned(window) == (3.0,), "nothing is changed before it is let go"
    assert ghosts(window) != before
    (shown,) = window.sequence.pins.moments
    assert shown == pytest.approx(4.0, abs=2 * ruler.scale.seconds_per_pixel)
    assert window.session.moment == 0.0, "the rule stays where it was"
    QTest.mouseRelease(ruler, LEFT, NONE, place_of(window, 4.0))
    assert pinned(window) == (shown,)
    assert window.session.undo_label == "Move pin"
    window.session.undo()
    assert (pinned(window), ghosts(window)) == ((3.0,), before)


def test_a_pin_stays_within_the_sequence(window):
    window.session.push(PinMoment("retract", 3.0))
    ruler = window.sequence.ruler
    QTest.mousePress(ruler, LEFT, NONE, place_of(window, 3.0))
    QTest.mouseMove(ruler, QPoint(5, 17))
    QTest.mouseRelease(ruler, LEFT, NONE, QPoint(5, 17))
    assert pinned(window) == (0.0,)


def test_a_pin_that_an_edit_takes_while_it_is_dragged_is_let_go(window):
    window.session.push(PinMoment("retract", 3.0))
    ruler = window.sequence.ruler
    QTest.mousePress(ruler, LEFT, NONE, place_of(window, 3.0))
    QTest.mouseMove(ruler, place_of(window, 4.0))
    window.session.undo()
    assert not window.sequence.pins.dragging
    QTest.mouseRelease(ruler, LEFT, NONE, place_of(window, 4.0))
    assert pinned(window) == ()


def test_a_pin_after_the_end_shows_the_end(qtbot, window):
    window.session.push(PinMoment("retract", 7.0))
    window.session.push(SetStepDuration("retract", "leg-up", 1.0))
    wait_for_check(qtbot, window)
    end = window.session.schedule.seconds
    assert end < 7.0
    assert window.sequence.pins.moments == (end,)
    assert told(window) == [f"{end:g} s"]


def test_the_ruler_s_menu_pins_and_unpins(window, monkeypatch):
    popped: list[QMenu] = []
    monkeypatch.setattr(QMenu, "popup", lambda menu, *_: popped.append(menu))

    def offered(window, at: QPoint) -> dict[str, QAction]:
        ruler = window.sequence.ruler
        event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, ruler.mapToGlobal(at))
        QApplication.sendEvent(ruler, event)
        return {action.text(): action for action in popped[-1].actions()}

    window.session.set_moment(1.0)
    rows = offered(window, place_of(window, 3.0))
    assert list(rows)[1] == "Pin 1 s, which is shown"
    next(iter(rows.values())).trigger()
    (moment,) = pinned(window)
    assert moment == pytest.approx(3.0, abs=2 * window.sequence.ruler.scale.seconds_per_pixel)
    rows = offered(window, place_of(window, moment))
    rows[f"Unpin {moment:g} s"].trigger()
    assert pinned(window) == ()


def test_the_ruler_says_what_is_pinned(window):
    window.session.push(PinMoment("retract", 2.25))
    assert window.sequence.ruler.accessibleDescription() == "Pinned: 2.25 s"
    before = window.sequence.ruler.grab().toImage()
    window.session.undo()
    assert window.sequence.ruler.grab().toImage() != before
