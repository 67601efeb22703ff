"""Short ways to write a project: points are complex numbers, one view unless said, one sequence called `run`."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from core.document.project import (
    Aircraft,
    Body,
    Connection,
    Drive,
    Gearing,
    Jack,
    Latch,
    Move,
    Pivot,
    Point,
    Profile,
    Project,
    Rod,
    Sequence,
    Slide,
    Slot,
    Step,
    View,
)

FRAME = "frame"
RUN = "run"


def xy(point: complex) -> Point:
    return (float(complex(point).real), float(complex(point).imag))


def frame(body: str = FRAME, view: str = "side") -> Body:
    """A fixed body."""
    return Body(id=body, view=view, fixed=True, role="structure")


def moving(*names: str, view: str = "side") -> tuple[Body, ...]:
    return tuple(Body(id=name, view=view) for name in names)


def pivot(name: str, first: str, second: str, at: complex, limits: tuple[float, float] | None = None) -> Pivot:
    return Pivot(id=name, bodies=(first, second), at=xy(at), limits=limits)


def slide(name: str, first: str, second: str, at: complex, along: complex) -> Slide:
    return Slide(id=name, bodies=(first, second), at=xy(at), along=xy(along))


def slot(name: str, line: str, pin: str, at: complex, start: complex, end: complex) -> Slot:
    return Slot(id=name, bodies=(line, pin), at=xy(at), start=xy(start), end=xy(end))


def rod(name: str, first: str, second: str, start: complex, end: complex, length: float | None = None) -> Rod:
    return Rod(id=name, bodies=(first, second), ends=(xy(start), xy(end)), length=length)


def jack(name: str, first: str, second: str, foot: complex, eye: complex, closed: float, stroke: float) -> Jack:
    return Jack(id=name, bodies=(first, second), ends=(xy(foot), xy(eye)), closed=closed, stroke=stroke)


def gearing(name: str, first: str, second: str, ratio: float) -> Gearing:
    return Gearing(id=name, pivots=(first, second), ratio=ratio)


def latch(name: str, first: str, second: str, hook: complex, pin: complex, reach: float = 0.5) -> Latch:
    return Latch(id=name, bodies=(first, second), ends=(xy(hook), xy(pin)), reach=reach)


def step(
    name: str,
    duration: float,
    moves: dict[str, float] | None = None,
    *,
    profile: Profile = "steady",
    engage: tuple[str, ...] = (),
    release: tuple[str, ...] = (),
    together_with: str | None = None,
) -> Step:
    wanted = tuple(Move(drive=drive, to=to, profile=profile) for drive, to in (moves or {}).items())
    return Step(id=name, duration=duration, moves=wanted, engage=engage, release=release, together_with=together_with)


def sequence(steps: Iterable[Step], start: dict[str, float] | None = None) -> Sequence:
    return Sequence(id=RUN, start=start or {}, steps=tuple(steps))


def project(
    bodies: Iterable[Body],
    connections: Iterable[Connection],
    drives: dict[str, str],
    steps: Iterable[Step] = (),
    start: dict[str, float] | None = None,
) -> Project:
    """`drives` names the connection that each drive is on."""
    all_bodies = tuple(bodies)
    views = tuple(dict.fromkeys(body.view for body in all_bodies))
    return Project(
        aircraft=Aircraft(name="Merrow T.2"),
        views=tuple(View(id=view) for view in views),
        bodies=all_bodies,
        connections=tuple(connections),
        drives=tuple(Drive(id=name, on=on) for name, on in drives.items()),
        sequences=(sequence(steps, start),),
    )


def exactly_driven(one: Project) -> Project:
    """The same with drives that come to their values and gearings without backlash."""
    drives = tuple(replace(drive, resolution=0.0, hysteresis=0.0) for drive in one.drives)
    connections = tuple(
        replace(connection, backlash=0.0) if isinstance(connection, Gearing) else connection
        for connection in one.connections
    )
    return replace(one, drives=drives, connections=connections)
