"""One class a mouse gesture on the lanes: begun by a press, moved, ended by one edit, or given up without a trace.

What a gesture would do is proposed to the session as the hand moves, so that all that is shown follows it.
"""

from __future__ import annotations

from dataclasses import dataclass

from app.session import Session
from core.document.checks import new_problems
from core.document.edits import Edit
from core.document.fresh import fresh_id
from core.document.names import by_id
from core.document.problem_words import in_words
from core.document.project import Sequence
from core.document.step_time_edits import OrderSteps, SetStepDuration, SetStepSpan, ShiftSteps
from core.errors import SenselessRequest
from core.motion.schedule import Schedule, ScheduledStep, lay_out
from core.units.times import tidy

GRID = 0.05
"""Seconds that a drag keeps to, unless it is told to go freely."""
SHORTEST = 0.05
FIRST = "Retract"
"""What the first sequence is called until it is named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Where the hand is: the moment and the row under it, the step in that row, and whether it goes off the grid."""

    time: float
    row: int = 0
    step: str | None = None
    free: bool = False


class LaneGesture:
    """Made by a press; `says` and `refused` are what is told beside the hand."""

    in_time = True
    """Whether it goes along the time ruler, and may need more of it."""

    def __init__(self, session: Session, begun: Hand, step: str = "") -> None:
        sequence, schedule = session.sequence, session.schedule
        if sequence is None or schedule is None or session.project is None:
            raise LookupError("no sequence is open")
        self._session, self._begun, self.step = session, begun, step
        self._project, self._sequence, self._schedule = session.project, sequence, schedule
        if not self._project.sequences:
            self._sequence = Sequence(id=fresh_id(self._project, FIRST), name=FIRST)
        self._edit: Edit | None = None
        self.preview: Schedule | None = None
        """As it would be, also where that makes no sense; None before anything has moved."""
        self.says = ""
        self.refused = ""
        """Why what the hand is about cannot be; empty where it can."""

    def move(self, hand: Hand) -> None:
        raise NotImplementedError

    def end(self) -> None:
        """Push what was proposed; say why not where that makes no sense."""
        if self.refused:
            self.cancel()
            self._session.turn_down(self.refused)
        elif self._edit is not None:
            self._session.push(self._edit)

    def cancel(self) -> None:
        self._edit, self.preview = None, None
        self._session.withdraw()

    def _propose(self, edit: Edit) -> None:
        changed = edit.apply(self._project)
        sequence = by_id(changed.sequences, self._sequence.id) or self._sequence
        self._edit, self.preview = edit, laid_out(sequence)
        self._session.propose(edit)
        self.refused = self._session.senseless
        for wrong in new_problems(self._project, changed)[:1] if self.refused else ():
            self.refused = f"{edit.label} cannot be. {in_words(changed, wrong)}"

    def _chosen(self) -> tuple[str, ...]:
        """The steps that go together: those that are chosen, in the list's order, where the held one is among them."""
        chosen = tuple(one.id for one in self._sequence.steps if one.id in self._session.chosen)
        return chosen if self.step in chosen else (self.step,)

    def _held(self) -> ScheduledStep:
        """The step that is held, as it was."""
        return self._schedule.step(self.step)


class StretchStep(LaneGesture):
    """The right edge of a bar: how long the step takes."""

    def move(self, hand: Hand) -> None:
        held = self._held()
        wanted = held.end - held.begin + hand.time - self._begun.time
        seconds = max(SHORTEST, on_grid(wanted, hand.free))
        self.says = f"{seconds:.2f} s long"
        self._propose(SetStepDuration(self._sequence.id, self.step, seconds))


class BeginStep(LaneGesture):
    """The left edge of a bar: when the step begins, while it ends when it did."""

    def move(self, hand: Hand) -> None:
        held = self._held()
        delay = _delay(self._sequence, self.step)
        latest = max(held.begin, held.end - SHORTEST)
        by = on_grid(delay + hand.time - self._begun.time, hand.free) - delay
        by = min(max(-held.begin, by), latest - held.begin)
        delay = tidy(delay + by)
        self.says = after_its_partner(delay)
        self._propose(SetStepSpan(self._sequence.id, self.step, delay, tidy(held.end - held.begin - by)))


class ShiftStep(LaneGesture):
    """Bars themselves: how long after their partners the chosen steps begin, one or several together."""

    def __init__(self, session: Session, begun: Hand, step: str) -> None:
        super().__init__(session, begun, step)
        self._steps = self._chosen()

    def move(self, hand: Hand) -> None:
        delay = _delay(self._sequence, self.step)
        by = on_grid(delay + hand.time - self._begun.time, hand.free) - delay
        earliest = min(self._schedule.step(one).begin for one in self._steps)
        by = tidy(max(-earliest, by))
        alone = len(self._steps) == 1
        self.says = (
            after_its_partner(delay + by)
            if alone
            else f"{len(self._steps)} steps {abs(by):.2f} s {'later' if by >= 0 else 'sooner'}"
        )
        self._propose(ShiftSteps(self._sequence.id, self._steps, by))


class OrderRow(LaneGesture):
    """A bar or a name up and down: the place of the chosen steps in the list, while every step begins when it did."""

    in_time = False

    def move(self, hand: Hand) -> None:
        steps, count = self._chosen(), len(self._sequence.steps)
        place = min(max(0, hand.row - steps.index(self.step)), count - len(steps))
        alone = len(steps) == 1
        self.says = f"row {place + 1} of {count}" if alone else f"rows {place + 1} to {place + len(steps)} of {count}"
        self._propose(OrderSteps(self._sequence.id, steps, place))


def laid_out(sequence: Sequence) -> Schedule | None:
    """The schedule, or None where steps wait for each other."""
    try:
        return lay_out(sequence)
    except SenselessRequest:
        return None


def on_grid(seconds: float, free: bool) -> float:
    """To the grid, or to the thousandth when it goes freely."""
    return round(seconds, 3) if free else round(round(seconds / GRID) * GRID, 3)


def after_its_partner(delay: float) -> str:
    return f"{delay:.2f} s delay" if delay >= 0 else f"{-delay:.2f} s early"


def _delay(sequence: Sequence, step: str) -> float:
    return next(one.delay for one in sequence.steps if one.id == step)
