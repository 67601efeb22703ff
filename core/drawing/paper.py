"""Paper: sheet sizes of ISO 216, borders of ISO 5457, and the scales that ISO 5455 allows."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.errors import SenselessRequest

BORDER = 10.0
"""Millimetres from the edge of the sheet to its frame; ISO 5457."""
FILING_BORDER = 20.0
"""The same at the left, where it is filed."""
STEPS = (1.0, 2.0, 5.0)


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet lying on its long side, millimetres."""

    name: str
    width: float
    height: float


A4 = Paper("A4", 297.0, 210.0)
A3 = Paper("A3", 420.0, 297.0)


@dataclass(frozen=True, slots=True)
class Scale:
    """So many millimetres on paper for so many on the model."""

    paper: int
    model: int

    @property
    def ratio(self) -> float:
        return self.paper / self.model

    def __str__(self) -> str:
        return f"{self.paper} : {self.model}"


def scale_within(largest: float) -> Scale:
    """The largest scale of ISO 5455 that is not larger than a ratio: 1 : 1, and 2, 5 and 10 times ten to any power."""
    if not (math.isfinite(largest) and largest > 0.0):
        raise SenselessRequest("there is no room on the sheet for what is to be drawn")
    power = math.floor(math.log10(largest))
    choices = [step * 10.0**exponent for exponent in (power - 1, power, power + 1) for step in STEPS]
    ratio = max(choice for choice in choices if choice <= largest * (1.0 + 1e-9))
    return Scale(round(ratio), 1) if ratio >= 1.0 else Scale(1, round(1.0 / ratio))
