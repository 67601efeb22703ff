"""The `trials` command: sequences with one fault in them, or several at once, and what each brings."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence

from app.command_line.output import remark
from core.document.project import Project
from core.errors import SenselessRequest
from core.study import run, sequences_of
from core.trials.every import pairs_of, trials_of
from core.trials.fault import Fault, Single, together
from core.trials.told import Tried, duration_words
from core.trials.trial import Trial, trial_project
from core.trials.trying import singles_of, try_all

SHORT = 5.0
"""Seconds that nobody needs to be told of beforehand."""


def tried(
    project: Project, *, sequence: str | None, faults: Sequence[Single], waits: bool, at_once: bool, pairs: bool
) -> tuple[Tried, ...]:  # fmt: skip
    """The faults that are named, or all there could be, in the sequences asked for: each by itself, all that are named
    at once, or every two of them.

    Raises SenselessRequest for a fault that makes no sense in any of them.
    """
    wanted = [one.id for one in sequences_of(project, sequence) if one in project.sequences]
    if not wanted:
        raise SenselessRequest(f"{project.aircraft.name} has no sequence to try a fault in; add a step to it first")
    if (at_once or pairs) and len(faults) < 2 and (at_once or faults):
        option = "--together" if at_once else "--pairs"
        raise SenselessRequest(f"{option} needs two faults or more, such as --late DRIVE=1 --no-engage LATCH")
    wholes: Sequence[Fault] = [together(faults)] if at_once else faults
    _refuse_senseless(project, wanted, wholes, waits=waits)
    if pairs:
        trials = {one: pairs_of(project, one, faults=faults or None, waits=waits) for one in wanted}
    elif faults:
        trials = {one: _sensible(project, one, wholes, waits=waits) for one in wanted}
    else:
        trials = {one: trials_of(project, one, waits=waits) for one in wanted}
    begun = time.monotonic()
    sound = run(project, sequence=sequence)
    if pairs:
        _remark_how_long(trials, (time.monotonic() - begun) / len(wanted))
    return tuple(Tried(sequence=one, outcomes=try_all(sound, some)) for one, some in trials.items() if some)


def _refuse_senseless(project: Project, wanted: Sequence[str], faults: Sequence[Fault], *, waits: bool) -> None:
    """A fault that makes no sense in any sequence is refused, with the first one's reason."""
    for fault in faults:
        if all(Trial(one, fault, waits).apply(project) is project for one in wanted):
            trial_project(project, Trial(wanted[0], fault, waits))


def _sensible(project: Project, sequence: str, faults: Sequence[Fault], *, waits: bool) -> tuple[Trial, ...]:
    """Those of the faults that make sense in a sequence."""
    named = (Trial(sequence, fault, waits) for fault in faults)
    return tuple(trial for trial in named if trial.apply(project) is not project)


def _remark_how_long(trials: Mapping[str, Sequence[Trial]], each: float) -> None:
    """To whoever sits and waits: how many pairs there are, and how long they take at so many seconds each."""
    pairs = sum(len(some) for some in trials.values())
    faults = sum(len({one for trial in some for one in singles_of(trial)}) for some in trials.values())
    seconds = each * (pairs + faults)
    if seconds > SHORT:
        remark(f"{pairs} pairs of faults to try, {duration_words(seconds)}; Ctrl-C gives up")


def any_harm(answers: Sequence[Tried]) -> bool:
    """Whether any fault brings what the sound sequence does not have, or has less of."""
    return any(outcome.compared.harmful for one in answers for outcome in one.outcomes)
