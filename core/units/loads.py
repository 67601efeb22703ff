"""Masses, forces and torques as people type and print them, and as they are inside: grams, newtons and newton
millimetres."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from core.errors import UnreadableQuantity
from core.units.reading import parse_number
from core.units.showing import format_number
from core.units.tokens import VULGAR

_MASSES: Mapping[str, float] = MappingProxyType({
    "": 1.0, "g": 1.0, "kg": 1000.0, "lb": 453.59237, "lbs": 453.59237, "oz": 453.59237 / 16.0,
})  # fmt: skip
"""Grams of each: the avoirdupois pound is exact since the international agreement of 1959, and has 16 ounces."""
GRAVITY = 9.80665
"""N of a kilogram: standard gravity, exact since the third General Conference on Weights and Measures of 1901."""
POUND = 0.45359237 * GRAVITY
"""N: the avoirdupois pound is exact since the international agreement of 1959."""
INCH = 25.4
_FORCES: Mapping[str, float] = MappingProxyType({
    "n": 1.0, "kg": GRAVITY, "kgf": GRAVITY, "g": 0.001 * GRAVITY, "gf": 0.001 * GRAVITY,
    "lb": POUND, "lbf": POUND, "oz": POUND / 16.0, "ozf": POUND / 16.0,
})  # fmt: skip
_ARMS: Mapping[str, float] = MappingProxyType({"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": INCH})
_BETWEEN = re.compile(r"[\s\-·⋅*×.]+")
_NUMBER_AND_UNIT = re.compile(rf"(?P<number>[-+\N{{MINUS SIGN}}]?[\d\s.,/{''.join(VULGAR)}]*)(?P<unit>.*)", re.DOTALL)
MOST = 1e6


def parse_mass(text: str) -> float:
    """Grams of a mass as typed, which may be none: `62`, `62 g`, `1.2 kg`, `2½ oz`. Raises UnreadableQuantity."""
    return _read(text, _MASSES, "a mass: g, kg, oz or lb", none=True)


def parse_force(text: str) -> float:
    """Newtons of a force as typed: `4.5`, `4.5 N`, `460 g`, `1.2 lb`. Raises UnreadableQuantity."""
    return _read(text, _FORCES, "a force: N, kg, g, lb or oz")


def parse_torque(text: str) -> float:
    """Newton millimetres of a torque as typed: `320`, `32 N cm`, `3.2 kg·cm`, `45 oz-in`. Raises UnreadableQuantity."""
    torques = {f"{force}{arm}": a * b for force, a in _FORCES.items() for arm, b in _ARMS.items()}
    torques |= {f"{arm}{force}": a * b for force, a in _FORCES.items() for arm, b in _ARMS.items()}
    return _read(text, {"": 1.0, **torques}, "a torque: N mm, N cm, N m, kg cm, oz in or lb in")


def format_force(newtons: float) -> str:
    return f"{format_number(newtons)} N"


def format_torque(newton_millimetres: float) -> str:
    return f"{format_number(newton_millimetres, decimals=1)} N·mm"


def _read(text: str, units: Mapping[str, float], what: str, *, none: bool = False) -> float:
    """`none` says whether there may be nothing of it."""
    found = _NUMBER_AND_UNIT.fullmatch(text.strip())
    assert found is not None  # both parts may be empty
    unit = _BETWEEN.sub("", found["unit"]).lower()
    if unit and unit not in units:
        start = text.index(found["unit"])
        raise UnreadableQuantity(text, start, len(text), f"{found['unit'].strip()!r} is no unit of it", what)
    try:
        amount = parse_number(found["number"]) * units.get(unit, 1.0)
    except UnreadableQuantity as error:  # with its place in the whole
        start = len(text) - len(text.lstrip())
        raise UnreadableQuantity(text, start + error.start, start + error.end, error.wrong, error.right) from None
    if amount > MOST or amount < 0.0 or (amount == 0.0 and not none):
        least = "0 or more" if none else "more than 0"
        wrong = "this is too large" if amount > MOST else f"it has to be {least}"
        raise UnreadableQuantity(text, 0, len(text), wrong, what)
    return amount
