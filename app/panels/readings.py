"""Typed text to a value, and a value to text: numbers, lengths and angles by core.units, the rest here."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial

from app.widgets.value_field import Reading, Refused, Writing
from core.document.lengths import length_unit, plain_unit, shown_length
from core.document.project import Project
from core.errors import UnreadableQuantity
from core.units import (
    format_angle,
    format_number,
    parse_angle,
    parse_length,
    parse_number,
    parse_scale,
)
from core.units.loads import format_force, format_torque, parse_force, parse_mass, parse_torque

_APART = re.compile(r",\s+|,(?=[-+−])")
"""What parts x from y; a comma between figures does not."""
_EITHER = re.compile(r"±|\+/[-\N{MINUS SIGN}]")
_TO = re.compile(r"\s+to\s+|\s*…\s*", re.IGNORECASE)
LONGEST_SECONDS = 3600.0


def read_number(text: str) -> float:
    """A number without a unit: `1.5`, `1,5`, `1/72`. Raises Refused with the reason and the place."""
    return _read(parse_number, text)


def read_scale(text: str) -> float:
    """How many times the model the prototype is: `12`, `1:12`, `1/12`."""
    return _read(parse_scale, text)


def _read(parse: Callable[[str], float], text: str) -> float:
    try:
        return parse(text)
    except UnreadableQuantity as error:
        raise Refused(reason_of(error), error.marked) from None


def _without_unit(text: str, units: tuple[str, ...]) -> str:
    text = text.strip()
    text = text[:-1] if text[-2:-1].isalpha() and text.endswith(".") else text
    for unit in units:
        if text.lower().endswith(unit):
            return text[: -len(unit)].strip()
    return text


def read_duration(text: str) -> float:
    """Seconds, nought or more: `1.5`, `1.5 s`, `300 ms`."""
    value = read_seconds(text)
    if value < 0:
        raise ValueError("a step cannot take less than no time")
    return value


def read_seconds(text: str) -> float:
    """Seconds, also below nought: `0.2`, `-0.5 s`, `300 ms`."""
    thousandths = text.strip().lower().rstrip(".").endswith("ms")
    value = read_number(_without_unit(text, ("ms",) if thousandths else ("seconds", "sec", "s")))
    value = value / 1000 if thousandths else value
    if abs(value) > LONGEST_SECONDS:
        raise ValueError("it is more than an hour")
    return value


def read_length(project: Project) -> Reading:
    """Lengths as the project writes them: a number alone is in its unit, of feet and inches in inches; `full size` is
    divided by its scale."""
    unit, scale = plain_unit(project), project.aircraft.scale

    return lambda text: _read(partial(parse_length, unit=unit, scale=scale), text)


def read_angle(text: str) -> float:
    """Degrees: `92`, `92°`, `12 deg 30 min`."""
    return _read(parse_angle, text)


def read_mass(text: str) -> float:
    """Grams: `62`, `62 g`, `1.2 kg`, `2½ oz`."""
    return _read(parse_mass, text)


def read_share(text: str) -> float:
    """Hundredths: `50`, `50 %`, `50 per cent`."""
    return read_number(_without_unit(text, ("%", "percent", "per cent")))


def read_force(text: str) -> float:
    """Newtons: `4.5`, `460 g`, `1.2 lb`."""
    return _read(parse_force, text)


def read_torque(text: str) -> float:
    """Newton millimetres: `320`, `3.2 kg cm`, `45 oz in`."""
    return _read(parse_torque, text)


def reason_of(error: UnreadableQuantity) -> str:
    return f"{error.wrong}; {error.right}" if error.right else error.wrong


def read_text(text: str) -> str:
    """Words on one line; they may be none."""
    return " ".join(text.split())


def maybe(read: Reading) -> Reading:
    """The same, and nothing where nothing is written."""
    return lambda text: None if not text.strip() else read(text)


def read_span(read: Reading) -> Reading:
    """Two values, `-5 to 5`, or `± 5` for the same."""

    def both(text: str) -> tuple[float, float]:
        if (either := _EITHER.match(text.strip())) is not None:
            far = read(text.strip()[either.end() :])
            return -far, far
        parts = _TO.split(text.strip())
        if len(parts) != 2:
            raise ValueError("two values are wanted, such as -5 to 5")
        return read(parts[0]), read(parts[1])

    return both


def read_point(project: Project) -> Reading:
    """x and y, `12.5, -3` or `12,5; -3`: a comma between figures is a decimal one."""
    read = read_length(project)

    def both(text: str) -> tuple[float, float]:
        text = text.strip().removeprefix("(").removesuffix(")")
        parts = re.split(r"\s*;\s*", text) if ";" in text else _APART.split(text.strip())
        if len(parts) != 2:
            raise ValueError("x and y are wanted, such as 12.5, -3 or 12,5; -3")
        return read(parts[0]), read(parts[1])

    return both


def unit_beside(unit: str) -> str:
    """What stands beside a field: feet and inches say in the field what they are."""
    return "" if unit == "ft" else unit


def write_maybe(write: Writing) -> Writing:
    return lambda value: "" if value is None else write(value)


def write_span(write: Writing) -> Writing:
    return lambda span: f"{write(span[0])} to {write(span[1])}"


def write_point(project: Project) -> Writing:
    write = write_length(project)
    return lambda point: f"{write(point[0])}, {write(point[1])}"


def write_length(project: Project) -> Writing:
    """The number alone where one unit says it all; feet and inches with their units."""
    unit = length_unit(project)

    def write(value: float) -> str:
        text = shown_length(project, value, 1)
        return text.removesuffix(f" {unit}") if unit != "ft" else text

    return write


def write_angle(value: float) -> str:
    return format_angle(value, decimals=3).removesuffix("°")


def write_force(value: float) -> str:
    return format_force(value).removesuffix(" N")


def write_torque(value: float) -> str:
    return format_torque(value).removesuffix(" N·mm")


def write_number(value: float) -> str:
    """As many decimals as say something, three at the most."""
    return format_number(value, decimals=3)
