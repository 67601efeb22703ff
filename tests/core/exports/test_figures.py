"""Figures as a table: what is read back is what was measured, in the aircraft's unit."""

from __future__ import annotations

import csv
import io

import pytest
from msgspec.structs import replace

from core.document.project import Figure, Project
from core.exports.figures import HEADER, figures_table
from core.study import figures_of, run
from tests.core.figures.test_evaluate import END, START, TRAVEL, UP, leg_with_jack


def rows(project: Project) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(figures_table(project, figures_of(project)))))


@pytest.fixture
def project() -> Project:
    return leg_with_jack(
        Figure(
            **TRAVEL,
            of="brace",
            published="200 mm",
            plus_minus="4 mm",
            full_size=True,
            shop="0.5 mm",
            source="sheet 4",
            confidence="derived",
            note="of two scans",
        ),
        Figure(id="use", name="Brace", quantity="stroke", of="brace", between=[START, UP], published="16 mm ± 0.1 mm"),
        Figure(id="swing", quantity="travel", of="leg-pivot", between=[START, END], published="45°"),
        Figure(id="lost", quantity="diameter", of="leg"),
    )


def test_every_figure_has_a_row_with_its_verdicts(project: Project):
    travel, use, swing, lost = rows(project)
    assert list(travel) == list(HEADER)
    assert (travel["figure"], travel["measured"], travel["unit"]) == ("it", "travel of brace", "mm")
    known = {one.id: one for one in run(project).figures}
    assert float(travel["model"]) == pytest.approx(known["it"].model, abs=1e-4)
    assert float(travel["off at full size"]) == pytest.approx(known["it"].off_full_size, abs=1e-4)
    assert (travel["within published"], travel["within workshop"], travel["source"]) == ("yes", "yes", "sheet 4")
    assert travel["as printed"] == "200 mm ± 4 mm, full size"
    assert (travel["how it is known"], travel["note"]) == ("derived", "of two scans")
    assert (use["as printed"], swing["as printed"], lost["as printed"]) == ("16 mm ± 0.1 mm", "45°", "")
    assert float(travel["published above"]) == pytest.approx(4 / 12, abs=1e-4)
    assert (use["measured"], use["within published"], use["available"]) == ("stroke used of brace", "no", "20.0000")
    assert float(use["left at the lower end"]) + float(use["used"]) + float(
        use["left at the upper end"]
    ) == pytest.approx(20.0, abs=2e-4)
    assert use["remark"].startswith("It uses 16.39 mm of 20 mm")
    assert (swing["unit"], swing["model"], swing["within published"], swing["used"]) == ("deg", "45.0000", "", "")
    assert (lost["model"], lost["remark"]) == ("", "It has no outline.")


def test_lengths_are_in_the_aircrafts_unit_and_say_which(project: Project):
    metric, inches = rows(project), rows(replace(project, length_unit="in"))
    assert [one["unit"] for one in inches] == ["in", "in", "deg", "in"]
    assert float(inches[1]["used"]) == pytest.approx(float(metric[1]["used"]) / 25.4, abs=2e-5)
    assert inches[1]["remark"].startswith("It uses 0.645 in of 0.787 in")
    assert inches[2]["model"] == metric[2]["model"]


def test_figures_alone_are_what_a_whole_study_says(project: Project):
    assert [one.model for one in figures_of(project)] == [one.model for one in run(project).figures]
