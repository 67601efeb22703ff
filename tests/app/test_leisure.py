"""Work that waits until the window has nothing else to do, and who may not wait."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication

from app.leisure import Follower, Leisure
from app.session import Session
from core.document.joint_edits import MoveEnd
from core.study import run
from tests.app.sheet.tools.things import aircraft


class Busy(QObject):
    """Always has one more thing to do that is more urgent."""

    def __init__(self) -> None:
        super().__init__()
        self.on = True
        QApplication.postEvent(self, QEvent(QEvent.Type.User))

    def event(self, event: QEvent) -> bool:
        if self.on:
            QApplication.postEvent(self, QEvent(QEvent.Type.User))
        return True


@pytest.fixture
def leisure(qapp) -> Leisure:
    return Leisure()


def test_each_piece_is_done_once_in_a_turn_of_its_own_in_the_order_of_asking(qtbot, leisure):
    done: list[str] = []
    turns: list[int] = []
    pieces = {name: (lambda name=name: (done.append(name), turns.append(turn[0]))) for name in "abc"}
    turn = [0]
    for name in "abcba":
        leisure.ask(pieces[name])
    assert done == []
    while len(done) < 3:
        turn[0] += 1
        QApplication.processEvents()
    for _ in range(5):
        QApplication.processEvents()
    assert done == ["a", "b", "c"]
    assert len(set(turns)) == 3


def test_what_is_dropped_is_not_done_and_what_fails_holds_up_nothing(qtbot, leisure):
    done: list[str] = []

    def fails() -> None:
        raise ValueError("no")

    def drops() -> None:
        done.append("never")

    leisure.ask(fails)
    leisure.ask(drops)
    leisure.ask(lambda: done.append("last"))
    leisure.drop(drops)
    with qtbot.captureExceptions() as raised:
        qtbot.waitUntil(lambda: bool(done))
    assert [one[0] for one in raised] == [ValueError]
    assert done == ["last"]


def test_a_window_that_is_never_idle_does_what_waits_all_the_same(qtbot, leisure):
    done: list[int] = []
    busy = Busy()
    for number in range(3):
        leisure.ask(lambda number=number: done.append(number))
    qtbot.waitUntil(lambda: len(done) == 3)
    busy.on = False
    assert done == [0, 1, 2]


class Followed:
    def __init__(self, leisure: Leisure) -> None:
        self.hurried = self.checked = False
        self.done = 0
        self.owner = QObject()
        self.follower = Follower(
            self.owner, self.work, leisure, hurried=lambda: self.hurried, checked=lambda: self.checked
        )

    def work(self) -> None:
        self.done += 1

    def look(self, *, hurried: bool, checked: bool) -> int:
        """How often the work has been done right after it was told."""
        self.hurried, self.checked = hurried, checked
        self.follower.look()
        return self.done


def test_a_follower_waits_under_the_hand_unless_it_shows_as_checked_what_is_not(qtbot, leisure):
    one = Followed(leisure)
    assert one.look(hurried=False, checked=True) == 1
    assert one.look(hurried=True, checked=False) == 2  # it still shows the last state as checked
    assert one.look(hurried=True, checked=False) == 2
    qtbot.waitUntil(lambda: one.done == 3)
    assert one.look(hurried=True, checked=True) == 3
    assert one.look(hurried=False, checked=True) == 4  # at once, and not once more when there is time
    for _ in range(5):
        QApplication.processEvents()
    assert one.done == 4


def test_whose_owner_is_gone_is_not_followed(qtbot, leisure):
    one = Followed(leisure)
    one.look(hurried=True, checked=False)
    one.owner.deleteLater()
    qtbot.waitUntil(lambda: not leisure._waiting)
    QApplication.processEvents()
    assert one.done == 0


def test_a_session_tells_its_followers_at_once_but_for_drafts(qtbot):
    session, owner, told = Session(), QObject(), []
    session.follow(owner, lambda: told.append(session.shown))
    session.open(aircraft(), None)
    assert told[-1] is session.project
    count = len(told)
    session.propose(MoveEnd("rod", 0, (0.0, -21.0)))
    assert len(told) == count
    qtbot.waitUntil(lambda: told[-1] is session.shown)
    session.put_study(run(session.shown))
    assert len(told) == count + 1
    qtbot.waitUntil(lambda: not session.moving and not session._leisure._waiting)
    count = len(told)  # what is checked is shown as such now
    session.propose(MoveEnd("rod", 0, (0.0, -22.0)))
    assert len(told) == count + 1
    session.withdraw()
    assert told[-1] is session.project
