"""What has a value at every moment of a sequence, and the series of its values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from core.curves.gaps import gap_series
from core.curves.linkage import (
    dead_centre_series,
    drive_series,
    transmission_series,
    unit_of_connection,
    unit_of_drive,
    value_series,
    ways_to_dead_centres,
)
from core.curves.points import Place, moving_bodies, point_series
from core.curves.series import Series, Unit
from core.document.names import by_id
from core.document.project import Project, Rod
from core.findings.finding import Finding, Kind
from core.motion.transmission import transmissions_of
from core.study import SequenceStudy, Study


class Sort(StrEnum):
    """What kind of quantity a curve shows."""

    GAP = "gap"  # of a checked pair, named by both
    VALUE = "value"  # of a connection, in its drive's terms
    DRIVE = "drive"  # what a drive is asked for
    TRANSMISSION = "transmission"  # of a link, and the body it drives
    DEAD_CENTRE = "dead-centre"  # of the connections that come to stand in line: what is left of their lengths
    TURN = "turn"  # of a body, from where it is drawn
    WAY = "way"  # that a body's point has gone, there and back counted
    ACROSS = "across"  # where a body's point is, to the right
    UP = "up"  # and upwards
    SPEED = "speed"  # of a body's point


@dataclass(frozen=True, slots=True)
class Quantity:
    """Something that has a value at every moment of a sequence: a sort, and whose it is, by id."""

    sort: Sort
    of: tuple[str, ...]
    at: tuple[float, float] | None = None
    """A point of the body, mm as drawn; without one, the middle of its outline."""


def checked_pairs_of(study: Study) -> frozenset[tuple[str, ...]]:
    """By their ids, within a view and across two."""
    across = study.pairs.across
    return frozenset(study.pairs.ids) | frozenset(across.pairs.ids if across is not None else ())


def quantity_of(study: Study, sequence: SequenceStudy, chosen: str | None, finding: Finding | None) -> Quantity | None:
    """What a builder wants to see of the pair that a finding is about; without one, of what is chosen. A rod is as long
    as it is, whatever moves."""
    if finding is not None and finding.kind in (Kind.CLASH, Kind.TIGHT) and finding.bodies in checked_pairs_of(study):
        return Quantity(Sort.GAP, finding.bodies)
    if any(one.id == chosen and isinstance(one, Rod) for one in study.project.connections):
        return None
    if chosen is not None and chosen in sequence.motion.connections:
        return Quantity(Sort.VALUE, (chosen,))
    if chosen is not None and chosen in sequence.motion.drive_ids:
        return Quantity(Sort.DRIVE, (chosen,))
    path = by_id(study.project.paths, chosen)
    return None if path is None else Quantity(Sort.SPEED, (path.body,), path.point)


def quantities(study: Study, sequence: SequenceStudy) -> tuple[Quantity, ...]:
    """Everything of a sequence that has a value over time, sort by sort; pairs that come nearest stand first."""
    motion = sequence.motion
    found = [Quantity(Sort.DRIVE, (drive,)) for drive in motion.drive_ids]
    found += [
        Quantity(Sort.VALUE, (one,))
        for number, one in enumerate(motion.connections)
        if np.isfinite(motion.values[:, number]).any()
    ]
    if motion.course is not None:
        found += [Quantity(Sort.TRANSMISSION, (one.link, one.driven)) for one in transmissions_of(motion)]
        found += [Quantity(Sort.DEAD_CENTRE, of) for of in ways_to_dead_centres(motion)]
    nearest = sorted(sequence.interference.clearances, key=lambda one: one.least)
    checked = checked_pairs_of(study)
    found += [Quantity(Sort.GAP, one.parts) for one in nearest if one.parts in checked]
    moving = moving_bodies(motion)
    for sort in (Sort.TURN, Sort.WAY, Sort.ACROSS, Sort.UP, Sort.SPEED):
        found += [Quantity(sort, (body,)) for body in moving if sort is Sort.TURN or body in study.parts.by_id]
        if sort is not Sort.TURN:
            found += [Quantity(sort, (one.body,), one.point) for one in study.project.paths if one.body in moving]
    return tuple(found)


def unit_of(project: Project, quantity: Quantity) -> Unit:
    """What a quantity counts in."""
    match quantity.sort:
        case Sort.VALUE:
            return unit_of_connection(project, quantity.of[0])
        case Sort.DRIVE:
            return unit_of_drive(project, quantity.of[0])
        case Sort.TURN | Sort.TRANSMISSION:
            return Unit.DEGREES
        case Sort.SPEED:
            return Unit.SPEED
        case _:
            return Unit.MM


def series_of(study: Study, sequence: SequenceStudy, quantity: Quantity) -> Series | None:
    """The values of a quantity over a sequence; None where it has none, or is not there any more."""
    project, motion, of = study.project, sequence.motion, quantity.of
    match quantity.sort:
        case Sort.GAP:
            return gap_series(study, sequence, of[0], of[1]) if of in checked_pairs_of(study) else None
        case Sort.VALUE:
            return value_series(project, motion, of[0])
        case Sort.DRIVE:
            return drive_series(project, motion, of[0])
        case Sort.TRANSMISSION:
            return transmission_series(project, motion, of)
        case Sort.DEAD_CENTRE:
            return dead_centre_series(project, motion, of)
        case Sort.TURN | Sort.WAY | Sort.ACROSS | Sort.UP | Sort.SPEED:
            return point_series(study, motion, of[0], Place(quantity.sort.value), quantity.at)


def all_series(
    study: Study, sequence: SequenceStudy, wanted: Iterable[Quantity]
) -> tuple[tuple[Quantity, Series], ...]:
    """The series of those that have one, in the order asked for."""
    found = ((one, series_of(study, sequence, one)) for one in wanted)
    return tuple((one, series) for one, series in found if series is not None)
