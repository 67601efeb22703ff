"""Where things found before a change are to be looked for after it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from app.sequence.foreseen import foreseen
from app.sequence.ribbon_spans import State
from core.curves.quantities import Quantity, Sort
from core.document.step_time_edits import SetStepDelay, SetStepDuration
from core.motion.schedule import Schedule, lay_out
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


def changed(*edits) -> Schedule:
    project = small_aircraft()
    for edit in edits:
        project = edit.apply(project)
    return lay_out(project.sequences[0])


def test_nothing_moves_where_nothing_is_changed():
    times = np.linspace(0.0, changed().seconds, 50)
    assert foreseen(times, changed(), changed()) == pytest.approx(times)


def test_what_lies_in_a_step_goes_with_it():
    before, after = changed(), changed(SetStepDuration("retract", "doors-open", 3.0))
    for step, other in zip(before.steps, after.steps, strict=True):
        middle = foreseen(np.array([0.5 * (step.begin + step.end)]), before, after)
        assert middle == pytest.approx([0.5 * (other.begin + other.end)])
    assert foreseen(np.array([before.seconds]), before, after) == pytest.approx([after.seconds])


@given(st.floats(0.05, 8.0), st.floats(-1.0, 4.0), st.lists(st.floats(0.0, 20.0), min_size=2, max_size=20))
def test_no_order_is_turned_round_and_nothing_leaves_the_sequence(seconds, delay, times):
    before = changed()
    after = changed(SetStepDuration("retract", "doors-open", seconds), SetStepDelay("retract", "leg-up", delay))
    moved = foreseen(np.sort(np.array(times)), before, after)
    assert np.all(np.diff(moved) >= 0.0)
    assert np.all((moved >= 0.0) & (moved <= after.seconds + 1e-9))


def test_marks_and_ribbons_follow_a_step_while_it_is_dragged(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        lanes, ruler, ribbons = window.sequence.lanes, window.sequence.ruler, window.sequence.ribbons
        curves = window.sequence.curves
        curves.keep(Quantity(Sort.DRIVE, ("gear",)))
        (finding, box), *_ = [each for each in ruler.marks if each[0].time > 2.0]
        span = ribbons.ribbons[0].spans[-1]
        edge = next(ribbons._span_boxes([span], 0)).left()
        bar = lanes.bars.box("doors-open")
        start = QPointF(bar.right() - 2, bar.center().y()).toPoint()
        QTest.mousePress(lanes, LEFT, NONE, start)
        QTest.mouseMove(lanes, start - QPoint(20, 0))
        QTest.mouseMove(lanes, start - QPoint(45, 0))
        assert ruler.stale
        assert ribbons.stale
        assert curves.values == ("…",)
        moved = {id(one): place for one, place in ruler.marks}[id(finding)]
        assert moved.left() - box.left() == pytest.approx(-45, abs=6)
        assert next(ribbons._span_boxes([span], 0)).left() - edge == pytest.approx(-45, abs=6)
        assert ruler.finding_at(moved.center()) is None, "what is not known cannot be gone to"
        QTest.keyClick(lanes, Qt.Key.Key_Escape)
        assert not ruler.stale
        assert curves.values != ("…",)
        QTest.mouseRelease(lanes, LEFT, NONE, start - QPoint(45, 0))
        assert ruler.marks[[one for one, _ in ruler.marks].index(finding)][1] == box


def test_until_it_is_checked_anew_nothing_looks_clear(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        ribbons = window.sequence.ribbons
        ground = ribbons.inks.ground.name()
        first = ribbons.ribbons[0].spans[0]
        assert first.state is State.CLEAR
        row = ribbons.place_of(ribbons.ribbons[0].parts)

        def inks() -> set[str]:
            """Of the ribbon's first third, where it is clear before and after."""
            left, right = ribbons.x_of([first.begin, first.begin + (first.end - first.begin) / 3])
            image = ribbons.grab(row.adjusted(0, 4, 0, -4)).toImage()
            return {
                image.pixelColor(x, y).name() for x in range(int(left), int(right)) for y in range(image.height())
            } - {ground}

        window.session.set_moment(window.session.schedule.seconds)
        fresh = inks()
        assert fresh
        window.session.push(SetStepDuration("retract", "doors-open", 3.0))
        stale = inks()
        assert stale
        assert not stale & fresh
        wait_for_check(qtbot, window)
        assert inks() == fresh
