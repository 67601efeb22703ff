"""The value over time of what is chosen: an angle, a travel, what a drive is asked for, the gap of a pair."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.document.project import Jack, Pivot, Project, Slide
from core.findings.finding import Finding, Kind
from core.findings.sentences import Names
from core.interference.check import gap_curve
from core.interference.interference import Clearance
from core.study import SequenceStudy, Study
from core.units import format_angle, format_length

Floats = NDArray[np.float64]
DEGREES = "°"
NEAR_FACTOR = 8.0
NEAR_MM = 4.0
"""The curve of a gap shows what is nearer than this many times the clearance that is wanted, or than this."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Series:
    title: str
    word: str = ""
    """What the value is, where the title does not say it."""
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
        if self.wanted is not None:  # what happens far apart is of no interest
            low, high = 0.0, min(max(high, self.wanted), max(NEAR_FACTOR * self.wanted, NEAR_MM))
        room = max(high - low, 1e-9)
        for limit in self.limits or ():
            if low - room / 2 <= limit <= high + room / 2:
                low, high = min(low, limit), max(high, limit)
        return (low, high) if high - low > 1e-6 else (low - 1.0, high + 1.0)

    def at(self, time: float) -> float:
        return float(np.interp(time, self.times, self.values))

    def told(self, value: float) -> str:
        if self.wanted is not None and value <= 0.0:  # nought is no gap; how deep it goes is the finding's to tell
            return "touching"
        return f"{self.word} {self.written(value)}".strip()

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
    gaps = gap_curve(study.parts, study.pairs, sequence.motion, (first, second))
    if np.all(np.isnan(gaps)):
        return None
    clearance = next((one for one in sequence.interference.clearances if one.parts == (first, second)), None)
    times, values = _with_what_is_between(sequence, (first, second), clearance, gaps)
    names = Names(study.project)
    return Series(
        title=f"{names(first)} – {names(second)}",
        word="gap",
        unit="mm",
        times=times,
        values=values,
        wanted=clearance.wanted if clearance is not None else None,
    )


def _with_what_is_between(
    sequence: SequenceStudy, parts: tuple[str, str], clearance: Clearance | None, gaps: Floats
) -> tuple[Floats, Floats]:
    """The gaps at the frames, and what was found between them: where contacts begin and end, the least clearance."""
    contacts = [one for one in sequence.interference.contacts if one.parts == parts]
    between = [(time, 0.0) for one in contacts for time in (one.begin, one.worst, one.end)]
    if clearance is not None and not contacts:
        between.append((clearance.time, clearance.least))
    known = dict(zip(sequence.motion.times.tolist(), gaps.tolist(), strict=True)) | dict(between)
    times = sorted(known)
    return np.array(times), np.array([known[time] for time in times])


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
