"""The rows that are had fast are the solver's own."""

from __future__ import annotations

import numpy as np
import pytest

from core.mechanism.build import build
from core.mechanism.constraints import Row, jacobian, rows_of
from core.motion.placing import Placing
from core.pulling.drives import drive_values
from core.pulling.grab import Grab, grab
from tests.mechanisms.catalogue import catalogue
from tests.mechanisms.example import Example


def solvers_rows(held: Grab, poses: np.ndarray, values: np.ndarray) -> list[Row]:
    standing = Placing.at_poses(poses, values[None])
    numbers = dict.fromkeys(held.owners[row] for row in held.keeps)
    return [row for link in numbers for row in rows_of(held.mechanism, link, standing, held.grips)]


@pytest.mark.parametrize("example", catalogue(), ids=lambda one: one.name)
def test_values_and_slopes_are_those_of_the_constraints(example: Example):
    mechanism, random = build(example.project), np.random.default_rng(7)
    poses = random.normal(0.0, [3.0, 3.0, 0.4], (len(mechanism.bodies), 3)) * ~np.array(mechanism.fixed)[:, None]
    body = next(name for name, fixed in zip(mechanism.bodies, mechanism.fixed, strict=True) if not fixed)
    latches = [at for at, link in enumerate(mechanism.links) if link.id == "lock"]
    grips = dict.fromkeys(latches, (3 + 2j, 0.3))
    held = grab(mechanism, poses, body, 1 + 1j, grips=grips, pinned=mechanism.drives)
    values, slopes = (part[0] for part in held.rows.linearised(held.state_of(poses)[None]))
    drives = np.array([_value(held, drive) for drive in range(len(mechanism.drives))])
    theirs = solvers_rows(held, poses, drives)
    columns = [held.members.index(one) if one in held.members else -1 for one in range(len(mechanism.bodies))]
    origins = [np.array([place]) for place in _middles(held, poses)]
    expected = jacobian(theirs, columns, origins, mechanism.size)[0].reshape(len(theirs), -1, 3)
    expected = expected * np.stack([np.ones(held.count)] * 2 + [mechanism.size / held.radii[: held.count]], axis=-1)
    mine = sorted(zip(values[held.keeps], slopes[held.keeps, : held.count].tolist(), strict=True))
    known = sorted(
        (float(np.ravel(row.residual)[0]), slope.tolist()) for row, slope in zip(theirs, expected, strict=True)
    )
    assert len(mine) == len(known)
    np.testing.assert_allclose([one[0] for one in mine], [one[0] for one in known], atol=1e-10)
    if len({round(one[0], 8) for one in known}) == len(known):  # else equal residuals may stand in either order
        np.testing.assert_allclose([one[1] for one in mine], [one[1] for one in known], atol=1e-10)


def _value(held: Grab, drive: int) -> float:
    return float(drive_values(held.mechanism, held.poses)[drive])


def _middles(held: Grab, poses: np.ndarray) -> list[complex]:
    state = held.state_of(poses)
    return [complex(x, y) for x, y, _ in state[: held.count]]


@pytest.mark.parametrize("example", catalogue(), ids=lambda one: one.name)
def test_slopes_are_the_changes_of_the_values(example: Example):
    mechanism, random = build(example.project), np.random.default_rng(8)
    body = next(name for name, fixed in zip(mechanism.bodies, mechanism.fixed, strict=True) if not fixed)
    held = grab(mechanism, np.zeros((len(mechanism.bodies), 3)), body, 3 + 4j)
    state = held.start + random.normal(0.0, 2.0, held.start.shape)
    change = random.normal(0.0, 1.0, held.start.shape)
    change[held.count :] = 0.0
    _, slopes = held.rows.linearised(state[None])
    ahead, behind = (held.rows.values((state + way * 1e-5 * change)[None])[0] for way in (1.0, -1.0))
    expected = (slopes[0].reshape(len(held.rows), -1)) @ change.ravel()
    np.testing.assert_allclose((ahead - behind) / 2e-5, expected, atol=1e-6)


@pytest.mark.parametrize("example", catalogue(), ids=lambda one: one.name)
def test_a_state_is_its_poses(example: Example):
    mechanism, random = build(example.project), np.random.default_rng(9)
    poses = random.normal(0.0, 2.0, (len(mechanism.bodies), 3)) * ~np.array(mechanism.fixed)[:, None]
    body = next(name for name, fixed in zip(mechanism.bodies, mechanism.fixed, strict=True) if not fixed)
    held = grab(mechanism, poses, body, 0j)
    np.testing.assert_allclose(held.poses_of(held.state_of(poses)), poses, atol=1e-12)
