"""Marks of findings on the time ruler: side by side, pressed, and never past."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.sequence.ruler import apart
from core.document.step_time_edits import SetStepDuration
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window


@pytest.mark.parametrize(
    ("places", "wanted"),
    [
        ([], []),
        ([10.0, 60.0], [10.0, 60.0]),
        ([10.0, 10.0, 12.0], [10.0, 26.0, 42.0]),
        ([95.0, 99.0], [84.0, 100.0]),
        ([99.0, 99.0, 99.0], [68.0, 84.0, 100.0]),
    ],
)
def test_marks_that_would_lie_upon_each_other_stand_side_by_side(places: list[float], wanted: list[float]):
    assert apart(places, 16.0, 100.0) == wanted


def test_pressing_a_mark_shows_its_finding(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        ruler = window.sequence.ruler
        assert len(ruler.marks) == len(window.session.sequence_study.findings)
        for finding, box in ruler.marks:
            window.session.set_moment(1.0)
            QTest.mouseClick(ruler, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, box.center().toPoint())
            assert window.session.finding == finding
            assert window.session.moment == pytest.approx(finding.time)


def test_every_strip_is_painted_anew_when_what_it_shows_changes(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        parts = window.sequence
        strips = (parts.ruler, parts.lanes, parts.ribbons)
        before = [strip.grab().toImage() for strip in strips]
        window.session.choose_sequence("hold")
        assert all(strip.grab().toImage() != image for strip, image in zip(strips, before, strict=True))
        window.session.choose_sequence("retract")
        assert [strip.grab().toImage() for strip in strips] == before
        window.session.push(SetStepDuration("retract", "leg-up", 6.0))
        assert all(strip.grab().toImage() != image for strip, image in zip(strips, before, strict=True))
