"""Rows against finite differences, and against what each connection means."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.project import Jack
from core.mechanism.build import build
from core.mechanism.constraints import jacobian, row_count, rows_of
from core.mechanism.mechanism import Mechanism
from core.motion.placing import Placing
from tests.mechanisms.sketch import FRAME, frame, gearing, latch, moving, pivot, project, rod, slide, slot

MADE = build(
    project(
        (*moving("a", "b"), frame()),
        (
            pivot("pin", "a", "b", 3 + 2j),
            pivot("turned", "b", FRAME, -4 + 1j),
            slide("guide", "a", "b", 1 + 1j, 3 + 4j),
            slide("pushed", FRAME, "a", 2j, 1 - 1j),
            slot("slot", "b", "a", 6 + 2j, 5 + 1j, 9 + 5j),
            rod("stay", "a", FRAME, 7 + 1j, 20 - 3j, length=11.0),
            Jack(id="damper", bodies=("a", "b"), ends=((0.0, 0.0), (9.0, 0.0)), closed=7.0, stroke=5.0),
            Jack(id="jack", bodies=("a", "b"), ends=((0.0, 3.0), (9.0, 0.0)), closed=7.0, stroke=5.0),
            gearing("wheels", "pin", "turned", -1.5),
            latch("hook", "a", "b", 1j, 2j),
        ),
        {"turn": "turned", "push": "pushed", "reach": "jack"},
    )
)
GRIPS = {9: (2 - 1j, 0.3)}
DRIVES = np.array([[12.0, 0.7, 2.5]])
NUMBERS = range(len(MADE.links))


def stand(mechanism: Mechanism, poses: np.ndarray) -> Placing:
    return Placing.at_poses(poses.reshape(len(mechanism.bodies), 3), DRIVES)


def residuals(poses: np.ndarray, number: int) -> np.ndarray:
    rows = rows_of(MADE, number, stand(MADE, poses), GRIPS)
    return np.array([float(np.squeeze(row.residual)) for row in rows])


@pytest.mark.parametrize("number", NUMBERS, ids=[link.id for link in MADE.links])
def test_gradients_are_the_differences(number: int) -> None:
    poses = np.array([0.3, -0.2, 0.4, 1.1, 0.8, -0.7, 0.0, 0.0, 0.0])
    at = stand(MADE, poses)
    rows = rows_of(MADE, number, at, GRIPS)
    assert len(rows) == row_count(MADE.links[number], held=True)
    if not rows:
        return
    origins = [pose.u for pose in at.bodies]
    matrix = jacobian(rows, [0, 1, 2], origins, MADE.size)[0]
    step = 1e-6
    for column in range(9):
        change = np.zeros(9)
        change[column] = step / (MADE.size if column % 3 == 2 else 1.0)
        wanted = (residuals(poses + change, number) - residuals(poses - change, number)) / (2 * step)
        assert matrix[:, column] == pytest.approx(wanted, abs=1e-7)


@pytest.mark.parametrize("name", ["pin", "guide", "slot", "wheels"])
def test_the_drawn_position_meets_what_is_drawn_to_meet(name: str) -> None:
    assert np.abs(residuals(np.zeros(9), MADE.link_of[name])).max() < 1e-12


def test_residuals_are_millimetres_and_arcs() -> None:
    def only(name: str, poses: np.ndarray | None = None) -> float:
        found = residuals(np.zeros(9) if poses is None else poses, MADE.link_of[name])
        return float(np.abs(found).max())

    assert only("stay") == pytest.approx(abs(13 - 4j) - 11.0)
    assert only("jack") == pytest.approx(abs(abs(9 - 3j) - (7.0 + 2.5)))
    assert only("turned") == pytest.approx(np.deg2rad(12.0) * MADE.size)
    assert only("pushed") == pytest.approx(0.7)
    moved = np.array([0.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0])
    assert only("guide", moved) == pytest.approx(0.6)  # one up, along (3, 4) / 5


def test_an_undriven_jack_and_a_latch_that_does_not_hold_ask_nothing() -> None:
    at = stand(MADE, np.ones(9))
    assert rows_of(MADE, MADE.link_of["damper"], at, GRIPS) == []
    assert rows_of(MADE, MADE.link_of["hook"], at, {}) == []
    assert row_count(MADE.links[9]) == 0


def test_a_latch_is_met_where_it_took_hold() -> None:
    first = np.array([4.0, -2.0, 0.9])
    place, turn = GRIPS[9]
    there = complex(first[0], first[1]) + np.exp(1j * first[2]) * place
    poses = np.array([*first, there.real, there.imag, first[2] + turn, 0.0, 0.0, 0.0])
    assert np.abs(residuals(poses, 9)).max() < 1e-12
