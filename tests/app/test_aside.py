"""Work away from the window's thread of which only what was asked last counts."""

from __future__ import annotations

import gc
import threading
import weakref

import pytest

from app.aside import Aside, Newest
from tests.app.window import settle

LONG = 60.0
"""Seconds in which the test has opened its gate, however busy the machine is."""


@pytest.fixture
def newest(qapp) -> Newest:
    return Newest()


@pytest.fixture
def heard(newest: Newest) -> list[tuple[object, object]]:
    heard: list[tuple[object, object]] = []
    newest.done.connect(lambda asked, answer: heard.append((asked, answer)))
    newest.failed.connect(lambda asked, why: heard.append((asked, why)))
    return heard


def test_what_is_asked_meanwhile_takes_the_place_of_what_runs_and_of_what_waits(qtbot, newest, heard):
    gate, begun = threading.Event(), []

    def work(name: str) -> str:
        begun.append(name)
        gate.wait(LONG)
        return name.upper()

    newest.ask("a", lambda: work("a"))
    qtbot.waitUntil(lambda: begun == ["a"])
    for name in ("b", "c"):
        newest.ask(name, lambda name=name: work(name))
    gate.set()
    qtbot.waitUntil(lambda: not newest.working)
    assert heard == [("c", "C")]
    assert begun == ["a", "c"]


def test_what_is_forgotten_is_not_answered(qtbot, newest, heard):
    begun, gate = threading.Event(), threading.Event()

    def work() -> None:
        begun.set()
        gate.wait(LONG)

    newest.ask("a", work)
    assert begun.wait(LONG)
    newest.forget()
    gate.set()
    assert newest.shut_down()
    settle()
    assert heard == []


def test_why_there_is_no_answer_is_said_in_one_line(qtbot, newest, heard):
    def fail() -> None:
        raise OSError("no\nroom")

    newest.ask("a", fail)
    qtbot.waitUntil(lambda: not newest.working)
    assert heard == [("a", "no room")]


class Large:
    """What is asked for, or answered, and ought not to be kept."""


def test_nothing_is_held_of_what_was_answered(qtbot, qapp):
    aside, held = Aside(), []

    def ask() -> None:
        asked, answer = Large(), Large()
        held.extend((weakref.ref(asked), weakref.ref(answer)))
        aside.ask(asked, lambda: answer)

    for _ in range(5):
        ask()
        qtbot.waitUntil(lambda: not aside.busy)
    gc.collect()
    assert [one() for one in held] == [None] * 10


def test_of_what_waits_and_is_forgotten_nothing_is_begun(qtbot, qapp):
    aside, gate, begun, answered = Aside(), threading.Event(), [], []
    aside.done.connect(lambda asked, _answer: answered.append(asked))
    aside.ask("runs", lambda: (begun.append("runs"), gate.wait(LONG)))
    qtbot.waitUntil(lambda: begun == ["runs"])
    for name in ("waits", "waits too"):
        aside.ask(name, lambda name=name: begun.append(name))
    aside.forget_waiting()
    gate.set()
    aside.ask("comes after", lambda: begun.append("comes after"))
    qtbot.waitUntil(lambda: not aside.busy)
    assert begun == answered == ["runs", "comes after"]
