"""Merrow T.2, an invented jet trainer: where the pivots of its nose undercarriage are, at 1:12.

The origin is the leg pivot, at full-size station 2520 mm and waterline -120 mm; x runs aft, y up, millimetres at model
size. As drawn the aircraft stands on its wheel: leg down, oleo at its static length, main door shut, small door open.
"""

from __future__ import annotations

import math

from sample_projects.tools.plane import Point, bearing, distance, meeting, polar, turned

SCALE = 12.0
ORIGIN_STATION, ORIGIN_WATERLINE = 2520.0, -120.0  # full size, mm

# ---- the fuselage ------------------------------------------------------------------------------------------------

KEEL_LOW: Point = (30.0, -24.8)
KEEL_RADIUS = 1384.8
KEEL_CENTRE: Point = (KEEL_LOW[0], KEEL_LOW[1] + KEEL_RADIUS)


def keel(x: float) -> float:
    """The fuselage's lower line along the bay, an arc that rises a little towards the nose."""
    return KEEL_CENTRE[1] - math.sqrt(KEEL_RADIUS**2 - (x - KEEL_CENTRE[0]) ** 2)


# ---- leg, oleo and wheel -----------------------------------------------------------------------------------------

LEG_PIVOT: Point = (0.0, 0.0)
RETRACTION = -98.0  # degrees: forward and up, clockwise with the nose to the left
STATIC = 10.0  # how far the oleo has sunk from full extension as drawn
FULL_STROKE = 15.0
AXLE: Point = (5.0, -74.0)
TYRE_RADIUS = 15.0
LEG_TORQUE_PIN: Point = (6.5, -40.0)
FORK_TORQUE_PIN: Point = (6.5, -54.5)
TORQUE_LINK = 13.5
TORQUE_APEX = meeting(LEG_TORQUE_PIN, TORQUE_LINK, FORK_TORQUE_PIN, TORQUE_LINK, left=True)
GROUND = AXLE[1] - TYRE_RADIUS

# ---- drag brace and its jack -------------------------------------------------------------------------------------

BRACE_ANCHOR: Point = (-36.0, 24.0)
BRACE_LUG: Point = (-7.0, -34.0)
UPPER_BRACE, PAST_STRAIGHT = 33.0, 1.5
"""The elbow stands `PAST_STRAIGHT` beyond the line between the brace's ends, so that load drives it tighter."""
LOWER_BRACE = math.hypot(
    distance(BRACE_ANCHOR, BRACE_LUG) - math.sqrt(UPPER_BRACE**2 - PAST_STRAIGHT**2),
    PAST_STRAIGHT,
)
ELBOW = meeting(BRACE_ANCHOR, UPPER_BRACE, BRACE_LUG, LOWER_BRACE, left=False)
STOWED_LUG = turned(BRACE_LUG, RETRACTION)
STOWED_ELBOW = meeting(BRACE_ANCHOR, UPPER_BRACE, STOWED_LUG, LOWER_BRACE, left=True)
BRACE_TURN = bearing(BRACE_ANCHOR, STOWED_ELBOW) - bearing(BRACE_ANCHOR, ELBOW)

JACK_ANCHOR: Point = (14.0, 31.0)
JACK_ARM = polar(BRACE_ANCHOR, 18.0, bearing(BRACE_ANCHOR, ELBOW) - 36.0)
STOWED_JACK_ARM = turned(JACK_ARM, BRACE_TURN, BRACE_ANCHOR)
JACK_CLOSED, JACK_STROKE = 38.8, 20.5
JACK_DOWN = distance(JACK_ANCHOR, JACK_ARM) - JACK_CLOSED
JACK_UP = distance(JACK_ANCHOR, STOWED_JACK_ARM) - JACK_CLOSED

# ---- main door and its jack --------------------------------------------------------------------------------------

