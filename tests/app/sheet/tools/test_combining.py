"""Chosen bodies joined and cut through the window: one edit each, and one line where it cannot be."""

from __future__ import annotations

import pytest

from core.geometry.outlines import outline
from tests.app.sheet.tools.things import body
from tests.app.sketcher import Sketcher


def said_by(hand: Sketcher) -> list[str]:
    said: list[str] = []
    hand.window.session.trouble.connect(said.append)
    return said


def test_the_last_chosen_takes_the_others_in(hand: Sketcher):
    session = hand.window.session
    before = session.project
    session.choose_several(("link", "door"))
    hand.command("join-bodies")
    assert [one.id for one in session.project.bodies] == ["bay", "leg", "door"]
    assert session.chosen == ("door",)
    assert session.undo_label == "Join Link to Door"
    session.undo()
    assert session.project is before


def test_connections_go_over_to_the_leading_body(hand: Sketcher):
    hand.window.session.choose_several(("door", "link"))
    hand.command("join-bodies")
    assert hand.window.session.project.connections[1].bodies == ("leg", "link")


def test_the_others_are_cut_out_and_stay(hand: Sketcher):
    session = hand.window.session
    session.choose_several(("link", "door"))
    hand.command("cut-away")
    assert outline(body(hand, "door")).area == pytest.approx(100.0 - 16.0)
    assert len(body(hand, "door").shapes[0].holes) == 1
    assert len(session.project.bodies) == 4
    assert session.undo_label == "Cut Link out of Door"


@pytest.mark.parametrize(
    ("command", "chosen", "line"),
    [
        ("join-bodies", ("door",), "two bodies or more"),
        ("join-bodies", ("trunnion",), "two bodies or more"),
        ("join-bodies", ("leg", "door"), "rod connects Leg with Door"),
        ("cut-away", ("door", "link"), "Nothing of Link would be left"),
        ("cut-away", ("bay", "door"), "does not lie on Door"),
    ],
)
def test_what_cannot_be_is_said_in_one_line_and_changes_nothing(hand: Sketcher, command, chosen, line):
    said, before = said_by(hand), hand.window.session.project
    hand.window.session.choose_several(chosen)
    hand.command(command)
    assert hand.window.session.project is before
    assert len(said) == 1
    assert line in said[0]
