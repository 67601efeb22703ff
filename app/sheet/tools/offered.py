"""Standard sizes that tools offer beside their numbers, those of the aircraft's unit first."""

from __future__ import annotations

from app.sheet.bench import Bench
from app.widgets.offers import Offers
from core.document.lengths import length_unit
from core.sizes.offer import lines_of
from core.sizes.offers import pins, sheets


def pins_of(bench: Bench) -> Offers:
    """Pins: what goes through a hole, and what a rod is made of."""
    return lines_of(pins(_unit(bench)))


def sheets_of(bench: Bench) -> Offers:
    """Thicknesses of sheet metal and ply."""
    return lines_of(sheets(_unit(bench)))


def _unit(bench: Bench) -> str:
    return "mm" if bench.project is None else length_unit(bench.project)
