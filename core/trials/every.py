"""Every fault there could be of a sequence, and every two of them at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from core.document.project import Project
from core.motion.schedule import lay_out
from core.study import sequences_of
from core.trials.fault import Back, Late, NotEngaging, NotReleasing, Single, Slow, Stuck, Together
from core.trials.trial import Trial

LATE = 1.0
"""Seconds by which a drive is late where nobody says otherwise."""
SLOW = 0.5
"""Of its speed."""


def every_fault(project: Project, sequence_id: str) -> Iterator[Single]:
    """Each drive that the sequence moves: late, slow, never moving, and stuck half way through each of its moves;
    each latch that it works: not doing what it should; and the sequence run back from the middle of each step that
    moves anything."""
    (sequence,) = sequences_of(project, sequence_id)
    schedule = lay_out(sequence)
    moving = [step for step in schedule.steps if step.moves and step.end > step.begin]
    for drive in dict.fromkeys(move.drive for step in schedule.steps for move in step.moves):
        yield Late(drive, LATE)
        yield Slow(drive, SLOW)
        yield Stuck(drive)
        for step in moving:
            if any(move.drive == drive for move in step.moves):
                yield Stuck(drive, 0.5 * (step.begin + step.end))
    for latch in dict.fromkeys(one for step in sequence.steps for one in (*step.engage, *step.release)):
        if any(latch in step.engage for step in sequence.steps):
            yield NotEngaging(latch)
        if any(latch in step.release for step in sequence.steps):
            yield NotReleasing(latch)
    yield from (Back(at) for at in sorted({0.5 * (step.begin + step.end) for step in moving}))


def trials_of(project: Project, sequence_id: str, *, waits: bool = False) -> tuple[Trial, ...]:
    """Every fault as a trial."""
    return tuple(Trial(sequence_id, fault, waits) for fault in every_fault(project, sequence_id))


def count_of_pairs(project: Project, sequence_id: str) -> int:
    """How many pairs of faults there are at most; some are left out, since one of the two would make no difference."""
    count = sum(1 for _ in every_fault(project, sequence_id))
    return count * (count - 1) // 2


def pairs_of(
    project: Project, sequence_id: str, *, faults: Sequence[Single] | None = None, waits: bool = False
) -> tuple[Trial, ...]:
    """Every two faults that each make a difference beside the other, of those named or of all, as trials."""
    some = tuple(every_fault(project, sequence_id)) if faults is None else faults
    pairs = (Trial(sequence_id, Together(pair), waits) for pair in combinations(some, 2))
    return tuple(trial for trial in pairs if trial.apply(project) is not project)
