"""Trying one fault, or every fault there could be of a sequence, with what is known of the sound one for a start."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.document.project import Project
from core.errors import SenselessRequest
from core.motion.schedule import lay_out
from core.study import Cancelled, Progress, SequenceStudy, Study, StudyCancelled, run, sequences_of
from core.trials.comparing import Compared, compare
from core.trials.fault import Back, Fault, Late, NotEngaging, NotReleasing, Slow, Stuck
from core.trials.trial import Never, Trial, never_begun, trial_project

LATE = 1.0
"""Seconds by which a drive is late where nobody says otherwise."""
SLOW = 0.5
"""Of its speed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of a trial."""

    trial: Trial
    words: str
    seconds: float
    """How long the sequence takes with the fault."""
    compared: Compared
    never: Never


def try_out(
    sound: Study, trial: Trial, *, frames: int | None = None, cancelled: Cancelled | None = None
) -> tuple[Outcome, Study]:
    """What a trial comes to, and its study; `sound` is a study of the project that has the sequence.

    Raises SenselessRequest where the fault makes no sense, StudyCancelled when `cancelled` answers yes.
    """
    project = trial_project(sound.project, trial)
    study = run(project, frames=frames, previous=sound, cancelled=cancelled)
    return outcome_of(sound, trial, study.sequences[0]), study


def outcome_of(sound: Study, trial: Trial, found: SequenceStudy) -> Outcome:
    """What a trial comes to that has been studied already."""
    before = sound.sequence(trial.sequence)
    if before is None:
        raise SenselessRequest(f"sequence {trial.sequence!r} has not been studied without a fault")
    return Outcome(
        trial=trial,
        words=trial.words(sound.project),
        seconds=found.schedule.seconds,
        compared=compare(before, found),
        never=never_begun(sound.project, trial),
    )


def every_fault(project: Project, sequence_id: str) -> Iterator[Fault]:
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


def try_all(
    sound: Study,
    trials: tuple[Trial, ...],
    *,
    frames: int | None = None,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
) -> tuple[Outcome, ...]:
    """What each comes to, worst first; of those that bring nothing new, in the order given."""
    outcomes = []
    for number, trial in enumerate(trials):
        if cancelled is not None and cancelled():
            raise StudyCancelled
        if progress is not None:
            progress(trial.words(sound.project), number / len(trials))
        outcomes.append(try_out(sound, trial, frames=frames, cancelled=cancelled)[0])
    if progress is not None:
        progress("done", 1.0)
    return tuple(sorted(outcomes, key=lambda outcome: outcome.compared.weight))


def trials_of(project: Project, sequence_id: str, *, waits: bool = False) -> tuple[Trial, ...]:
    """Every fault as a trial."""
    return tuple(Trial(sequence_id, fault, waits) for fault in every_fault(project, sequence_id))
