"""Checks of numbers: sizes, orders and directions that cannot be."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import islice, zip_longest
from typing import Any, TypeVar

from core.document import kept
from core.document.drawing_checks import drawings_in
from core.document.json_text import shown
from core.document.names import problem
from core.document.problem import Place, Problem
from core.document.project import (
    Circle,
    Connection,
    Drive,
    Gearing,
    Jack,
    Point,
    Project,
    Rod,
    Slide,
    Slot,
    Value,
    Wall,
)

Thing = TypeVar("Thing")
LARGEST = 1e6
"""A kilometre at model size; also more degrees, seconds and pixels than make sense."""
SMALLEST = 1e-6
"""A nanometre: what is nearer than this is one point."""
ON_THE_LINE = 0.5
"""How far, in millimetres, a slot's pin may be drawn off its line."""
MOST_BACKLASH = 45.0
"""Degrees: a gearing that turns farther before it takes its second pivot along drives nothing."""
MOST_OFF = 25.0
"""Millimetres of play or of a tolerance: more is a slip of the unit, such as thousandths typed as inches."""
LESS_PLAY = "less play, or a thicker pin"
UNITS = ("mm", "cm", "m", "in", "ft")


def range_problems(project: Project, before: Project | None = None) -> Iterator[Problem]:
    """Numbers too large to mean anything, or none at all; what is the very same `before` is passed over."""
    for path, number, thing in _numbers(project, before, (), ""):
        if not abs(number) <= LARGEST:
            right = f"a number between -{LARGEST:,.0f} and {LARGEST:,.0f} is needed"
            yield problem(path, f"{number:.10g} is too large", right, thing=thing)


def number_problems(project: Project, before: Project | None = None) -> Iterator[Problem]:
    """Of numbers within their range, those that cannot be what they stand for; bodies, connections and drives that are
    the very same `before` are passed over."""
    yield from _project(project)
    for index, body in _others(project.bodies, () if before is None else before.bodies):
        yield from _body(("bodies", index), body)
    for index, connection in _others(project.connections, () if before is None else before.connections):
        yield from _connection(("connections", index), connection)
    for index, drive in _others(project.drives, () if before is None else before.drives):
        yield from _drive(("drives", index), drive)
    for index, rule in enumerate(project.pairs):
        yield from _at_least(("pairs", index, "clearance"), rule.clearance, "")
        yield from _at_least(("pairs", index, "beyond"), rule.beyond, "")
        if rule.rule == "ignore" and not rule.why.strip():
            yield problem(("pairs", index, "why"), "a pair is ignored without a reason", "say why it may be")
    for index, target in enumerate(project.targets):
        yield from _at_least(("targets", index, "within"), target.within, target.id)
    for index, sequence in enumerate(project.sequences):
        for number, seconds in enumerate(sequence.pinned):
            yield from _at_least(("sequences", index, "pinned", number), seconds, sequence.id)


def _others(things: tuple[Thing, ...], before: tuple[Thing, ...]) -> Iterator[tuple[int, Thing]]:
    """Those of a row that are not the very same at their place in another."""
    return (
        (index, thing)
        for index, (thing, old) in enumerate(zip_longest(things, before[: len(things)]))
        if thing is not old
    )


def _numbers(held: Any, before: Any, path: Place, thing: str) -> Iterator[tuple[Place, float, str]]:
    """Every number that the format knows, with its place and the id of the thing it belongs to; corners and the like
    within their range are passed over together."""
    if held is before:
        return
    if isinstance(held, Value):
        thing = getattr(held, "id", thing)
        for key, about in kept.file_fields(type(held)).items():
            yield from _numbers(getattr(held, about.name), getattr(before, about.name, None), (*path, key), thing)
    elif isinstance(held, tuple):
        if _all_sound(held):
            return
        old = before if isinstance(before, tuple) else ()
        for index, (element, other) in enumerate(zip_longest(held, old[: len(held)])):
            yield from _numbers(element, other, (*path, index), thing)
    elif isinstance(held, dict):
        for key, element in held.items():
            other = before.get(key) if isinstance(before, dict) else None
            yield from _numbers(element, other, (*path, key), thing)
    elif isinstance(held, float):
        yield path, held, thing


