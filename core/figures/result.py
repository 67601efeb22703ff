"""What a published figure came to."""

from __future__ import annotations

from dataclasses import dataclass

from core.document.project import Figure
from core.units import Tolerance


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
    trouble: str = ""
    """Why the model has no such value, a sentence; empty where it has one."""

    @property
    def id(self) -> str:
        return self.figure.id

    @property
    def is_off(self) -> bool:
        """Whether the model is outside the published tolerance, which counts as something found."""
        return self.within_published is False
