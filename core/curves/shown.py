"""Curves as they are shown to people: counted in the aircraft's unit."""

from __future__ import annotations

from dataclasses import replace

from core.curves.series import Series, Unit
from core.document.lengths import plain_unit
from core.document.project import Project


def shown(project: Project, series: Series) -> Series:
    """A series of millimetres as one of the aircraft's unit; of degrees as it is."""
    unit = unit_shown(project, series.unit)
    if unit is series.unit:
        return series
    share = series.unit.worth / unit.worth
    return replace(
        series,
        unit=unit,
        values=series.values * share,
        levels=tuple(replace(one, value=one.value * share) for one in series.levels),
        wanted=None if series.wanted is None else series.wanted * share,
    )


def unit_shown(project: Project, unit: Unit) -> Unit:
    """What a unit of the inside is before people."""
    if unit is Unit.DEGREES:
        return unit
    return Unit(plain_unit(project) + ("/s" if unit.is_speed else ""))
