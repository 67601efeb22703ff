"""Aircraft tyres by the sizes that are printed on them, and how large they really are where a table says so.

`40x14`, `49x17`, `H49x19.0-22`, `46x17.0R20`: outer diameter, section width and rim, in inches. `380x150-5`,
`1050x395R16`: the first two in millimetres, the rim in inches. `6.00-6`: section width and rim, which says nothing of
the outer diameter. `27 in`: the outer diameter alone. (Meanings: a tyre maker's page on sizes.)
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from types import MappingProxyType

from core.errors import UnreadableQuantity
from core.units import format_length, format_number

INCH = 25.4
_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_THREE = re.compile(rf"[HBC]?(?P<outer>{_NUMBER})\s*[x×]\s*(?P<width>{_NUMBER})(?:\s*[-R]\s*(?P<rim>{_NUMBER}))?")
_TWO = re.compile(rf"(?P<width>{_NUMBER})\s*-\s*(?P<rim>{_NUMBER})")
_ONE = re.compile(rf"(?P<outer>{_NUMBER})\s*(?:in|inch|inches|[\"″])")
IN_MILLIMETRES = 100.0
"""Outer diameters from here on are in millimetres: no aircraft tyre is 100 in across, and none 100 mm."""
SAME_RIM = 0.5
"""Millimetres: rims are told apart by half inches."""
LEEWAY = 0.02
"""A diameter that is given beside a name may be off by so much of it: it was rounded, or measured."""
SLIM, STOUT = 0.5, 1.05
"""How high a section is by its width, from rim to tread: 0.8 to 0.91 in the table below; the rest from memory."""
EXAMPLES = "40x14, 15x6.00-5, 380x150-5, 6.00-6 or 27 in"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How large an inflated tyre is, from and to, in millimetres at full size."""

    outer: tuple[float, float]
    width: tuple[float, float]
    loaded: float
    """From the axle to the ground while it stands under its rated load."""
    rim: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tyre:
    """What a size says, in millimetres at full size; None is not said."""

    name: str
    outer: float | None
    width: float | None
    rim: float | None
    limits: Limits | None = None
    metric: bool = False
    """Whether its outer diameter is printed in millimetres."""

    @property
    def largest(self) -> float | None:
        """The outer diameter that a bay has to clear."""
        return self.limits.outer[1] if self.limits is not None else self.outer

    @property
    def widest(self) -> float | None:
        return self.limits.width[1] if self.limits is not None else self.width


def parse_tyre(text: str) -> Tyre:
    """A tyre by its printed size; raises UnreadableQuantity for what is none."""
    name = " ".join(text.split())
    plain = name.upper().replace("X", "x")
    match = _THREE.fullmatch(plain) or _TWO.fullmatch(plain) or _ONE.fullmatch(name.lower())
    if match is None:
        raise UnreadableQuantity(text, 0, len(text), "this is no tyre size as printed", f"such as {EXAMPLES}")
    found = {key: float(value.replace(",", ".")) for key, value in match.groupdict().items() if value}
    outer, width, rim = (found.get(key) for key in ("outer", "width", "rim"))
    unit = 1.0 if outer is not None and outer >= IN_MILLIMETRES else INCH
    tyre = Tyre(
        name=name, outer=_times(outer, unit), width=_times(width, unit), rim=_times(rim, INCH),
        metric=unit == 1.0,
        limits=None if outer is None or width is None or unit == 1.0 else limits_of(outer, width),
    )  # fmt: skip
    _check(text, tyre)
    return tyre


def limits_of(outer: float, width: float) -> Limits | None:
    """The inflated limits of a Type VII tyre by its nominal inches, where the table has it."""
    row = _TYPE_VII.get((outer, width))
    if row is None:
        return None
    low, high, narrow, wide, loaded, rim = (INCH * value for value in row)
    return Limits(outer=(low, high), width=(narrow, wide), loaded=loaded, rim=rim, source=TYPE_VII_SOURCE)


