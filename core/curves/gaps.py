"""The gap of a pair over time, with what the check found between the frames."""

from __future__ import annotations

import numpy as np

from core.curves.series import Level, Series, Unit
from core.findings.sentences import Names
from core.geometry.planar import Floats
from core.interference.check import gap_curve
from core.interference.interference import Clearance
from core.study import SequenceStudy, Study


def gap_series(study: Study, sequence: SequenceStudy, first: str, second: str) -> Series | None:
    """Of a checked pair; None where the two never come into each other's view."""
    gaps = gap_curve(study.parts, study.pairs, sequence.motion, (first, second))
    if np.all(np.isnan(gaps)):
        return None
    clearance = next((one for one in sequence.interference.clearances if one.parts == (first, second)), None)
    times, values = _with_what_is_between(sequence, (first, second), clearance, gaps)
    names, wanted = Names(study.project), clearance.wanted if clearance is not None else None
    return Series(
        title=f"{names(first)} – {names(second)}",
        word="gap",
        unit=Unit.MM,
        times=times,
        values=values,
        levels=(Level(wanted, "wanted"),) if wanted is not None else (),
        wanted=wanted,
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
