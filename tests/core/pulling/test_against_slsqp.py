"""The least change against scipy's SLSQP (D. Kraft's sequential least squares), which knows nothing of small steps.

Its rows are the solver's own, its unknowns plain poses; where the hand can be reached the least movement of all bodies
is asked for with the point in the hand, else the least way to the hand.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import minimize

from core.geometry.planar import Floats
from core.mechanism.constraints import rows_of
from core.motion.placing import Placing
from core.pulling.grab import Grab
from tests.core.pulling.hands import grabbed, place, pulled_to
from tests.mechanisms.catalogue import catalogue

NAMED = {one.name: one for one in catalogue()}
CLOSE = 2e-4  # mm, which is what SLSQP's own end leaves


def movement(held: Grab, poses: Floats) -> float:
    """Half of all middles' ways and turns' arcs, squared, from where it was grabbed."""
    points = held.middles[: held.count]
    was, now = (one[list(held.members)] for one in (held.poses, poses))
    gone = [one[:, 0] + 1j * one[:, 1] + np.exp(1j * one[:, 2]) * points for one in (was, now)]
    arcs = held.radii[: held.count] * (now[:, 2] - was[:, 2])
    return float(0.5 * (np.abs(gone[1] - gone[0]) ** 2).sum() + 0.5 * (arcs**2).sum())


def least(held: Grab, wanted: Callable[[Floats], float], kept: Callable[[Floats], Floats], begin: Floats) -> Floats:
    """(B, 3) by SLSQP, begun somewhere near."""
    members, size = list(held.members), held.mechanism.size
    scale = np.array([1.0, 1.0, 1.0 / size])

    def poses_of(unknowns: Floats) -> Floats:
        poses = held.poses.copy()
        poses[members] = unknowns.reshape(-1, 3) * scale
        return poses

    found = minimize(
        lambda unknowns: wanted(poses_of(unknowns)),
        (begin[members] / scale).ravel(),
        method="SLSQP",
        constraints={"type": "eq", "fun": lambda unknowns: kept(poses_of(unknowns))},
        options={"ftol": 1e-13, "maxiter": 800},
    )
    return poses_of(found.x)


def rows_at(held: Grab, poses: Floats) -> Floats:
    """The independent rows of all connections, with drives left free."""
    mechanism = held.mechanism
    standing = Placing.at_poses(poses, np.full((1, len(mechanism.drives)), np.nan))
    rows = [row for number in range(len(mechanism.links)) for row in rows_of(mechanism, number, standing, {})]
    values = np.array([float(np.ravel(row.residual)[0]) for row in rows])
    return values[np.isfinite(values)]


@pytest.mark.parametrize(
    ("name", "body", "at", "by"),
    [
        ("five-bar with two drives", "right-link", 3 + 2j, 6 - 4j),
        ("slide on a slide on an arm", "hook", 20 + 5j, -3 + 4j),
        ("wheel on its axle", "wheel", -52j, 5 - 1j),
    ],
)
def test_a_point_in_hand_moves_everything_as_little_as_can_be(name: str, body: str, at: complex, by: complex):
    held = grabbed(NAMED[name].project, body, at)
    found = pulled_to(held, at + by)

    def kept(poses: Floats) -> Floats:
        gap = place(held.mechanism, poses, body, at) - (at + by)
        return np.append(rows_at(held, poses), [gap.real, gap.imag])

    known = least(held, lambda poses: movement(held, poses), kept, 0.9 * found.poses)
    assert found.short_by < 1e-6
    assert movement(held, found.poses) <= movement(held, known) + 1e-6
    np.testing.assert_allclose(found.poses[:, :2], known[:, :2], atol=CLOSE)


@pytest.mark.parametrize(
    ("name", "body", "at", "hand"),
    [
        ("crank-rocker, open", "coupler", 80 + 90j, 60 + 140j),
        ("slider-crank", "link", 90 + 10j, 60 + 70j),
        ("Peaucellier's cell", "crank", 30 + 20j, 20 + 70j),
        ("geared five-bar", "left", 10 + 30j, -60 + 50j),
    ],
)
def test_a_hand_out_of_reach_is_come_as_near_as_can_be(name: str, body: str, at: complex, hand: complex):
    held = grabbed(NAMED[name].project, body, at)
    found = pulled_to(held, hand)

    def gap(poses: Floats) -> float:
        return 0.5 * abs(place(held.mechanism, poses, body, at) - hand) ** 2

    known = least(held, gap, lambda poses: rows_at(held, poses), 0.8 * found.poses)
    np.testing.assert_allclose(np.sqrt(2.0 * gap(found.poses)), np.sqrt(2.0 * gap(known)), atol=CLOSE)
