"""What would help against a jam or a passed limit, in the words and the JSON of a check."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.project import Project
from core.report import to_json, to_text
from core.study import run
from tests.core.motion.test_cures import leg_with_jack, lever, swinging
from tests.mechanisms.sketch import FRAME, RUN, frame, moving, pivot, project, slide, slot, step


def yoke(*, upwards: bool) -> Project:
    """A Scotch yoke: its pin comes 25 mm up a quarter turn on, or down, and its slot reaches 20 mm either way."""
    return project(
        (frame(), *moving("crank", "yoke")),
        (
            pivot("o2", FRAME, "crank", 0),
            slot("race", "yoke", "crank", 25, 25 - 20j, 25 + 20j),
            slide("guide", FRAME, "yoke", 0, 1),
        ),
        {"input": "o2"},
        (step("quarter", 1.0, {"input": 90.0 if upwards else -90.0}), step("back", 1.0, {"input": 0.0})),
    )


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lever(28.5), "It would just go through with link 1.501 mm longer (30.001 mm), or if round asked input for "),
        (
            swinging((-5.0, 90.0), 100.0),
            "It would just go through if hinge might go up to 100.00°, or if up asked gear for 90.00° and no more.",
        ),
        (
            swinging((-5.0, 90.0), -12.0),
            "It would just go through if hinge might go down to −12.00°, or if up asked gear for −5.00° and no more.",
        ),
        (
            leg_with_jack(14.0, -30.0),
            "It would just go through with a stroke of 15.830 mm in brace, or with brace 1.830 mm longer when closed "
            "(46.830 mm), or if up asked gear for ",
        ),
        # 25 sin 53.13° = 20 (a triangle of 3, 4 and 5).
        (
            yoke(upwards=True),
            "It would just go through with a slot 45.000 mm long in race, or if quarter asked input for 53.13° "
            "and no more.",
        ),
        (
            yoke(upwards=False),
            "It would just go through with the slot of race begun 5.000 mm sooner, or if quarter asked input for "
            "−53.13° and no more.",
        ),
    ],
)  # fmt: skip
def test_a_check_says_what_would_help(made: Project, said: str) -> None:
    assert said in to_text(run(made, frames=41))


def test_json_has_the_cures_as_an_optional_key() -> None:
    made = swinging((-5.0, 90.0), 100.0)
    (finding,) = to_json(run(made, frames=41))["sequences"][0]["findings"]
    assert finding["cures"] == [
        {"connection": "hinge", "change": "high", "to": 100.0, "by": 10.0, "unit": "deg"},
        {"connection": "hinge", "change": "asked", "to": 90.0, "by": -10.0, "unit": "deg", "drive": "gear",
         "step": "up"},
    ]  # fmt: skip
    well = swinging((-5.0, 90.0), 80.0)
    assert to_json(run(well, frames=41))["sequences"][0]["findings"] == []


def test_a_finding_of_another_kind_has_none() -> None:
    made = replace(swinging((-5.0, 90.0), 80.0), drives=(), sequences=())
    found = to_json(run(made, frames=5))["sequences"][0]["findings"]
    assert [one["kind"] for one in found] == ["loose"]
    assert "cures" not in found[0]
    assert RUN not in to_text(run(made, frames=5))
