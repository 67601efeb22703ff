"""A neutral picture: marks in millimetres, x right and y up, that one painter puts on the window, PNG, SVG and PDF.

Marks say what they are (an outline, a centre line, a ghost), never which colour or how many pixels: the painter's
theme knows that. Geometry is kept apart from its pose, and by identity, so that a painter may keep a prepared path for
each `Geometry` and only move it from frame to frame.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from core.geometry.planar import Floats

Pose = tuple[float, float, float]
"""x, y in mm and turn in radians: a point p of the geometry is drawn at R(turn) p + (x, y)."""

DRAWN: Pose = (0.0, 0.0, 0.0)


class Line(StrEnum):
    """Kinds of line, as ISO 128-2 names them for what they draw here."""

    OUTLINE = "outline"  # continuous wide: the visible outline
    THIN = "thin"  # continuous narrow: hatching, leaders, projections
    CENTRE = "centre"  # long-dashed dotted narrow: centre lines and the tracks of pivots
    GHOST = "ghost"  # long-dashed double-dotted narrow: extreme positions of moving parts
    HIDDEN = "hidden"  # dashed narrow: what lies behind
    DIMENSION = "dimension"  # continuous narrow with arrowheads at both ends: ISO 129-1
    CLASH = "clash"  # continuous extra wide: the outline of a common area
    NONE = "none"


class Tint(StrEnum):
    """What a filled area stands for."""

    STRUCTURE = "structure"
    LEG = "leg"
    WHEEL = "wheel"
    DOOR = "door"
    LINK = "link"
    LOCK = "lock"
    OTHER = "other"
    # A body's own, in place of its role's.
    SKY = "sky"
    MOSS = "moss"
    STRAW = "straw"
    HEATHER = "heather"
    COPPER = "copper"
    CLASH = "clash"
    CHOSEN = "chosen"
    PAPER = "paper"
    INK = "ink"


class Symbol(StrEnum):
    """Signs of a constant size on screen and paper (ISO 3952-1 for connections)."""

    PIVOT = "pivot"
    FIXED_PIVOT = "fixed-pivot"
    SLIDE = "slide"
    FIXED_SLIDE = "fixed-slide"
    SLOT = "slot"
    LATCH_OPEN = "latch-open"
    LATCH_HELD = "latch-held"
    LOOSE = "loose"
    JAMMED = "jammed"
    PLACE = "place"  # the place of a finding
    TARGET = "target"
    PATH_TICK = "path-tick"  # a moment of a path, across it
    PATH_ARROW = "path-arrow"  # the way along it
    PATH_POINT = "path-point"  # where the point is


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class Geometry:
    """Rings (closed, holes included, filled odd-even) or open lines; compared by identity.

    A painter that keeps a path for it holds it weakly.
    """

    rings: tuple[Floats, ...] = ()
    """Each (n, 2) mm, without repeating the first corner."""
    lines: tuple[Floats, ...] = ()
    """Each (n, 2) mm, open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Geometry put somewhere, with a line, a tint or a hatching."""

    geometry: Geometry
    pose: Pose = DRAWN
    line: Line = Line.OUTLINE
    tint: Tint | None = None
    hatched: bool = False
    faint: bool = False
    chosen: bool = False
    """Drawn wider and with an edge of its own, since it is what the user has in hand."""
    owner: str | None = None
    """The id of the body or connection it draws, for picking."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A line of text; `size` in millimetres on paper, kept constant on screen."""

    text: str
    at: tuple[float, float]
    size: float = 2.5
    anchor: tuple[float, float] = (0.0, 0.0)
    """Where in the text's own box `at` is: (0, 0) its lower left, (0.5, 0.5) its middle."""
    clash: bool = False
    faint: bool = False
    boxed: bool = False
    """On a small ground of paper, so that it reads over lines."""
    offset: tuple[float, float] | None = None
    """Millimetres on paper by which it stands off `at`, with a leader line; it may be moved out of others' way."""
    optional: bool = False
    """Set after all others, at `at` or else off it by about `offset`, and left out where nothing is free."""
    within: float | None = None
    """Millimetres on paper that it may be wide; a longer text is lettered narrower to fit."""
    strong: bool = False
    owner: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    symbol: Symbol
    at: tuple[float, float]
    turn: float = 0.0
    chosen: bool = False
    owner: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A raster picture laid under everything; `pixel_to_mm` is 3 x 3 and may be projective."""

    file: str
    pixel_to_mm: tuple[tuple[float, float, float], ...]
    opacity: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """Painted in this order: pictures, marks, signs, labels."""

    pictures: tuple[Picture, ...] = ()
    marks: tuple[Mark, ...] = ()
    signs: tuple[Sign, ...] = ()
    labels: tuple[Label, ...] = ()
    bounds: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    """Least x, least y, greatest x, greatest y of what should be in sight when fitted."""
