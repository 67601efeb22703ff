"""Where grips crowd only those are shown that can be told apart, and the hand finds each of them even so."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from app.sheet.tools.grips import APART, CATCH, told_apart
from core.document.project import Polygon
from core.sketch.reshaping import Grip, handles

CORNERS = 200
RING = Polygon(
    points=tuple(
        (30.0 * math.cos(2.0 * math.pi * i / CORNERS), 30.0 * math.sin(2.0 * math.pi * i / CORNERS))
        for i in range(CORNERS)
    )
)
EVERY = [(0, handle) for handle in handles(RING)]


@pytest.mark.parametrize("reach", [0.1, 1.0, 4.0, 40.0])
@pytest.mark.parametrize("hand", [None, (30.0, 0.0), (0.0, 0.0)])
def test_none_crowds_another(reach, hand):
    shown = told_apart(EVERY, reach, hand)
    apart = [math.dist(one.at, other.at) for (_, one), (_, other) in combinations(shown, 2)]
    assert min(apart, default=math.inf) >= APART * reach
    assert shown


@pytest.mark.parametrize("reach", [1.0, 4.0])
def test_each_corner_appears_under_the_hand(reach):
    for number in range(CORNERS):
        corner = RING.points[number]
        shown = told_apart(EVERY, reach, (corner[0], corner[1]))
        near = [one for _, one in shown if math.dist(one.at, corner) <= CATCH * reach]
        assert [(one.grip, one.corner) for one in near] == [(Grip.CORNER, number)]


def test_with_room_for_all_all_are_shown():
    assert len(told_apart(EVERY, 0.1, None)) == 2 * CORNERS


def test_corners_come_before_the_middles_of_edges():
    assert {one.grip for _, one in told_apart(EVERY, 0.4, None)} == {Grip.CORNER}
