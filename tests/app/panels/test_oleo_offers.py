"""An oleo's drive offers where it stands, and no other drive does."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from app.panels.oleo_offers import oleo_offers
from app.panels.step_form import StepForm
from app.session import Session
from core.document.project import Slide
from core.document.project_file import read_project

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


def test_it_is_counted_from_full_extension_which_way_the_slide_may_run():
    """The Merrow's is drawn static, 10 mm short of full extension with 15 mm of stroke: two thirds."""
    project = read_project(SAMPLES / "merrow-t2")
    lines = dict(oleo_offers(project, "strut"))
    assert lines["0.1 mm"].startswith("0.1 mm, most stand at 66%")
    turned = tuple(
        replace(one, along=(0.0, 1.0), limits=(-10.0, 5.0)) if isinstance(one, Slide) else one
        for one in project.connections
    )
    backwards = dict(oleo_offers(replace(project, connections=turned), "strut"))
    assert backwards["-0.1 mm".replace("-", "−")].endswith(lines["0.1 mm"].removeprefix("0.1 mm"))


@pytest.mark.parametrize("drive", ["gear", "lock", "nothing"])
def test_what_is_no_oleo_offers_nothing(drive: str):
    assert oleo_offers(read_project(SAMPLES / "merrow-t2"), drive) == ()


def test_a_slide_without_limits_or_leg_offers_nothing():
    project = read_project(SAMPLES / "merrow-t2")
    free = tuple(replace(one, limits=None) if isinstance(one, Slide) else one for one in project.connections)
    assert oleo_offers(replace(project, connections=free), "strut") == ()
    other = tuple(replace(body, role="other") for body in project.bodies)
    assert oleo_offers(replace(project, bodies=other), "strut") == ()


def test_a_step_takes_what_is_offered(qtbot):
    session = Session()
    session.open(read_project(SAMPLES / "merrow-t2"), None)
    sequence = next(one for one in session.project.sequences if one.id == "oleo-stroke")
    session.choose_sequence(sequence.id)
    step = next(one for one in sequence.steps if any(move.drive == "strut" for move in one.moves))
    form = StepForm(session)
    qtbot.addWidget(form)
    form.show_step(session.project, sequence, step)
    action = next(one for one in form.fields["strut"].offers.menu_now().actions() if "60%" in one.text())
    action.trigger()
    changed = next(one for one in session.sequence.steps if one.id == step.id)
    assert next(move.to for move in changed.moves if move.drive == "strut") == pytest.approx(1.0)
