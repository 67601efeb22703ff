"""The project: everything an aircraft's file holds, as frozen values.

Lengths are millimetres at model size, angles degrees counter-clockwise, times seconds, x to the right and y up.
Every value carries `extra`: keys that this version does not know, kept and written back where they stood.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta, field
from msgspec.json import Decoder

FORMAT = "bayfold-project"
VERSION = 1

Id = Annotated[str, Meta(pattern=r"\A[a-z0-9][a-z0-9_\-]*\Z", max_length=64)]
Point = tuple[float, float]
Corner = Annotated[tuple[float, ...], Meta(min_length=2, max_length=3)]
"""x, y and, where the edge to the next corner is an arc, its bulge: tan of a quarter of the arc's angle."""
Ring = tuple[Corner, ...]
Span = tuple[float, float]
Matrix = tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]]

Plane = Literal["side", "front", "plan", "other"]
Role = Literal["structure", "leg", "wheel", "door", "link", "lock", "other"]
Profile = Literal["steady", "eased"]
InchFraction = Literal[8, 16, 32, 64]
Ink = Literal["sky", "moss", "straw", "heather", "copper"]
"""Tints that a body may have in place of its role's."""
Made = Literal["milled", "drilled", "turned", "printed", "resin", "etched", "filed"]
Quantity = Literal["distance", "angle", "travel", "gap", "diameter", "length", "stroke"]
Across = Literal["circle", "outline"]
"""How a diameter is taken: of the circle that the outline fills about its hub, or of its long side, as of a wheel that
is seen edge on."""
Compared = Literal["used", "available"]
"""Which of a stroke's two sizes the published one is set against."""


