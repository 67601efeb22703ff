"""A small part of the Merrow T.2, for tests of the window: a leg, a door that clips it, a door that is loose."""

from __future__ import annotations

from msgspec.structs import replace

from core.document.project import (
    Aircraft,
    Body,
    Circle,
    Drive,
    Move,
    PairRule,
    Pivot,
    Polygon,
    Project,
    Sequence,
    Step,
    View,
    Wall,
)

LEG_TO = 92.0


def small_aircraft() -> Project:
    """Retract closes the door upon the leg before it is quite up; steer moves nothing that touches."""
    return Project(
        aircraft=Aircraft(name="Merrow T.2", scale=12, note="a small part of it"),
        least_clearance=0.5,
        views=(View(id="side", name="Side elevation", plane="side"),),
        bodies=_bodies(),
        connections=_connections(),
        drives=(Drive(id="gear", name="Leg angle", on="leg-pivot"), Drive(id="doors", name="Main door", on="hinge")),
        sequences=_sequences(),
        pairs=(PairRule(bodies=("aft-door", "airframe"), rule="ignore", why="hinge knuckles lap"),),
    )


def clean_aircraft() -> Project:
    """The same without the loose door, and the main door left open: nothing is wrong with it."""
    project = small_aircraft()
    retract = project.sequences[0]
    return replace(
        project,
        bodies=tuple(one for one in project.bodies if one.id != "aft-door"),
        connections=tuple(one for one in project.connections if one.id != "aft-hinge"),
        sequences=(replace(retract, steps=retract.steps[:2]),),
        pairs=(),
    )


def _bodies() -> tuple[Body, ...]:
    bay = Wall(points=((-30.0, 0.0), (-30.0, 25.0), (90.0, 25.0), (90.0, 0.0)), thickness=1.0)
    leg = Polygon(points=((-4.0, 4.0), (4.0, 4.0), (3.0, -60.0), (-3.0, -60.0)))
    door = Polygon(points=((10.0, -1.0), (86.0, -1.0), (86.0, 0.0), (10.0, 0.0)))
    aft = Polygon(points=((-29.0, -1.0), (-8.0, -1.0), (-8.0, 0.0), (-29.0, 0.0)))
    return (
        Body(id="airframe", name="Keel and bay walls", view="side", role="structure", fixed=True, shapes=(bay,)),
        Body(
            id="leg", name="Nose leg", view="side", role="leg", depth=(-5.0, 5.0), mass=48.0,
            centre_of_mass=(0.0, -30.0), shapes=(leg, Circle(centre=(0.0, -62.0), radius=12.0)),
        ),
        Body(id="door", name="Main door", view="side", role="door", depth=(-8.0, 8.0), shapes=(door,)),
        Body(id="aft-door", name="Aft door", view="side", role="door", depth=(-8.0, 8.0), shapes=(aft,)),
    )  # fmt: skip


def _connections() -> tuple[Pivot, ...]:
    return (
        Pivot(id="leg-pivot", name="Leg trunnion", bodies=("airframe", "leg"), at=(0.0, 0.0), pin=3, limits=(0, 105)),
        Pivot(id="hinge", name="Main door hinge", bodies=("airframe", "door"), at=(87.0, 0.0), limits=(0, 110)),
        Pivot(id="aft-hinge", name="Aft door hinge", bodies=("airframe", "aft-door"), at=(-29.0, 0.0)),
    )


def _sequences() -> tuple[Sequence, ...]:
    retract = Sequence(
        id="retract",
        name="Retract",
        start={"gear": 0.0, "doors": 0.0},
        steps=(
            Step(id="doors-open", name="Doors open", duration=1.5, moves=(Move(drive="doors", to=92.0),)),
            Step(
                id="leg-up", name="Leg up", after="doors-open", delay=0.2, duration=4.0,
                moves=(Move(drive="gear", to=LEG_TO, profile="eased"),),
            ),
            Step(id="doors-close", name="Doors close", duration=1.5, moves=(Move(drive="doors", to=0.0),)),
        ),
    )  # fmt: skip
    hold = Sequence(
        id="hold",
        name="Hold",
        steps=(Step(id="wait", name="Wait", duration=1.0), Step(id="wait-on", name="Wait on", duration=1.0)),
    )
    return (retract, hold)
