"""An edit that would leave a project which cannot be opened again is refused, in one line, and changes nothing."""

from __future__ import annotations

import pytest

from app.session import Session
from core.document.project import Aircraft, Body, Drive, Move, Pivot, Project, Sequence, Step, View
from core.document.project_file import read_project, write_project
from core.document.step_time_edits import SetStepDelay, SetStepDuration

PROJECT = Project(
    aircraft=Aircraft(name="Skarn P.9"),
    views=(View(id="front"),),
    bodies=(Body(id="wing", view="front", fixed=True), Body(id="leg", view="front")),
    connections=(Pivot(id="leg-pivot", bodies=("wing", "leg"), at=(0.0, 0.0)),),
    drives=(Drive(id="gear", on="leg-pivot"),),
    sequences=(
        Sequence(
            id="retract",
            steps=(
                Step(id="unlock", duration=1.0, moves=(Move(drive="gear", to=5.0),)),
                Step(id="leg-up", duration=3.0, moves=(Move(drive="gear", to=90.0),)),
            ),
        ),
    ),
)


@pytest.fixture
def session(qapp):
    session = Session()
    session.open(PROJECT, None)
    return session


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (SetStepDelay("retract", "unlock", -0.5), "before its sequence"),
        (SetStepDelay("retract", "leg-up", -0.5), "still moving it"),
        (SetStepDuration("retract", "leg-up", 1e5), "at most 3600 s"),
    ],
    ids=repr,
)
def test_a_senseless_edit_is_refused(session: Session, edit, says: str):
    told: list[str] = []
    changes: list[int] = []
    session.trouble.connect(told.append)
    session.project_changed.connect(lambda: changes.append(1))
    session.push(edit)
    assert session.project is PROJECT
    assert session.undo_label is None
    assert len(told) == 1
    assert says in told[0]
    assert changes, "a field that shows the refused value has to be told"


def test_a_sensible_edit_goes_through_and_can_be_opened_again(session: Session, tmp_path):
    session.push(SetStepDelay("retract", "leg-up", 0.5))
    assert session.undo_label == "Change step delay"
    write_project(session.project, tmp_path)
    assert read_project(tmp_path) == session.project
