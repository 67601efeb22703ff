"""Skarn P.9, an invented patrol twin: where the pins of its port main undercarriage are, at 1:8.

Front elevation, seen from ahead, so that the fuselage lies to the left: x runs outboard to port, y up. The origin is
the leg pivot, at full-size buttock line 2400 mm and waterline -300 mm. As drawn the aircraft stands on its wheel, with
the inner door shut. The wing rises by as much as the leg falls short of a right angle: leg and skin lie parallel.
"""

from __future__ import annotations

import math

from sample_projects.tools.plane import Point, bearing, distance, meeting, polar, turned

SCALE = 8.0
ORIGIN_BUTTOCK, ORIGIN_WATERLINE = 2400.0, -300.0  # full size, mm

# ---- leg and wheel -----------------------------------------------------------------------------------------------

LEG_PIVOT: Point = (0.0, 0.0)
RETRACTION = -88.0
STATIC, FULL_STROKE = 19.0, 28.0
AXLE: Point = (-26.0, -186.0)
"""The middle of the wheel, inboard of the leg on a stub axle."""
TYRE_RADIUS, TYRE_WIDTH = 50.0, 30.0
GROUND = AXLE[1] - TYRE_RADIUS

# ---- side brace --------------------------------------------------------------------------------------------------

BRACE_ANCHOR: Point = (-96.0, 36.0)
BRACE_LUG: Point = (-13.0, -84.0)
UPPER_BRACE, PAST_STRAIGHT = 78.0, 3.0
LOWER_BRACE = math.hypot(
    distance(BRACE_ANCHOR, BRACE_LUG) - math.sqrt(UPPER_BRACE**2 - PAST_STRAIGHT**2), PAST_STRAIGHT
)
ELBOW = meeting(BRACE_ANCHOR, UPPER_BRACE, BRACE_LUG, LOWER_BRACE, left=False)
STOWED_LUG = turned(BRACE_LUG, RETRACTION)
STOWED_ELBOW = meeting(BRACE_ANCHOR, UPPER_BRACE, STOWED_LUG, LOWER_BRACE, left=True)
BRACE_TURN = bearing(BRACE_ANCHOR, STOWED_ELBOW) - bearing(BRACE_ANCHOR, ELBOW)

JACK_ANCHOR: Point = (26.0, 40.0)
JACK_ARM = polar(BRACE_ANCHOR, 34.0, bearing(BRACE_ANCHOR, ELBOW) - 26.0)
STOWED_JACK_ARM = turned(JACK_ARM, BRACE_TURN, BRACE_ANCHOR)
JACK_CLOSED, JACK_STROKE = 88.0, 40.0
JACK_DOWN = distance(JACK_ANCHOR, JACK_ARM) - JACK_CLOSED
JACK_UP = distance(JACK_ANCHOR, STOWED_JACK_ARM) - JACK_CLOSED

# ---- skin and doors ----------------------------------------------------------------------------------------------

DIHEDRAL = 90.0 + RETRACTION


def skin(x: float) -> float:
    """The lower skin's outer face, as high as the wheel door's when the leg is up."""
    return -22.0 + math.tan(math.radians(DIHEDRAL)) * x


DOOR_FACE = 22.0 * math.cos(math.radians(DIHEDRAL))
"""How far outboard of the leg's line the wheel door's outer face lies."""
DOOR_ENDS = (2.0, -112.0)
DOOR_HINGE: Point = (17.5, -18.0)
TRIM_ON_LEG: Point = (8.0, -97.0)
TRIM_ON_DOOR: Point = (17.5, -97.0)

INNER_EDGES = (-287.0, -113.2)
INNER_HINGE: Point = (-284.0, round(skin(-284.0) + 3.0, 2))
INNER_OPEN = -95.0
INNER_JACK_ANCHOR: Point = (-281.0, 34.0)
INNER_JACK_ARM = polar(INNER_HINGE, 22.0, 47.0)
INNER_JACK_CLOSED, INNER_JACK_STROKE = 48.0, 33.0
INNER_SHUT = distance(INNER_JACK_ANCHOR, INNER_JACK_ARM) - INNER_JACK_CLOSED
INNER_OUT = distance(INNER_JACK_ANCHOR, turned(INNER_JACK_ARM, INNER_OPEN, INNER_HINGE)) - INNER_JACK_CLOSED

# ---- uplock ------------------------------------------------------------------------------------------------------

ROLLER: Point = (-20.0, -112.0)
ROLLER_RADIUS = 3.5
STOWED_ROLLER = turned(ROLLER, RETRACTION)


def buttock(x: float) -> float:
    return ORIGIN_BUTTOCK + SCALE * x


def waterline(y: float) -> float:
    return ORIGIN_WATERLINE + SCALE * y


def from_buttock(full_size: float) -> float:
    return (full_size - ORIGIN_BUTTOCK) / SCALE


def from_waterline(full_size: float) -> float:
    return (full_size - ORIGIN_WATERLINE) / SCALE
