"""Drives late, slow or stuck: when every step begins and ends then, and how far each drive comes.

A step goes on for as long as any of its moves does: its latches let go when it is told to begin, and take hold when the
last of its moves has ended. What follows it either waits for that, as by a sequencing valve, or begins when it would
have begun, as by a timer.
"""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Sequence as SequenceOf

from msgspec.structs import replace

from core.document.project import Project, Sequence, Step
from core.document.sequence_checks import partner
from core.mechanism.build import build
from core.motion.inputs import inputs_of
from core.motion.schedule import lay_out
from core.trials.ailing import NEVER, Ailing
from core.trials.fault import DriveFault
from core.trials.parting import Told, parted
from core.trials.pieces import Piece


def lagging(
    project: Project, sequence: Sequence, faults: SequenceOf[DriveFault], *, waits: bool
) -> tuple[Piece, ...]:  # fmt: skip
    """Every step that begins at all, in the sequence's order, with when it does."""
    told = _Timekeeper(project, sequence, faults, waits=waits).told()
    taken: set[str] = set()
    pieces: list[Piece] = []
    for place, step in enumerate(sequence.steps):
        if step.id in told:
            pieces += parted(project, told[step.id], partner(sequence, place), taken)
    return tuple(pieces)


class _Timekeeper:
    """Goes through the steps in the order they are told to begin."""

    def __init__(
        self, project: Project, sequence: Sequence, faults: Iterable[DriveFault], *, waits: bool
    ) -> None:  # fmt: skip
        self._sequence, self._waits = sequence, waits
        mechanism, schedule = build(project), lay_out(sequence)
        inputs = inputs_of(mechanism, schedule)
        self._meant = {step.id: (step.begin, step.end) for step in schedule.steps}
        by_drive: dict[str, list[DriveFault]] = {}
        for fault in faults:
            by_drive.setdefault(fault.drive, []).append(fault)
        numbers = {drive: mechanism.drives.index(drive) for drive in by_drive}
        self._ailing = {
            drive: Ailing(some, inputs.spans[numbers[drive]], inputs.start[numbers[drive]])
            for drive, some in by_drive.items()
        }
        self._told: dict[str, Told] = {}

    def told(self) -> dict[str, Told]:
        waiting = list(range(len(self._sequence.steps)))
        while ready := [(begin, place) for place in waiting if (begin := self._begin(place)) is not None]:
            begin, place = min(ready)
            if begin == NEVER:
                break
            waiting.remove(place)
            step = self._sequence.steps[place]
            self._told[step.id] = self._tell(step, begin)
        return self._told

    def _begin(self, place: int) -> float | None:
        """When a step is told to begin; None while that is not known yet."""
        step, before = self._sequence.steps[place], partner(self._sequence, place)
        if not self._waits:
            return self._meant[step.id][0]
        if before is None:
            return step.delay
        if before not in self._told:
            return None
        other = self._told[before]
        return (other.begin if step.together_with else other.over) + step.delay

    def _tell(self, step: Step, begin: float) -> Told:
        meant = self._meant[step.id]
        end = begin + step.duration if self._waits else meant[1]
        own = tuple(
            self._ailing[move.drive].told(move, begin, end, meant) for move in step.moves if move.drive in self._ailing
        )
        if any(one.never for one in own):
            told = replace(step, engage=()) if self._waits else step  # a step that never ends engages nothing
            return Told(told, begin, end, NEVER, own)
        others_over = end if not own or len(step.moves) > len(own) else begin
        return Told(step, begin, end, max(others_over, *(one.span.end for one in own)) if own else end, own)
