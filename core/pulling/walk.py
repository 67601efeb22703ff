"""The walk from where a body was grabbed to the hand: what one call knows of its way."""

from __future__ import annotations

from dataclasses import dataclass

from core.geometry.planar import Floats
from core.pulling.grab import Grab
from core.pulling.tangent import Tangent


@dataclass(slots=True)
class Walk:
    grab: Grab
    aim: complex
    state: Floats
    here: Tangent
    size: float
    room: float
    held: Floats
    """(limits,) what each limit bears, positive at its lower end."""
    allowed: float
    """Millimetres by which connections that follow from others may be off."""
    rank: float
    turned_back: int = -1
    arrived: bool = False
    tries: int = 0
    crossing: bool = False
    """Whether it is just before a place where two ways cross."""

    def gap(self, values: Floats) -> complex:
        """From the grabbed point to the hand."""
        x, y = values[self.grab.hand]
        return self.aim - complex(x, y)
