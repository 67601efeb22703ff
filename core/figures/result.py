"""What a published figure came to."""

from __future__ import annotations

from dataclasses import dataclass

from core.document.project import Figure, Point
from core.units import Tolerance

OUT_OF_ROUND = 0.005
"""By what share of its largest radius an outline may stand back from it and still be called round."""

Ends = tuple[Point, Point]
NOWHERE: Ends = ((0.0, 0.0), (0.0, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeUse:
    """How much of what a connection could travel is used, in millimetres or degrees."""

    used: float
    available: float | None = None
    """None where nothing limits it."""
    left: tuple[float, float] | None = None
    """What is left at the lower and the upper end; negative where it goes beyond."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Roundness:
    """How far an outline reaches about its hub, mm."""

    about: str | None
    """The pivot that is its hub; None where none is near its middle."""
    farthest: float
    nearest: float
    across: Ends = NOWHERE
    """Both ends of the diameter, as drawn."""

    @property
    def is_round(self) -> bool:
        return self.farthest - self.nearest <= OUT_OF_ROUND * self.farthest


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """The sides of the smallest rectangle about an outline, mm."""

    long: float
    short: float
    across: Ends = NOWHERE
    """Both ends of the long side's length through its middle, as drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeLength:
    """A rod that is made to another length than it is drawn with, mm."""

    made: float
    drawn: float


Beside = StrokeUse | Roundness | Sides | MadeLength
"""What is told beside a figure's size, so that it is not taken for more than it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureResult:
    """A figure beside what the model has in its place, in millimetres at model size or degrees; None is not known."""

    figure: Figure
    unit: str
    """`mm` or `deg`."""
    model: float | None = None
    wanted: float | None = None
    """What was published, at model size."""
    off: float | None = None
    """Model less wanted."""
    off_full_size: float | None = None
    """The same on the prototype; an angle has no size."""
    tolerance: Tolerance | None = None
    """What was published as how far it may be off, brought to model size."""
    shop: Tolerance | None = None
    """What the workshop may be off, at model size."""
    rounding: float = 0.0
    """How far the printed figures may lie from what was meant."""
    within_published: bool | None = None
    within_shop: bool | None = None
    beside: Beside | None = None
    trouble: str = ""
    """Why the model has no such value, a sentence; empty where it has one."""

    @property
    def id(self) -> str:
        return self.figure.id

    @property
    def is_off(self) -> bool:
        """Whether the model is outside the published tolerance, which counts as something found."""
        return self.within_published is False
