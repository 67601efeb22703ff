"""Figures told in JSON, with the contract's keys in the contract's order, and as sentences."""

from __future__ import annotations

import json

import pytest
from msgspec.structs import replace as with_

from core.document.project import Aircraft, Figure, Project
from core.figures.result import FigureResult
from core.figures.told import sentence, to_json

PROJECT = Project(aircraft=Aircraft(name="Merrow T.2", scale=12.0))
FIGURE = Figure(id="brace-stroke", name="Brace jack stroke", quantity="travel", full_size=True)
RAKE = Figure(id="rake", quantity="angle")
SHORT = FigureResult(
    figure=FIGURE,
    unit="mm",
    model=26.38,
    wanted=26.5,
    off=26.38 - 26.5,
    off_full_size=(26.38 - 26.5) * 12,
    within_published=True,
    within_shop=False,
)


def test_the_json_is_the_contracts():
    assert json.dumps(to_json(SHORT)) == (
        '{"id": "brace-stroke", "model": 26.38, "wanted": 26.5, "off": -0.12, "off_full_size": -1.44, '
        '"within_published": true, "within_shop": false}'
    )


def test_what_was_not_measured_says_why():
    lost = FigureResult(figure=FIGURE, unit="mm", wanted=26.5, trouble="Nose leg does not get there.")
    assert to_json(lost)["trouble"] == "Nose leg does not get there."
    assert to_json(lost)["model"] is None
    assert sentence(lost, PROJECT) == "Brace jack stroke cannot be measured. Nose leg does not get there."


def test_the_sentence_says_what_and_how_far():
    assert sentence(SHORT, PROJECT) == (
        "Brace jack stroke is 26.38 mm, 0.12 mm (0.0047 in; 1.44 mm, 0.057 in at full size) short of 26.5 mm: "
        "within the published tolerance, outside the workshop's."
    )


@pytest.mark.parametrize(
    ("result", "said"),
    [
        (FigureResult(figure=FIGURE, unit="mm", model=26.5), "Brace jack stroke is 26.5 mm."),
        (
            FigureResult(figure=FIGURE, unit="mm", model=26.5, wanted=26.5, off=1e-9, off_full_size=1e-8),
            "Brace jack stroke is 26.5 mm, as published.",
        ),
        (
            FigureResult(figure=RAKE, unit="deg", model=91.0, wanted=90.0, off=1.0, off_full_size=1.0),
            "rake is 91°, 1° more than 90°.",
        ),
    ],
)
def test_other_sentences(result: FigureResult, said: str):
    assert sentence(result, PROJECT) == said


def test_what_is_off_is_told_to_the_micron():
    hair = with_figure(off=0.0021, off_full_size=0.0252)
    assert sentence(hair, PROJECT).startswith(
        "Brace jack stroke is 26.5 mm, 0.002 mm (0.0001 in; 0.03 mm, 0.001 in at full size) more than 26.5 mm"
    )
    assert (
        sentence(with_figure(off=-0.0004, off_full_size=-0.0048), PROJECT)
        == "Brace jack stroke is 26.5 mm, as published."
    )


def with_figure(*, off: float, off_full_size: float) -> FigureResult:
    return FigureResult(figure=FIGURE, unit="mm", model=26.5, wanted=26.5 - off, off=off, off_full_size=off_full_size)


def test_lengths_are_told_in_the_projects_unit():
    inches = with_(PROJECT, length_unit="in")
    assert sentence(FigureResult(figure=FIGURE, unit="mm", model=25.4), inches) == "Brace jack stroke is 1 in."
