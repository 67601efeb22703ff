"""What is offered where a size is asked: standard ones, each as it may be typed, and where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from core.sizes.fits import FIT_SOURCE, GENERAL_CLASSES, GENERAL_SOURCE, fits_of, general
from core.sizes.making import SERVICES, USUAL
from core.sizes.offer import Offer
from core.sizes.tyres import TYPE_VII_NAMES, TYPE_VII_SOURCE
from core.units import DECIMALS, format_length, format_number

MEMORY = "unconfirmed"
PRINTED_GAPS = (("printed of resin", 0.25), ("printed of thread", 0.4))
"""Millimetres between printed parts that turn."""
PLAIN_PIN = 3.0
"""Millimetres: a pin as undercarriages of models have them."""


_SMALL_BORES = ((8, 4), (10, 4), (12, 6), (16, 6), (20, 8), (25, 10))
_BORES = ((32, 12), (40, 16), (50, 20), (63, 20), (80, 25))
_PINS = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8)
_INCH_PINS = ("1/16 in", "3/32 in", "1/8 in", "5/32 in", "3/16 in", "1/4 in")
_SHEETS = (0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.2, 1.5, 2, 2.5, 3)
_INCH_SHEETS = ("1/64 in", "1/32 in", "3/64 in", "1/16 in", "3/32 in", "1/8 in")


def bores() -> tuple[Offer, ...]:
    """Bores of standard jacks."""
    small = tuple(Offer(f"{bore} mm", f"ISO 6432, {MEMORY}") for bore, _ in _SMALL_BORES)
    return small + tuple(Offer(f"{bore} mm", "ISO 15552") for bore, _ in _BORES)


def piston_rods() -> tuple[Offer, ...]:
    """Piston rods of standard jacks, with the bores they go with."""
    families = ((_SMALL_BORES, "ISO 6432"), (_BORES, "ISO 15552"))
    return tuple(
        Offer(f"{rod} mm", f"{source}, {MEMORY}", f"for a bore of {bore} mm")
        for rows, source in families
        for bore, rod in rows
    )


@cache
def pins(unit: str = "mm") -> tuple[Offer, ...]:
    """Pins, those of the unit's family first."""
    metric = tuple(Offer(f"{size:g} mm", f"ISO 2338, {MEMORY}", _fit_words(size)) for size in _PINS)
    inches = tuple(Offer(text, f"stock rod, {MEMORY}") for text in _INCH_PINS)
    return inches + metric if unit in ("in", "ft") else metric + inches


def _fit_words(size: float) -> str:
    fit = fits_of(size)[0]
    least, most = (format_number(1000.0 * one, decimals=0) for one in fit.clearance)
    return f"{fit.hole}/{fit.pin} {fit.words}: {least} to {most} µm ({FIT_SOURCE})"


def sheets(unit: str = "mm") -> tuple[Offer, ...]:
    """Thicknesses of sheet metal and ply, those of the unit's family first."""
    metric = tuple(Offer(f"{size:g} mm", f"stock sheet, {MEMORY}") for size in _SHEETS)
    inches = tuple(Offer(text, f"stock sheet, {MEMORY}") for text in _INCH_SHEETS)
    return inches + metric if unit in ("in", "ft") else metric + inches


def tolerances(size: float | None, made: Mapping[str, float], unit: str = "mm") -> tuple[Offer, ...]:
    """What may be held of a length in mm: by this workshop's ways of making, ± mm, told in a unit, and by the general
    tolerances, as their standard has them."""
    told = {way: format_length(value, unit=unit, decimals=DECIMALS[unit] + 1) for way, value in made.items()}
    ways = tuple(Offer(text, "this workshop", way) for way, text in told.items())
    classes = ((kind, None if size is None else general(size, kind)) for kind in GENERAL_CLASSES)
    standard = tuple(
        Offer(format_length(value, decimals=3), GENERAL_SOURCE, f"{GENERAL_CLASSES[kind]}, {kind}")
        for kind, value in classes
        if value is not None
    )
    return ways + standard


def usual(way: str) -> tuple[Offer, ...]:
    """How far off what is made so comes out, ± mm."""
    return (Offer(format_length(USUAL[way].within, decimals=3), USUAL[way].source, f"usual when {way}"),)


def plays(pin: float | None) -> tuple[Offer, ...]:
    """How much wider a hole is than its pin in mm: the middle of each usual fit, of a pin of 3 mm for None; and what
    printed parts need to turn."""
    size = PLAIN_PIN if pin is None else pin
    fits = tuple(
        Offer(
            format_length(sum(fit.clearance) / 2.0, decimals=3), FIT_SOURCE,
            f"{fit.hole}/{fit.pin} {fit.words}, pin of {size:g} mm",
        )
        for fit in fits_of(size)
    )  # fmt: skip
    return fits + tuple(Offer(f"{gap:g} mm", SERVICES, f"runs, {how}") for how, gap in PRINTED_GAPS)


def tyres() -> tuple[Offer, ...]:
    """Tyres whose real sizes are known from a table."""
    return tuple(Offer(name, TYPE_VII_SOURCE) for name in TYPE_VII_NAMES)
