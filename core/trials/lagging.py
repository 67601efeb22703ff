"""One drive late, slow or stuck: when every step begins and ends then, and how far the drive comes.

A step goes on for as long as any of its moves does: its latches let go when it is told to begin, and take hold when the
last of its moves has ended. What follows it either waits for that, as by a sequencing valve, or begins when it would
have begun, as by a timer. A drive that is told to move again before it is done leaves off there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from msgspec.structs import replace as with_fields

from core.document.fresh import fresh_id
from core.document.project import Move, Project, Sequence, Step
from core.document.sequence_checks import partner
from core.mechanism.build import build
from core.motion.inputs import Span, inputs_of, value_in
from core.motion.schedule import lay_out
from core.trials.fault import DriveFault, Late, Slow, Stuck
from core.trials.pieces import Piece, cut

JUST = 1e-6
"""Degrees or millimetres that a drive may be off without being elsewhere."""
NEVER = math.inf
"""When a step ends that waits for a drive which is stuck."""


@dataclass(slots=True)
class _Own:
    """A move of the drive at fault, as it really goes."""

    drive: str
    move: Move | None
    """None where the drive does not move any more."""
    span: Span

    def leave_off(self, time: float) -> None:
        """Break it off at a time; once it is over that changes nothing."""
        if self.move is not None and time < self.span.end:
            self.move = cut(self.move, self.span, time)
            self.span = replace(self.span, end=time, to=value_in(self.span, time))


@dataclass(slots=True)
class _Told:
    """A step with when it is told to begin, and when the moves of its other drives are over."""

    step: Step
    begin: float
    end: float
    over: float
    """When what waits for its end may begin."""
    own: _Own | None = None

    @property
    def others(self) -> tuple[Move, ...]:
        own = "" if self.own is None else self.own.drive
        return tuple(move for move in self.step.moves if move.drive != own)


def lagging(project: Project, sequence: Sequence, fault: DriveFault, *, waits: bool) -> tuple[Piece, ...]:
    """Every step that begins at all, in the sequence's order, with when it does."""
    told = _Timekeeper(project, sequence, fault, waits=waits).told()
    taken: set[str] = set()
    pieces: list[Piece] = []
    for place, step in enumerate(sequence.steps):
        if step.id in told:
            pieces += _pieces(project, told[step.id], partner(sequence, place), taken)
    return tuple(pieces)


class _Timekeeper:
    """Goes through the steps in the order they are told to begin."""

    def __init__(self, project: Project, sequence: Sequence, fault: DriveFault, *, waits: bool) -> None:
        self._sequence, self._fault, self._waits = sequence, fault, waits
        mechanism, schedule = build(project), lay_out(sequence)
        inputs = inputs_of(mechanism, schedule)
        number = mechanism.drives.index(fault.drive)
        self._meant = {step.id: (step.begin, step.end) for step in schedule.steps}
        self._spans = inputs.spans[number]
        self._value = inputs.start[number]
        self._last: _Own | None = None
        self._told: dict[str, _Told] = {}

    def told(self) -> dict[str, _Told]:
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

    def _tell(self, step: Step, begin: float) -> _Told:
        end = begin + step.duration if self._waits else self._meant[step.id][1]
        move = next((one for one in step.moves if one.drive == self._fault.drive), None)
        if move is None:
            return _Told(step, begin, end, end)
        if self._last is not None:
            self._last.leave_off(begin + self._lag)
            self._value = self._last.span.to
        own = self._own(step, move, begin, end)
        self._last, self._value = own, own.span.to
        if isinstance(self._fault, Stuck) and end > self._fault.at:
            told = with_fields(step, engage=()) if self._waits else step  # a step that never ends engages nothing
            return _Told(told, begin, end, NEVER, own)
        others_over = end if len(step.moves) > 1 else begin
        return _Told(step, begin, end, max(own.span.end, others_over), own)

    @property
    def _lag(self) -> float:
        return self._fault.seconds if isinstance(self._fault, Late) else 0.0

    def _own(self, step: Step, move: Move, begin: float, end: float) -> _Own:
        span = Span(begin + self._lag, end + self._lag, self._value, move.to, move.profile, move.part)
        if isinstance(self._fault, Slow):
            span = replace(span, end=begin + self._took(step, move, end - begin) / self._fault.share)
        if isinstance(self._fault, Stuck) and begin >= self._fault.at:
            return _Own(move.drive, None, replace(span, end=begin, to=self._value))
        own = _Own(move.drive, move, span)
        if isinstance(self._fault, Stuck):
            own.leave_off(self._fault.at)
        return own

    def _took(self, step: Step, move: Move, duration: float) -> float:
        """How long the move takes at full speed from where the drive is, which may not be where it was meant to be."""
        meant = next(one for one in self._spans if (one.begin, one.end) == self._meant[step.id])
        way = abs(meant.to - meant.value)
        if way <= JUST or abs(self._value - meant.value) <= JUST:
            return duration
        return duration * abs(move.to - self._value) / way


def _pieces(project: Project, told: _Told, waits_for: str | None, taken: set[str]) -> tuple[Piece, ...]:
    """The step as one piece, or as two where the drive at fault goes at another time than the rest of it; the one that
    ends last keeps its id."""
    step, own = told.step, told.own
    if own is None or (own.move in step.moves and (own.span.begin, own.span.end) == (told.begin, told.end)):
        return (Piece(step=step, begin=told.begin, end=told.end, waits_for=waits_for),)
    moved = () if own.move is None else (own.move,)
    begin, end = own.span.begin, own.span.end
    if told.over < NEVER and not told.others and not (step.release and begin > told.begin):
        return (Piece(step=with_fields(step, moves=moved), begin=begin, end=end, waits_for=waits_for),)
    rest_end = told.end if told.others or told.over == NEVER else begin
    rest = _Part(told.others, told.begin, rest_end, step.release)
    return _two(project, step, waits_for, taken, rest, _Part(moved, begin, end))


@dataclass(frozen=True, slots=True)
class _Part:
    moves: tuple[Move, ...]
    begin: float
    end: float
    release: tuple[str, ...] = ()


def _two(
    project: Project, step: Step, waits_for: str | None, taken: set[str], rest: _Part, own: _Part
) -> tuple[Piece, ...]:
    """What ends last is the step, whose latches take hold then; the other goes along with it. What the step needs it
    needs when it is told to begin, as the rest of it does."""
    last, first = (own, rest) if own.end >= rest.end else (rest, own)
    alone = not first.moves and not first.release
    needs = step.needs if alone or last is rest else ()
    main = with_fields(step, moves=last.moves, release=last.release, needs=needs)
    ends = Piece(step=main, begin=last.begin, end=last.end, waits_for=waits_for)
    if alone:
        return (ends,)
    words, sort = ("the rest", "rest") if first is rest else ("as far as it goes", "part")
    name = fresh_id(project, f"{step.id}-{sort}", taken)
    taken.add(name)
    other = Step(
        id=name, name=f"{step.name or step.id}, {words}", together_with=step.id, duration=first.end - first.begin,
        moves=first.moves, release=first.release, needs=step.needs if first is rest else (),
    )  # fmt: skip
    return (ends, Piece(step=other, begin=first.begin, end=first.end, waits_for=step.id))
