"""Words in a plot, and the figures of its axes."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.sequence.axes import Reach, written
from app.sequence.curve_words import Wanted, names_at_ends, words_at_levels

places = st.lists(
    st.builds(Wanted, st.just("name"), st.floats(20.0, 200.0), st.floats(0.0, 900.0), st.floats(0.0, 140.0)),
    max_size=8,
)


def apart_and_inside(boxes, size) -> None:
    seen = [box for box in boxes if box is not None]
    for number, box in enumerate(seen):
        assert box.left() >= 0.0
        assert box.right() <= size[0] + 1e-6
        assert box.top() >= -1e-6
        assert box.bottom() <= size[1] + 1e-6
        for other in seen[number + 1 :]:
            assert not box.adjusted(0, 0.01, 0, -0.01).intersects(other)


@given(places, st.floats(40.0, 140.0))
def test_no_name_lies_upon_another_or_leaves_the_plot(names: list[Wanted], height: float):
    size = (900.0, height)
    boxes = names_at_ends(names, 14.0, size)
    apart_and_inside(boxes, size)
    assert sum(box is not None for box in boxes) == min(len(names), int((height - 2) // 14))


@given(places, places)
def test_no_word_of_a_level_lies_upon_another_or_a_name(names: list[Wanted], levels: list[Wanted]):
    size = (900.0, 140.0)
    taken = [box for box in names_at_ends(names, 14.0, size) if box is not None]
    boxes = words_at_levels([Wanted("level", one.width, 10.0, one.y) for one in levels], 14.0, size, taken)
    apart_and_inside([*taken, *boxes], size)


def test_a_name_keeps_off_a_curve_that_rises_to_its_end():
    rising = np.linspace(500.0 + 139.0j, 900.0 + 11.0j, 200)
    (box,) = names_at_ends([Wanted("door", 100.0, 900.0, 11.0)], 14.0, (920.0, 140.0), rising)
    assert not any(box.contains(point.real, point.imag) for point in rising)
    assert abs(box.center().y() - 11.0) < 60.0, "and stays near it"


def test_a_level_keeps_off_a_curve_where_its_line_has_room():
    along = np.linspace(0.0 + 75.0j, 300.0 + 75.0j, 200)
    (box,) = words_at_levels([Wanted("wanted", 50.0, 10.0, 80.0)], 14.0, (900.0, 140.0), [], along)
    assert 300.0 < box.left() < 310.0
    (box,) = words_at_levels([Wanted("wanted", 50.0, 10.0, 80.0)], 14.0, (300.0, 140.0), [], along)
    assert box.left() == 10.0, "on it where there is none"


def test_a_word_stands_on_its_line():
    (box,) = words_at_levels([Wanted("wanted", 50.0, 10.0, 80.0)], 14.0, (900.0, 140.0), [])
    assert (box.left(), box.bottom()) == (10.0, 79.0)
    (box,) = words_at_levels([Wanted("wanted", 50.0, 10.0, 3.0)], 14.0, (900.0, 140.0), [])
    assert box.top() == 4.0, "below it where there is no room above"


@pytest.mark.parametrize(
    ("low", "high", "figures"),
    [
        (0.0, 5.0, ["0", "1", "2", "3", "4", "5"]),
        (-95.0, 3.0, ["−80", "−60", "−40", "−20", "0"]),
        (0.0, 0.5, ["0.0", "0.1", "0.2", "0.3", "0.4", "0.5"]),
    ],
)
def test_figures_stand_at_even_steps(low: float, high: float, figures: list[str]):
    assert [text for _, text in Reach(low, high, 130.0, 0.0).steps(22.0)] == figures


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4), st.floats(30.0, 2000.0))
def test_figures_are_far_enough_apart_to_be_read(low: float, length: float, pixels: float):
    reach = Reach(low, low + length, pixels, 0.0)
    places = [reach.pixel(value) for value, _ in reach.steps(22.0)]
    assert all(abs(a - b) >= 22.0 * (1 - 1e-6) for a, b in pairwise(places))
    assert all(-1e-3 <= place <= pixels + 1e-3 for place in places)


def test_nought_has_no_minus():
    assert written(-0.0, 1) == written(-0.001, 1) == "0.0"
