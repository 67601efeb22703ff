"""Trying a fault, or many, with what is known of the sound sequence for a start."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from core.document.project import Project
from core.errors import CheckCancelled, SenselessRequest
from core.findings.finding import Finding
from core.study import Cancelled, Progress, SequenceStudy, Study, run
from core.trials.comparing import Compared, Found, compare, only_together, weight_of
from core.trials.fault import Single, Together
from core.trials.trial import Never, Trial, never_begun, trial_project

Studying = Callable[[Project, Study, Cancelled | None], Study]
"""How a trial is studied, with a study to begin from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of a trial."""

    trial: Trial
    words: str
    seconds: float
    """How long the sequence takes with the fault."""
    compared: Compared
    never: Never
    together: tuple[Finding, ...] | None = None
    """Of several faults at once what none of them brings alone, or each alone less of, worst first; None where that is
    not known, and for a single fault."""

    @property
    def worst(self) -> Finding | None:
        """The worst that it brings: of several faults what they bring only together, where there is such."""
        return next(iter((*(self.together or ()), *self.compared.harmful)), None)

    @property
    def weight(self) -> tuple[object, ...]:
        """By which trials are put in order, worst first; of several faults first by what they bring only together."""
        return (weight_of(self.compared.harmful if self.together is None else self.together), self.compared.weight)


def outcome_of(sound: Study, trial: Trial, found: SequenceStudy, *, alone: Sequence[Found] | None = None) -> Outcome:
    """What a trial comes to that has been studied already; `alone` is what each of its faults brings by itself."""
    before = sound.sequence(trial.sequence)
    if before is None:
        raise SenselessRequest(f"sequence {trial.sequence!r} has not been studied without a fault")
    return Outcome(
        trial=trial,
        words=trial.words(sound.project),
        seconds=found.schedule.seconds,
        compared=compare(before, found),
        never=never_begun(sound.project, trial),
        together=None if alone is None else only_together((before, *alone), found),
    )


def try_all(
    sound: Study,
    trials: Sequence[Trial],
    *,
    study: Studying | None = None,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
) -> tuple[Outcome, ...]:
    """What each comes to, worst first; of those that bring nothing new, in the order given.

    The single faults of several at once are tried first, to know what they bring only together.
    """
    several = [trial for trial in trials if isinstance(trial.fault, Together)]
    singles = dict.fromkeys(one for trial in several for one in singles_of(trial) if _sensible(sound, one))
    trying = _Trying(sound, study or _run, progress, cancelled, len(singles) + len(trials))
    known = {one: _light(trying.study(one)) for one in singles}
    outcomes = []
    for trial in trials:
        found = trying.study(trial)
        alone = [known[one] for one in singles_of(trial) if one in known] if trial in several else None
        outcomes.append(outcome_of(sound, trial, found, alone=alone))
    if progress is not None:
        progress("done", 1.0)
    return tuple(sorted(outcomes, key=lambda outcome: outcome.weight))


def singles_of(trial: Trial) -> tuple[Trial, ...]:
    """Each fault of a trial by itself."""
    faults: tuple[Single, ...] = trial.fault.faults if isinstance(trial.fault, Together) else (trial.fault,)
    return tuple(Trial(trial.sequence, one, trial.waits) for one in faults)


def _sensible(sound: Study, trial: Trial) -> bool:
    """What makes no difference alone brings nothing alone."""
    return trial.apply(sound.project) is not sound.project


@dataclass(frozen=True, slots=True)
class _Light:
    """What a study has found, without the study."""

    findings: tuple[Finding, ...]
    accepted: tuple[Finding, ...]


def _light(found: Found) -> _Light:
    return _Light(found.findings, found.accepted)


@dataclass(slots=True)
class _Trying:
    """One trial after another, with word of how many are done."""

    sound: Study
    by: Studying
    progress: Progress | None
    cancelled: Cancelled | None
    count: int
    done: int = field(default=0)

    def study(self, trial: Trial) -> SequenceStudy:
        if self.cancelled is not None and self.cancelled():
            raise CheckCancelled
        if self.progress is not None:
            self.progress(trial.words(self.sound.project), self.done / self.count)
        self.done += 1
        return self.by(trial_project(self.sound.project, trial), self.sound, self.cancelled).sequences[0]


def _run(project: Project, sound: Study, cancelled: Cancelled | None) -> Study:
    return run(project, previous=sound, cancelled=cancelled)