class Value(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A part of the project; the same in memory as in the file, but for `extra`, whose keys stand beside the others."""

    extra: dict[str, Any] = field(default_factory=dict)


class Aircraft(Value, frozen=True, kw_only=True):
    name: str
    scale: float = 1.0
    note: str = ""


class KnownPoint(Value, frozen=True, kw_only=True):
    """A point of the drawing whose place on the aircraft is known."""

    pixel: Point
    mm: Point


class KnownLength(Value, frozen=True, kw_only=True):
    """Two points of the drawing whose distance is known, and where it is known the angle of the line between them."""

    pixels: tuple[Point, Point]
    mm: float
    angle: float | None = None


class TracedDrawing(Value, frozen=True, kw_only=True):
    """A reference picture under the sheet; `pixel_to_mm` takes (column, row, 1) to (x, y, w)."""

    file: str
    opacity: float = 0.5
    hidden: bool = False
    locked: bool = False
    """Not to be fitted or moved any more."""
    mirrored: bool = False
    """It shows the other side of the aircraft."""
    pixel_to_mm: Matrix = ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
    known: tuple[KnownPoint, ...] = ()
    lengths: tuple[KnownLength, ...] = ()


class Datum(Value, frozen=True, kw_only=True):
    """What a point of a view reads on the prototype, and which way the readings grow.

    In a side elevation the readings are station and waterline, in a front elevation buttock line and waterline, in a
    plan station and buttock line: millimetres at full size.
    """

    at: Point
    reads: Point
    right: Literal[1, -1] = 1
    """1 where readings grow to the right, -1 where to the left."""
    up: Literal[1, -1] = 1


class View(Value, frozen=True, kw_only=True):
    id: Id
    name: str = ""
    plane: Plane = "other"
    drawing: TracedDrawing | None = None
    more_drawings: tuple[TracedDrawing, ...] = ()
    datum: Datum | None = None

    @property
    def drawings(self) -> tuple[TracedDrawing, ...]:
        """All pictures under the sheet, the lowest first."""
        return self.more_drawings if self.drawing is None else (self.drawing, *self.more_drawings)


class Polygon(Value, frozen=True, kw_only=True, tag_field="kind", tag="polygon"):
    points: Ring
    holes: tuple[Ring, ...] = ()


class Circle(Value, frozen=True, kw_only=True, tag_field="kind", tag="circle"):
    centre: Point
    radius: float


class Wall(Value, frozen=True, kw_only=True, tag_field="kind", tag="wall"):
    """A polyline given a thickness, half to each side, open at its ends."""

    points: Ring
    thickness: float


Shape = Polygon | Circle | Wall


class Drawn(Value, frozen=True, kw_only=True):
    """What is drawn on the sheet: a body or a connection."""

    id: Id
    name: str = ""
    hidden: bool = False
    """Not drawn; it is solved and checked all the same."""
    locked: bool = False
    """Not to be changed or removed until it is freed."""


class Body(Drawn, frozen=True, kw_only=True):
    view: str
    role: Role = "other"
    fixed: bool = False
    depth: Span | None = None
    """Near and far across the view; None fills the whole depth."""
    tint: Ink | None = None
    """None is its role's."""
    mass: float | None = None
    centre_of_mass: Point | None = None
    made: Made | None = None
    """How its holes and edges are made; None as the workshop makes things."""
    tyre: str | None = None
    """The printed size of the tyre that it was made by."""
    shapes: tuple[Shape, ...] = ()


class Pivot(Drawn, frozen=True, kw_only=True, tag_field="kind", tag="pivot"):
    bodies: tuple[str, str]
    at: Point
    pin: float | None = None
    play: float | None = None
    """How much wider the hole is than the pin, mm; None as in the workshop."""
    limits: Span | None = None


class Slide(Drawn, frozen=True, kw_only=True, tag_field="kind", tag="slide"):
    bodies: tuple[str, str]
    at: Point
    along: Point
    limits: Span | None = None


class Slot(Drawn, frozen=True, kw_only=True, tag_field="kind", tag="slot"):
    """The second body's pin `at` runs on the first body's line between `start` and `end`."""

    bodies: tuple[str, str]
    at: Point
    start: Point = field(name="from")
    end: Point = field(name="to")
    pin: float | None = None
    play: float | None = None
    """How much wider the hole is than the pin, mm; None as in the workshop."""


class Rod(Drawn, frozen=True, kw_only=True, tag_field="kind", tag="rod"):
    bodies: tuple[str, str]
    ends: tuple[Point, Point]
    length: float | None = None
    """None keeps the drawn distance."""
    width: float | None = None
    depth: Span | None = None
    pin: float | None = None
    play: float | None = None
    """How much wider the hole is than the pin, mm; None as in the workshop."""
    made: Made | None = None
    """How its length is made; None as the workshop makes things."""


class Jack(Drawn, frozen=True, kw_only=True, tag_field="kind", tag="jack"):
    bodies: tuple[str, str]
    ends: tuple[Point, Point]
    closed: float
    stroke: float
    barrel: float | None = None
    """The barrel's width; it stands at the first end."""
    rod: float | None = None
    """The piston rod's width; it stands at the second end."""
    bore: float | None = None
    force: float | None = None
    """What it pushes with at the most, newtons."""
    depth: Span | None = None
    pin: float | None = None
    play: float | None = None
    """How much wider the hole is than the pin, mm; None as in the workshop."""
    made: Made | None = None
    """How its length is made; None as the workshop makes things."""


class Gearing(Drawn, frozen=True, kw_only=True, tag_field="kind", tag="gearing"):
    pivots: tuple[str, str]
    ratio: float
    backlash: float | None = None
    """How far the second pivot turns while the first is held, from one side to the other, degrees; None as in the
    workshop."""


class Latch(Drawn, frozen=True, kw_only=True, tag_field="kind", tag="latch"):
    bodies: tuple[str, str]
    ends: tuple[Point, Point]
    reach: float = 0.5


Connection = Pivot | Slide | Slot | Rod | Jack | Gearing | Latch


class Servo(Value, frozen=True, kw_only=True):
    """Which servo turns a pivot: what is known of it when forces are asked for."""

    name: str
    travel: float
    """Degrees from one end to the other."""
    torque: float | None = None
    """N·mm."""
    arm: float | None = None
    """From the shaft to the hole that is used, mm."""
    speed: float | None = None
    """Seconds for 60 degrees."""


class Drive(Value, frozen=True, kw_only=True):
    id: Id
    name: str = ""
    on: str
    servo: Servo | None = None
    resolution: float | None = None
    """The least step it takes, in its terms; None as is usual."""
    hysteresis: float | None = None
    """How far apart it stands when it comes to a value from either side, in its terms; None as is usual."""


class Move(Value, frozen=True, kw_only=True):
    drive: str
    to: float
    profile: Profile = "steady"
    part: Span = (0.0, 1.0)
    """What of the profile's course the move runs, as shares of its time: an eased move that is broken off half way, or
    taken up there, is at full speed at that end."""


class Need(Value, frozen=True, kw_only=True):
    """What has to hold when a step begins: a drive at a value or past it, in its terms, or a latch engaged or not."""

    drive: str | None = None
    at_least: float | None = None
    at_most: float | None = None
    latch: str | None = None
    engaged: bool = True


class Step(Value, frozen=True, kw_only=True):
    id: Id
    name: str = ""
    after: str | None = None
    together_with: str | None = field(name="with", default=None)
    delay: float = 0.0
    duration: float
    moves: tuple[Move, ...] = ()
    engage: tuple[str, ...] = ()
    release: tuple[str, ...] = ()
    needs: tuple[Need, ...] = ()
    """What has to hold when it begins; it begins even so, and that is found."""


class Sequence(Value, frozen=True, kw_only=True):
    id: Id
    name: str = ""
    start: dict[str, float] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    pinned: tuple[float, ...] = ()
    """Seconds of the moments whose ghosts stay on the sheet; one after the end means the end."""


class Workshop(Value, frozen=True, kw_only=True):
    """How well things are made where nothing else is said of them."""

    made: Made = "milled"
    play: float = 0.02
    """How much wider a hole is than its pin, mm."""
    backlash: float = 0.3
    """How far a gearing's second pivot turns while its first is held, degrees."""
    tolerances: dict[Made, float] = field(default_factory=dict)
    """How far off, plus or minus mm, what is made so comes out in this workshop; what is not named is as usual."""


class PairRule(Value, frozen=True, kw_only=True):
    bodies: tuple[str, str]
    rule: Literal["check", "ignore"]
    clearance: float | None = None
    beyond: float | None = None
    why: str = ""


class Acceptance(Value, frozen=True, kw_only=True):
    """A finding that the builder has looked at and lives with: which one, how bad it was then, and why.

    It covers what is found of the same things in the sequence, or in any where none is named, as long as that is no
    worse than `amount`: a depth, a miss or a shortfall at the most, a clearance at the least.
    """

    kind: str
    bodies: tuple[str, ...] = ()
    connections: tuple[str, ...] = ()
    drive: str | None = None
    target: str | None = None
    step: str | None = None
    """The step that begins too soon."""
    sequence: str | None = None
    amount: float = 0.0
    why: str = ""


class Moment(Value, frozen=True, kw_only=True):
    """A moment of a sequence: `at` its start, its end or a number of seconds, or `after` a step."""

    sequence: str | None = None
    at: Literal["start", "end"] | float | None = None
    after: str | None = None


class FigurePoint(Value, frozen=True, kw_only=True):
    """A point of a body as drawn, or the centre of a pivot; `at` a moment, or in the drawn position without one.

    A pivot in the drawn position may also be written as its id alone. A gap may also end at a whole body, which has
    neither a point nor an edge, or at an edge of one.
    """

    body: str | None = None
    point: Point | None = None
    edge: Ring | None = None
    """From corner to corner, as drawn; the rim of a circle as two halves."""
    pivot: str | None = None
    at: Moment | None = None


class Target(Value, frozen=True, kw_only=True):
    id: Id
    body: str
    at: Moment
    x: float
    y: float
    turn: float
    within: float = 0.5


class PointPath(Value, frozen=True, kw_only=True):
    """A point of a body, as drawn, whose path over a sequence is drawn."""

    id: Id
    name: str = ""
    body: str
    point: Point


class Figure(Value, frozen=True, kw_only=True):
    """A published dimension and what the model has in its place; lengths are text, as printed, with their unit.

    `between` is two moments for a travel and, of one sequence, for a stroke; two points for a distance, and for an
    angle two points (the direction from one to the other, from the x axis), three (the corner at the middle one) or
    four (between two lines); for a gap two bodies, edges or points; for a length one moment, or nothing for the length
    as it is made; for a diameter nothing, or a point of its body for the circle about that alone. `of` is the
    connection that travels, whose stroke is used or whose pins are a length apart, or the body whose diameter it is.
    """

    id: Id
    name: str = ""
    quantity: Quantity
    of: str | None = None
    across: Across = "circle"
    compared: Compared = "used"
    between: Any = None
    published: str | None = None
    plus_minus: str | None = None
    full_size: bool = False
    shop: str | None = None
    source: str = ""
    sheet: str = ""
    confidence: str = ""
    """`quoted`, `measured`, `derived` or `guessed`; other words are kept."""
    note: str = ""


class Project(Value, frozen=True, kw_only=True):
    version: int = VERSION
    """Of the file it came from; a newer one than VERSION is kept, since what it added is kept as well."""
    aircraft: Aircraft
    length_unit: str = "mm"
    inch_fraction: InchFraction | None = None
    """Lengths that are so many parts of an inch are shown as a fraction, where they are shown in inches at all."""
    least_clearance: float = 0.0
    views: tuple[View, ...] = ()
    bodies: tuple[Body, ...] = ()
    connections: tuple[Connection, ...] = ()
    drives: tuple[Drive, ...] = ()
    sequences: tuple[Sequence, ...] = ()
    pairs: tuple[PairRule, ...] = ()
    accepted: tuple[Acceptance, ...] = ()
    targets: tuple[Target, ...] = ()
    figures: tuple[Figure, ...] = ()
    paths: tuple[PointPath, ...] = ()
    workshop: Workshop | None = None


def _learn(*kinds: type[Value]) -> None:
    """Have msgspec learn here, by the one thread that imports, how these and what they hold are read: it learns a type
    when it is first met, and two threads that meet one at once crash the process."""
    for kind in kinds:
        Decoder(kind)


_learn(Project, FigurePoint)
