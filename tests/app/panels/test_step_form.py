"""A step's details: typed and picked, refused beside the field where senseless, each one edit."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QApplication

from app.panels.step_form import StepForm
from app.session import Session
from core.document.project import Latch, Move, Need, Project, Step
from core.document.step_edits import SetMove
from tests.app.small_aircraft import small_aircraft

LOCK = Latch(id="uplock", name="Uplock", bodies=("airframe", "leg"), ends=((0.0, 9.0), (0.0, 9.0)))


@pytest.fixture
def form(qtbot) -> StepForm:
    session = Session()
    project = small_aircraft()
    session.open(replace(project, connections=(*project.connections, LOCK)), None)
    form = StepForm(session)
    qtbot.addWidget(form)
    session.project_changed.connect(lambda: show(form))
    show(form)
    return form


def show(form: StepForm) -> None:
    """Of the second step, as the details do."""
    form.show_step(project_of(form), project_of(form).sequences[0], step(form))


def project_of(form: StepForm) -> Project:
    project = form._session.project
    assert project is not None
    return project


def step(form: StepForm) -> Step:
    return project_of(form).sequences[0].steps[1]


def enter(form: StepForm, key: str, text: str) -> str:
    """Type into a field; what it is refused for."""
    field = form.fields[key]
    field.line.setText(text)
    field.line.setModified(True)
    field.line.returnPressed.emit()
    return form.fields[key].reason if key in form.fields else ""


def pick(form: StepForm, key: str, words: str) -> str:
    """Pick by its words; what it is refused for."""
    box = form.picks[key]
    row = box.findText(words)
    assert row >= 0, [box.itemText(one) for one in range(box.count())]
    box.setCurrentIndex(row)
    box.activated.emit(row)
    return form.reasons[key].text() if key in form.reasons else ""


def label(form: StepForm) -> str | None:
    return form._session.undo_label


def test_what_it_waits_for_is_picked_and_no_ring_is_offered(form: StepForm):
    box = form.picks["begins"]
    assert [box.itemText(row) for row in range(box.count())] == [
        "after the above", "after Doors open", "with Doors open",
    ]  # fmt: skip
    assert box.currentText() == "after Doors open"
    assert pick(form, "begins", "with Doors open") == ""
    assert (step(form).together_with, step(form).after, step(form).delay) == ("doors-open", None, 0.2)
    assert label(form) == "Chain step"


def test_times_are_typed_and_refused_beside_the_field(form: StepForm):
    assert enter(form, "delay", "-0.5") == ""
    assert step(form).delay == -0.5
    assert "0.30 s before the sequence" in enter(form, "delay", "-1.8")
    assert enter(form, "delay", "1.5 s") == ""
    assert enter(form, "duration", "300 ms") == ""
    assert step(form).duration == pytest.approx(0.3)
    assert "less than no time" in enter(form, "duration", "-1")


def test_a_target_and_how_it_gets_there(form: StepForm):
    assert enter(form, "gear", "90") == ""
    assert pick(form, "gear profile", "steady") == ""
    assert step(form).moves == (Move(drive="gear", to=90.0),)
    assert enter(form, "gear", "") == ""
    assert step(form).moves == ()
    assert label(form) == "Take drive out of step"


def test_another_drive_comes_in_with_a_target_of_its_own(form: StepForm):
    assert pick(form, "also moves", "Main door") == ""
    assert [(move.drive, move.to, move.profile) for move in step(form).moves][1] == ("doors", 0.0, "eased")
    assert "doors" in form.fields
    assert "also moves" not in form.picks, "no drive is left"


def test_the_keyboard_stays_where_it_was_when_rows_come_and_go(qtbot, form: StepForm):
    with qtbot.waitActive(form):
        form.show()
        form.activateWindow()
    form.picks["begins"].setFocus()
    enter(form, "gear", "")
    assert form.picks["begins"].hasFocus(), "its row is there again"
    form.picks["also moves"].setFocus()
    assert pick(form, "also moves", "Main door") == ""
    assert form.picks["also moves"].hasFocus()
    assert pick(form, "also moves", "Leg angle") == ""
    assert "also moves" not in form.picks
    assert form.isAncestorOf(QApplication.focusWidget()), "what stands there instead has it"


def test_a_drive_that_is_moved_elsewhere_at_that_time_is_refused_beside_the_pick(form: StepForm):
    assert enter(form, "delay", "-0.5") == ""
    before = project_of(form)
    assert "moves drive “Main door” while step “Doors open” is still moving it" in pick(form, "also moves", "Main door")
    assert project_of(form) is before
    assert form.picks["also moves"].currentText() == "…"
    assert not form.reasons["also moves"].isHidden()


def test_latches_are_engaged_and_released(form: StepForm):
    for words, engage, release in (
        ("engaged at its end", ("uplock",), ()), ("released at its start", (), ("uplock",)),
        ("released, then engaged", ("uplock",), ("uplock",)), ("left alone", (), ()),
    ):  # fmt: skip
        assert pick(form, "uplock", words) == ""
        assert (step(form).engage, step(form).release) == (engage, release)


def test_needs_are_added_bounded_and_taken_away(form: StepForm):
    assert pick(form, "also needs", "Main door") == ""
    assert step(form).needs == (Need(drive="doors", at_least=92.0),), "where it is when the step begins now"
    assert enter(form, "needs doors at_least", "85") == ""
    assert enter(form, "needs doors at_most", "100") == ""
    assert step(form).needs == (Need(drive="doors", at_least=85.0, at_most=100.0),)
    assert "cannot both be" in enter(form, "needs doors at_most", "80")
    assert pick(form, "also needs", "Uplock") == ""
    assert pick(form, "needs uplock", "released") == ""
    assert step(form).needs[1] == Need(latch="uplock", engaged=False)
    assert pick(form, "needs uplock", "either way") == ""
    assert enter(form, "needs doors at_least", "") == ""
    assert enter(form, "needs doors at_most", "") == ""
    assert step(form).needs == ()
    assert label(form) == "Change what the step needs"


def test_a_name_is_typed(form: StepForm):
    assert enter(form, "name", "Up she goes") == ""
    assert step(form).name == "Up she goes"


def test_what_holds_now_is_written_so_that_it_holds(form: StepForm):
    """A bound that was rounded up would begin by failing."""
    sequence = project_of(form).sequences[0]
    form._session.push(SetMove(sequence.id, sequence.steps[0].id, "doors", 91.9996))
    assert pick(form, "also needs", "Main door") == ""
    assert step(form).needs == (Need(drive="doors", at_least=91.999),)
