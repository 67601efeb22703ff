"""A hand that drags at random: nothing past is shown as current, nothing is left of it, and closing ends it cleanly."""

from __future__ import annotations

import random
import threading

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.main_window import MainWindow
from core.errors import CheckCancelled
from core.study import Study, run
from tests.app.sheet.tools.things import aircraft
from tests.app.sketcher import Sketcher
from tests.app.window import opened_window, wait_for_check

LEFT = Qt.MouseButton.LeftButton
GRIPS = {"rod": (30.0, -15.0), "corner": (40.0, -10.0)}


class Painted(QObject):
    """What the ribbons, the sheet and the words said whenever the ribbons or the sheet were painted."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self.window, self.lies = window, []
        self.paints = 0
        for part in (window.sequence.ribbons, window.sheet.canvases[0]):
            part.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.paints += 1
            self.lies += lies(self.window)
        return False


def lies(window: MainWindow) -> list[str]:
    """Everything that looks checked though the study is not of what is shown."""
    session = window.session
    study = session.study
    whole = study is not None and study.project is session.shown and not study.behind
    true = whole and not session.senseless
    says = {
        "session": session.study_current,
        "ribbons": not window.sequence.ribbons.stale,
        "ribbons as painted": window.sequence.ribbons.painted_as_checked,
        "ruler": not window.sequence.ruler.stale,
        "title block": window.standing not in ("checking…", "not checked", ""),
        "findings' head": window.findings.head.count not in ("checking…", "not checked"),
        "findings": window.findings.standing.count not in ("checking…", "not checked"),
    }
    return [name for name, checked in says.items() if checked and not true]


@pytest.fixture
def slow():
    """Studies that take their time, so that moves come between."""
    turn = random.Random(7)

    def work(asked, /, *, previous=None, cancelled=None, newer=None) -> Study:
        threading.Event().wait(0.03 * turn.random())
        return run(asked.project, looked_at=asked.looked_at, previous=previous, cancelled=cancelled)

    return work


@pytest.mark.parametrize("grip", GRIPS)
@pytest.mark.parametrize("seed", [1, 2])
def test_nothing_past_is_shown_as_current_and_what_is_given_up_leaves_nothing(qtbot, tmp_path, slow, grip, seed):
    turn = random.Random(seed)
    with opened_window(qtbot, tmp_path, aircraft(), work=slow) as window:
        hand, session = Sketcher(window), window.session
        hand.canvas.fit()
        session.choose("door")
        hand.tool("reshape")
        painted = Painted(window)
        before = (session.project, session.history, session.moment, session.study)
        for _ in range(3):
            x, y = GRIPS[grip]
            hand.move(x, y)
            QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(x, y))
            for _ in range(12):
                hand.move(x + turn.uniform(-9.0, 9.0), y + turn.uniform(-9.0, 9.0))
                QTest.qWait(turn.choice((0, 0, 5, 40)))
                assert not lies(window)
                assert session.project is before[0]
            hand.key(Qt.Key.Key_Escape, hand.canvas)
            assert (session.project, session.history, session.moment, session.study) == before
            assert session.study is before[3]
            assert session.study_current
            assert not session.drafting
            QTest.mouseRelease(hand.canvas, LEFT, pos=hand.pixel(x, y))
            assert session.project is before[0]
        assert painted.lies == []
        assert painted.paints > 20
        assert not session.unsaved


def test_the_window_closes_amid_a_drag(qtbot, tmp_path):
    begun, stopped = threading.Event(), threading.Event()

    def stuck(asked, /, *, previous=None, cancelled=None, newer=None) -> Study:
        if previous is None:
            return run(asked.project)
        begun.set()
        while not cancelled():
            threading.Event().wait(0.002)
        stopped.set()
        raise CheckCancelled

    with opened_window(qtbot, tmp_path, aircraft(), work=stuck) as window:
        hand = Sketcher(window)
        hand.canvas.fit()
        window.session.choose("door")
        hand.tool("reshape")
        hand.move(*GRIPS["corner"])
        QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(*GRIPS["corner"]))
        hand.move(44.0, -8.0)
        qtbot.waitUntil(begun.is_set)
        assert window.session.drafting
        window.close()
        assert stopped.is_set()
        assert not window.isVisible()
    QApplication.processEvents()


def test_a_verdict_of_a_draft_is_that_of_the_aircraft_it_becomes(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        hand, session = Sketcher(window), window.session
        hand.canvas.fit()
        session.choose("door")
        hand.tool("reshape")
        hand.move(*GRIPS["rod"])
        QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(*GRIPS["rod"]))
        for x, y in ((31.0, -14.0), (33.0, -12.0), (34.0, -12.0)):
            hand.move(x, y)
            wait_for_check(qtbot, window)
            live, whole = session.study.sequences[0], run(session.shown).sequences[0]
            assert [one.sentence for one in live.findings] == [one.sentence for one in whole.findings]
        hand.key(Qt.Key.Key_Escape, hand.canvas)
