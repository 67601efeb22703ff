"""Lengths, angles, tolerances and numbers as people read them, and as `core.units.reading` reads them back."""

from __future__ import annotations

from fractions import Fraction

from core.units.kinds import DECIMALS, LENGTH_UNITS
from core.units.reading import Tolerance

MINUS = "\N{MINUS SIGN}"
SAME_INCH = 5e-6
"""Inches by which a length may be off a fraction that is shown in its place."""


def format_length(
    millimetres: float,
    *,
    unit: str = "mm",
    scale: float = 1.0,
    full_size: bool = False,
    decimals: int | None = None,
    fraction: int | None = None,
    fixed: bool = False,
) -> str:
    """A length as people read it, and as `parse_length` reads it back: `26.5 mm`, `1 ft 2.3 in`, `318 mm full size`.

    `fraction` shows inches as the nearest of that many parts, a power of two such as 64. `fixed` keeps noughts at the
    end, so that a value that runs does not jump.
    """
    shown = millimetres * scale if full_size else millimetres
    places = DECIMALS[unit] if decimals is None else decimals
    if unit in ("in", "ft"):
        text = _imperial(shown / LENGTH_UNITS["in"], feet=unit == "ft", places=places, fraction=fraction, fixed=fixed)
    else:
        text = f"{format_number(shown / LENGTH_UNITS[unit], decimals=places, fixed=fixed)} {unit}"
    return text + (" full size" if full_size else "")


def format_in_parts(millimetres: float, *, unit: str, decimals: int, fraction: int | None, fixed: bool = False) -> str:
    """A length in inches as a fraction where it is one, and in decimals where that would make another of it."""
    inches = abs(millimetres) / LENGTH_UNITS["in"]
    if fraction is None or unit not in ("in", "ft") or abs(round(inches * fraction) / fraction - inches) > SAME_INCH:
        return format_length(millimetres, unit=unit, decimals=decimals, fixed=fixed)
    return format_length(millimetres, unit=unit, fraction=fraction)


def format_angle(degrees: float, *, decimals: int = 2, parts: int = 1) -> str:
    """An angle as people read it: `92.5°`; in two parts with minutes, `92° 30'`, in three with seconds too.

    `decimals` are those of the last part.
    """
    if parts == 1:
        return format_number(degrees, decimals=decimals) + "°"
    fine = 10**decimals
    left = round(abs(degrees) * 60 ** (parts - 1) * fine)
    sign = MINUS if degrees < 0.0 and left else ""
    left, last = divmod(left, 60 * fine)
    texts = [format_number(last / fine, decimals=decimals) + "\"'"[3 - parts]]
    if parts == 3:
        left, minutes = divmod(left, 60)
        texts.insert(0, f"{minutes}'")
    return " ".join((f"{sign}{left}°", *texts))


def format_tolerance(tolerance: Tolerance, *, unit: str, decimals: int) -> str:
    """A tolerance as people read it: `± 1 mm`, `+0.2/−0.1 mm`; `deg` is a unit here too."""
    unit = "in" if unit == "ft" else unit
    worth, mark = (1.0, "°") if unit == "deg" else (LENGTH_UNITS[unit], f" {unit}")
    below, above = (format_number(one / worth, decimals=decimals) for one in (tolerance.below, tolerance.above))
    if tolerance.below == -tolerance.above:
        return f"± {above}{mark}"
    return f"{_signed(above)}/{_signed(below, MINUS)}{mark}"


def _signed(text: str, nought: str = "+") -> str:
    if text == "0":
        return f"{nought}0"
    return text if text.startswith(MINUS) else f"+{text}"


def format_number(value: float, *, decimals: int = 2, fixed: bool = False) -> str:
    """A number as people read it: with a true minus, and none before nought; `fixed` keeps noughts at the end."""
    text = f"{abs(value):.{decimals}f}"
    below = value < 0.0 and float(text) > 0.0
    if "." in text and not fixed:
        text = text.rstrip("0").rstrip(".")
    return f"{MINUS}{text}" if below else text


# ---- feet and inches ------------------------------------------------------------------------------------------------


def _imperial(inches: float, *, feet: bool, places: int, fraction: int | None, fixed: bool) -> str:
    """Rounded before it is parted, so that 11.999 in is shown as 1 ft and never as 0 ft 12 in."""
    rounded = round(abs(inches) * fraction) / fraction if fraction else round(abs(inches), places)
    sign = MINUS if inches < 0.0 and rounded > 0.0 else ""
    whole_feet = int(rounded // 12) if feet else 0
    left = rounded - 12 * whole_feet
    text = _mixed(left, fraction) if fraction else format_number(left, decimals=places, fixed=fixed)
    if not whole_feet:
        return f"{sign}{text} in"
    some = fixed or round(left, 9) > 0.0
    return f"{sign}{whole_feet} ft" + (f" {text} in" if some else "")


def _mixed(inches: float, parts: int) -> str:
    whole, left = divmod(Fraction(round(inches * parts), parts), 1)
    return " ".join(str(piece) for piece in (whole, left) if piece) or "0"
