"""A wheel pulled by its hub takes along what it hangs on; by its rim it rolls as well."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Body, Circle, Project
from core.mechanism.build import build
from core.pulling.drives import values_moved
from core.pulling.hub import by_hub, rolls_about
from tests.mechanisms.catalogue import catalogue

RADIUS = 12.0


def leg_with_a_wheel() -> tuple[Project, Body, complex]:
    """The leg's wheel made round about its axle, and where that is drawn."""
    project = next(one for one in catalogue() if one.name == "wheel on its axle").project
    axle = next(one for one in project.connections if "wheel" in getattr(one, "bodies", ()))
    wheel = next(one for one in project.bodies if one.id == "wheel")
    made = replace(wheel, role="wheel", shapes=(Circle(centre=axle.at, radius=RADIUS),))
    bodies = tuple(made if one is wheel else one for one in project.bodies)
    return replace(project, bodies=bodies), made, complex(*axle.at)


@pytest.mark.parametrize(("away", "held"), [(0.0, True), (5.9, True), (6.1, False), (11.9, False)])
def test_up_to_half_its_radius_is_the_hub(away: float, held: bool):
    project, wheel, axle = leg_with_a_wheel()
    mechanism = build(project)
    assert by_hub(mechanism, np.zeros((len(mechanism.bodies), 3)), wheel, axle + away * 1j) is held


def test_the_hub_goes_with_the_wheel():
    project, wheel, axle = leg_with_a_wheel()
    mechanism = build(project)
    poses = np.zeros((len(mechanism.bodies), 3))
    number = mechanism.bodies.index("wheel")
    poses[number] = (40.0, 3.0, np.deg2rad(70.0))
    stands = 40.0 + 3.0j + np.exp(1j * np.deg2rad(70.0)) * axle
    assert by_hub(mechanism, poses, wheel, stands)
    assert not by_hub(mechanism, poses, wheel, axle)


def test_no_other_body_has_a_hub_and_a_wheel_on_the_airframe_only_rolls():
    project, wheel, axle = leg_with_a_wheel()
    mechanism = build(project)
    poses = np.zeros((len(mechanism.bodies), 3))
    leg = next(one for one in project.bodies if one.id == "leg")
    assert not by_hub(mechanism, poses, leg, axle)
    held = replace(project, bodies=tuple(replace(one, fixed=one.fixed or one.id == "leg") for one in project.bodies))
    assert not by_hub(build(held), poses, wheel, axle)


def test_what_rolls_freely_does_so_about_its_axle():
    project, _, axle = leg_with_a_wheel()
    mechanism = build(project)
    poses = np.zeros((len(mechanism.bodies), 3))
    poses[mechanism.bodies.index("wheel")] = (40.0, 3.0, np.deg2rad(70.0))
    assert rolls_about(mechanism, poses, "wheel") == pytest.approx(40.0 + 3.0j + np.exp(1j * np.deg2rad(70.0)) * axle)
    assert rolls_about(mechanism, poses, "leg") is None


def test_a_wheel_that_turns_far_makes_nothing_of_what_the_leg_does():
    project, _, _ = leg_with_a_wheel()
    mechanism = build(project)
    before = np.zeros((len(mechanism.bodies), 3))
    after = before.copy()
    after[mechanism.bodies.index("leg"), 2] = np.deg2rad(2.0)
    after[mechanism.bodies.index("wheel"), 2] = np.deg2rad(300.0)
    values = dict(zip(mechanism.drives, values_moved(mechanism, after, before).tolist(), strict=True))
    assert values.pop("roll") != 0.0
    assert list(values.values()) == pytest.approx([2.0])
