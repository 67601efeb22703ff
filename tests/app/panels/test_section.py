"""The section across the view: slabs packed in rows, dragged by hand and moved by keys."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.painting.theme import LIGHT
from app.panels.section import Section, Slab, packed, slabs_beside
from app.session import Session
from core.document.aircraft_edits import SetInchFraction, SetLengthUnit
from tests.app.small_aircraft import small_aircraft

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


@pytest.fixture
def section(qtbot):
    session = Session()
    session.open(small_aircraft(), None)
    one = Section(session, LIGHT)
    qtbot.addWidget(one)
    for signal in (session.project_changed, session.selection_changed):
        signal.connect(one.refresh)
    one.resize(400, 120)
    one.show()
    session.choose("leg")
    return one, session


def depth(session: Session, body: str = "leg"):
    return next(one.depth for one in session.project.bodies if one.id == body)


def drag(section: Section, start: float, end: float, keys=NONE) -> None:
    a, b = (QPoint(round(section._x(one)), 10) for one in (start, end))
    QTest.mousePress(section, LEFT, keys, a)
    QTest.mouseMove(section, (a + b) / 2)
    QTest.mouseMove(section, b)
    QTest.mouseRelease(section, LEFT, keys, b)


def test_the_others_of_the_view_are_shown_beside_it():
    project = small_aircraft()
    leg = project.bodies[1]
    assert [one.name for one in slabs_beside(project, leg)] == ["Main door", "Aft door"]


def test_all_others_are_told_of_beside_the_pointer_as_far_as_there_is_room(section, monkeypatch):
    one, session = section
    assert one.told == "Main door: −8 to 8\nAft door: −8 to 8"
    session.push(SetLengthUnit("in"))
    assert one.told.startswith("Main door: −0.315 to 0.315")
    monkeypatch.setattr("app.panels.section.LISTED", 1)
    assert one.told.endswith("\nand 1 more")


def test_the_others_are_looked_for_once_a_project_and_not_with_every_moment(section, monkeypatch):
    one, session = section
    looked = []
    monkeypatch.setattr("app.panels.section.slabs_beside", lambda *of: looked.append(of) or slabs_beside(*of))
    one.refresh()
    assert not looked
    session.choose("door")
    session.push(SetLengthUnit("in"))
    assert len(looked) == 2


def test_an_end_is_dragged_to_whole_halves(section):
    one, session = section
    drag(one, 5.0, 3.1)
    assert depth(session) == (-5.0, 3.0)
    assert session.undo_label == "Change depth: Nose leg"
    session.undo()
    drag(one, -5.0, -6.6)
    assert depth(session) == (-6.5, 5.0)


def test_in_inches_an_end_is_dragged_to_parts_of_an_inch(section):
    one, session = section
    session.push(SetLengthUnit("in"))
    drag(one, 5.0, 3.1)
    assert depth(session) == (-5.0, pytest.approx(0.125 * 25.4))
    session.push(SetInchFraction(32))
    drag(one, -5.0, -6.6)
    assert depth(session)[0] == pytest.approx(-17 / 64 * 25.4)


def test_an_end_rests_at_another_slabs_end(section):
    one, session = section
    drag(one, 5.0, 7.95)
    assert depth(session) == (-5.0, 8.0)


def test_the_slab_is_dragged_as_a_whole(section):
    one, session = section
    drag(one, 0.0, 2.0)
    assert depth(session) == (-3.0, 7.0)


def test_an_end_never_passes_the_other(section):
    one, session = section
    drag(one, 5.0, -8.0)
    assert depth(session) == (-5.0, -4.5)


def test_escape_leaves_nothing_behind(section):
    one, session = section
    QTest.mousePress(one, LEFT, NONE, QPoint(round(one._x(5.0)), 10))
    QTest.mouseMove(one, QPoint(round(one._x(2.0)), 10))
    assert one.slab == (-5.0, 2.0)
    QTest.keyClick(one, Qt.Key.Key_Escape)
    QTest.mouseRelease(one, LEFT, NONE, QPoint(round(one._x(2.0)), 10))
    assert depth(session) == (-5.0, 5.0)
    assert session.undo_label is None


def test_keys_move_it(section):
    one, session = section
    QTest.keyClick(one, Qt.Key.Key_Right)
    assert depth(session) == (-4.5, 5.5)
    QTest.keyClick(one, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert depth(session) == (-4.5, 5.0)


def test_nothing_is_shown_where_there_is_no_depth(section):
    one, session = section
    session.choose("leg-pivot")
    assert one.isHidden()
    session.choose("airframe")
    assert not one.isHidden(), "it fills the whole depth, and can be given less"
    assert one.slab is None
    one.grab()


@given(st.lists(st.tuples(st.integers(-20, 20), st.integers(1, 12)), max_size=30))
def test_no_slab_lies_over_another_in_its_row(given_slabs):
    slabs = tuple(Slab(str(n), (float(at), float(at + wide))) for n, (at, wide) in enumerate(given_slabs))
    rows = packed(slabs)
    assert sorted(one.name for row in rows for one in row) == sorted(one.name for one in slabs)
    for row in rows:
        assert all(a.depth[1] <= b.depth[0] for a, b in pairwise(row))
    deepest = max((sum(a.depth[0] <= x < a.depth[1] for a in slabs) for x in range(-20, 33)), default=0)
    assert len(rows) == deepest, "as few as may be"
