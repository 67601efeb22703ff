"""A trial: a project with one of its sequences as it would run with a fault or several, solved and checked as any."""

from __future__ import annotations

from collections.abc import Sequence as SequenceOf
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.fresh import fresh_id, fresh_name
from core.document.names import name_of
from core.document.project import Project, Sequence, Step, Target
from core.document.sequence_checks import sequence_problems
from core.errors import SenselessRequest
from core.findings.sentences import Names
from core.findings.targets import belongs
from core.motion.schedule import lay_out
from core.trials.back import run_back
from core.trials.fault import Back, DriveFault, Fault, LatchFault, Single, parts_of, together
from core.trials.lagging import lagging
from core.trials.latches import not_held_before, unlatched
from core.trials.pieces import write
from core.trials.sense import check_fault
from core.trials.words import fault_words, lowered

Never = tuple[str, ...]
"""Steps that do not begin at all, by their ids."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One sequence with one fault, or several at once; `waits` has what follows a step wait until its drives have
    arrived."""

    sequence: str
    fault: Fault
    waits: bool = False

    def words(self, project: Project) -> str:
        """What is tried, in a few words."""
        lags = any(isinstance(one, DriveFault) for one in parts_of(self.fault))
        waiting = ", the rest waiting" if self.waits and lags else ""
        return fault_words(self.fault, Names(project)) + waiting

    @property
    def label(self) -> str:
        return "Try a fault"

    def apply(self, project: Project) -> Project:
        """What is tried, in place of the project; the project itself where the fault makes no sense in it."""
        try:
            return trial_project(project, self)
        except SenselessRequest:
            return project


def trial_project(project: Project, trial: Trial) -> Project:
    """The project with the faulty sequence alone, under its own id, and what is measured at moments that still come.

    All else stays as the same objects, so that a study of the sound project lends what it has. Raises
    SenselessRequest, in one line, where the sequence or the drive is not there or the fault makes no difference.
    """
    sequence = _sequence(project, trial.sequence)
    faulty = replace(faulty_sequence(project, trial), name=f"{name_of(sequence)}, {lowered(trial.words(project))}")
    wrong = next(sequence_problems(replace(project, sequences=(faulty,))), None)
    if wrong is not None:
        raise SenselessRequest(f"{trial.words(project)} cannot be tried: {wrong}")
    targets = tuple(
        replace(target, at=replace(target.at, sequence=sequence.id))
        for target in project.targets
        if belongs(target, sequence, project) and _comes(target, trial.fault, sequence, faulty)
    )
    return replace(project, sequences=(faulty,), targets=targets, figures=())


def faulty_sequence(project: Project, trial: Trial) -> Sequence:
    """The sequence as it would run; steps that do not begin are left out of it."""
    sequence, singles = _sequence(project, trial.sequence), parts_of(trial.fault)
    check_fault(project, sequence, trial.fault)
    made = _run_with(project, sequence, singles, waits=trial.waits)
    if len(singles) > 1:
        for one in singles:
            others = [other for other in singles if other is not one]
            if made == _run_with(project, sequence, others, waits=trial.waits):
                words = fault_words(one, Names(project)), fault_words(together(others), Names(project))
                raise SenselessRequest(f"{words[0]} makes no difference beside {words[1]}")
    return made


def _run_with(project: Project, sequence: Sequence, faults: SequenceOf[Single], *, waits: bool) -> Sequence:
    """What the sequence orders is turned back first, then what its latches do, and then what its drives make of it:
    so a drive that is late, slow or stuck is so on the way back as well."""
    for one in faults:
        if isinstance(one, Back):
            sequence = write(sequence, run_back(project, sequence, one.at))
    for one in faults:
        if isinstance(one, LatchFault):
            sequence = unlatched(_with(project, sequence), sequence, one)
    lags = [one for one in faults if isinstance(one, DriveFault)]
    if not lags:
        return sequence
    return not_held_before(
        sequence, write(sequence, lagging(_with(project, sequence), sequence, lags, waits=waits))
    )  # fmt: skip


def _with(project: Project, sequence: Sequence) -> Project:
    """The project with this sequence in place of the one of its id, so that no new id is one that it has by now."""
    return replace(project, sequences=tuple(sequence if one.id == sequence.id else one for one in project.sequences))


def never_begun(project: Project, trial: Trial) -> Never:
    """Steps that wait for ever; of a sequence that runs back, those it does not come to."""
    kept = {step.id for step in faulty_sequence(project, trial).steps}
    return tuple(step.id for step in _sequence(project, trial.sequence).steps if step.id not in kept)


def kept_sequence(project: Project, trial: Trial) -> Sequence:
    """The trial as a sequence of its own, with ids and a name that nothing in the project has."""
    faulty, taken = trial_project(project, trial).sequences[0], set[str]()

    def fresh(words: str) -> str:
        made = fresh_id(project, words, taken)
        taken.add(made)
        return made

    own = fresh(f"{faulty.id}-trial")
    ids = {step.id: fresh(step.id) for step in faulty.steps}

    def renamed(step: Step) -> Step:
        partners = {"after": ids.get(step.after or ""), "together_with": ids.get(step.together_with or "")}
        return replace(step, id=ids[step.id], **partners)

    name = fresh_name({one.name for one in project.sequences}, faulty.name)
    return replace(faulty, id=own, name=name, steps=tuple(renamed(step) for step in faulty.steps))


def _sequence(project: Project, wanted: str) -> Sequence:
    for sequence in project.sequences:
        if sequence.id == wanted:
            return sequence
    known = ", ".join(one.id for one in project.sequences) or "none"
    raise SenselessRequest(f"there is no sequence {wanted!r}; the project has {known}")


def _comes(target: Target, fault: Fault, sequence: Sequence, faulty: Sequence) -> bool:
    """Whether the moment of a target comes in the trial: not that of a step that never begins, nor what a sequence
    that runs back is not to reach."""
    at = target.at
    if at.after is not None and all(step.id != at.after for step in faulty.steps):
        return False
    turned = next((one.at for one in parts_of(fault) if isinstance(one, Back)), None)
    if turned is None or at.at == "start":
        return True
    if at.after is not None:
        return lay_out(sequence).step(at.after).end <= turned
    return isinstance(at.at, float) and at.at <= turned
