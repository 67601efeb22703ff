"""The value over time of what is chosen: an angle, a travel, what a drive is asked for, the gap of a pair."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.document.project import Jack, Pivot, Project, Slide
from core.findings.finding import Finding, Kind
from core.findings.sentences import Names
from core.interference.check import gap_curve
from core.study import SequenceStudy, Study
from core.units import format_angle, format_length

Floats = NDArray[np.float64]
DEGREES = "°"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Series:
    title: str
    unit: str
    """`mm`, or ° for an angle."""
    times: Floats
    values: Floats
    """(F,); NaN where there is none."""
    limits: tuple[float, float] | None = None
    wanted: float | None = None
    """The clearance that a gap should keep."""

    @property
    def reach(self) -> tuple[float, float]:
        """Least and greatest of what is to be seen, limits included where the values come near them."""
        low, high = float(np.nanmin(self.values)), float(np.nanmax(self.values))
        if self.wanted is not None:
            low, high = 0.0, max(high, self.wanted)
        room = max(high - low, 1e-9)
        for limit in self.limits or ():
            if low - room / 2 <= limit <= high + room / 2:
                low, high = min(low, limit), max(high, limit)
        return (low, high) if high - low > 1e-6 else (low - 1.0, high + 1.0)

    def at(self, time: float) -> float:
        return float(np.interp(time, self.times, self.values))

    def written(self, value: float) -> str:
        return format_angle(value) if self.unit == DEGREES else format_length(value)


def series_of(study: Study, sequence: SequenceStudy, chosen: str | None, finding: Finding | None) -> Series | None:
    """Of the pair that a finding is about; without one, of what is chosen. None where nothing has a value over time."""
    if finding is not None and finding.kind in (Kind.CLASH, Kind.TIGHT) and finding.bodies in study.pairs.ids:
        return _gap(study, sequence, finding.bodies[0], finding.bodies[1])
    motion, project = sequence.motion, study.project
    names = Names(project)
    if chosen in motion.connections:
        values = motion.values[:, motion.connections.index(chosen)]
        if np.all(np.isnan(values)):
            return None
        title, unit = names(chosen), _unit(project, chosen)
        return Series(title=title, unit=unit, times=motion.times, values=values, limits=_limits(project, chosen))
    if chosen in motion.drive_ids:
        on = next(drive.on for drive in project.drives if drive.id == chosen)
        values = motion.drives[:, motion.drive_ids.index(chosen)]
        return Series(title=names(chosen), unit=_unit(project, on), times=motion.times, values=values)
    return None


def _gap(study: Study, sequence: SequenceStudy, first: str, second: str) -> Series | None:
    values = gap_curve(study.parts, study.pairs, sequence.motion, (first, second))
    if np.all(np.isnan(values)):
        return None
    wanted = next((one.wanted for one in sequence.interference.clearances if one.parts == (first, second)), None)
    title = f"Gap, {Names(study.project).listed((first, second))}"
    return Series(title=title, unit="mm", times=sequence.motion.times, values=values, wanted=wanted)


def _unit(project: Project, connection_id: str) -> str:
    one = next(one for one in project.connections if one.id == connection_id)
    return DEGREES if isinstance(one, Pivot) else "mm"


def _limits(project: Project, connection_id: str) -> tuple[float, float] | None:
    match next(one for one in project.connections if one.id == connection_id):
        case Pivot(limits=limits) | Slide(limits=limits):
            return limits
        case Jack(stroke=stroke):
            return (0.0, stroke)
    return None
