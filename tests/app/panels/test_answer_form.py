"""A chosen finding is answered: accepted with a reason, taken back, or its pair's rule set; all of it can be undone."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from core.document.finding_edits import Accept, rule_of
from core.findings.acceptance import acceptance_of
from core.findings.finding import Kind
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, settle, wait_for_check


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def choose(window, kind):
    finding = next(one for one in window.session.sequence_study.findings if one.kind is kind)
    window.session.show_finding(finding)
    return finding


def test_nothing_to_answer_while_nothing_is_chosen(window):
    assert window.findings.answer.isHidden()
    choose(window, Kind.CLASH)
    assert not window.findings.answer.isHidden()


def test_a_reason_is_needed(window):
    choose(window, Kind.CLASH)
    form = window.findings.answer
    assert not form.here.isEnabled()
    QTest.keyClick(form.why, Qt.Key.Key_Return)
    assert window.session.project.accepted == ()
    QTest.keyClicks(form.why, "cut away")
    assert form.here.isEnabled()


def test_accepted_with_the_keyboard_listed_last_and_taken_back(qtbot, window):
    finding = choose(window, Kind.CLASH)
    form = window.findings.answer
    before = window.findings.model.rowCount()
    QTest.keyClicks(form.why, "cut away in the bay")
    QTest.keyClick(form.why, Qt.Key.Key_Return)
    wait_for_check(qtbot, window)
    study = window.session.sequence_study
    assert finding.bodies not in {one.bodies for one in study.findings if one.kind is Kind.CLASH}
    assert study.accepted[0].accepted.why == "cut away in the bay"
    model = window.findings.model
    assert model.rowCount() == before + 1, "a heading stands over it"
    assert model.index(before - 1).data() == "Accepted  1"
    last = model.index(model.rowCount() - 1)
    assert last.data(Qt.ItemDataRole.AccessibleTextRole).startswith("Accepted. Clash. ")
    assert last.data(Qt.ItemDataRole.AccessibleTextRole).endswith(" cut away in the bay")
    assert window.findings.head.count.endswith(", 1 accepted")
    assert window.session.undo_label == "Accept finding"

    window.session.show_finding(study.accepted[0])
    assert not form.take_back.isHidden()
    QTest.mouseClick(form.take_back, Qt.MouseButton.LeftButton)
    wait_for_check(qtbot, window)
    assert window.session.project.accepted == ()
    assert window.session.sequence_study.accepted == ()


def test_everywhere_is_offered_where_there_are_several_sequences(window):
    choose(window, Kind.LOOSE)
    form = window.findings.answer
    assert form.everywhere.isHidden() is (len(window.session.project.sequences) < 2)
    QTest.keyClicks(form.why, "held by hand")
    QTest.mouseClick(form.everywhere, Qt.MouseButton.LeftButton)
    assert window.session.project.accepted[0].sequence is None


def test_a_pair_gets_a_clearance_of_its_own(qtbot, window):
    finding = choose(window, Kind.CLASH)
    QTest.keyClicks(window.findings.answer.why, "room for paint")
    field = window.findings.answer.clearance
    field.line.setFocus()
    field.line.selectAll()
    QTest.keyClicks(field.line, "1/16 in")
    QTest.keyClick(field.line, Qt.Key.Key_Return)
    assert rule_of(window.session.project, finding.bodies).why == "room for paint"
    assert rule_of(window.session.project, finding.bodies).clearance == pytest.approx(25.4 / 16.0)
    assert window.session.undo_label == "Change rule of pair"
    wait_for_check(qtbot, window)
    window.session.undo()
    assert window.session.project == small_aircraft()


def test_a_clearance_below_nothing_is_refused(window):
    choose(window, Kind.CLASH)
    field = window.findings.answer.clearance
    field.line.setFocus()
    field.line.selectAll()
    QTest.keyClicks(field.line, "-1")
    QTest.keyClick(field.line, Qt.Key.Key_Return)
    assert "less than nothing" in field.reason
    assert window.session.project == small_aircraft()


def test_a_pair_is_never_checked_again_for_a_reason(qtbot, window):
    finding = choose(window, Kind.CLASH)
    form = window.findings.answer
    QTest.keyClicks(form.why, "one is filed to the other")
    QTest.mouseClick(form.excuse, Qt.MouseButton.LeftButton)
    wait_for_check(qtbot, window)
    rule = rule_of(window.session.project, finding.bodies)
    assert (rule.rule, rule.why) == ("ignore", "one is filed to the other")
    assert finding.bodies not in {one.bodies for one in window.session.sequence_study.findings}


def test_kinds_that_are_no_pair_have_no_rule(window):
    choose(window, Kind.LOOSE)
    form = window.findings.answer
    assert form.clearance.isHidden()
    assert form.excuse.isHidden()


def test_what_is_accepted_is_folded_away_and_shown_by_mouse_and_keys(qtbot, window):
    finding = choose(window, Kind.CLASH)
    window.session.push(Accept(acceptance_of(finding, "cut away")))
    window.session.show_finding(None)
    wait_for_check(qtbot, window)
    listed, model = window.findings.list, window.findings.model
    assert model.folded
    heading = model.index(model.heading)
    assert heading.data(Qt.ItemDataRole.AccessibleTextRole) == "Accepted: 1, folded"
    assert model.rowCount() == model.heading + 1

    QTest.mouseClick(
        listed.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier,
        listed.visualRect(heading).center(),
    )  # fmt: skip
    assert model.rowCount() == model.heading + 2
    assert window.session.finding is None, "a heading is no finding"
    for key, folded in ((Qt.Key.Key_Left, True), (Qt.Key.Key_Right, False), (Qt.Key.Key_Space, True)):
        QTest.keyClick(listed, key)
        assert model.folded is folded

    QTest.keyClick(listed, Qt.Key.Key_Return)
    QTest.keyClick(listed, Qt.Key.Key_Down)
    assert window.session.finding.accepted.why == "cut away"


def test_showing_an_accepted_finding_unfolds_it(qtbot, window):
    finding = choose(window, Kind.CLASH)
    window.session.push(Accept(acceptance_of(finding, "cut away")))
    window.session.show_finding(None)
    wait_for_check(qtbot, window)
    window.session.show_finding(window.session.sequence_study.accepted[0])
    model = window.findings.model
    assert not model.folded
    assert window.findings.list.currentIndex().row() == model.rowCount() - 1


def test_what_was_accepted_in_vain_is_told_and_let_go_of(qtbot, window):
    note = window.findings.vain
    assert note.isHidden()
    finding = choose(window, Kind.CLASH)
    gone = replace(acceptance_of(finding, "it was too long"), kind="latch")
    window.session.push(Accept(gone))
    assert note.isHidden(), "not known while it is checked"
    wait_for_check(qtbot, window)
    assert not note.isHidden()
    assert note.said.text().startswith("Accepted, and found no longer:\nLatch does not reach: ")
    assert note.said.text().endswith(" (it was too long)")
    QTest.mouseClick(note.let_go, Qt.MouseButton.LeftButton)
    wait_for_check(qtbot, window)
    assert window.session.project.accepted == ()
    assert note.isHidden()


def test_every_button_is_read_whole_in_a_narrow_panel(qtbot, window):
    window.commands["sequence-copy"].trigger()
    wait_for_check(qtbot, window)
    choose(window, Kind.CLASH)
    form = window.findings.answer
    window.regions.across.setSizes([220, 900, 256])
    settle()
    for button in (form.here, form.everywhere, form.excuse):
        assert button.isVisible()
        assert button.width() >= button.sizeHint().width(), button.text()


def test_the_keyboard_goes_to_the_sheet_when_a_finding_is_answered(window):
    choose(window, Kind.CLASH)
    form = window.findings.answer
    form.why.setFocus()
    QTest.keyClicks(form.why, "they lap")
    QTest.keyClick(form.why, Qt.Key.Key_Return)
    assert window.sheet.panes.canvas.hasFocus()