def doubt(tyre: Tyre, outer: float | None = None) -> str:
    """What of a tyre's numbers does not fit the rest, in words; nothing where all do.

    `outer` is a diameter in mm at full size that is given beside its name: a row of another table, or a measurement.
    """
    if tyre.limits is not None and tyre.rim is not None and abs(tyre.rim - tyre.limits.rim) > SAME_RIM:
        table, own = _inches(tyre.limits.rim), _inches(tyre.rim)
        return f"a rim of {own} does not fit it: it is {table} by {tyre.limits.source}"
    if outer is not None and tyre.largest is not None and _is_off(tyre, outer):
        source = tyre.limits.source if tyre.limits is not None else "its name"
        return f"{_inches(outer)} across does not fit it: it is {across_words(tyre)} by {source}"
    if tyre.outer is not None and tyre.width is not None and tyre.rim is not None:
        high = 0.5 * (tyre.outer - tyre.rim)
        if not SLIM * tyre.width <= high <= STOUT * tyre.width:
            return (
                f"its section would be {_inches(high)} high and {_inches(tyre.width)} wide, and tyres are {SLIM:g} to "
                f"{STOUT:g} times as high as wide (from memory, unconfirmed)"
            )
    return ""


def _is_off(tyre: Tyre, outer: float) -> bool:
    low, high = tyre.limits.outer if tyre.limits is not None else (tyre.outer, tyre.outer)
    return low is not None and high is not None and not (1.0 - LEEWAY) * low <= outer <= (1.0 + LEEWAY) * high


def across_words(tyre: Tyre) -> str:
    """How large a tyre is across, in inches: `25.05 to 25.75 in across`."""
    low, high = tyre.limits.outer if tyre.limits is not None else (tyre.outer, tyre.outer)
    if low is None or high is None:
        return "not said to be of any size across"
    if tyre.metric:
        return f"{format_length(high)} across"
    least = format_number(low / INCH, decimals=2)
    return f"{_inches(high)} across" if low == high else f"{least} to {_inches(high)} across"


def known_words(tyre: Tyre) -> str:
    """How large a tyre is across, and whence that is known."""
    if tyre.largest is None:
        return f"{across_words(tyre)} by its name"
    if tyre.limits is not None:
        return f"really {across_words(tyre)}, by {tyre.limits.source}"
    return f"{across_words(tyre)} by its name alone; no table here tells how large it really is"


def _inches(millimetres: float) -> str:
    return format_length(millimetres, unit="in", decimals=2)


def _times(value: float | None, unit: float) -> float | None:
    return None if value is None else value * unit


def _check(text: str, tyre: Tyre) -> None:
    outer, width, rim = tyre.outer, tyre.width, tyre.rim
    if 0.0 in (outer, width, rim):
        raise UnreadableQuantity(text, 0, len(text), "a tyre has no size of nothing", f"such as {EXAMPLES}")
    if outer is not None and ((width or 0.0) >= outer or (rim or 0.0) >= outer):
        wrong = "section and rim are smaller than the outer diameter, which stands first"
        raise UnreadableQuantity(text, 0, len(text), wrong, f"such as {EXAMPLES}")


TYPE_VII_SOURCE = "a tyre maker's Type VII data-book table, transcribed in a public repository"
_TYPE_VII = MappingProxyType(
    {
        (16.0, 4.4): (15.5, 16.0, 4.15, 4.45, 6.9, 8.0),
        (18.0, 5.5): (17.3, 17.9, 5.35, 5.7, 7.55, 8.0),
        (24.0, 7.7): (23.3, 24.15, 7.2, 7.65, 9.95, 10.0),
        (26.0, 6.6): (25.05, 25.75, 6.25, 6.65, 11.2, 14.0),
        (32.0, 8.8): (30.05, 31.0, 8.35, 8.9, 13.3, 16.0),
        (39.0, 13.0): (37.3, 38.25, 12.25, 13.0, 15.8, 16.0),
        (40.0, 14.0): (38.85, 39.8, 13.25, 14.0, 16.45, 16.0),
        (46.0, 16.0): (44.3, 45.25, 15.05, 16.0, 19.0, 20.0),
        (49.0, 17.0): (47.7, 48.75, 16.4, 17.25, 20.15, 20.0),
    }
)
"""Outer diameter and section width, least and greatest, inflated, from the axle to the ground under the rated load, and
the rim, in inches. One row of the source has a 26x6.6 that is 28.7 across, and every other one 25.75: a slip, left out.
"""
TYPE_VII_NAMES = tuple(f"{outer:g}x{width:g}" for outer, width in _TYPE_VII)
