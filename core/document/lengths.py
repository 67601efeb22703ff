"""How an aircraft's lengths are told to people: in its own unit, and in the other family's beside it."""

from __future__ import annotations

from core.document.project import Point, Project
from core.units import DECIMALS, LENGTH_UNITS, format_angle, format_in_parts, format_length, format_number

IMPERIAL = ("in", "ft")


def length_unit(project: Project) -> str:
    """The unit that lengths are shown in; millimetres where the project names one that is not known."""
    return project.length_unit if project.length_unit in LENGTH_UNITS else "mm"


def shown_length(project: Project, millimetres: float, finer: int = 0) -> str:
    """In the project's unit, and in its fractions of an inch; `finer` decimals more than that unit has."""
    return _in_parts(project, millimetres, finer)


def small_length(project: Project, millimetres: float) -> str:
    """The same with one decimal more where a length would else read as nothing, though it is something."""
    return _in_parts(project, millimetres, _if_nothing(project, millimetres, 0))


def fixed_length(project: Project, millimetres: float, finer: int = 0) -> str:
    """The same with noughts at the end, so that lengths are told as finely as they are known."""
    return _in_parts(project, millimetres, finer + _if_nothing(project, millimetres, finer), fixed=True)


def _in_parts(project: Project, millimetres: float, finer: int, *, fixed: bool = False) -> str:
    unit, fraction = length_unit(project), project.inch_fraction
    return format_in_parts(millimetres, unit=unit, decimals=DECIMALS[unit] + finer, fraction=fraction, fixed=fixed)


def _if_nothing(project: Project, millimetres: float, finer: int) -> int:
    """One where a length is less than its last decimal counts, else none."""
    last = LENGTH_UNITS[plain_unit(project)] * 10.0 ** -(DECIMALS[length_unit(project)] + finer)
    return int(0.0 < abs(millimetres) < last)


def shown_elsewhere(project: Project, millimetres: float, finer: int = 0) -> str:
    """In the other family of units: inches beside parts of a metre, millimetres beside inches."""
    unit = other_unit(project)
    return format_length(millimetres, unit=unit, decimals=DECIMALS[unit] + finer)


def small_unit(project: Project) -> str:
    """Of the project's family of units the one for small sizes: millimetres, or inches."""
    return "in" if length_unit(project) in IMPERIAL else "mm"


def step_length(project: Project) -> float:
    """Millimetres that a key changes a length by: one, or a thirty-second of an inch, or the part of it that is told;
    of inches in decimals a twentieth, which is told without rounding."""
    if small_unit(project) == "mm":
        return 1.0
    return LENGTH_UNITS["in"] / (20 if project.inch_fraction is None else min(32, project.inch_fraction))


def small_step(project: Project) -> float:
    """Millimetres that a key changes what is small by, a play or a tolerance: 0.01, or half a thousandth of an inch."""
    return 0.01 if small_unit(project) == "mm" else 0.0005 * LENGTH_UNITS["in"]


def clearance_step(project: Project) -> float:
    """Millimetres that a key changes a clearance or a reach by: 0.1, or five thousandths of an inch."""
    return 10.0 * small_step(project)


def other_unit(project: Project) -> str:
    """The unit for small sizes of the other family."""
    return "mm" if small_unit(project) == "in" else "in"


def shown_amount(project: Project, value: float, unit: str, finer: int = 0) -> str:
    """A length, or degrees where the unit is `deg`."""
    return format_angle(value, decimals=2 + finer) if unit == "deg" else shown_length(project, value, finer)


def shown_point(project: Project, at: Point, finer: int = 0) -> str:
    """x and y with their unit: `12.5, −3.25 mm`."""
    unit = plain_unit(project)
    numbers = (format_number(one / LENGTH_UNITS[unit], decimals=DECIMALS[unit] + finer) for one in at)
    return f"{', '.join(numbers)} {unit}"


def shown_speed(project: Project, millimetres_per_second: float) -> str:
    """In the project's unit of length a second."""
    unit = plain_unit(project)
    number = format_number(millimetres_per_second / LENGTH_UNITS[unit], decimals=DECIMALS[unit] - 1)
    return f"{number} {unit}/s"


def unit_words(unit: str) -> str:
    """A unit of length as it is chosen and told of a whole aircraft or sheet."""
    return "feet and inches" if unit == "ft" else unit


def plain_number(project: Project, millimetres: float, finer: int = 0) -> str:
    """A length without its unit, as a machine reads it: with a hyphen for a minus, and noughts at the end."""
    unit = plain_unit(project)
    decimals = DECIMALS[unit] + finer
    return f"{round(millimetres / LENGTH_UNITS[unit], decimals) + 0.0:.{decimals}f}"


def plain_unit(project: Project) -> str:
    """The project's unit where a number stands without it, on an axis, in a table or typed alone; inches for feet and
    inches."""
    unit = length_unit(project)
    return "in" if unit == "ft" else unit
