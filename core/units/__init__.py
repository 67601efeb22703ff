"""The door: lengths, angles and numbers as people type and print them, and as they are inside."""

from core.units.kinds import DECIMALS, LENGTH_UNITS
from core.units.numbers import number
from core.units.reading import (
    Measure,
    Tolerance,
    parse_angle,
    parse_angle_tolerance,
    parse_length,
    parse_length_tolerance,
    parse_measured_angle,
    parse_measured_length,
    parse_number,
    parse_scale,
)
from core.units.saying import with_unit
from core.units.showing import format_angle, format_in_parts, format_length, format_number, format_tolerance

__all__ = [
    "DECIMALS",
    "LENGTH_UNITS",
    "Measure",
    "Tolerance",
    "format_angle",
    "format_in_parts",
    "format_length",
    "format_number",
    "format_tolerance",
    "number",
    "parse_angle",
    "parse_angle_tolerance",
    "parse_length",
    "parse_length_tolerance",
    "parse_measured_angle",
    "parse_measured_length",
    "parse_number",
    "parse_scale",
    "with_unit",
]
