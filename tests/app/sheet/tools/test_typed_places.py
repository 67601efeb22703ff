"""Connections put by typed places, with no hand on the sheet at all."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt

from core.document.project import Jack, Pivot, Rod

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


def put(hand, **typed: str) -> None:
    """Type into the tool's numbers, from the sheet on, and Enter."""
    hand.canvas.setFocus()
    line = hand.window.sheet.line
    assert line.begin(""), "Tab leads there"
    for name, text in typed.items():
        line._lines[name].setText(text)
        line._lines[name].setModified(True)
    hand.key(Qt.Key.Key_Return, line._lines[next(iter(typed))])


def last(hand):
    return hand.window.session.project.connections[-1]


def test_a_pivot_lies_where_it_is_typed(hand):
    hand.tool("pivot")
    put(hand, x="34.5", y="-16,25")
    made = last(hand)
    assert isinstance(made, Pivot)
    assert set(made.bodies) == {"door", "link"}
    assert made.at == (34.5, -16.25)


def test_what_is_meant_is_asked_where_the_place_is(hand):
    hand.tool("pivot")
    put(hand, x="38", y="-11")
    menu = hand.window.sheet._choices.menu
    assert [one.text() for one in menu.actions()] == ["Door – Bay, not drawn there"]
    asked = hand.canvas.mapFromGlobal(hand.window.sheet.bench.pixel)
    assert (asked - hand.pixel(38, -11)).manhattanLength() <= 1
    menu.close()
    put(hand, x="3800", y="-11")
    assert hand.canvas.rect().contains(hand.canvas.mapFromGlobal(hand.window.sheet.bench.pixel)), (
        "and never out of sight"
    )


def test_a_rods_width_is_kept_while_its_ends_are_typed(hand):
    hand.tool("rod")
    put(hand, width="2")
    put(hand, x="0", y="-25")
    put(hand, x="38", y="-11")
    made = last(hand)
    assert isinstance(made, Rod)
    assert (made.bodies, made.ends, made.width) == (("leg", "door"), ((0.0, -25.0), (38.0, -11.0)), 2.0)


def test_a_jack_and_its_second_end_in_one_go(hand):
    hand.tool("jack")
    put(hand, x="-38", y="25")
    put(hand, closed="20", stroke="40", x="0", y="-25")
    made = last(hand)
    assert isinstance(made, Jack)
    assert (made.bodies, made.closed, made.stroke) == (("bay", "leg"), 20.0, 40.0)


def test_a_place_with_nothing_there_is_refused_in_words(hand):
    said: list[str] = []
    hand.window.session.trouble.connect(said.append)
    before = hand.window.session.project
    hand.tool("pivot")
    put(hand, x="-500", y="500")
    assert "Two bodies have to lie on each other there" in said[-1]
    assert hand.window.session.project is before
    assert hand.window.sheet.bench.pixel != QPoint()
