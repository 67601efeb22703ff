"""How exactly gearings and drives come to a value where nothing else is said, each with where that comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.sizes.making import WORKSHOPS
from core.sizes.offer import Offer
from core.units import format_angle, format_length

GEARS = "a maker of gears: 3 to 6 % of the module when new"
SERVOS = "4 to 5 µs of dead band in data sheets; 426 steps in 190° as one was measured"
CUSTOM = "common practice, no source"
TEETH = (12, 20, 40)
OF_MODULE = 0.05
"""The backlash at the rim, of the module."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exactness:
    """Of a drive, in its terms: degrees, or millimetres."""

    resolution: float
    resolution_source: str
    hysteresis: float
    hysteresis_source: str


PIVOTS = Exactness(resolution=0.45, resolution_source=SERVOS, hysteresis=0.5, hysteresis_source=CUSTOM)
"""Turned by a servo, whose dead band is its resolution and whose gears' play is its hysteresis."""
LENGTHS = Exactness(resolution=0.1, resolution_source=WORKSHOPS, hysteresis=0.1, hysteresis_source=CUSTOM)
"""Of jacks and slides, which a screw or a servo's arm moves."""


def backlash_of_gears(teeth: int) -> float:
    """How far a new gear of so many teeth turns while the other is held, degrees: at its rim, half its teeth by the
    module from its middle, it is a part of the module, so that the module cancels out."""
    return math.degrees(OF_MODULE / (teeth / 2.0))


def backlashes() -> tuple[Offer, ...]:
    """What may be typed for how far a gearing's second pivot turns while its first is held."""
    gears = (Offer(format_angle(backlash_of_gears(teeth)), GEARS, f"new gears of {teeth} teeth") for teeth in TEETH)
    return (*gears, Offer("0°", CUSTOM, "a tube in one piece, pinned or brazed"))


def resolutions(usual: Exactness, *, degrees: bool) -> tuple[Offer, ...]:
    """What may be typed for the least step of a drive."""
    return (_offer(usual.resolution, usual.resolution_source, degrees=degrees), _stopped(degrees=degrees))


def hystereses(usual: Exactness, *, degrees: bool) -> tuple[Offer, ...]:
    """What may be typed for how far apart a drive stands that comes to a value from either side."""
    return (_offer(usual.hysteresis, usual.hysteresis_source, degrees=degrees), _stopped(degrees=degrees))


def _offer(value: float, source: str, *, degrees: bool) -> Offer:
    return Offer(format_angle(value) if degrees else format_length(value, decimals=3), source, "usual")


def _stopped(*, degrees: bool) -> Offer:
    return Offer("0°" if degrees else "0 mm", CUSTOM, "it runs against a stop that is set")