def _all_sound(held: tuple[Any, ...]) -> bool:
    """Whether these are points or corners, of numbers within their range: an outline may have hundreds."""
    if not held or type(held[0]) is not tuple:
        return False
    return all(type(one) is tuple and all(type(n) is float and -LARGEST <= n <= LARGEST for n in one) for one in held)


def _project(project: Project) -> Iterator[Problem]:
    if project.length_unit not in UNITS:
        wrong = f"{shown(project.length_unit)} is no unit of length known here"
        yield problem(("length_unit",), wrong, "one of " + ", ".join(UNITS))
    yield from _positive(("aircraft", "scale"), project.aircraft.scale, "")
    yield from _at_least(("least_clearance",), project.least_clearance, "")
    if project.workshop is not None:
        yield from _off(("workshop", "play"), project.workshop.play, "")
        yield from _loose_pins(project, project.workshop.play)
        yield from _backlash(("workshop", "backlash"), project.workshop.backlash, "")
        for made, within in project.workshop.tolerances.items():
            yield from _off(("workshop", "tolerances", made), within, "")
    for path, view, drawing in drawings_in(project):
        if not 0.0 <= drawing.opacity <= 1.0:
            wrong = f"{drawing.opacity:g} cannot be"
            yield problem((*path, "opacity"), wrong, "a number from 0 to 1 is needed", thing=view.id)
        if not _invertible(drawing.pixel_to_mm):
            wrong = "the matrix lays the whole drawing on a line or a point"
            yield problem((*path, "pixel_to_mm"), wrong, "a matrix that can be inverted", thing=view.id)
        for number, known in enumerate(drawing.lengths):
            yield from _positive((*path, "lengths", number, "mm"), known.mm, view.id)


def _invertible(matrix: tuple[tuple[float, float, float], ...]) -> bool:
    (a, b, c), (d, e, f), (g, h, i) = matrix
    terms = (a * e * i, b * f * g, c * d * h, -c * e * g, -b * d * i, -a * f * h)
    return abs(math.fsum(terms)) > 1e-12 * max(map(abs, terms))


def _body(path: Place, body: Any) -> Iterator[Problem]:
    yield from _depth((*path, "depth"), body.depth, body.id)
    yield from _at_least((*path, "mass"), body.mass, body.id)
    for number, shape in enumerate(body.shapes):
        here: Place = (*path, "shapes", number)
        if isinstance(shape, Circle):
            yield from _positive((*here, "radius"), shape.radius, body.id)
        elif isinstance(shape, Wall):
            yield from _positive((*here, "thickness"), shape.thickness, body.id)


def _connection(path: Place, one: Connection) -> Iterator[Problem]:
    for key in ("pin", "width", "length", "barrel", "closed", "stroke", "bore", "force"):
        yield from _positive((*path, key), getattr(one, key, None), one.id)
    yield from _depth((*path, "depth"), getattr(one, "depth", None), one.id)
    limits = getattr(one, "limits", None)
    if limits is not None and limits[0] > limits[1]:
        yield problem((*path, "limits"), "the limits are the wrong way round", "the lower one first", thing=one.id)
    match one:
        case Slide() if math.hypot(*one.along) < SMALLEST:
            yield problem((*path, "along"), "the slide has no direction", "a vector that is not zero", thing=one.id)
        case Slot():
            yield from _slot(path, one)
        case Rod() | Jack() if math.dist(*one.ends) < SMALLEST:
            yield problem((*path, "ends"), "both ends are at one point", "two different points", thing=one.id)
        case Gearing() if not 1.0 / LARGEST <= abs(one.ratio) <= LARGEST:
            wrong = f"a ratio of {one.ratio:g} turns nothing"
            yield problem((*path, "ratio"), wrong, "a ratio that is not 0", thing=one.id)
    if isinstance(one, Jack):
        yield from _positive((*path, "rod"), one.rod, one.id)
    yield from _at_least((*path, "reach"), getattr(one, "reach", None), one.id)
    yield from _off((*path, "play"), getattr(one, "play", None), one.id)
    if _exceeds_pin(one, getattr(one, "play", None)):
        yield problem((*path, "play"), "its play is no less than its pin is thick", LESS_PLAY, thing=one.id)
    yield from _backlash((*path, "backlash"), getattr(one, "backlash", None), one.id)


