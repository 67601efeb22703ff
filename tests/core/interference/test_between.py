"""Where contact begins is closed in on in a few rounds, each of which solves moments of the motion."""

from __future__ import annotations

import math

import pytest

from core.interference.between import TIME_SHARE
from core.interference.samples import Samples
from tests.core.interference.scenes import body, box, check, motion_of, only_contact, project_of, still

POST = body("post", box(20, 5, 22, 15), fixed=True)
SLED = body("sled", box(0, 0, 10, 20))
CORNER = body("corner", *[box(0, 9, 10, 11)])
MOST_ROUNDS = 3
"""A quarter of the span a round, as where nothing is foreseen, would take six or more."""


@pytest.mark.parametrize("moving", [SLED, CORNER], ids=["face to face", "end first"])
@pytest.mark.parametrize("power", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("far", [17.3, 23.9, 41.1])
def test_contact_is_closed_in_on(monkeypatch: pytest.MonkeyPatch, moving, power: float, far: float):
    rounds: list[int] = []
    take = Samples.take_between

    def counted(samples, pair, times):
        rounds.append(len(times))
        return take(samples, pair, times)

    monkeypatch.setattr("core.interference.contacts._look_through", lambda _samples, _spans: None)
    monkeypatch.setattr("core.interference.contacts.climb", lambda *_: None)
    monkeypatch.setattr(Samples, "take_between", counted)
    motion = motion_of({"post": still, moving.id: lambda times: (far * times**power, 0.0, 0.0)}, frames=151)
    contact = only_contact(check(project_of(POST, moving), motion))
    assert math.isclose(contact.begin, (10.0 / far) ** (1.0 / power), abs_tol=2.0 * TIME_SHARE)
    assert len(rounds) <= MOST_ROUNDS
