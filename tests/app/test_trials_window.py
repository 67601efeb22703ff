"""Trials in the window: shown, told, kept, listed, and left again."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from app.panels.trial_form import MOST
from app.panels.trials import NONE_YET, OUTDATED
from app.sequence.bars import LANE, Part
from app.session import IN_TRIAL
from core.document.finding_edits import SetPairRule
from core.document.project import PairRule
from core.document.step_edits import SetMove
from core.document.step_time_edits import SetStepDuration
from core.errors import CheckCancelled
from core.findings.finding import Kind
from core.trials.every import pairs_of
from core.trials.fault import Back, Late, NotEngaging, Slow, Stuck, Together
from core.trials.trial import Trial
from tests.app.window import opened_window, wait_for_check
from tests.core.trials.gear import UP, gear

SHUT = Trial("run", Stuck("doors"))
WIDER = SetPairRule(PairRule(bodies=("door", "leg"), rule="check", clearance=2.0))
"""An edit that leaves the sequences alone, after which everything is checked anew."""


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, gear()) as window:
        yield window


@pytest.fixture
def trying(window):
    return window.trials.trying


def show(qtbot, window, trial: Trial = SHUT) -> None:
    window.trials.trying.show(trial)
    wait_for_check(qtbot, window)


def listed(panel) -> list[str]:
    return [panel.table.item(row, 0).text() for row in range(panel.table.rowCount())]


# ---- one -------------------------------------------------------------------------------------------------------------


def test_a_trial_is_shown_with_a_banner_and_is_no_edit(qtbot, window, trying):
    session = window.session
    before = session.project
    assert window.trials.banner.isHidden()
    show(qtbot, window)
    banner = window.trials.banner
    assert banner.isVisible()
    assert banner.title == "Trial: Doors not moving at all – not the sequence as drawn"
    assert banner.text == "Findings beside those of the sequence as drawn: 1 new."
    assert [one.kind for one in session.sequence_study.findings] == [Kind.CLASH]
    assert window.findings.head.count == "1"
    assert window.findings._note_of(window.findings.model.groups[0], session.shown, "run").startswith("new  ·  ")
    assert (session.project, session.undo_label, session.unsaved) == (before, None, False)


def test_escape_lets_go_of_the_finding_and_then_of_the_trial(qtbot, window):
    show(qtbot, window)
    window.session.show_finding(window.session.sequence_study.findings[0])
    QTest.keyClick(window, Qt.Key.Key_Escape)
    assert window.session.finding is None
    assert window.trials.trying.trial == SHUT
    QTest.keyClick(window, Qt.Key.Key_Escape)
    assert window.trials.trying.trial is None
    assert window.trials.banner.isHidden()
    assert window.session.study_current, "the study of the sequence as drawn is still there"
    assert window.session.sequence_study.findings == ()
    assert not window.commands["let-go"].isEnabled()


def test_its_button_leads_back_as_well(qtbot, window):
    show(qtbot, window)
    QTest.mouseClick(window.trials.leave, Qt.MouseButton.LeftButton)
    assert window.session.trial is None


def test_what_waits_for_ever_is_told(qtbot, window):
    show(qtbot, window, Trial("run", Stuck("doors"), waits=True))
    assert window.trials.banner.text.endswith("nothing new; never begins: Up and Shut.")


def test_kept_it_is_a_sequence_of_its_own_by_one_edit(qtbot, window, trying):
    show(qtbot, window)
    before = window.session.project
    QTest.mouseClick(window.trials.keep, Qt.MouseButton.LeftButton)
    session = window.session
    assert session.trial is None
    assert [one.name for one in session.project.sequences] == ["Run", "Run, Doors not moving at all"]
    assert session.sequence.id == session.project.sequences[1].id
    assert session.undo_label == "Add sequence Run, Doors not moving at all"
    wait_for_check(qtbot, window)
    assert [one.kind for one in session.sequence_study.findings] == [Kind.CLASH]
    session.undo()
    assert session.project is before


def test_curves_of_a_trial_are_named_so_where_they_are_written(qtbot, window, trying):
    curves, names = window.sequence.curves, list[str]()
    curves.write_wanted.disconnect()
    curves.write_wanted.connect(names.append)
    window.session.choose("doors")
    curves.ask_to_write()
    show(qtbot, window)
    curves.ask_to_write()
    trying.leave()
    curves.ask_to_write()
    assert names == ["run-curves.csv", "run-trial-curves.csv", "run-curves.csv"]


def test_steps_are_not_changed_while_a_trial_stands_in_their_place(qtbot, window):
    show(qtbot, window)
    before = window.session.project
    window.session.push(SetStepDuration("run", "up", 3.0))
    assert window.notice.text == IN_TRIAL
    assert window.session.project is before
    lanes = window.sequence.lanes
    box = lanes.bars.box("up").center().toPoint()
    QTest.mousePress(lanes, Qt.MouseButton.LeftButton, pos=box)
    assert lanes.gesture is None
    QTest.mouseRelease(lanes, Qt.MouseButton.LeftButton, pos=box)
    assert window.session.selection == "up"


def test_an_edit_of_the_aircraft_is_tried_at_once_and_judged_beside_the_sound_one(qtbot, window, trying):
    show(qtbot, window)
    window.session.push(WIDER)
    assert trying.outcome is None
    wait_for_check(qtbot, window)
    qtbot.waitUntil(lambda: trying.outcome is not None)
    assert [one.kind for one in trying.outcome.compared.new] == [Kind.CLASH]


def test_a_trial_of_what_is_undone_ends(qtbot, window, trying):
    window.session.push(SetMove("run", "up", "gear", None))
    window.session.push(SetMove("run", "up", "gear", UP))
    show(qtbot, window, Trial("run", Late("gear", 1.0)))
    window.session.undo()
    assert window.session.trial is None
    assert window.trials.banner.isHidden()


def test_what_makes_no_sense_is_said_and_not_shown(window, trying):
    trying.show(Trial("run", Back(99.0)))
    assert "it runs from 0 to 17.5 s" in window.notice.text
    assert window.session.trial is None


def test_where_a_finding_has_moved_in_time_the_rule_goes_to_it(qtbot, window):
    """Both ways, but not where the rule has gone elsewhere meanwhile."""
    session = window.session
    show(qtbot, window)
    session.show_finding(session.sequence_study.findings[0])
    before = session.moment
    assert before == session.finding.time > 0.0
    show(qtbot, window, Trial("run", Together((Stuck("doors"), Slow("gear", 0.5)))))
    assert session.finding is not None
    assert session.moment == session.finding.time > before + 1.0
    session.set_moment(3.0)
    show(qtbot, window)
    assert session.finding is not None
    assert session.moment == 3.0


def test_where_no_step_can_be_made_none_is_offered(qtbot, window):
    lanes = window.sequence.lanes
    with_room = lanes.bars.height
    free = QPointF(lanes.scale.left + 40.0, lanes.bars.row_box(3, 400.0).center().y())
    assert lanes.bars.part_at(free, frozenset())[0] is Part.FREE
    show(qtbot, window)
    assert lanes.bars.height == with_room - LANE
    assert lanes.bars.part_at(free, frozenset())[0] is Part.NOTHING
    window.trials.leave.click()
    assert lanes.bars.height == with_room


# ---- which -----------------------------------------------------------------------------------------------------------


def asked(window):
    window.commands["try-fault"].trigger()
    return window.trials.shown.panel.form


@pytest.mark.parametrize(
    ("chosen", "picked"),
    [
        ("up", "gear"),
        ("gear", "gear"),
        ("leg-pivot", "gear"),
        ("hinge", "doors"),
        ("uplock", "uplock"),
        (None, "doors"),
    ],
)
def test_what_is_chosen_is_offered_to_fail(window, chosen, picked):
    window.session.choose(chosen)
    assert asked(window).thing == picked


def test_each_way_to_fail_makes_its_fault(window):
    form, wanted = asked(window), []
    form.wanted.connect(wanted.append)
    for row, fault in enumerate((Stuck("doors"), Late("doors", 1.0), Slow("doors", 0.5), Stuck("doors", 8.75))):
        form.how.setCurrentIndex(row)
        assert form.amount.isEnabled() == bool(row)
        form.show_it.click()
        assert wanted[-1] == Trial("run", fault)
    form.waits.setChecked(True)
    form.show_it.click()
    assert wanted[-1].waits
    form.pick("uplock")
    form.show_it.click()
    assert wanted[-1] == Trial("run", NotEngaging("uplock"))
    assert form.how.count() == 1, "the sequence never releases it"
    window.session.try_out(None)
    window.session.set_moment(4.0)
    form.what.setCurrentIndex(form.what.count() - 1)
    form.show_it.click()
    assert wanted[-1] == Trial("run", Back(4.0))


def test_an_amount_is_typed_and_tried(qtbot, window, trying):
    form = asked(window)
    form.how.setCurrentIndex(1)
    form.amount.line.setFocus()
    form.amount.line.selectAll()
    QTest.keyClicks(form.amount.line, "0.4 s")
    QTest.keyClick(form.amount.line, Qt.Key.Key_Return)
    assert trying.trial == Trial("run", Late("doors", 0.4))
    wait_for_check(qtbot, window)


# ---- every one -------------------------------------------------------------------------------------------------------


def test_every_fault_is_tried_aside_listed_worst_first_and_shown_by_its_row(qtbot, window, trying):
    form = asked(window)
    panel = window.trials.shown.panel
    assert panel.said.text().startswith(NONE_YET)
    assert panel.said.text().endswith("Every pair: up to 78 of them, how long is told when the first are done.")
    shares: list[float] = []
    trying.progressed.connect(lambda _words, share: shares.append(share))
    QTest.mouseClick(panel.every, Qt.MouseButton.LeftButton)
    assert trying.working
    assert not panel.every.isEnabled()
    qtbot.waitUntil(lambda: not trying.working)
    assert len(listed(panel)) == len(trying.outcomes) == 13
    assert shares == sorted(shares)
    brings = [bool(one.compared.harmful) for one in trying.outcomes]
    assert brings == sorted(brings, reverse=True)
    panel.table.selectRow(listed(panel).index("Doors not moving at all"))
    assert trying.trial == SHUT
    wait_for_check(qtbot, window)
    assert form.isEnabled()
    window.session.try_out(None)
    assert panel.table.selectedIndexes() == []
    window.session.push(WIDER)
    assert panel.said.text().startswith(OUTDATED)
    wait_for_check(qtbot, window)


def test_trying_can_be_stopped_and_begun_again(qtbot, window, trying):
    window.commands["try-every"].trigger()
    assert trying.working
    window.trials.shown.panel.stop.click()
    assert not trying.working
    assert trying.outcomes == ()
    window.commands["try-every"].trigger()
    qtbot.waitUntil(lambda: not trying.working)
    assert trying.outcomes


def test_a_last_word_of_what_was_given_up_takes_nothing_away(qtbot, window, trying):
    window.commands["try-fault"].trigger()
    said = window.trials.shown.panel.said
    before = said.text()
    assert before.startswith(NONE_YET)
    trying.progressed.emit("Doors not moving at all", 0.3)
    assert (said.text(), said.isVisible()) == (before, True)


def test_another_aircraft_is_told_nothing_of_how_long_the_last_one_took(qtbot, window, trying):
    window.trials.try_all()
    qtbot.waitUntil(lambda: not trying.working)
    told = "how long is told when the first are done"
    assert told not in trying.pairs_words
    window.session.open(gear(), None)
    assert told in trying.pairs_words


def test_closing_the_window_while_faults_are_tried_waits_for_nothing(qtbot, window, trying, monkeypatch):
    begun, stopped = threading.Event(), threading.Event()

    def endless(*_: object, cancelled, **__: object) -> None:
        begun.set()
        while not cancelled():
            threading.Event().wait(0.002)
        stopped.set()
        raise CheckCancelled

    monkeypatch.setattr("app.trying_aside.try_all", endless)
    window.commands["try-every"].trigger()
    assert begun.wait(60.0)
    assert window.trials.shut_down()
    assert stopped.is_set()
    assert not trying.working


# ---- several at once -------------------------------------------------------------------------------------------------


def test_two_faults_are_picked_tried_and_told_together(qtbot, window, trying):
    form = asked(window)
    form.more.click()
    first, second = form.rows
    assert (first.thing, second.thing) == ("doors", "gear")
    first.how.setCurrentIndex(1)
    second.how.setCurrentIndex(2)
    form.show_it.click()
    assert trying.trial == Trial("run", Together((Late("doors", 1.0), Slow("gear", 0.5))))
    wait_for_check(qtbot, window)
    words = "Trial: Doors late by 1.00 s and Gear at half speed – not the sequence as drawn"
    assert window.trials.banner.title == words
    window.trials.keep.click()
    assert window.session.project.sequences[1].name == "Run, Doors late by 1.00 s and Gear at half speed"


def test_a_fault_is_left_out_again_and_the_others_stay(window, trying):
    form = asked(window)
    form.more.click()
    form.more.click()
    assert len(form.rows) == 3
    third = form.rows[2]
    third.pick("uplock")
    form.rows[1].remove.click()
    assert [row.thing for row in form.rows] == ["doors", "uplock"]
    assert form.rows[1] is third
    form.show_it.click()
    assert trying.trial == Trial("run", Together((Stuck("doors"), NotEngaging("uplock"))))
    for _ in range(5):
        form.more.click()
    assert len(form.rows) == MOST
    assert not form.more.isEnabled()


def test_two_that_make_no_sense_together_are_refused_in_a_line(window, trying):
    form = asked(window)
    form.more.click()
    form.rows[1].pick("doors")
    form.rows[1].how.setCurrentIndex(1)
    form.show_it.click()
    assert window.session.trial is None
    assert window.notice.text == "Doors late by 1.00 s makes no difference beside Doors not moving at all"


def test_every_pair_is_tried_told_how_long_and_listed_by_what_comes_only_together(qtbot, window, trying):
    told: list[str] = []
    trying.progressed.connect(lambda _words, share: told.append(trying.left_words(share)))
    window.commands["try-pairs"].trigger()
    panel = window.trials.shown.panel
    assert trying.working
    assert not panel.pairs.isEnabled()
    qtbot.waitUntil(lambda: not trying.working)
    assert told[0].startswith("0 of ")
    assert " tried, about " in told[10]
    assert told[10].endswith("to go")
    assert len(listed(panel)) == len(trying.outcomes) == len(pairs_of(gear(), "run"))
    brings = [bool(one.together) for one in trying.outcomes]
    assert any(brings)
    assert brings == sorted(brings, reverse=True)
    assert "only together" in panel.table.item(0, 1).text()
    assert panel.said.text().startswith("Every pair: up to 78 of them, about ")
    panel.table.selectRow(0)
    wait_for_check(qtbot, window)
    assert "only together" in window.trials.banner.text


def test_trying_every_pair_can_be_given_up(qtbot, window, trying):
    window.commands["try-pairs"].trigger()
    panel = window.trials.shown.panel
    qtbot.waitUntil(lambda: panel.progress.value() > 0)
    panel.stop.click()
    assert not trying.working
    assert trying.outcomes == ()
    assert panel.pairs.isEnabled()
    assert panel.said.text().startswith(NONE_YET)


def test_what_is_picked_of_every_fault_is_there_again_after_a_trial_was_kept_and_undone(qtbot, window):
    window.trials.ask()
    form = window.trials.shown.panel.form
    form.pick("doors")
    form.how.setCurrentIndex(0)
    form.add_fault()
    second = form.rows[1]
    second.pick("gear")
    second.how.setCurrentText("late by")
    second.amount.enter("0.35")
    wait_for_check(qtbot, window)
    before = [row.fault for row in form.rows]
    assert before == [Stuck("doors"), Late("gear", 0.35)]
    window.session.set_moment(0.6)
    window.trials.keep.click()
    wait_for_check(qtbot, window)
    assert window.session.sequence.id != "run"
    window.session.undo()
    assert window.session.sequence.id == "run"
    assert window.session.moment == 0.6, "where it was left"
    assert [row.fault for row in form.rows] == before
    window.session.redo()
    window.session.choose_sequence(window.session.project.sequences[1].id)
    window.session.choose_sequence("run")
    assert [row.fault for row in form.rows] == before
