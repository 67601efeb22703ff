"""Figures on the whole way from a project to what `check` prints."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.project import Figure, Project
from core.report import to_json, to_text
from core.study import run
from tests.core.figures.test_evaluate import END, START, TRAVEL, jack_length, leg_with_jack

LEG = {"id": "leg-travel", "name": "Leg travel", "quantity": "travel", "of": "leg-pivot"}


@pytest.fixture(scope="module")
def project() -> Project:
    down = {"sequence": "extend", "at": "start"}
    figures = (
        Figure(**TRAVEL, of="brace", published="200 mm", plus_minus="4 mm", full_size=True, shop="0.5 mm"),
        Figure(**LEG, between=[START, END], published="45°"),
        Figure(id="across", quantity="travel", of="leg-pivot", between=[down, END], published="35 deg", shop="0.1 deg"),
    )
    return leg_with_jack(*figures)


@pytest.mark.parametrize("sequence", [None, "retract", "extend"])
def test_figures_are_told_whichever_sequence_is_checked(project: Project, sequence: str | None):
    told = to_json(run(project, sequence=sequence, frames=31))["figures"]
    travel = jack_length(0.0) - jack_length(90.0)
    assert [one["id"] for one in told] == ["it", "leg-travel", "across"]
    assert told[0]["model"] == pytest.approx(travel, abs=1e-6)
    assert told[0]["off_full_size"] == pytest.approx(travel * 12 - 200, abs=1e-5)
    assert (told[0]["within_published"], told[0]["within_shop"]) == (True, True)
    assert [one["model"] for one in told[1:]] == pytest.approx([45.0, 35.0], abs=1e-6)
    assert told[2]["within_shop"] is True


def test_figures_are_told_in_words(project: Project):
    text = to_text(run(project, frames=31))
    assert "Published figures:\n  it is 16.39 mm, " in text
    assert "  Leg travel is 45°, as published." in text
    assert "Published" not in to_text(run(replace(project, figures=()), frames=31))


def test_figures_that_contradict_each_other_are_told(project: Project):
    one = Figure(**TRAVEL, of="brace", published="200 mm", full_size=True, source="sheet 4")
    other = replace(one, id="again", published="203 mm", source="sheet 5")
    both = replace(project, figures=(one, other))
    study = run(both, frames=11)
    (told,) = to_json(study)["figure_conflicts"]
    assert (told["kind"], told["figures"], told["off"]) == ("sources", ["it", "again"], 0.25)
    assert "contradict each other:\n  Two figures of one size differ (sheet 4 against sheet 5)" in to_text(study)
    assert "figure_conflicts" not in to_json(run(project, frames=11))
