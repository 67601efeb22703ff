"""A trial: a project with one of its sequences as it would run with a fault, to be solved and checked as any other."""

from __future__ import annotations

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
from core.trials.fault import Back, DriveFault, Fault, LatchFault, Late, NotEngaging, Slow, Stuck
from core.trials.lagging import lagging
from core.trials.latches import held_from_start, unlatched
from core.trials.pieces import write
from core.trials.words import fault_words

Never = tuple[str, ...]
"""Steps that do not begin at all, by their ids."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One sequence with one fault; `waits` has what follows a step wait until its drives have arrived."""

    sequence: str
    fault: Fault
    waits: bool = False

    def words(self, project: Project) -> str:
        """What is tried, in a few words."""
        waiting = ", the rest waiting" if self.waits and not isinstance(self.fault, Back | LatchFault) else ""
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
    faulty = replace(faulty_sequence(project, trial), name=f"{name_of(sequence)}, {_lowered(trial.words(project))}")
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
    sequence, fault = _sequence(project, trial.sequence), trial.fault
    if isinstance(fault, Back):
        _check_moment(sequence, fault.at)
        return write(sequence, run_back(project, sequence, fault.at))
    if isinstance(fault, LatchFault):
        _check_latch(project, sequence, fault)
        return unlatched(project, sequence, fault)
    _check_drive(project, sequence, fault)
    return write(sequence, lagging(project, sequence, fault, waits=trial.waits))


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


def _lowered(words: str) -> str:
    """`Stopped at` in the middle of a line; names keep their letters."""
    return words.replace("Stopped", "stopped", 1) if words.startswith("Stopped at") else words


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
    if not isinstance(fault, Back) or at.at == "start":
        return True
    if at.after is not None:
        return lay_out(sequence).step(at.after).end <= fault.at
    return isinstance(at.at, float) and at.at <= fault.at


def _check_moment(sequence: Sequence, at: float) -> None:
    end = lay_out(sequence).seconds
    if not 0.0 < at <= end:
        raise SenselessRequest(
            f"{name_of(sequence)} cannot stop at {at:g} s and run back; it runs from 0 to {end:g} s"
        )  # fmt: skip


def _check_latch(project: Project, sequence: Sequence, fault: LatchFault) -> None:
    worked = {one for step in sequence.steps for one in (*step.engage, *step.release)}
    if fault.latch not in worked:
        known = ", ".join(sorted(worked)) or "none"
        raise SenselessRequest(f"{name_of(sequence)} works no latch {fault.latch!r}; it works {known}")
    does = any(
        fault.latch in (step.engage if isinstance(fault, NotEngaging) else step.release) for step in sequence.steps
    )
    if not does:
        held = ", which holds from the start" if held_from_start(sequence, fault.latch) else ""
        word = "engages" if isinstance(fault, NotEngaging) else "releases"
        name = Names(project)(fault.latch)
        raise SenselessRequest(f"{name_of(sequence)} never {word} {name}{held}; nothing would differ")


def _check_drive(project: Project, sequence: Sequence, fault: DriveFault) -> None:
    moved = tuple(dict.fromkeys(move.drive for step in sequence.steps for move in step.moves))
    if fault.drive not in moved:
        known = ", ".join(moved) or "none"
        raise SenselessRequest(f"{name_of(sequence)} moves no drive {fault.drive!r}; it moves {known}")
    match fault:
        case Late(seconds=seconds) if not seconds > 0.0:
            raise SenselessRequest(f"a drive cannot be late by {seconds:g} s; more than 0 s is needed")
        case Slow(share=share) if not share > 0.0 or share == 1.0:
            wrong = f"a drive at {share:g} of its speed is no slow one"
            raise SenselessRequest(f"{wrong}; a share such as 0.5 is needed, and 0 is a drive that is stuck")
        case Stuck(at=at):
            last = max(
                step.end for step in lay_out(sequence).steps if any(move.drive == fault.drive for move in step.moves)
            )
            if not 0.0 <= at < last:
                name, where = Names(project)(fault.drive), name_of(sequence)
                raise SenselessRequest(f"{name} cannot get stuck at {at:g} s: its moves in {where} end at {last:g} s")
