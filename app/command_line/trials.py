"""The `trials` command: sequences with one fault in them, and what each brings."""

from __future__ import annotations

from collections.abc import Sequence

from core.document.project import Project
from core.errors import SenselessRequest
from core.study import run, sequences_of
from core.trials.every import trials_of, try_all
from core.trials.fault import Fault
from core.trials.told import Tried
from core.trials.trial import Trial, trial_project


def tried(project: Project, *, sequence: str | None, faults: Sequence[Fault], waits: bool) -> tuple[Tried, ...]:
    """The faults that are named, or all there could be, in the sequences asked for.

    Raises SenselessRequest for a fault that makes no sense in any of them.
    """
    wanted = [one.id for one in sequences_of(project, sequence) if one in project.sequences]
    if not wanted:
        raise SenselessRequest(f"{project.aircraft.name} has no sequence to try a fault in; add a step to it first")
    trials = {one: _trials(project, one, faults, waits=waits) for one in wanted}
    for fault in faults:
        if all(fault not in {trial.fault for trial in some} for some in trials.values()):
            trial_project(project, Trial(wanted[0], fault, waits))  # which says why
    sound = run(project, sequence=sequence)
    return tuple(Tried(sequence=one, outcomes=try_all(sound, some)) for one, some in trials.items() if some)


def _trials(project: Project, sequence: str, faults: Sequence[Fault], *, waits: bool) -> tuple[Trial, ...]:
    """Those of the faults that make sense in a sequence."""
    if not faults:
        return trials_of(project, sequence, waits=waits)
    named = (Trial(sequence, fault, waits) for fault in faults)
    return tuple(trial for trial in named if trial.apply(project) is not project)


def any_harm(answers: Sequence[Tried]) -> bool:
    """Whether any fault brings what the sound sequence does not have, or has less of."""
    return any(outcome.compared.harmful for one in answers for outcome in one.outcomes)
