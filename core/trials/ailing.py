"""One drive that is late, slow or stuck, or more than one of these: how each of its moves really goes.

A drive that is told to move again before it is done leaves off there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.document.project import Move
from core.motion.inputs import Span, value_in
from core.trials.fault import DriveFault, Late, Slow, Stuck
from core.trials.pieces import cut

JUST = 1e-6
"""Degrees or millimetres that a drive may be off without being elsewhere."""
NEVER = math.inf
"""When a drive gets stuck that does not, and when a step ends that waits for one which is."""


@dataclass(slots=True)
class Own:
    """A move of a drive at fault, as it really goes."""

    drive: str
    move: Move | None
    """None where the drive does not move any more."""
    span: Span
    never: bool = False
    """Whether it never comes to its end."""

    def leave_off(self, time: float) -> None:
        """Break it off at a time; once it is over that changes nothing."""
        if self.move is not None and time < self.span.end:
            self.move = cut(self.move, self.span, time)
            self.span = replace(self.span, end=time, to=value_in(self.span, time))


class Ailing:
    """Is told its moves in the order of time."""

    def __init__(self, faults: Sequence[DriveFault], spans: Sequence[Span], start: float) -> None:
        self._lag = sum(one.seconds for one in faults if isinstance(one, Late))
        self._share = math.prod(one.share for one in faults if isinstance(one, Slow))
        self._stuck = min((one.at for one in faults if isinstance(one, Stuck)), default=NEVER)
        self._meant, self._value = spans, start
        self._last: Own | None = None

    def told(self, move: Move, begin: float, end: float, meant: tuple[float, float]) -> Own:
        """How a move goes that it is told at `begin`, and would end at `end` without a fault; `meant` is when it would
        have begun and ended if all went as drawn."""
        if self._last is not None:
            self._last.leave_off(begin + self._lag)
            self._value = self._last.span.to
        own = self._own(move, begin, end - begin, meant)
        self._last, self._value = own, own.span.to
        return own

    def _own(self, move: Move, told: float, duration: float, meant: tuple[float, float]) -> Own:
        begin = told + self._lag
        if self._share != 1.0:
            duration = self._took(move, duration, meant) / self._share
        span = Span(begin, begin + duration, self._value, move.to, move.profile, move.part)
        never = span.end > self._stuck
        if begin >= self._stuck:
            return Own(move.drive, None, replace(span, begin=told, end=told, to=self._value), never)
        own = Own(move.drive, move, span, never)
        own.leave_off(self._stuck)
        return own

    def _took(self, move: Move, duration: float, meant: tuple[float, float]) -> float:
        """How long the move takes at full speed from where the drive is, which may not be where it was meant to be."""
        sound = next(one for one in self._meant if (one.begin, one.end) == meant)
        way = abs(sound.to - sound.value)
        if way <= JUST or abs(self._value - sound.value) <= JUST:
            return duration
        return duration * abs(move.to - self._value) / way
