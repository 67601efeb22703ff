"""From one finding to the next in time, through all sequences and round again."""

from __future__ import annotations

from core.findings.finding import Finding
from core.study import Study

SAME_MOMENT = 1e-6


def in_time(study: Study) -> tuple[Finding, ...]:
    """Findings that have a moment: by sequence, then by time; those of one moment keep worst first."""
    found: list[Finding] = []
    for one in study.sequences:
        timed = [finding for finding in one.findings if finding.time is not None]
        found += sorted(timed, key=lambda finding: finding.time or 0.0)
    return tuple(found)


def next_finding(study: Study, sequence: str, moment: float, shown: Finding | None, way: int) -> Finding | None:
    """The finding after (way 1) or before (way -1) where one is; None where there are none.

    From a finding that is shown it goes on to its neighbour, also when that has the same moment.
    """
    found = in_time(study)
    if not found:
        return None
    stands_on_it = shown in found and shown is not None and shown.sequence == sequence
    if stands_on_it and shown is not None and abs((shown.time or 0.0) - moment) < SAME_MOMENT:
        return found[(found.index(shown) + way) % len(found)]
    order = {one.sequence.id: number for number, one in enumerate(study.sequences)}
    here = (order.get(sequence, 0), moment)
    if way > 0:
        later = (one for one in found if (order[one.sequence], (one.time or 0.0)) > (here[0], here[1] + SAME_MOMENT))
        return next(later, found[0])
    earlier = [one for one in found if (order[one.sequence], (one.time or 0.0)) < (here[0], here[1] - SAME_MOMENT)]
    return earlier[-1] if earlier else found[-1]
