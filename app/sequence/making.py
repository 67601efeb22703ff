"""Gestures that make a step of an empty stretch, and that have one step wait for another."""

from __future__ import annotations

from app.sequence.bars import Part
from app.sequence.gestures import SHORTEST, Hand, LaneGesture, laid_out, on_grid
from app.session import Session
from core.document.names import name_of
from core.document.project import Drive
from core.document.sequence_checks import ring_of_steps
from core.document.step_edits import AddStep
from core.document.step_time_edits import ChainStep
from core.findings.sentences import joined
from core.motion.new_steps import drawn_step
from core.units.times import tidy

SNAP = 6.0
"""Pixels within which a begin or an end comes to rest at one of another step."""


class DrawStep(LaneGesture):
    """An empty stretch dragged out: a new step, for the chosen drive or for one that is asked for afterwards."""

    def __init__(self, session: Session, begun: Hand, *, seconds_per_pixel: float) -> None:
        super().__init__(session, begun)
        self._near = SNAP * seconds_per_pixel
        self._drives = _meant(session)
        self._span = (0.0, 0.0)

    @property
    def asks(self) -> tuple[Drive, ...]:
        """The drives of which one has to be chosen before the step is one; none where that is known."""
        return () if self._drives is not None or self._edit is None or self.refused else self._project.drives

    def move(self, hand: Hand) -> None:
        first, last = (self._at_rest(time, hand.free) for time in sorted((self._begun.time, hand.time)))
        first = max(0.0, first)
        self._span = (first, max(first + SHORTEST, last))
        self.says = f"{self._span[1] - self._span[0]:.2f} s long"
        self._draw(self._drives or ())

    def take(self, drive: str | None) -> None:
        """Have it move a drive, or none at all, and make it."""
        self._drives = tuple(one for one in self._project.drives if one.id == drive)
        self._draw(self._drives)
        self.end()

    def end(self) -> None:
        super().end()
        if self._edit is not None and not self.refused:
            self._session.choose(self.step)

    def _draw(self, drives: tuple[Drive, ...]) -> None:
        step = drawn_step(self._project, self._sequence, *self._span, drives)
        self.step = step.id
        self._propose(AddStep(self._sequence.id, step, sequence_name=self._sequence.name))

    def _at_rest(self, time: float, free: bool) -> float:
        """On the grid, or where another step begins or ends."""
        if free:
            return on_grid(time, free)
        ends = [end for one in self._schedule.steps for end in (one.begin, one.end)]
        nearest = min(ends, key=lambda end: abs(end - time), default=None)
        return nearest if nearest is not None and abs(nearest - time) <= self._near else on_grid(time, free)


def _meant(session: Session) -> tuple[Drive, ...] | None:
    """The drive that is chosen, or is on the chosen connection, or is the only one; None where it has to be asked."""
    drives = session.project.drives if session.project is not None else ()
    chosen = tuple(one for one in drives if session.selection in (one.id, one.on))
    return chosen or (drives if len(drives) < 2 else None)


class Chain(LaneGesture):
    """From a step's handle onto another step, which then waits for its end, or for its begin."""

    in_time = False

    def __init__(self, session: Session, begun: Hand, step: str, part: Part) -> None:
        super().__init__(session, begun, step)
        self.part = part
        self.target: str | None = None
        """The step that would wait."""
        self._names = {one.id: name_of(one) for one in self._sequence.steps}

    def move(self, hand: Hand) -> None:
        if hand.step is None or hand.step == self.step:
            self.cancel()
            self.target, self.refused = None, ""
            self.says = f"onto the step that begins {self._how}"
            return
        self.target = hand.step
        self.says = f"{self._names[hand.step]} begins {self._how}"
        self._propose(self._edit_for(hand))
        changed = self._edit.apply(self._project) if self._edit is not None else self._project
        sequence = next(one for one in changed.sequences if one.id == self._sequence.id)
        if ring := ring_of_steps(sequence):
            waits = joined([self._names[one] for one in ring])
            self.refused = f"{waits} would wait for each other, and none would ever begin"
            self.preview = laid_out(self._sequence)

    @property
    def _how(self) -> str:
        return f"{'after' if self.part is Part.END else 'with'} {self._names[self.step]}"

    def _edit_for(self, hand: Hand) -> ChainStep:
        """At once after it or along with it; off the grid it begins when it did."""
        assert hand.step is not None
        delay = 0.0
        if hand.free:
            source = self._held()
            base = source.end if self.part is Part.END else source.begin
            delay = tidy(self._schedule.step(hand.step).begin - base)
        after, along = (self.step, None) if self.part is Part.END else (None, self.step)
        return ChainStep(self._sequence.id, hand.step, after=after, together_with=along, delay=delay)
