"""A small nose gear whose motion is known without a solver: a leg that swings about one pivot, a wheel on it, a hook in
its way, a steering plan that turns about another pivot, and one part of every kind that can be drawn."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from core.document.project import (
    Aircraft,
    Body,
    Circle,
    Drive,
    Jack,
    Latch,
    Move,
    PairRule,
    Pivot,
    Polygon,
    Project,
    Rod,
    Sequence,
    Slide,
    Slot,
    Step,
    View,
    Wall,
)
from core.findings.collect import collect
from core.interference.check import interfere
from core.interference.pairs import checked_pairs
from core.interference.placement import parts_of
from core.motion.motion import Motion
from core.motion.schedule import frame_times, lay_out
from core.motion.trouble import Jam, Loose
from core.study import SequenceStudy, Study

SECONDS = 4.0
LEG_TO = 90.0
"""Degrees that the leg swings, at a constant rate. At the end it reaches 4 mm into the hook, from y = -1 up to y = 3,
and the tyre stands 3.4 mm below the roof of the bay, whose lower face is at y = 15.4."""
SWINGS = ("leg", "wheel")


def nose_gear(*, length_unit: str = "mm") -> Project:
    bay = Wall(points=((-8.0, -4.0), (-8.0, 16.0), (92.0, 16.0), (92.0, -4.0)), thickness=1.2)
    leg = Polygon(points=((-3.0, 3.0), (3.0, 3.0), (3.0, -60.0), (-3.0, -60.0)))
    tyre = Circle(centre=(0.0, -60.0), radius=12.0)
    return Project(
        aircraft=Aircraft(name="Merrow T.2", scale=12),
        length_unit=length_unit,
        least_clearance=0.5,
        views=(
            View(id="side", name="Side elevation", plane="side"),
            View(id="plan", name="Plan", plane="plan"),
            View(id="front", name="Front elevation", plane="front"),
        ),
        bodies=(
            Body(id="airframe", name="Bay walls", view="side", role="structure", fixed=True, depth=(-30, 30),
                 shapes=(bay,)),
            Body(id="leg", name="Nose leg", view="side", role="leg", depth=(-4, 4), shapes=(leg,)),
            Body(id="wheel", name="Nose wheel", view="side", role="wheel", depth=(5, 12),
                 shapes=(tyre, Circle(centre=(0.0, -60.0), radius=6.0))),
            Body(id="hook", name="Uplock hook", view="side", role="lock", depth=(-2, 2),
                 shapes=(Polygon(points=((40.0, -1.0), (44.0, -1.0), (44.0, 8.0), (40.0, 8.0))),)),
            Body(id="door", name="Main door", view="side", role="door", depth=(20, 24),
                 shapes=(Wall(points=((20.0, -8.0), (86.0, -8.0)), thickness=1.0),)),
            Body(id="collar", name="Steering collar", view="plan", role="link",
                 shapes=(Circle(centre=(0.0, 0.0), radius=9.0),)),
        ),
        connections=(
            Pivot(id="leg-pivot", name="Leg pivot", bodies=("airframe", "leg"), at=(0.0, 0.0), pin=3.0),
            Pivot(id="axle", name="Axle", bodies=("leg", "wheel"), at=(0.0, -60.0)),
            Pivot(id="hook-pivot", bodies=("airframe", "hook"), at=(42.0, 6.0)),
            Slide(id="door-track", bodies=("airframe", "door"), at=(30.0, -8.0), along=(1.0, 0.0), limits=(0.0, 10.0)),
            Slot(id="door-slot", bodies=("airframe", "door"), at=(70.0, -8.0), start=(66.0, -8.0), end=(80.0, -8.0),
                 pin=2.0),
            Rod(id="door-rod", name="Door rod", bodies=("airframe", "door"), ends=((10.0, 10.0), (25.0, -8.0)),
                width=2.0, depth=(20, 24)),
            Rod(id="thin-rod", bodies=("airframe", "door"), ends=((50.0, 12.0), (55.0, -8.0))),
            Jack(id="brace", name="Brace jack", bodies=("airframe", "hook"), ends=((20.0, 12.0), (42.0, 7.0)),
                 closed=18.0, stroke=10.0, barrel=4.0, rod=2.0, depth=(14, 18)),
            Latch(id="uplock", bodies=("hook", "wheel"), ends=((41.0, 0.0), (0.0, -50.0))),
        ),
        pairs=(PairRule(bodies=("wheel", "airframe"), rule="check", clearance=4.0),),
        drives=(Drive(id="gear", name="Leg angle", on="leg-pivot"),),
        sequences=(
            Sequence(id="retract", name="Retract", steps=(
                Step(id="leg-up", name="Leg up", duration=SECONDS, moves=(Move(drive="gear", to=LEG_TO),),
                     engage=("uplock",)),
            )),
        ),
    )  # fmt: skip


def poses_of(project: Project, times: NDArray[np.float64]) -> NDArray[np.float64]:
    """(T,) seconds -> (T, B, 3): the leg and its wheel turn about the origin, everything else stays."""
    poses = np.zeros((len(times), len(project.bodies), 3))
    for index, body in enumerate(project.bodies):
        if body.id in SWINGS:
            poses[:, index, 2] = math.radians(LEG_TO) * np.asarray(times) / SECONDS
    return poses


def study_of(project: Project, *, loose: bool = True, jammed: bool = False) -> Study:
    """A study of the known motion, checked by the program's own check."""
    sequence = project.sequences[0]
    schedule = lay_out(sequence)
    times = frame_times(schedule)
    troubles: list[Loose | Jam] = []
    if loose:
        troubles.append(Loose(bodies=("door",), freedoms=1, begin=0.0, end=schedule.seconds))
    if jammed:
        troubles.append(Jam(connections=("door-rod",), bodies=("door",), begin=3.0, end=4.0, time=3.0, short_by=1.5))
    motion = Motion(
        schedule=schedule,
        bodies=tuple(body.id for body in project.bodies),
        connections=tuple(one.id for one in project.connections),
        drive_ids=("gear",),
        times=times,
        poses=poses_of(project, times),
        drives=(LEG_TO * times / schedule.seconds)[:, None],
        values=np.full((len(times), len(project.connections)), np.nan),
        assembled=np.ones((len(times), len(project.bodies)), dtype=bool),
        troubles=tuple(troubles),
        poses_at=lambda at: poses_of(project, at),
        assembled_at=lambda at: np.ones((len(at), len(project.bodies)), dtype=bool),
    )
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    interference = interfere(parts, pairs, motion)
    one = SequenceStudy(
        sequence=sequence,
        schedule=schedule,
        motion=motion,
        interference=interference,
        findings=collect(project, sequence, motion, interference),
    )
    return Study(project=project, mechanism=None, parts=parts, pairs=pairs, sequences=(one,))  # type: ignore[arg-type]
