"""Values over time: an angle, a travel, what a drive is asked for, how well a link pushes, the gap of a pair."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from core.document.project import Jack, Pivot, Project, Slide
from core.findings.finding import Finding, Kind
from core.findings.sentences import Names
from core.interference.check import gap_curve
from core.interference.interference import Clearance
from core.motion.transmission import WANTED, transmissions_of
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
    asked: float | None = None
    """The least that practice asks for."""

    @property
    def touching(self) -> tuple[tuple[float, float], ...]:
        """The spans in which a gap is closed."""
        if self.wanted is None:
            return ()
        closed = np.concatenate([[False], self.values <= 0.0, [False]])
        edges = np.flatnonzero(np.diff(closed.astype(int)))
        return tuple((float(self.times[a]), float(self.times[b - 1])) for a, b in edges.reshape(-1, 2).tolist())

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
        return self.written(value)

    def written(self, value: float) -> str:
        return format_angle(value) if self.unit == DEGREES else format_length(value)


class Sort(StrEnum):
    """What kind of quantity a curve shows."""

    GAP = "gap"  # of a checked pair, named by both
    VALUE = "value"  # of a connection, in its drive's terms
    DRIVE = "drive"  # what a drive is asked for
    TRANSMISSION = "transmission"  # of a link, and the body it drives


@dataclass(frozen=True, slots=True)
class Quantity:
    """Something that has a value at every moment of a sequence: a sort, and whose it is, by id."""

    sort: Sort
    of: tuple[str, ...]


def quantity_of(study: Study, sequence: SequenceStudy, chosen: str | None, finding: Finding | None) -> Quantity | None:
    """What a builder wants to see of the pair that a finding is about; without one, of what is chosen."""
    if finding is not None and finding.kind in (Kind.CLASH, Kind.TIGHT) and finding.bodies in study.pairs.ids:
        return Quantity(Sort.GAP, finding.bodies)
    if chosen is not None and chosen in sequence.motion.connections:
        return Quantity(Sort.VALUE, (chosen,))
    if chosen is not None and chosen in sequence.motion.drive_ids:
        return Quantity(Sort.DRIVE, (chosen,))
    return None


def quantities(study: Study, sequence: SequenceStudy) -> tuple[Quantity, ...]:
    """Everything of a sequence that has a value over time: drives, connections, how links push, pairs in sight."""
    motion = sequence.motion
    found = [Quantity(Sort.DRIVE, (drive,)) for drive in motion.drive_ids]
    found += [
        Quantity(Sort.VALUE, (one,))
        for number, one in enumerate(motion.connections)
        if np.isfinite(motion.values[:, number]).any()
    ]
    if motion.course is not None:
        found += [Quantity(Sort.TRANSMISSION, (one.link, one.driven)) for one in transmissions_of(motion)]
    nearest = sorted(sequence.interference.clearances, key=lambda one: one.least)
    found += [Quantity(Sort.GAP, one.parts) for one in nearest if one.parts in study.pairs.ids]
    return tuple(found)


def series_of(study: Study, sequence: SequenceStudy, quantity: Quantity) -> Series | None:
    """The values of a quantity over a sequence; None where it has none, or is not there any more."""
    match quantity.sort:
        case Sort.GAP:
            known = quantity.of in study.pairs.ids
            return _gap(study, sequence, quantity.of[0], quantity.of[1]) if known else None
        case Sort.VALUE:
            return _value(study, sequence, quantity.of[0])
        case Sort.DRIVE:
            return _drive(study, sequence, quantity.of[0])
        case Sort.TRANSMISSION:
            return _transmission(study, sequence, quantity.of)


def _value(study: Study, sequence: SequenceStudy, chosen: str) -> Series | None:
    motion, project = sequence.motion, study.project
    if chosen not in motion.connections:
        return None
    values = motion.values[:, motion.connections.index(chosen)]
    if np.all(np.isnan(values)):
        return None
    title, unit = Names(project)(chosen), _unit(project, chosen)
    return Series(title=title, unit=unit, times=motion.times, values=values, limits=_limits(project, chosen))


def _drive(study: Study, sequence: SequenceStudy, chosen: str) -> Series | None:
    motion, project = sequence.motion, study.project
    if chosen not in motion.drive_ids:
        return None
    on = next(drive.on for drive in project.drives if drive.id == chosen)
    values = motion.drives[:, motion.drive_ids.index(chosen)]
    return Series(title=Names(project)(chosen), unit=_unit(project, on), times=motion.times, values=values)


def _transmission(study: Study, sequence: SequenceStudy, of: tuple[str, ...]) -> Series | None:
    """The angle at which a link pushes a body; 0 and 90 degrees bound it, and practice asks for `WANTED`."""
    motion, names = sequence.motion, Names(study.project)
    if motion.course is None:
        return None
    for one in transmissions_of(motion):
        if (one.link, one.driven) == of:
            title = f"{names(one.link)} on {names(one.driven)}"
            return Series(
                title=title, word="pushes at", unit=DEGREES, times=motion.times, values=one.angles, asked=WANTED
            )
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
