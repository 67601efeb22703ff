"""Built models in the window: kept up with the aircraft, stale in between, their rows looked at; the workshop typed."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.panels.built_models import CHECKING, NONE_YET, OUTDATED
from core.document.finding_edits import SetPairRule
from core.document.project import PairRule, Sequence, Workshop
from core.document.project_file import read_project
from core.document.sequence_edits import AddSequence
from core.study import run
from core.tolerance.measures import What
from core.tolerance.spread import spread
from core.tolerance.told import summary
from tests.app.window import opened_window, settle, wait_for_check
from tests.core.tolerance.test_spread import sliding

ROOMY = SetPairRule(PairRule(bodies=("stop", "runner"), rule="check", clearance=0.1))


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, sliding(0.3, 0.5)) as window:
        yield window


@pytest.fixture
def panel(qtbot, window):
    window.commands["built"].trigger()
    built(qtbot, window)
    return window.built.shown.panel


def built(qtbot, window) -> None:
    wait_for_check(qtbot, window)
    qtbot.waitUntil(lambda: not window.built.building.working)
    assert not window.built.building.failure
    assert not window.built.building.outdated


def texts(panel, row: int) -> list[str]:
    items = [panel.table.item(row, column) for column in range(panel.table.columnCount())]
    return [item.text() if item is not None else "" for item in items]


def typed(field, text: str) -> None:
    field.line.setFocus()
    field.line.selectAll()
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def test_nothing_is_built_before_anybody_asks(window):
    assert window.built.building.found is None
    assert not window.built.building.working


def test_opened_it_says_at_once_that_models_are_built_and_then_what_became_of_them(qtbot, window):
    window.commands["built"].trigger()
    panel = window.built.shown.panel
    assert panel.state.text() == "Building 1000 models…"
    assert panel.summary.text() == NONE_YET
    assert panel.stop.isEnabled()
    assert not panel.build.isEnabled()
    built(qtbot, window)
    study = run(window.session.project)
    alone = spread(study, study.sequences[0])
    assert panel.summary.text().replace("\N{NO-BREAK SPACE}", " ") == summary(study.project, alone)
    assert panel.state.text() == ""
    assert not panel.stop.isEnabled()
    gap = alone.spreads[0]
    assert gap.what is What.GAP
    what, drawn, usual, worst, share, cause = texts(panel, 0)
    assert what == "stop and runner, 1.00\N{NO-BREAK SPACE}s"
    assert drawn == "0.3\N{NO-BREAK SPACE}mm apart"
    assert (usual, worst) == (f"{gap.usual:.2g}\N{NO-BREAK SPACE}mm", f"{gap.worst:.2g}\N{NO-BREAK SPACE}mm")
    assert share == f"{100 * gap.works:.1f} ± {100 * gap.error:.1f}"
    assert cause.startswith("the ")
    assert cause.endswith(f"{round(100 * gap.causes[0].share)}\N{NO-BREAK SPACE}%")


def test_a_row_is_looked_at_with_its_moment_and_its_things(window, panel):
    panel.table.selectRow(0)
    assert set(window.session.chosen) == {"stop", "runner"}
    assert window.session.moment == pytest.approx(1.0)


def test_an_edit_makes_it_stale_and_it_is_built_anew(qtbot, window, panel):
    before = window.built.building.found
    window.session.push(ROOMY)
    assert panel.state.text() == f"{CHECKING} {OUTDATED}"
    assert panel.summary.font().italic()
    pale = panel.palette().placeholderText().color()
    assert panel.table.item(0, 0).foreground().color() == pale, "what was found stays to be read"
    built(qtbot, window)
    assert window.built.building.found is not before
    assert panel.state.text() == ""
    assert not panel.summary.font().italic()


def test_each_sequence_is_built_once_of_one_state(qtbot, window, panel):
    session, building = window.session, window.built.building
    steps = tuple(replace(one, id="back-in") for one in session.project.sequences[0].steps)
    session.push(AddSequence(Sequence(id="back", start={"push": 5.0}, steps=steps)))
    built(qtbot, window)
    first = building.found
    session.choose_sequence("back")
    assert building.working
    assert panel.state.text() == f"Building 1000 models… {OUTDATED}"
    built(qtbot, window)
    assert building.found.sequence == "back"
    session.choose_sequence(first.sequence)
    assert building.found is first
    assert not building.working


def test_the_workshop_is_typed_undone_and_kept(qtbot, window, panel, tmp_path):
    session = window.session
    before = session.project
    assert panel.form.fields["milled"].line.placeholderText() == "0.05"
    typed(panel.form.fields["drilled"], "0.02 mm")
    built(qtbot, window)
    assert session.project.workshop == Workshop(play=0.0, tolerances={"drilled": 0.02})
    assert session.undo_label == "Change workshop"
    assert panel.summary.text().startswith("Of 1000 models all would work as drawn.")
    pick = panel.form.picks["made"]
    pick.setCurrentIndex(pick.findText("turned"))
    pick.activated.emit(pick.currentIndex())
    typed(panel.form.fields["play"], "0.03")
    window.keeping.save()
    kept = Workshop(made="turned", play=0.03, tolerances={"drilled": 0.02})
    assert read_project(tmp_path / "aircraft").workshop == kept
    for _ in range(3):
        QTest.keyClick(window.built.shown, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.project is before
    built(qtbot, window)


def test_usual_values_are_offered_with_their_sources(panel):
    lines = [one.text() for one in panel.form.fields["printed"].offers.menu_now().actions()]
    assert lines == ["0.3 mm, usual when printed  –  plastic thread below 100 mm; what makers of such parts state"]
    plays = [one.text() for one in panel.form.fields["play"].offers.menu_now().actions()]
    assert plays[0] == "0.01 mm, H7/g6 slides, pin of 3 mm  –  ISO 286-2"


def test_a_workshop_that_makes_no_sense_is_refused_beside_its_field(window, panel):
    before = window.session.project
    typed(panel.form.fields["milled"], "-0.1")
    assert panel.form.fields["milled"].reason
    assert window.session.project is before


def test_how_a_thing_is_made_is_picked_in_its_details(qtbot, window):
    session, form = window.session, window.details.entries
    session.choose("runner")
    made = form.picks["made"]
    assert made.itemText(0) == "the workshop's"
    assert made.currentText() == "drilled ± 0.5 mm"
    made.setCurrentIndex(made.findText("filed ± 0.2 mm"))
    made.activated.emit(made.currentIndex())
    assert session.project.bodies[1].made == "filed"
    session.undo()
    assert session.project.bodies[1].made == "drilled"


def test_building_is_stopped_and_begun_by_hand(qtbot, window):
    window.commands["built"].trigger()
    panel, building = window.built.shown.panel, window.built.building
    panel.stop.click()
    assert not building.working
    assert panel.summary.text() == NONE_YET
    qtbot.waitUntil(lambda: not building._newest._aside.busy)
    settle()
    assert not building.working, "nobody asked for it again"
    panel.build.click()
    assert building.working
    built(qtbot, window)
    assert panel.table.rowCount() > 0


def test_closed_it_builds_nothing_and_opened_again_it_does(qtbot, window, panel):
    QTest.keyClick(window.built.shown, Qt.Key.Key_Escape)
    assert window.built.shown is None
    window.session.push(ROOMY)
    wait_for_check(qtbot, window)
    assert not window.built.building.working
    assert window.built.building.outdated
    window.commands["built"].trigger()
    built(qtbot, window)


def test_the_program_ends_while_models_are_built(window, monkeypatch):
    begun, stopped = threading.Event(), threading.Event()

    def endless(*_: object, progress, **__: object) -> None:
        begun.set()
        try:
            while True:
                progress(0.5)
        finally:
            stopped.set()

    monkeypatch.setattr("app.building.spread", endless)
    window.commands["built"].trigger()
    assert window.built.building.working
    assert begun.wait(60.0)
    assert window.built.shut_down()
    assert stopped.is_set()
    assert not window.built.building.working


def test_tab_goes_through_it_as_one_reads(window, panel):
    shown = window.built.shown
    panel.build.setFocus()
    names = []
    for _ in range(30):
        one = shown.focusWidget()
        names.append(one.accessibleName() or one.text())
        QTest.keyClick(one, Qt.Key.Key_Tab)
        if shown.focusWidget() is panel.build:
            break
    assert names[:4] == ["Build models", panel.table.accessibleName(), "Made", "Play of a pin in its hole"]
    assert names[-1] == "Close"
    assert "Filed ±" in names
