"""How an aircraft's lengths are told to people: in its own unit, and in the other family's beside it."""

from __future__ import annotations

from core.document.project import Project
from core.units import DECIMALS, LENGTH_UNITS, format_angle, format_in_parts, format_length, format_number

IMPERIAL = ("in", "ft")


def length_unit(project: Project) -> str:
    """The unit that lengths are shown in; millimetres where the project names one that is not known."""
    return project.length_unit if project.length_unit in LENGTH_UNITS else "mm"


def shown_length(project: Project, millimetres: float, finer: int = 0, *, fixed: bool = False) -> str:
    """In the project's unit, and in its fractions of an inch; `finer` decimals more than that unit has.

    `fixed` keeps noughts at the end, and one decimal more where a length would else read as nothing, so that lengths
    under each other are told apart and one that runs does not jump.
    """
    unit = length_unit(project)
    decimals = DECIMALS[unit] + finer
    if fixed:
        worth = LENGTH_UNITS["in"] if unit == "ft" else LENGTH_UNITS[unit]
        decimals += 0.0 < abs(millimetres) < worth * 10.0**-decimals
        return format_length(millimetres, unit=unit, decimals=decimals, fixed=True)
    return format_in_parts(millimetres, unit=unit, decimals=decimals, fraction=project.inch_fraction)


def shown_elsewhere(project: Project, millimetres: float, finer: int = 0) -> str:
    """In the other family of units: inches beside parts of a metre, millimetres beside inches."""
    unit = other_unit(project)
    return format_length(millimetres, unit=unit, decimals=DECIMALS[unit] + finer)


def small_unit(project: Project) -> str:
    """Of the project's family of units the one for small sizes: millimetres, or inches."""
    return "in" if length_unit(project) in IMPERIAL else "mm"


def other_unit(project: Project) -> str:
    """The unit for small sizes of the other family."""
    return "mm" if small_unit(project) == "in" else "in"


def shown_amount(project: Project, value: float, unit: str, finer: int = 0, *, fixed: bool = False) -> str:
    """A length, or degrees where the unit is `deg`."""
    if unit != "deg":
        return shown_length(project, value, finer, fixed=fixed)
    return f"{format_number(value, fixed=True)}°" if fixed else format_angle(value, decimals=2 + finer)
