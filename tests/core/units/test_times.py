"""Model time and prototype time: what gravity moves looks alike in both."""

from __future__ import annotations

import math

import pytest

from core.units.times import model_seconds, prototype_seconds

GRAVITY = 9.80665


@pytest.mark.parametrize("scale", [1.0, 4.0, 12.0, 72.0])
def test_a_fall_a_swing_and_a_speed_agree(scale: float):
    """Free fall takes sqrt(2 h / g) and a small swing 2 pi sqrt(l / g); speeds then go by the root as well."""
    height, length, speed = 5.0, 1.2, 40.0
    fall, small_fall = (math.sqrt(2.0 * h / GRAVITY) for h in (height, height / scale))
    swing, small_swing = (2.0 * math.pi * math.sqrt(one / GRAVITY) for one in (length, length / scale))
    assert prototype_seconds(small_fall, scale) == pytest.approx(fall)
    assert prototype_seconds(small_swing, scale) == pytest.approx(swing)
    rolled = 100.0 / speed
    froude = speed**2 / (GRAVITY * length)
    small_speed = (100.0 / scale) / model_seconds(rolled, scale)
    assert small_speed**2 / (GRAVITY * length / scale) == pytest.approx(froude)


def test_there_and_back():
    assert model_seconds(prototype_seconds(7.5, 12.0), 12.0) == pytest.approx(7.5)
    assert prototype_seconds(1.0, 4.0) == 2.0