def _drive(path: Place, drive: Drive) -> Iterator[Problem]:
    for key in ("travel", "torque", "arm", "speed"):
        yield from _positive((*path, "servo", key), getattr(drive.servo, key, None), drive.id)
    for key in ("resolution", "hysteresis"):
        yield from _at_least((*path, key), getattr(drive, key), drive.id)


def _backlash(path: Place, degrees: float | None, thing: str) -> Iterator[Problem]:
    if degrees is not None and not 0.0 <= degrees <= MOST_BACKLASH:
        yield problem(path, f"{degrees:g} cannot be", f"0 to {MOST_BACKLASH:g} degrees are needed", thing=thing)


def _off(path: Place, millimetres: float | None, thing: str) -> Iterator[Problem]:
    if millimetres is not None and not 0.0 <= millimetres <= MOST_OFF:
        right = f"0 to {MOST_OFF:g} mm are needed"
        yield problem(path, f"{millimetres:g} cannot be", right, thing=thing)


def _loose_pins(project: Project, play: float) -> Iterator[Problem]:
    """The first pin that is no thicker than what the workshop leaves it to move in its hole."""
    thin = (one for one in project.connections if getattr(one, "play", None) is None and _exceeds_pin(one, play))
    for one in islice(thin, 1):
        yield problem(("workshop", "play"), f"the play is no less than the pin of {one.id!r} is thick", LESS_PLAY)


def _exceeds_pin(one: Connection, play: float | None) -> bool:
    """Whether a pin has as much play as it is thick: it would be in no hole, and such a number is a slip."""
    pin = getattr(one, "pin", None)
    return play is not None and pin is not None and 0.0 < pin <= play <= MOST_OFF


def _slot(path: Place, slot: Slot) -> Iterator[Problem]:
    if math.dist(slot.start, slot.end) < SMALLEST:
        yield problem(path, "the slot has no length: from and to are one point", "two different points", thing=slot.id)
        return
    away = distance_to_line(slot.at, slot.start, slot.end)
    if away > ON_THE_LINE:
        wrong = f"the pin is drawn {away:.3g} mm off the slot's line"
        yield problem((*path, "at"), wrong, "a point between from and to", thing=slot.id)


def distance_to_line(point: Point, start: Point, end: Point) -> float:
    """From a point to the nearest point of a straight piece of line that has a length, mm."""
    along = (end[0] - start[0], end[1] - start[1])
    length = math.hypot(*along)
    part = ((point[0] - start[0]) * along[0] + (point[1] - start[1]) * along[1]) / (length * length)
    part = min(1.0, max(0.0, part))
    return math.dist(point, (start[0] + part * along[0], start[1] + part * along[1]))


def _depth(path: Place, depth: tuple[float, float] | None, thing: str) -> Iterator[Problem]:
    if depth is not None and not depth[0] < depth[1]:
        yield problem(path, "the slab has no thickness", "near first, and far greater than it", thing=thing)


def _positive(path: Place, number: float | None, thing: str) -> Iterator[Problem]:
    if number is not None and not number >= SMALLEST:
        yield problem(path, f"{number:g} cannot be", "a number greater than 0 is needed", thing=thing)


def _at_least(path: Place, number: float | None, thing: str) -> Iterator[Problem]:
    if number is not None and not number >= 0.0:
        yield problem(path, f"{number:g} cannot be", "0 or more is needed", thing=thing)
