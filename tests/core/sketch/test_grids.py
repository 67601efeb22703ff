"""Only lines of the grid are drawn, and no more than can be told apart."""

from __future__ import annotations

import pytest

from core.sketch.grids import FAMILIES, drawn_step, family_of


@pytest.mark.parametrize(
    ("grid", "least", "step"),
    [(1.0, 0.1, 1.0), (1.0, 1.0, 1.0), (1.0, 1.2, 2.0), (1.0, 3.0, 5.0), (1.0, 70.0, 100.0), (2.5, 6.0, 12.5)],
)
def test_lines_of_a_metric_grid(grid, least, step):
    assert drawn_step(grid, least, "metric")[0] == pytest.approx(step)


@pytest.mark.parametrize(("least", "parts"), [(0.1, 1), (1.0, 2), (1.6, 4), (20.0, 32), (26.0, 64)])
def test_lines_of_a_grid_of_parts_of_an_inch(least, parts):
    assert drawn_step(25.4 / 32, least, "inch") == (pytest.approx(25.4 / 32 * parts), 8)


def test_each_unit_is_of_one_kind():
    assert {family_of(unit) for unit in ("mm", "cm", "m")} == {"metric"}
    assert {family_of(unit) for unit in ("in", "ft")} == {"inch"}
    assert set(FAMILIES) == {"metric", "inch"}
