"""Whether a fault makes sense in a sequence, and if not, why in one line."""

from __future__ import annotations

from core.document.names import name_of
from core.document.project import Project, Sequence
from core.errors import SenselessRequest
from core.findings.sentences import Names
from core.motion.schedule import lay_out
from core.trials.fault import Back, DriveFault, Fault, LatchFault, Late, NotEngaging, Single, Slow, Stuck, parts_of
from core.trials.latches import held_from_start
from core.trials.words import fault_words


def check_fault(project: Project, sequence: Sequence, fault: Fault) -> None:
    """Raises SenselessRequest, in one line, for what cannot fail, or not in this way."""
    singles = parts_of(fault)
    for one in singles:
        _check_single(project, sequence, one, alone=len(singles) == 1)
    names = Names(project)
    for place, one in enumerate(singles):
        for other in singles[:place]:
            if _exclude(one, other):
                which = fault_words(other, names), fault_words(one, names)
                raise SenselessRequest(f"{' and '.join(which)} cannot be tried together: one of them is enough")


def _exclude(one: Single, other: Single) -> bool:
    """Whether two faults cannot be told from one of their kind: a drive late twice, a latch that fails in two ways, a
    sequence run back twice."""
    if isinstance(one, LatchFault) and isinstance(other, LatchFault):
        return one.latch == other.latch
    if type(one) is not type(other):
        return False
    return isinstance(one, Back) or (isinstance(one, DriveFault) and one.drive == getattr(other, "drive", None))


def _check_single(project: Project, sequence: Sequence, fault: Single, *, alone: bool) -> None:
    if isinstance(fault, Back):
        _check_moment(sequence, fault.at)
    elif isinstance(fault, LatchFault):
        _check_latch(project, sequence, fault, alone=alone)
    else:
        _check_drive(project, sequence, fault, alone=alone)


def _check_moment(sequence: Sequence, at: float) -> None:
    end = lay_out(sequence).seconds
    if not 0.0 < at <= end:
        raise SenselessRequest(
            f"{name_of(sequence)} cannot stop at {at:g} s and run back; it runs from 0 to {end:g} s"
        )  # fmt: skip


def _check_latch(project: Project, sequence: Sequence, fault: LatchFault, *, alone: bool) -> None:
    """Where a sequence runs back, a latch that let go takes hold again."""
    worked = {one for step in sequence.steps for one in (*step.engage, *step.release)}
    if fault.latch not in worked:
        known = ", ".join(sorted(worked)) or "none"
        raise SenselessRequest(f"{name_of(sequence)} works no latch {fault.latch!r}; it works {known}")
    does = any(
        fault.latch in (step.engage if isinstance(fault, NotEngaging) else step.release) for step in sequence.steps
    )
    if alone and not does:
        held = ", which holds from the start" if held_from_start(sequence, fault.latch) else ""
        word = "engages" if isinstance(fault, NotEngaging) else "releases"
        name = Names(project)(fault.latch)
        raise SenselessRequest(f"{name_of(sequence)} never {word} {name}{held}; nothing would differ")


def _check_drive(project: Project, sequence: Sequence, fault: DriveFault, *, alone: bool) -> None:
    """Beside another fault a drive may move later than it is meant to, and get stuck then."""
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
            if not at >= 0.0 or (alone and not at < last):
                name, where = Names(project)(fault.drive), name_of(sequence)
                raise SenselessRequest(f"{name} cannot get stuck at {at:g} s: its moves in {where} end at {last:g} s")
