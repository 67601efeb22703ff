"""A connection is where its bodies hold it, whatever its kind."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.document.project import Aircraft, Body, Circle, Gearing, Latch, Pivot, Project, Rod, View
from core.geometry.places import Places

PROJECT = Project(
    aircraft=Aircraft(name=""),
    views=(View(id="side"), View(id="plan")),
    bodies=(
        Body(id="bay", view="side", fixed=True),
        Body(id="leg", view="side", shapes=(Circle(centre=(10.0, 0.0), radius=2.0),)),
        Body(id="collar", view="plan"),
    ),
    connections=(
        Pivot(id="hinge", bodies=("bay", "leg"), at=(0.0, 0.0)),
        Rod(id="rod", bodies=("bay", "leg"), ends=((0.0, -8.0), (10.0, 0.0))),
        Latch(id="hook", bodies=("leg", "bay"), ends=((10.0, 0.0), (0.0, 10.0))),
        Pivot(id="turning", bodies=("bay", "collar"), at=(3.0, 4.0)),
        Gearing(id="gearing", pivots=("hinge", "turning"), ratio=1.0),
    ),
)
UP = np.array([(0.0, 0.0, 0.0), (0.0, 0.0, math.pi / 2.0), (1.0, 0.0, 0.0)])


@pytest.mark.parametrize(
    ("connection", "at", "view"),
    [
        ("hinge", (0.0, 0.0), "side"),
        ("rod", (0.0, 1.0), "side"),
        ("hook", (0.0, 10.0), "side"),
        ("turning", (4.0, 4.0), "side"),
        ("gearing", (4.0, 4.0), "side"),
    ],
)
def test_a_connection_is_at_its_joint_or_half_way_between_its_ends(connection, at, view):
    places = Places(PROJECT)
    assert places.connection(connection, UP) == pytest.approx(at)
    assert places.view_of_connection(connection) == view


def test_what_the_project_has_not_got_is_nowhere():
    places = Places(PROJECT)
    assert (places.connection("brace", UP), places.view_of_connection("brace")) == (None, None)


def test_a_body_is_told_by_a_point_within_it():
    places = Places(PROJECT)
    assert math.dist(places.body("leg", UP), (0.0, 10.0)) < 2.0
    assert places.body("bay", UP) is None
    assert places.view_of_body("collar") == "plan"
