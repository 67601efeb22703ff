"""Ribbons that say the same are not painted again, and what is painted looks as if all of it were."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtGui import QImage

from app.sequence.ribbons import Ribbons
from app.settings import Look
from core.document.joint_edits import MoveEnd
from core.document.project import Project
from tests.app.window import opened_window, wait_for_check
from tests.benchmarks.benchmark_edit import flawed

ROD = "rod-0"


def doors() -> Project:
    """Three in a row, of which the middle one touches one neighbour and comes too near the other."""
    project = flawed(3)
    (sequence,) = project.sequences
    (step,) = sequence.steps
    return replace(project, sequences=(replace(sequence, steps=(replace(step, id="opening"),)),))


def painted(ribbons: Ribbons) -> QImage:
    return ribbons.grab().toImage()


def painted_anew(ribbons: Ribbons) -> QImage:
    ribbons.renew()
    return painted(ribbons)


@pytest.mark.parametrize("look", [Look.LIGHT, Look.DARK])
def test_only_the_rows_that_say_something_else_are_painted_again(qtbot, tmp_path, monkeypatch, look: Look):
    rows: list[int] = []
    with opened_window(qtbot, tmp_path, doors()) as window:
        window.set_look(look)
        wait_for_check(qtbot, window)
        session, ribbons = window.session, window.sequence.ribbons
        assert len(ribbons.ribbons) >= 2
        session._rest.setInterval(60_000)  # a hand that never rests, however long the checks take
        paint = ribbons._paint_ribbon
        monkeypatch.setattr(
            ribbons, "_paint_ribbon", lambda onto, one, top: (rows.append(int(top)), paint(onto, one, top))
        )
        first = painted(ribbons)
        (end,) = [one.ends[0] for one in session.project.connections if one.id == ROD]
        session.propose(MoveEnd(ROD, 0, (end[0] + 0.2, end[1])))
        for number in range(2, 5):
            before = ribbons.ribbons
            painted(ribbons)
            rows.clear()
            qtbot.waitUntil(lambda: session.study_current)
            session.propose(MoveEnd(ROD, 0, (end[0] + 0.2 * number, end[1])))  # the hand goes on at once
            others = [row for row, one in enumerate(ribbons.ribbons) if one != before[row]]
            shown = painted(ribbons)
            assert [ribbons._row(row).top() for row in others] == sorted(set(rows))
            assert 0 < len(others) < len(ribbons.ribbons)
            assert shown == painted_anew(ribbons)
        session.withdraw()
        assert painted(ribbons) == painted_anew(ribbons) == first


def test_what_was_painted_as_checked_when_the_hand_rested_is_past_at_its_next_move(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, doors()) as window:
        wait_for_check(qtbot, window)
        session, ribbons = window.session, window.sequence.ribbons
        (end,) = [one.ends[0] for one in session.project.connections if one.id == ROD]
        session.propose(MoveEnd(ROD, 0, (end[0] + 0.2, end[1])))
        qtbot.waitUntil(lambda: session.study_current)
        session._rest.stop()  # it rests, and nobody has been told of that yet
        painted_anew(ribbons)
        assert ribbons.painted_as_checked
        session.propose(MoveEnd(ROD, 0, (end[0] + 0.4, end[1])))
        assert not ribbons.painted_as_checked
