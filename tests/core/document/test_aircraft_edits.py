"""Another unit for an aircraft: nothing that is written in it changes its size."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.aircraft_edits import SetLengthUnit
from core.document.figure_sizes import plus_minus, printed_tolerance, published, shop
from core.document.project import Figure, Project
from core.document.project_file import read_project
from tests.formats.merrow import FOLDER

PROJECT = read_project(FOLDER)
BRACE = next(one for one in PROJECT.figures if one.id == "brace-stroke")


def with_figure(figure: Figure) -> Project:
    return replace(PROJECT, figures=(figure,))


@pytest.mark.parametrize(
    ("size", "apart", "workshop"),
    [("231", "1.5", "0.1"), ("231 ± 1.5", None, "+0.1/-0"), ("12.5 + 3/8 in", "1", None), ("231 mm", "± 1 mm", "1/10")],
)
def test_a_figure_keeps_its_size_in_another_unit_and_back(size: str, apart: str | None, workshop: str | None):
    project = with_figure(replace(BRACE, published=size, plus_minus=apart, shop=workshop))
    there = SetLengthUnit("in").apply(project)
    for now in (there, SetLengthUnit("mm").apply(there)):
        for read in (published, plus_minus, printed_tolerance, shop):
            assert read(now, now.figures[0], angle=False) == read(project, project.figures[0], angle=False)


def test_what_says_its_unit_or_is_an_angle_stays_as_it_is_written():
    said = with_figure(replace(BRACE, published="231 mm", plus_minus="1.5 mm", shop="0.1 mm"))
    assert SetLengthUnit("in").apply(said).figures == said.figures
    turned = with_figure(replace(BRACE, quantity="angle", of=None, published="101", plus_minus="1", shop=None))
    assert SetLengthUnit("in").apply(turned).figures == turned.figures
    unread = with_figure(replace(BRACE, published="about 231"))
    assert SetLengthUnit("in").apply(unread).figures[0].published == "about 231"