DOOR_GAP = 0.7  # the shut line between the doors
MAIN_HINGE: Point = (-108.0, round(keel(-108.0) + 1.5, 2))
MAIN_OPEN = -96.0
MAIN_EDGES = (-109.4, -25.0)
DOOR_JACK_ANCHOR: Point = (-107.5, 20.0)
DOOR_JACK_ARM = polar(MAIN_HINGE, 11.0, 47.5)
DOOR_JACK_CLOSED, DOOR_JACK_STROKE = 28.5, 17.0
DOOR_JACK_SHUT = distance(DOOR_JACK_ANCHOR, DOOR_JACK_ARM) - DOOR_JACK_CLOSED
DOOR_JACK_OPEN = distance(DOOR_JACK_ANCHOR, turned(DOOR_JACK_ARM, MAIN_OPEN, MAIN_HINGE)) - DOOR_JACK_CLOSED

# ---- small door and its rod --------------------------------------------------------------------------------------

SMALL_HINGE: Point = (15.5, round(keel(15.5) + 1.5, 2))
SMALL_OPEN = 112.0  # degrees from shut to where it stands as drawn
SMALL_EDGES = (MAIN_EDGES[1] + DOOR_GAP, 16.9)
ROD_ON_LEG = polar(LEG_PIVOT, 15.0, -122.0)
SMALL_HORN_RADIUS = 12.0


def _rod_error(horn: float) -> float:
    """How much longer the rod would have to be up than down, with the shut door's horn at a bearing."""
    shut = polar(SMALL_HINGE, SMALL_HORN_RADIUS, horn)
    down = distance(ROD_ON_LEG, turned(shut, SMALL_OPEN, SMALL_HINGE))
    return distance(turned(ROD_ON_LEG, RETRACTION), shut) - down


def _horn_bearing(low: float = 162.0, high: float = 175.0) -> float:
    """By halving: the bearing at which one rod fits both ends of the motion."""
    if _rod_error(low) * _rod_error(high) > 0.0:
        raise ValueError("no horn within these bearings fits")
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _rod_error(low) * _rod_error(middle) > 0.0 else (low, middle)
    return (low + high) / 2.0


SMALL_HORN_SHUT = polar(SMALL_HINGE, SMALL_HORN_RADIUS, _horn_bearing())
SMALL_HORN = turned(SMALL_HORN_SHUT, SMALL_OPEN, SMALL_HINGE)

# ---- sequence valve ----------------------------------------------------------------------------------------------

VALVE_ON_LEG = polar(LEG_PIVOT, 9.0, 4.0)
VALVE_PIVOT = polar(LEG_PIVOT, 14.0, 135.0)
VALVE_ARM, VALVE_ROD = 8.0, 16.5


def valve_pin(rod: float = VALVE_ROD) -> Point:
    """The lever's end as drawn. The leg's pin swings round the far side of its pivot, so that it is farthest from the
    lever in the middle of its way: a rod that reaches at both ends need not reach there."""
    return meeting(VALVE_PIVOT, VALVE_ARM, VALVE_ON_LEG, rod, left=True)


# ---- uplock ------------------------------------------------------------------------------------------------------

ROLLER: Point = (-13.4, -42.0)
ROLLER_RADIUS = 1.6
STOWED_ROLLER = turned(ROLLER, RETRACTION)
HOOK_PIVOT: Point = (-46.5, 30.6)
HOOK_OPEN = -28.0  # degrees from latched to where it stands as drawn

# ---- steering, in plan -------------------------------------------------------------------------------------------

STEER_ANCHOR: Point = (-24.0, 8.0)
STEER_ARM: Point = (0.0, 9.0)
STEER_CLOSED, STEER_STROKE = 19.0, 10.0
STEER_LOCK = 30.0
STEER_AHEAD = distance(STEER_ANCHOR, STEER_ARM) - STEER_CLOSED
STEER_LEFT = distance(STEER_ANCHOR, turned(STEER_ARM, STEER_LOCK)) - STEER_CLOSED
STEER_RIGHT = distance(STEER_ANCHOR, turned(STEER_ARM, -STEER_LOCK)) - STEER_CLOSED

# ---- full size ---------------------------------------------------------------------------------------------------


def station(x: float) -> float:
    return ORIGIN_STATION + SCALE * x


def waterline(y: float) -> float:
    return ORIGIN_WATERLINE + SCALE * y


def from_station(full_size: float) -> float:
    return (full_size - ORIGIN_STATION) / SCALE


def from_waterline(full_size: float) -> float:
    return (full_size - ORIGIN_WATERLINE) / SCALE
