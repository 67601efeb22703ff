"""Curves of a linkage: its connections, what drives ask for, how well links push, how near it is to a dead centre."""

from __future__ import annotations

import numpy as np

from core.curves.series import Level, Series, Unit, joined
from core.document.names import by_id
from core.document.project import Jack, Pivot, Project, Slide
from core.findings.sentences import Names
from core.geometry.planar import Floats
from core.motion.chains import phases_of
from core.motion.motion import Motion
from core.motion.span import Stretch
from core.motion.transmission import WANTED, transmissions_of


def value_series(project: Project, motion: Motion, connection: str) -> Series | None:
    """A connection's value in its drive's terms, and the limits it has."""
    if connection not in motion.connections:
        return None
    values = motion.values[:, motion.connections.index(connection)]
    if np.all(np.isnan(values)):
        return None
    return Series(
        title=Names(project)(connection),
        unit=unit_of_connection(project, connection),
        times=motion.times,
        values=values,
        levels=_limits(project, connection),
    )


def drive_series(project: Project, motion: Motion, drive: str) -> Series | None:
    """What a drive is asked for."""
    if drive not in motion.drive_ids:
        return None
    values = motion.drives[:, motion.drive_ids.index(drive)]
    return Series(title=Names(project)(drive), unit=unit_of_drive(project, drive), times=motion.times, values=values)


def transmission_series(project: Project, motion: Motion, of: tuple[str, ...]) -> Series | None:
    """The angle at which a link pushes a body; 0 and 90 degrees bound it, and practice asks for `WANTED`."""
    names = Names(project)
    for one in transmissions_of(motion) if motion.course is not None else ():
        if (one.link, one.driven) == of:
            return Series(
                title=f"{names(one.link)} on {names(one.driven)}",
                word="pushes at",
                unit=Unit.DEGREES,
                times=motion.times,
                values=one.angles,
                levels=(Level(WANTED, "asked for"),),
            )
    return None


# ---- dead centres ----------------------------------------------------------------------------------------------------


def ways_to_dead_centres(motion: Motion) -> tuple[tuple[str, ...], ...]:
    """The connections of every group that can come to stand in line and whose distance to that is known; what has to
    be solved as one is not."""
    return tuple(_margins(motion))


def dead_centre_series(project: Project, motion: Motion, of: tuple[str, ...]) -> Series | None:
    """Millimetres that are left of the lengths that meet: at nought they stand in line, below it they do not meet."""
    pieces = _margins(motion).get(of)
    if pieces is None:
        return None
    times, values = joined(pieces)
    return Series(
        title=Names(project).listed(of),
        word="from standing in line",
        unit=Unit.MM,
        times=times,
        values=values,
        levels=(Level(0.0, "in line", grave=True),),
    )


def _margins(motion: Motion) -> dict[tuple[str, ...], list[tuple[Floats, Floats]]]:
    """By connections, times and margins of each phase of the sequence."""
    found: dict[tuple[str, ...], list[tuple[Floats, Floats]]] = {}
    for stretch in phases_of(motion.course) if motion.course is not None else ():
        for number, stage in enumerate(stretch.phase.plan.stages):
            known = _known(stretch, number)
            if known is not None:
                ids = tuple(stretch.phase.mechanism.links[link].id for link in stage.step.links)
                found.setdefault(ids, []).append(known)
    return found


def _known(stretch: Stretch, number: int) -> tuple[Floats, Floats] | None:
    """(T,) times and margins of a stage that is solved in closed form, those of least margin between them too."""
    outcome, grid = stretch.settled.result.outcomes[number], stretch.phase.grid
    if outcome.root is None or not np.isfinite(outcome.margin[outcome.asked]).any():
        return None
    margin = np.where(outcome.asked & np.isfinite(outcome.margin), outcome.margin, np.nan)
    least = [one for one in stretch.settled.least if one.which == number]
    times = np.concatenate([grid, [one.time for one in least]])
    order = np.argsort(times, kind="stable")
    return times[order], np.concatenate([margin, [one.margin for one in least]])[order]


def unit_of_connection(project: Project, connection_id: str) -> Unit:
    one = by_id(project.connections, connection_id)
    return Unit.DEGREES if isinstance(one, Pivot) else Unit.MM


def unit_of_drive(project: Project, drive_id: str) -> Unit:
    """What a drive counts in: degrees on a pivot, millimetres elsewhere."""
    return unit_of_connection(project, next((one.on for one in project.drives if one.id == drive_id), ""))


def _limits(project: Project, connection_id: str) -> tuple[Level, ...]:
    match next(one for one in project.connections if one.id == connection_id):
        case Pivot(limits=limits) | Slide(limits=limits) if limits is not None:
            return tuple(Level(limit, "limit", grave=True) for limit in limits)
        case Jack(stroke=stroke):
            return (Level(0.0, "closed", grave=True), Level(stroke, "full stroke", grave=True))
    return ()
