"""The `trials` command: sequences with one fault in them, and what each brings."""

from __future__ import annotations

from collections.abc import Sequence

from core.document.project import Project
from core.study import run, sequences_of
from core.trials.every import trials_of, try_all
from core.trials.fault import Fault
from core.trials.told import Tried
from core.trials.trial import Trial


def tried(
    project: Project, *, sequence: str | None, faults: Sequence[Fault], waits: bool, frames: int | None
) -> tuple[Tried, ...]:
    """The faults that are named, or all there could be, in the sequences asked for; raises SenselessRequest for one
    that makes no sense there."""
    wanted = [one.id for one in sequences_of(project, sequence) if one in project.sequences]
    sound = run(project, sequence=sequence, frames=frames)
    answers = []
    for one in wanted:
        named = tuple(Trial(one, fault, waits) for fault in faults)
        trials = named or trials_of(project, one, waits=waits)
        answers.append(Tried(sequence=one, outcomes=try_all(sound, trials, frames=frames)))
    return tuple(answers)


def any_harm(answers: Sequence[Tried]) -> bool:
    """Whether any fault brings what the sound sequence does not have, or has less of."""
    return any(outcome.compared.harmful for one in answers for outcome in one.outcomes)
