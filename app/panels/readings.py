"""Typed text to a value, and a value to text: seconds here, lengths and angles by core.units."""

from __future__ import annotations

import math
import re

from app.widgets.value_field import Reading, Writing
from core.document.project import Project
from core.errors import UnreadableQuantity
from core.units import DECIMALS, LENGTH_UNITS, format_angle, format_length, format_number, parse_angle, parse_length

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$", re.IGNORECASE)
_TO = re.compile(r"\s+to\s+|\s*…\s*", re.IGNORECASE)
LONGEST_SECONDS = 3600.0


def read_number(text: str) -> float:
    """A plain decimal number. Raises ValueError with the reason."""
    text = text.strip().replace("−", "-")
    if not text:
        raise ValueError("a number is wanted here")
    if "," in text and _NUMBER.match(text.replace(",", ".")):
        raise ValueError(f"write a point for the decimals, {text.replace(',', '.')}")
    if not _NUMBER.match(text):
        raise ValueError("it is not a number, such as 1.5")
    value = float(text)
    if not math.isfinite(value):
        raise ValueError("it is too large")
    return value


def _without_unit(text: str, units: tuple[str, ...]) -> str:
    text = text.strip()
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
    thousandths = text.strip().lower().endswith("ms")
    value = read_number(_without_unit(text, ("ms",) if thousandths else ("seconds", "sec", "s")))
    value = value / 1000 if thousandths else value
    if abs(value) > LONGEST_SECONDS:
        raise ValueError("it is more than an hour")
    return value


def read_length(project: Project) -> Reading:
    """Lengths as the project writes them: a number alone is in its unit, `full size` is divided by its scale."""
    unit, scale = length_unit(project), project.aircraft.scale

    def read(text: str) -> float:
        try:
            return parse_length(text, unit=unit, scale=scale)
        except UnreadableQuantity as error:
            raise ValueError(reason_of(error)) from None

    return read


def read_angle(text: str) -> float:
    """Degrees: `92`, `92°`, `12 deg 30 min`."""
    try:
        return parse_angle(text)
    except UnreadableQuantity as error:
        raise ValueError(reason_of(error)) from None


def reason_of(error: UnreadableQuantity) -> str:
    return f"{error.wrong}; {error.right}" if error.right else error.wrong


def length_unit(project: Project) -> str:
    """The unit that lengths are shown in; millimetres where the project names one that is not known."""
    return project.length_unit if project.length_unit in LENGTH_UNITS else "mm"


def read_text(text: str) -> str:
    """Words on one line; they may be none."""
    return " ".join(text.split())


def maybe(read: Reading) -> Reading:
    """The same, and nothing where nothing is written."""
    return lambda text: None if not text.strip() else read(text)


def read_span(read: Reading) -> Reading:
    """Two values, `-5 to 5`."""

    def both(text: str) -> tuple[float, float]:
        parts = _TO.split(text.strip())
        if len(parts) != 2:
            raise ValueError("two values are wanted, such as -5 to 5")
        return read(parts[0]), read(parts[1])

    return both


def read_point(project: Project) -> Reading:
    """x and y, `12.5, -3`."""
    read = read_length(project)

    def both(text: str) -> tuple[float, float]:
        parts = text.split(",")
        if len(parts) != 2:
            raise ValueError("x and y are wanted, such as 12.5, -3")
        return read(parts[0]), read(parts[1])

    return both


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
        text = format_length(value, unit=unit, decimals=DECIMALS[unit] + 1)
        return text.removesuffix(f" {unit}") if unit != "ft" else text

    return write


def write_angle(value: float) -> str:
    return format_angle(value, decimals=3).removesuffix("°")


def write_number(value: float) -> str:
    """As many decimals as say something, three at the most."""
    return format_number(value, decimals=3)
