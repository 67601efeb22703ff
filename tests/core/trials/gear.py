"""A leg that swings up past a door, small enough to work out by hand.

The leg is a bar 2 mm wide from its pivot at the origin down to 50 mm; it turns counter-clockwise. The door is a bar
from 30 to 60 mm along the x axis, 1 mm thick, on its hinge at (60, 0); it hangs down at 90 degrees, clear of the leg.
"""

from __future__ import annotations

import math

from core.document.project import (
    Aircraft,
    Body,
    Connection,
    Drive,
    Latch,
    Move,
    Pivot,
    Polygon,
    Profile,
    Project,
    Sequence,
    Step,
    View,
)

TOUCHES = math.degrees(math.acos(1.0 / math.hypot(30.0, 1.0)) - math.atan(1.0 / 30.0))
"""Degrees of the leg at which its leading edge, 1 mm from its middle line, meets the corner (30, -1) of the shut door:
30 cos a - sin a = 1."""


def bar(*corners: tuple[float, float]) -> tuple[Polygon]:
    return (Polygon(points=corners),)


def step(
    name: str,
    duration: float,
    moves: dict[str, float] | None = None,
    *,
    profile: Profile = "steady",
    after: str | None = None,
    together_with: str | None = None,
    delay: float = 0.0,
    engage: tuple[str, ...] = (),
    release: tuple[str, ...] = (),
) -> Step:
    wanted = tuple(Move(drive=drive, to=to, profile=profile) for drive, to in (moves or {}).items())
    return Step(
        id=name, name=name.capitalize(), duration=duration, moves=wanted, after=after, together_with=together_with,
        delay=delay, engage=engage, release=release,
    )  # fmt: skip


UP = 150.0
PIN = (40.0 * math.sin(math.radians(UP)), -40.0 * math.cos(math.radians(UP)))
"""Where the leg's point (0, -40) is when it is up."""
RETRACT = (
    step("open", 1.0, {"doors": 90.0}),
    step("up", 15.0, {"gear": UP}, engage=("uplock",)),
    step("shut", 1.0, {"doors": 0.0}, delay=0.5),
)


def gear(*steps: Step, start: dict[str, float] | None = None) -> Project:
    """Opens the door in 1 s, swings the leg past it at 10 degrees a second, latches it, and shuts the door, unless
    other steps are given. Nothing touches."""
    bodies = (
        Body(id="frame", name="Frame", view="side", fixed=True, shapes=bar((-9, 9), (-8, 9), (-8, 10), (-9, 10))),
        Body(id="leg", name="Leg", view="side", role="leg", shapes=bar((-1, 0), (1, 0), (1, -50), (-1, -50))),
        Body(id="door", name="Door", view="side", role="door", shapes=bar((30, -1), (60, -1), (60, 0), (30, 0))),
    )
    connections: tuple[Connection, ...] = (
        Pivot(id="leg-pivot", bodies=("frame", "leg"), at=(0.0, 0.0)),
        Pivot(id="hinge", bodies=("frame", "door"), at=(60.0, 0.0)),
        Latch(id="uplock", name="Uplock", bodies=("frame", "leg"), ends=(PIN, (0.0, -40.0)), reach=0.5),
    )
    return Project(
        aircraft=Aircraft(name="Merrow T.2", scale=12),
        views=(View(id="side", name="Side"),),
        bodies=bodies,
        connections=connections,
        drives=(Drive(id="gear", name="Gear", on="leg-pivot"), Drive(id="doors", name="Doors", on="hinge")),
        sequences=(Sequence(id="run", name="Run", start=start or {}, steps=steps or RETRACT),),
    )
