"""Edits of pinned moments: moments of a sequence whose ghost stays on the sheet."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import with_sequence
from core.document.project import Project, Sequence

SAME_MOMENT = 5e-4
"""Seconds: two pins nearer than this are one, since a moment is told to a thousandth."""


def pin_near(sequence: Sequence, seconds: float, within: float = SAME_MOMENT) -> float | None:
    """The pinned moment of a sequence nearest to a moment, and no further from it; None where there is none."""
    near = [one for one in sequence.pinned if abs(one - seconds) <= within]
    return min(near, key=lambda one: abs(one - seconds), default=None)


@dataclass(frozen=True, slots=True)
class PinMoment:
    """A moment pinned, seconds into its sequence; one that is pinned already changes nothing."""

    sequence: str
    seconds: float

    @property
    def label(self) -> str:
        return "Pin moment"

    def apply(self, project: Project) -> Project:
        return _changed(project, self.sequence, lambda pinned: _with(pinned, self.seconds))


@dataclass(frozen=True, slots=True)
class MovePin:
    """A pinned moment elsewhere; brought onto another one, the two become one."""

    sequence: str
    seconds: float
    to: float

    @property
    def label(self) -> str:
        return "Move pin"

    def apply(self, project: Project) -> Project:
        def move(pinned: tuple[float, ...]) -> tuple[float, ...]:
            left = _without(pinned, self.seconds)
            return pinned if left == pinned or not math.isfinite(self.to) else _with(left, self.to)

        return _changed(project, self.sequence, move)


@dataclass(frozen=True, slots=True)
class Unpin:
    """Without a pinned moment; without any where no moment is named."""

    sequence: str
    seconds: float | None = None

    @property
    def label(self) -> str:
        return "Unpin every moment" if self.seconds is None else "Unpin moment"

    def apply(self, project: Project) -> Project:
        return _changed(
            project, self.sequence, lambda pinned: () if self.seconds is None else _without(pinned, self.seconds)
        )


def _changed(
    project: Project, sequence: str, change: Callable[[tuple[float, ...]], tuple[float, ...]]
) -> Project:  # fmt: skip
    return with_sequence(project, sequence, lambda one: replace(one, pinned=change(one.pinned)))


def _with(pinned: tuple[float, ...], seconds: float) -> tuple[float, ...]:
    """In order of time; none is before the sequence begins."""
    if not math.isfinite(seconds) or any(abs(one - seconds) <= SAME_MOMENT for one in pinned):
        return pinned
    return tuple(sorted((*pinned, max(0.0, seconds))))


def _without(pinned: tuple[float, ...], seconds: float) -> tuple[float, ...]:
    return tuple(one for one in pinned if not abs(one - seconds) <= SAME_MOMENT)
