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

INCH = 25.4
_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_THREE = re.compile(rf"[HBC]?(?P<outer>{_NUMBER})\s*[x×]\s*(?P<width>{_NUMBER})(?:\s*[-R]\s*(?P<rim>{_NUMBER}))?")
_TWO = re.compile(rf"(?P<width>{_NUMBER})\s*-\s*(?P<rim>{_NUMBER})")
_ONE = re.compile(rf"(?P<outer>{_NUMBER})\s*(?:in|inch|inches|[\"″])")
IN_MILLIMETRES = 100.0
"""Outer diameters from here on are in millimetres: no aircraft tyre is 100 in across, and none 100 mm."""
EXAMPLES = "40x14, 15x6.00-5, 380x150-5, 6.00-6 or 27 in"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How large an inflated tyre is, from and to, in millimetres at full size."""

    outer: tuple[float, float]
    width: tuple[float, float]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tyre:
    """What a size says, in millimetres at full size; None is not said."""

    name: str
    outer: float | None
    width: float | None
    rim: float | None
    limits: Limits | None = None

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
        limits=None if outer is None or width is None or unit == 1.0 else limits_of(outer, width),
    )  # fmt: skip
    _check(text, tyre)
    return tyre


def limits_of(outer: float, width: float) -> Limits | None:
    """The inflated limits of a Type VII tyre by its nominal inches, where the table has it."""
    row = _TYPE_VII.get((outer, width))
    if row is None:
        return None
    low, high, narrow, wide = (INCH * value for value in row)
    return Limits(outer=(low, high), width=(narrow, wide), source=TYPE_VII_SOURCE)


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
        (16.0, 4.4): (15.5, 16.0, 4.15, 4.45),
        (18.0, 5.5): (17.3, 17.9, 5.35, 5.7),
        (24.0, 7.7): (23.3, 24.15, 7.2, 7.65),
        (26.0, 6.6): (25.05, 25.75, 6.25, 6.65),
        (32.0, 8.8): (30.05, 31.0, 8.35, 8.9),
        (39.0, 13.0): (37.3, 38.25, 12.25, 13.0),
        (40.0, 14.0): (38.85, 39.8, 13.25, 14.0),
        (46.0, 16.0): (44.3, 45.25, 15.05, 16.0),
        (49.0, 17.0): (47.7, 48.75, 16.4, 17.25),
    }
)
"""Outer diameter and section width, least and greatest, inflated, in inches."""
TYPE_VII_NAMES = tuple(f"{outer:g}x{width:g}" for outer, width in _TYPE_VII)
