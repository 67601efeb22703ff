"""Errands answer with one line, from another thread, also when they fail."""

import threading

import pytest

from app.errands import Errands
from core.errors import SenselessRequest


@pytest.fixture
def errands(qapp):
    errands = Errands()
    yield errands
    assert errands.shut_down()


def test_an_errand_answers_with_its_line_from_another_thread(qtbot, errands: Errands):
    threads: list[int] = []

    def errand() -> str:
        threads.append(threading.get_ident())
        return "it is drawn"

    with qtbot.waitSignal(errands.done) as said:
        errands.run(errand)
        assert errands.busy
    assert said.args == ["it is drawn"]
    assert threads != [threading.get_ident()]
    assert not errands.busy


@pytest.mark.parametrize(
    ("error", "line"),
    [
        (SenselessRequest("no such ending"), "no such ending"),
        (OSError("the disk\nis full"), "the disk is full"),
        (KeyError("x"), "KeyError: 'x'"),
    ],
)
def test_an_errand_that_fails_says_why_in_one_line(qtbot, errands: Errands, error: Exception, line: str):
    def errand() -> str:
        raise error

    with qtbot.waitSignal(errands.failed) as said:
        errands.run(errand)
    assert said.args == [line]


def test_what_was_asked_for_is_done_though_the_program_ends(qtbot, errands: Errands):
    gate, done = threading.Event(), []
    errands.run(lambda: str(gate.wait(60.0)))
    for name in ("a strip", "the templates"):
        errands.run(lambda name=name: done.append(name) or name)
    threading.Timer(0.05, gate.set).start()
    assert errands.shut_down()
    assert done == ["a strip", "the templates"]
