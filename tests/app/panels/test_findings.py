"""What the findings panel says while nothing is open, while it is checked, and when nothing was found."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt

from app.panels.finding_groups import Group, all_findings, groups_of
from app.panels.finding_rows import amount_of, kept_together, note_of
from app.panels.findings import checked_text, standing_of
from app.session import Session
from app.study_runner import StudyRunner
from core.document.project import VERSION, Aircraft, Project, Sequence
from core.document.project_file import decode, encode
from core.document.step_edits import SetMove
from core.document.step_time_edits import SetStepSpan
from core.findings.finding import Finding, Kind
from core.study import run
from tests.app.small_aircraft import clean_aircraft, small_aircraft
from tests.app.window import opened_window, settle, wait_for_check

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


def failing(asked, /, *, previous=None, cancelled=None, newer=None):
    raise ValueError("no pivot has a place")


@pytest.fixture
def session(qapp) -> Session:
    return Session()


def test_without_an_aircraft_it_says_what_will_be_here(session: Session):
    standing = standing_of(session)
    assert (standing.count, standing.title) == ("", "No aircraft is open")


def test_until_it_is_checked_it_never_says_that_all_is_clear(session: Session):
    runner = StudyRunner(session, work=failing)
    project = clean_aircraft()
    session.open(project, None)
    assert standing_of(session).title == "Checking…"
    assert runner.shut_down()
    clean = run(project)
    session.put_study(clean)
    assert standing_of(session).title == "Nothing found"
    session.push(SetMove("retract", "leg-up", "gear", 91.0))
    assert standing_of(session).title == "Checking…", "what was found before the edit no longer counts"


def test_a_check_that_failed_says_why(qtbot, session: Session):
    runner = StudyRunner(session, work=failing)
    session.open(small_aircraft(), None)
    qtbot.waitUntil(lambda: not runner.working)
    standing = standing_of(session)
    assert (standing.count, standing.text) == ("not checked", "ValueError: no pivot has a place")
    assert runner.shut_down()


def test_nothing_found_says_what_that_rests_on():
    said = checked_text(run(clean_aircraft()))
    assert said.startswith("Retract: 1 pair over 229 frames, 5.70 s.\nLeast clearance ")
    assert "between the frames" in said


def test_nothing_found_of_a_newer_file_says_what_was_left_out():
    written = json.loads(encode(clean_aircraft()))
    written["version"] = VERSION + 1
    written["connections"].append({"id": "hold", "kind": "magnet", "bodies": ["leg", "airframe"]})
    newer = decode(json.dumps(written).encode(), Path("project.json"))
    said = checked_text(run(newer))
    assert "leaves out what it does not understand" in said
    assert "(hold)" in said
    assert "newer" not in checked_text(run(clean_aircraft()))


def test_nothing_to_check_is_told_as_such():
    whole = clean_aircraft()
    still = (Sequence(id="retract", name="Retract"),)
    alone = replace(whole, bodies=whole.bodies[:1], connections=(), drives=(), sequences=still)
    assert checked_text(run(alone)) == "Retract: no pair to check."


def test_the_worst_kinds_come_first_through_all_sequences():
    kinds = [finding.kind for finding in all_findings(run(small_aircraft()))]
    gravity = {kind: order for order, kind in enumerate(Kind)}
    assert kinds == sorted(kinds, key=gravity.get)
    assert Kind.CLASH in kinds


def test_the_count_stands_in_the_heading_and_each_row_can_be_read_out(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        model = window.findings.model
        assert window.findings.head.count == str(model.rowCount()) == str(len(groups_of(window.session.study)))
        read_out = model.index(0).data(Qt.ItemDataRole.AccessibleTextRole)
        assert read_out.startswith("Clash. ")
        assert read_out.endswith(" s.")


def test_rows_are_as_high_as_their_sentences_are_long(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        listed = window.findings.list
        window.regions.across.setSizes([230, 900, 300])
        settle()
        narrow = listed.visualRect(window.findings.model.index(0)).height()
        window.regions.across.setSizes([700, 500, 300])
        qtbot.waitUntil(lambda: listed.visualRect(window.findings.model.index(0)).height() < narrow)


def test_an_edit_that_mends_it_empties_the_list(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.session.push(SetMove("retract", "doors-close", "doors", 92.0))
        wait_for_check(qtbot, window)
        assert Kind.CLASH not in {one.kind for one in all_findings(window.session.study)}


def test_a_chosen_row_is_seen_whole_though_its_answers_take_room_below(qtbot, tmp_path: Path):
    shutil.copytree(SAMPLES / "merrow-t2-flawed", tmp_path / "flawed")
    with opened_window(qtbot, tmp_path) as window:
        window.resize(1100, 700)
        assert window.keeping.open(tmp_path / "flawed")
        wait_for_check(qtbot, window)
        listed = window.findings.list
        clash = next(one for one in window.session.sequence_study.findings if one.kind is Kind.CLASH)
        window.session.show_finding(clash)
        settle()
        assert window.findings.answer.isVisible()
        row = listed.visualRect(listed.currentIndex())
        assert 0 <= row.top() < row.bottom() <= listed.viewport().height()


def test_a_note_says_when_and_where_with_real_minus_signs():
    finding = Finding(
        kind=Kind.CLASH, sequence="retract", sentence="", time=6.9, step="doors-close", at=(43.82, -0.66), amount=0.8
    )
    project = small_aircraft()
    assert note_of(Group((finding,)), project, "retract") == "during Doors close  ·  at\xa043.8,\xa0−0.7\xa0mm"
    assert note_of(Group((finding,)), project, "hold").startswith("Retract  ·  ")
    assert amount_of(finding, project) == "0.80 mm deep"


def test_what_is_wrong_in_every_sequence_is_told_once():
    study = run(small_aircraft())
    loose = [group for group in groups_of(study) if group.kind == Kind.LOOSE]
    assert [len(group.findings) for group in loose] == [2]
    assert note_of(loose[0], study.project, "hold") == "in Retract, Hold"
    assert loose[0].of("hold").sequence == "hold"
    assert loose[0].of("elsewhere").sequence == "retract"


def test_while_it_is_checked_anew_what_was_found_stays_faint_in_sight(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        assert window.findings.list.isEnabled()
        window.session.push(SetMove("retract", "doors-close", "doors", 1.0))
        assert window.findings.head.count == "checking…"
        assert window.findings.list.isVisible()
        assert not window.findings.list.isEnabled()
        wait_for_check(qtbot, window)
        assert window.findings.list.isEnabled()


def test_numbers_stay_on_the_line_of_their_units():
    assert kept_together("short by 1.00 mm at 3.56 s.") == "short by 1.00\u00a0mm at 3.56\u00a0s."
    assert kept_together("2 sequences") == "2 sequences"


def test_an_aircraft_without_bodies_is_not_called_clear(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, Project(aircraft=Aircraft(name="Pellow 3", scale=8))) as window:
        assert window.findings.standing.title == "Nothing to check yet"
        assert window.standing == "nothing to check"


def test_the_row_that_is_looked_at_stays_chosen_while_the_hand_moves_and_says_the_newest_at_once(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        session, listed = window.session, window.findings.list
        clash = next(one for one in session.sequence_study.findings if one.kind is Kind.CLASH)
        session.show_finding(clash)
        lost = []
        listed.selectionModel().selectionChanged.connect(lambda chosen, _old: lost.append(not chosen.indexes()))
        for delay in (0.4, 0.6, 0.8):
            session.propose(SetStepSpan("retract", "leg-up", delay, 4.0))
            qtbot.waitUntil(lambda: session.study_current)
            assert session.finding.time > clash.time
            assert listed.selectedIndexes(), "until the list of the new verdict is made"
            qtbot.waitUntil(lambda: listed.currentIndex().data() == session.finding.sentence)
        session.withdraw()
        assert listed.currentIndex().data() == clash.sentence
        assert not any(lost)
