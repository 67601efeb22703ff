"""Seconds to pixels and back, and ticks that can be read."""

from itertools import pairwise

import pytest

from app.sequence.time_scale import MARGIN, NAMES_WIDTH, TimeScale, over, ticks


def test_seconds_and_pixels_go_to_and_fro():
    scale = over(1000, 7.2)
    for time in (0.0, 0.013, 3.6, 7.2):
        assert scale.time(scale.x(time)) == pytest.approx(time, abs=1e-12)
    assert scale.x(0.0) == NAMES_WIDTH + MARGIN
    assert scale.x(7.2) == 1000 - MARGIN


@pytest.mark.parametrize("seconds", [0.04, 0.9, 2.0, 7.2, 59.0, 3000.0])
@pytest.mark.parametrize("width", [340, 1100, 2500])
def test_ticks_are_round_and_far_enough_apart_to_be_read(seconds: float, width: int):
    scale = over(width, seconds)
    named = [tick for tick in ticks(scale) if tick.text]
    for tick in named:
        assert float(tick.text) == pytest.approx(tick.time, abs=1e-9), "what is written is where it stands"
    gaps = [scale.x(after.time) - scale.x(one.time) for one, after in pairwise(named)]
    assert all(gap >= 70 for gap in gaps)
    assert ticks(scale)[-1].time <= seconds + 1e-9


def test_a_sequence_of_no_time_stands_at_the_left():
    scale = TimeScale(100, 500, 0.0)
    assert scale.x(3.0) == 100
    assert scale.time(400.0) == 0.0
    assert [tick.text for tick in ticks(scale)] == ["0"]


def test_ticks_are_made_once_a_scale():
    assert ticks(TimeScale(10.0, 400.0, 12.5)) is ticks(TimeScale(10.0, 400.0, 12.5))
    assert ticks(TimeScale(10.0, 400.0, 12.5)) != ticks(TimeScale(10.0, 400.0, 1.25))
