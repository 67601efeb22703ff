"""Fits of holes and pins by ISO 286, and general tolerances by ISO 2768-1, in millimetres.

The tables, not the formulae behind them, are the standards. Where each row was seen stands beside it.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from types import MappingProxyType

from core.units import Tolerance

BANDS = (3.0, 6.0, 10.0, 18.0, 30.0)
"""A band reaches from above the one before up to and with its own end."""
_ZONES = MappingProxyType(
    {
        "H7": ((0, 10), (0, 12), (0, 15), (0, 18), (0, 21)),
        "H8": ((0, 14), (0, 18), (0, 22), (0, 27), (0, 33)),
        "g6": ((-8, -2), (-12, -4), (-14, -5), (-17, -6), (-20, -7)),
        "h6": ((-6, 0), (-8, 0), (-9, 0), (-11, 0), (-13, 0)),
        "f7": ((-16, -6), (-22, -10), (-28, -13), (-34, -16), (-41, -20)),
    }
)
"""Thousandths of a millimetre a band. Seen on public pages: h6 to 10 mm, H7 from 3 to 10 mm, and all of 18 to 30 mm;
the rest from memory."""
FITS = (("H7", "g6", "slides"), ("H7", "h6", "slides without play"), ("H8", "f7", "runs freely"))
FIT_SOURCE = "ISO 286-2"

_GENERAL_BANDS = (3.0, 6.0, 30.0, 120.0, 400.0, 1000.0, 2000.0, 4000.0)
LEAST_GENERAL = 0.5
_GENERAL = MappingProxyType(
    {
        "f": (0.05, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, None),
        "m": (0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0),
        "c": (0.2, 0.3, 0.5, 0.8, 1.2, 2.0, 3.0, 4.0),
        "v": (None, 0.5, 1.0, 1.5, 2.5, 4.0, 6.0, 8.0),
    }
)
"""ISO 2768-1:1989, table 1: from memory, checked against several public reproductions."""
GENERAL_CLASSES = MappingProxyType({"f": "fine", "m": "medium", "c": "coarse", "v": "very coarse"})
GENERAL_SOURCE = "ISO 2768-1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    hole: str
    pin: str
    words: str
    clearance: tuple[float, float]
    """Least and greatest, in millimetres."""


def zone(name: str, size: float) -> Tolerance | None:
    """What a tolerance zone such as H7 allows of a size in mm; None beyond the table."""
    if not 0.0 < size <= BANDS[-1]:
        return None
    below, above = _ZONES[name][bisect_left(BANDS, size)]
    return Tolerance(below / 1000.0, above / 1000.0)


def fits_of(size: float) -> tuple[Fit, ...]:
    """The usual running fits of a hole and a pin of one size in mm; none beyond the table."""
    found = []
    for hole_name, pin_name, words in FITS:
        hole, pin = zone(hole_name, size), zone(pin_name, size)
        if hole is not None and pin is not None:
            clearance = (hole.below - pin.above, hole.above - pin.below)
            found.append(Fit(hole=hole_name, pin=pin_name, words=words, clearance=clearance))
    return tuple(found)


def general(size: float, kind: str) -> float | None:
    """± millimetres of an untoleranced length of a class f, m, c or v; None where the table has none."""
    if not LEAST_GENERAL <= size <= _GENERAL_BANDS[-1]:
        return None
    return _GENERAL[kind][bisect_left(_GENERAL_BANDS, size)]
