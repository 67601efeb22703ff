"""Rulers: round steps, figures as they are read, and ticks where they belong."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

from app.widgets.ruler import BREADTH, FIGURES_APART, Ruler, figure, parts_of_step, step_of


@pytest.mark.parametrize("per_unit", [0.013, 0.5, 3.3, 17.0, 400.0, 9000.0])
@pytest.mark.parametrize("fractions", [False, True])
def test_figures_never_crowd_and_are_never_far_apart(per_unit: float, fractions: bool):
    step = step_of(per_unit, fractions)
    assert FIGURES_APART <= step * per_unit * (1.0 + 1e-9) <= 2.6 * FIGURES_APART


def test_steps_are_round():
    for per_unit in np.geomspace(0.001, 1e4, 50):
        leading = float(f"{step_of(per_unit, False):e}".split("e")[0])
        assert leading in (1.0, 2.0, 5.0)


def test_inches_go_down_by_halves():
    """Down to a 64th, as on a steel rule; below that by tenths."""
    assert step_of(100.0, True) == 1.0
    assert step_of(200.0, True) == 0.5
    assert step_of(64.0 * 64, True) == 1 / 64
    assert step_of(64.0 * 700, True) < 1 / 64


@pytest.mark.parametrize(
    ("value", "fractions", "text"),
    [
        (20.0, False, "20"),
        (-0.5, False, "−0.5"),
        (0.0, False, "0"),
        (0.125, False, "0.125"),
        (0.125, True, "1/8"),
        (-1.75, True, "−1 3/4"),
        (3.0, True, "3"),
        (0.2, True, "0.2"),
    ],
)
def test_figures_read_as_a_rule_bears_them(value: float, fractions: bool, text: str):
    assert figure(value, fractions) == text


def test_ticks_divide_a_step_evenly_and_leave_room():
    assert parts_of_step(10.0, 8.0, False) == 10
    assert parts_of_step(2.0, 33.0, False) == 10
    assert parts_of_step(2.0, 5.0, False) == 2
    assert parts_of_step(0.5, 140.0, True) == 8
    assert parts_of_step(1.0, 1.0, False) == 1


def test_a_level_ruler_counts_to_the_right_and_a_standing_one_upwards(qapp):
    level, standing = Ruler(Qt.Orientation.Horizontal), Ruler(Qt.Orientation.Vertical)
    for ruler in (level, standing):
        ruler.set_scale(100.0, 4.0)
    assert level.value_at(140.0) == pytest.approx(10.0)
    assert standing.value_at(60.0) == pytest.approx(10.0)


def test_it_paints_a_tick_where_a_figure_stands_and_the_pointers_mark(qapp):
    ruler = Ruler(Qt.Orientation.Horizontal)
    ruler.resize(400, BREADTH)
    ruler.set_colours("#ffffff", "#000000", "#ff0000")
    ruler.set_scale(100.0, 10.0)

    def pixels() -> np.ndarray:
        image = ruler.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
        return np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4)[:, :, 2::-1].copy()

    plain = pixels()
    row = plain[-12 + 2, :, 0] < 128  # only figures' ticks reach as far up
    assert {100, 200, 300} <= set(np.flatnonzero(row))
    ruler.set_pointer(250.0)
    marked = np.argwhere((pixels().astype(int) - plain).any(axis=2))
    assert marked[:, 1].mean() == pytest.approx(250.0, abs=1.0)


@pytest.mark.parametrize("way", [Qt.Orientation.Horizontal, Qt.Orientation.Vertical])
def test_a_figure_that_would_be_cut_at_an_end_is_left_out(qapp, way: Qt.Orientation):
    """Without its minus or its last nought it would be another figure."""
    ruler = Ruler(way)
    level = way is Qt.Orientation.Horizontal
    ruler.resize(*((400, BREADTH) if level else (BREADTH, 400)))
    ruler.set_colours("#ffffff", "#000000", "#ff0000")

    def inked(origin: float) -> np.ndarray:
        """Along the ruler: whether anything but ticks stands there."""
        ruler.set_scale(origin, 0.8)
        image = ruler.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
        pixels = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4)[:, :, 0]
        return (pixels[:10] < 128).any(axis=0) if level else (pixels[:, :10] < 128).any(axis=1)

    whole, cut = (inked(205.0), inked(390.0)) if level else (inked(205.0), inked(10.0))
    end = slice(375, 400) if level else slice(0, 25)
    about = slice(205, 235) if level else slice(175, 205)
    assert whole[about].any()
    assert not cut[end].any()
