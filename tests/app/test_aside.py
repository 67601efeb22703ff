"""Work away from the window's thread of which only what was asked last counts."""

from __future__ import annotations

import threading

import pytest

from app.aside import Newest


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
        gate.wait(5.0)
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
    ended = threading.Event()
    newest.ask("a", ended.set)
    newest.forget()
    assert ended.wait(5.0)
    assert newest.shut_down()
    qtbot.wait(20)
    assert heard == []


def test_why_there_is_no_answer_is_said_in_one_line(qtbot, newest, heard):
    def fail() -> None:
        raise OSError("no\nroom")

    newest.ask("a", fail)
    qtbot.waitUntil(lambda: not newest.working)
    assert heard == [("a", "no room")]
