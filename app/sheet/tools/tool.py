"""What every tool of the sheet has: it takes clicks and keys until something is made, and ends by pushing one edit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, auto

from app.widgets.offers import Offers
from core.document.project import Point
from core.drawing.drawing import Label, Mark
from core.sketch.snapping import Snap


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Where the hand is, in the drawn position of the view."""

    raw: Point
    """Millimetres under the pointer."""
    point: Point
    """What that means: snapped, where something is near."""
    snap: Snap
    reach: float
    """Millimetres within which something is near."""
    shift: bool = False
    under: tuple[str, ...] = ()
    """The ids of what lies under a press, nearest to the eye first, of a tool that grasps."""


class Unit(Enum):
    LENGTH = auto()
    ANGLE = auto()
    COUNT = auto()
    NAME = auto()
    """Read by the tool itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A number that can be typed while a tool is at work."""

    id: str
    words: str
    unit: Unit = Unit.LENGTH
    value: float | None = None
    """What it is now: millimetres or degrees."""
    offers: Offers = ()
    """Sizes that are often meant."""
    positive: bool = False
    """Whether it has to be more than 0."""


@dataclass(frozen=True, slots=True)
class Preview:
    """What a tool draws over the sheet, in the view's millimetres."""

    marks: tuple[Mark, ...] = ()
    labels: tuple[Label, ...] = ()


class Tool:
    """A tool that is at work. It holds what is begun and nothing else; the bench does what it decides."""

    id = ""
    words = ""
    as_drawn = True
    """Whether the drawn position is shown while it is at work, and not the moment that is looked at."""
    snaps = True
    """Whether the hand is drawn to corners, edges and the grid."""
    grasps = False
    """Whether it takes hold of what lies under the hand: it is told what that is, and the hand is drawn to nothing."""

    def hint(self) -> str:
        """What is expected next, in a line."""
        raise NotImplementedError

    def start(self) -> Point | None:
        """Where the stretch under way begins, for right directions."""
        return None

    def press(self, hand: Hand) -> None:
        """The button went down."""

    def move(self, hand: Hand) -> None:
        """The hand moved, with the button down or up."""

    def release(self, hand: Hand) -> None:
        """The button came up."""

    def finish(self) -> None:
        """Enter, or a double click: end what is begun, where it can be ended."""

    def back(self) -> bool:
        """Backspace: take the last point back; False where there is none."""
        return False

    def remove(self) -> bool:
        """Delete; False where nothing is to be removed."""
        return False

    def fields(self) -> Sequence[Field]:
        return ()

    def enter(self, values: Mapping[str, float]) -> None:
        """Numbers were typed; those that were not stay as they are."""

    def read(self, field: str, text: str) -> float:
        """What was typed in a field that the tool reads itself; raises ValueError with the reason."""
        raise NotImplementedError

    def cancel(self) -> bool:
        """Give up what is begun; False where nothing is, and the tool is to be put away."""
        return False

    def look_elsewhere(self) -> None:
        """Another sequence is looked at: what is in the hand would stand elsewhere than under it."""

    def preview(self) -> Preview:
        return Preview()
