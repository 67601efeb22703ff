"""How well things are made, changed."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import Aircraft, Made, Project, Workshop
from core.document.project_file import decode, encode
from core.document.workshop_edits import SetWorkshop
from core.sizes.making import USUAL

BARE = Project(aircraft=Aircraft(name="Pellow 3"))
DRILLED = Workshop(made="drilled", play=0.1, tolerances={"drilled": 0.15})


def test_a_workshop_goes_in_and_to_the_file_and_back():
    furnished = SetWorkshop(DRILLED).apply(BARE)
    assert furnished.workshop == DRILLED
    assert decode(encode(furnished), Path("project.json")) == furnished


def test_one_that_is_as_usual_is_not_written_down():
    assert SetWorkshop(Workshop()).apply(replace(BARE, workshop=DRILLED)).workshop is None


@pytest.mark.parametrize("workshop", [None, Workshop(), DRILLED])
def test_the_same_again_changes_nothing(workshop: Workshop | None):
    one = replace(BARE, workshop=workshop)
    assert SetWorkshop(workshop or Workshop()).apply(one) is one


@pytest.mark.parametrize(
    "workshop",
    [
        Workshop(play=-0.1),
        Workshop(play=float("nan")),
        Workshop(play=5 * 25.4),
        Workshop(tolerances={"filed": -1}),
        Workshop(tolerances={"filed": 26.0}),
        Workshop(backlash=46.0),
    ],
)
def test_what_makes_no_sense_is_told(workshop: Workshop):
    (told,) = problems(SetWorkshop(workshop).apply(BARE))
    assert "workshop" in str(told)


def test_every_way_of_making_that_the_file_knows_has_its_usual_tolerance():
    assert set(USUAL) == set(get_args(Made))
    assert all(one.within > 0.0 and one.source for one in USUAL.values())
