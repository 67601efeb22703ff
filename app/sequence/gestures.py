"""One class a mouse gesture on the lanes: begin, move, end, cancel; it ends by pushing one edit."""

from __future__ import annotations

from typing import Protocol

from app.session import Session
from core.document.edits import Edit, SetStepDelay, SetStepDuration
from core.motion.schedule import Schedule, lay_out

GRID = 0.05
"""Seconds that a drag keeps to, unless it is told to go freely."""
SHORTEST = 0.05


class LaneGesture(Protocol):
    """`preview` is the schedule as it would be; None before anything has moved."""

    step: str
    preview: Schedule | None

    def move(self, seconds: float, *, free: bool) -> None: ...

    def end(self) -> None: ...

    @property
    def says(self) -> str: ...


class _StepGesture:
    def __init__(self, session: Session, step_id: str) -> None:
        self._session, self.step = session, step_id
        self._edit: Edit | None = None
        self.preview: Schedule | None = None
        sequence, schedule = session.sequence, session.schedule
        if sequence is None or schedule is None:
            raise LookupError("no sequence is open")
        self._sequence = sequence
        self._before = next(one for one in sequence.steps if one.id == step_id)
        self._begin = schedule.step(step_id).begin

    def _propose(self, edit: Edit) -> None:
        project = self._session.project
        if project is None:
            return
        changed = edit.apply(project)
        self._edit = edit
        self.preview = lay_out(next(one for one in changed.sequences if one.id == self._sequence.id))

    def end(self) -> None:
        """Push what was dragged; nothing when it did not move."""
        if self._edit is not None:
            self._session.push(self._edit)


class StretchStep(_StepGesture):
    """The right edge of a bar: how long the step takes."""

    @property
    def says(self) -> str:
        seconds = self._edit.seconds if isinstance(self._edit, SetStepDuration) else self._before.duration
        return f"{seconds:.2f} s long"

    def move(self, seconds: float, *, free: bool) -> None:
        wanted = max(SHORTEST, on_grid(self._before.duration + seconds, free))
        self._propose(SetStepDuration(self._sequence.id, self.step, wanted))


class ShiftStep(_StepGesture):
    """The bar itself: how long after its partner the step starts."""

    @property
    def says(self) -> str:
        seconds = self._edit.seconds if isinstance(self._edit, SetStepDelay) else self._before.delay
        return f"{seconds:.2f} s delay" if seconds >= 0 else f"{-seconds:.2f} s early"

    def move(self, seconds: float, *, free: bool) -> None:
        earliest = self._before.delay - self._begin
        wanted = max(earliest, on_grid(self._before.delay + seconds, free))
        self._propose(SetStepDelay(self._sequence.id, self.step, wanted))


def on_grid(seconds: float, free: bool) -> float:
    """To the grid, or to the thousandth when it goes freely."""
    return round(seconds, 3) if free else round(round(seconds / GRID) * GRID, 3)
