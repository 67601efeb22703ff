"""A four-bar whose crank a motor turns through gears, with its drawn answers in closed form."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

import numpy as np
from msgspec.structs import replace

from core.document.project import Body, Moment, Polygon, Project, Target, Workshop
from tests.mechanisms.planar import meet_circles
from tests.mechanisms.sketch import frame, gearing, moving, pivot, project, step

GROUND, CRANK, COUPLER, ROCKER = 70.0, 25.0, 60.0, 45.0
DRAWN = 70.0
"""Degrees: the crank's angle as drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GearedFourBar:
    project: Project
    ratio: float
    turn: float
    """Degrees by which the motor turns."""
    within: float
    pins: dict[str, complex]
    joins: dict[str, tuple[str, str]]
    rocker_corners: tuple[tuple[float, float], ...]

    def near(self, turned: float) -> np.ndarray:
        """x, y, turn of coupler and rocker as drawn when the motor has turned by so many degrees."""
        crank, far = _pins(DRAWN + self.ratio * turned)
        coupler = np.angle((far - crank) / (self.pins["b"] - self.pins["a"]))
        rocker = np.angle((far - GROUND) / (self.pins["b"] - GROUND))
        places = (
            (crank - np.exp(1j * coupler) * self.pins["a"], coupler),
            (GROUND - np.exp(1j * rocker) * GROUND, rocker),
        )
        return np.array([part for place, turn in places for part in (place.real, place.imag, turn)])

    @property
    def wanted(self) -> np.ndarray:
        """Where the rocker's corners are at the end as drawn."""
        x, y, turn = self.near(self.turn)[3:]
        return np.asarray(x + 1j * y + np.exp(1j * turn) * np.array([complex(*point) for point in self.rocker_corners]))


def _pins(angle: float) -> tuple[complex, complex]:
    crank = CRANK * np.exp(1j * math.radians(angle))
    return complex(crank), complex(meet_circles(crank, COUPLER, complex(GROUND), ROCKER, 1.0))


def geared_four_bar(
    *, backlash: float, resolution: float, hysteresis: float, tolerance: float, play: float, within: float = 0.35
) -> GearedFourBar:
    """The crank goes half as far as the motor, the other way round; its rocker has a target where it ends as drawn."""
    crank, far = _pins(DRAWN)
    pins = {"m": -40 + 0j, "o2": 0j, "a": crank, "b": far, "o4": complex(GROUND)}
    joins = {
        "m": ("frame", "motor"), "o2": ("frame", "crank"), "a": ("crank", "coupler"), "b": ("coupler", "rocker"),
        "o4": ("frame", "rocker"),
    }  # fmt: skip
    corners = ((GROUND, -2.0), (far.real, far.imag), (GROUND + 2.0, 0.0))
    rocker = Body(id="rocker", view="side", shapes=(Polygon(points=corners),))
    made = project(
        (frame(), *moving("motor", "crank", "coupler"), rocker),
        (
            *(pivot(name, *bodies, pins[name]) for name, bodies in joins.items()),
            replace(gearing("gears", "m", "o2", -0.5), backlash=backlash),
        ),
        {"motor": "m"},
        (step("turn", 1.0, {"motor": 60.0}),),
    )
    bar = GearedFourBar(
        project=made, ratio=-0.5, turn=60.0, within=within, pins=pins, joins=joins, rocker_corners=corners
    )
    x, y, turn = bar.near(60.0)[3:].tolist()
    target = Target(id="up", body="rocker", at=Moment(at="end"), x=x, y=y, turn=math.degrees(turn), within=within)
    drives = tuple(replace(one, resolution=resolution, hysteresis=hysteresis) for one in made.drives)
    workshop = Workshop(play=play, tolerances={"milled": tolerance})
    return dataclasses.replace(bar, project=replace(made, drives=drives, targets=(target,), workshop=workshop))
