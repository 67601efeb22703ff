"""Random four-bars of every kind against the closed form, on both branches and close by their dead centres."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.motion.trouble import DeadCentre, Jam
from tests.mechanisms.example import errors, solve
from tests.mechanisms.four_bars import FourBar, four_bar
from tests.mechanisms.variations import placed, shuffled

PIN = 1e-6  # mm
lengths = st.floats(10.0, 100.0)
shares = st.floats(0.02, 0.95)
sides = st.sampled_from([1.0, -1.0])


def turning_bar(ground: float, crank: float, total: float, difference: float, drawn: float, side: float) -> FourBar:
    """A four-bar whose crank goes right round: coupler and rocker reach past the pins at their furthest, and their
    difference is less than the pins' nearest; `total` and `difference` say by which share."""
    reach = (ground + crank) * (1.0 + total)
    gap = abs(ground - crank) * (2.0 * difference - 1.0)
    return FourBar(
        ground=ground, crank=crank, coupler=(reach + gap) / 2, rocker=(reach - gap) / 2, drawn=drawn, side=side
    )


def full_turn(bar: FourBar) -> float:
    """How much longer the links are than they must be for the crank to go right round, in millimetres."""
    near, far = abs(bar.ground - bar.crank), bar.ground + bar.crank
    return min(near - abs(bar.coupler - bar.rocker), bar.coupler + bar.rocker - far)


@given(lengths, lengths, shares, shares, st.floats(0.0, 360.0), sides, st.integers(0, 10**6))
def test_a_full_turn_on_either_branch(ground, crank, total, difference, drawn, side, seed) -> None:
    assume(abs(ground - crank) > 2.0)
    bar = turning_bar(ground, crank, total, difference, drawn, side)
    assert full_turn(bar) > 0.0
    example = shuffled(four_bar(bar, name="random", turn=360.0 if seed % 2 else -360.0), seed)
    motion = solve(example.project, 73)
    assert max(errors(example, motion).values()) <= PIN
    assert motion.assembled.all()


@given(lengths, lengths, shares, st.floats(5.0, 355.0), sides, st.floats(-3.0, 1.0), st.floats(0.0, 360.0))
def test_any_place_and_size(ground, crank, share, drawn, side, size, turn) -> None:
    assume(abs(ground - crank) > 2.0)
    bar = turning_bar(ground, crank, share, 1.0 - share, drawn, side)
    example = placed(four_bar(bar, name="random"), scale=10**size, turn=turn, shift=complex(-30, 70) * 10**size)
    assert max(errors(example, solve(example.project, 37)).values()) <= PIN


def near_change_points(gap: float) -> list[FourBar]:
    """Four-bars whose crank passes a dead centre of coupler and rocker by `gap` millimetres, on both branches."""
    made = []
    for side in (1.0, -1.0):
        kept = {"drawn": 70.0, "side": side}
        made += [
            # Folded at 0 degrees: ground - crank = coupler - rocker + gap.
            FourBar(ground=80.0, crank=30.0, coupler=90.0, rocker=40.0 + gap, **kept),
            # Straight at 180 degrees: ground + crank = coupler + rocker - gap.
            FourBar(ground=80.0, crank=30.0, coupler=60.0, rocker=50.0 + gap, **kept),
            # Nearly a parallelogram: both.
            FourBar(ground=70.0, crank=25.0, coupler=70.0, rocker=25.0 + gap, **kept),
            # Nearly a kite: the crank's pin passes the rocker's pivot by the gap, and the rocker is whipped round.
            FourBar(ground=60.0 + gap, crank=60.0, coupler=80.0, rocker=80.0, **kept),
        ]
    return made


@pytest.mark.parametrize("frames", [7, 60, 600])
@pytest.mark.parametrize("gap", [0.01, 0.1])
@pytest.mark.parametrize("number", range(8))
def test_no_flip_close_by_a_dead_centre(gap: float, frames: int, number: int) -> None:
    bar = near_change_points(gap)[number]
    example = four_bar(bar, name="near a dead centre")
    motion = solve(example.project, frames)
    assert full_turn(bar) == pytest.approx(gap)
    assert max(errors(example, motion).values()) <= PIN
    assert not any(isinstance(trouble, Jam) for trouble in motion.troubles)


@pytest.mark.parametrize("number", range(8))
def test_passing_close_by_a_dead_centre_is_told(number: int) -> None:
    bar = near_change_points(0.01)[number]
    motion = solve(four_bar(bar, name="near a dead centre").project, 600)
    assert any(isinstance(trouble, DeadCentre) for trouble in motion.troubles)


@pytest.mark.long
@given(lengths, lengths, st.sampled_from([0.01, 0.003, 0.02]), sides, st.integers(5, 700), st.floats(20.0, 160.0))
def test_no_flip_for_any_lengths(crank, coupler, gap, side, frames, drawn) -> None:
    rocker = coupler * 0.8 + 3.0
    ground = coupler + rocker - gap - crank
    bar = FourBar(ground=ground, crank=crank, coupler=coupler, rocker=rocker, drawn=drawn, side=side)
    assume(ground > 5.0)
    assume(full_turn(bar) >= 0.9 * gap)
    example = four_bar(bar, name="near a dead centre")
    assert max(errors(example, solve(example.project, frames)).values()) <= PIN


def test_the_closed_form_is_a_four_bar() -> None:
    """What the others are measured by: the links keep their lengths and the sides are as said."""
    for bar in near_change_points(0.01)[:2]:
        a, b = bar.pins(np.linspace(0.0, 360.0, 999))
        assert np.allclose(np.abs(b - a), bar.coupler, atol=1e-12)
        assert np.allclose(np.abs(b - bar.ground), bar.rocker, atol=1e-12)
        assert (np.imag(np.conj(bar.ground - a) * (b - a)) > 0).all()
