"""Pellow 3, an invented amphibian: where the pins of its tailwheel and water-rudder are, at 1:6.

Two side elevations of the same stern: on the centre line the tailwheel, lifted by a crank whose pin runs in a slot of
the leg; at the transom's port corner the water-rudder, lifted by a rod. Both cranks sit on one torque tube across the
hull. The origin of both is the tailwheel's pivot, at full-size station 7200 mm and waterline 400 mm; x runs aft, y
up. As drawn the aircraft stands on its tailwheel and the rudder is down.
"""

from __future__ import annotations

import math

from sample_projects.tools.plane import Point, bearing, distance, meeting, polar, turned

SCALE = 6.0
ORIGIN_STATION, ORIGIN_WATERLINE = 7200.0, 400.0  # full size, mm

# ---- tailwheel: the crank stands square to its slot at both ends, so that the leg is held there without a load on it

LEG_PIVOT: Point = (0.0, 0.0)
LEG_BEARING, LEG_LENGTH = -60.0, 62.0
SWING = 80.0
AXLE = polar(LEG_PIVOT, LEG_LENGTH, LEG_BEARING)
TYRE_RADIUS = 16.0
GROUND = AXLE[1] - TYRE_RADIUS

TUBE: Point = (0.0, 24.0)
CRANK = distance(LEG_PIVOT, TUBE) * math.sin(math.radians(SWING / 2.0))
TUBE_TURN = -(180.0 - SWING)
SLOT_BEARING = 90.0 - SWING / 2.0
CRANK_PIN = polar(LEG_PIVOT, distance(LEG_PIVOT, TUBE) * math.cos(math.radians(SWING / 2.0)), SLOT_BEARING)
SLOT = (6.5, 20.5)
"""How far from the leg's pivot the slot begins and ends."""

JACK_ANCHOR: Point = (-62.0, 30.0)
JACK_ARM = polar(TUBE, 15.0, bearing(JACK_ANCHOR, TUBE) + 180.0 - 90.0 - 4.0 - TUBE_TURN / 2.0)
JACK_CLOSED, JACK_STROKE = 51.5, 25.0
JACK_DOWN = distance(JACK_ANCHOR, JACK_ARM) - JACK_CLOSED
JACK_UP = distance(JACK_ANCHOR, turned(JACK_ARM, TUBE_TURN, TUBE)) - JACK_CLOSED

# ---- water-rudder ------------------------------------------------------------------------------------------------

RUDDER_HINGE: Point = (86.0, 12.0)
LEVER_PIN = polar(TUBE, 14.0, 0.0)
HORN_PIN = polar(RUDDER_HINGE, 12.0, 47.0)
RUDDER_ROD = distance(LEVER_PIN, HORN_PIN)
LIFTED_LEVER_PIN = turned(LEVER_PIN, TUBE_TURN, TUBE)
LIFTED_HORN_PIN = meeting(LIFTED_LEVER_PIN, RUDDER_ROD, RUDDER_HINGE, 12.0, left=True)
RUDDER_LIFT = (bearing(RUDDER_HINGE, LIFTED_HORN_PIN) - bearing(RUDDER_HINGE, HORN_PIN)) % 360.0


def station(x: float) -> float:
    return ORIGIN_STATION + SCALE * x


def waterline(y: float) -> float:
    return ORIGIN_WATERLINE + SCALE * y


def from_station(full_size: float) -> float:
    return (full_size - ORIGIN_STATION) / SCALE


def from_waterline(full_size: float) -> float:
    return (full_size - ORIGIN_WATERLINE) / SCALE
