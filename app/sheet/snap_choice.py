"""What the hand is drawn to on the sheet: whether it is at all, to which kinds of place, and to which grid."""

from __future__ import annotations

from dataclasses import dataclass, replace

from app.settings import Settings
from core.sketch.grids import COARSEST, FAMILIES, FINEST, family_of
from core.sketch.snap_targets import Kind
from core.sketch.snapping import EVERY_KIND

WORDS = {
    Kind.CORNER: "Corners",
    Kind.MIDDLE: "Middles of edges",
    Kind.EDGE: "Edges",
    Kind.PIVOT: "Pivots and ends",
    Kind.CENTRE: "Centres",
    Kind.CROSSING: "Crossings",
    Kind.DIRECTION: "Directions",
    Kind.GRID: "Grid",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SnapChoice:
    on: bool = True
    kinds: frozenset[Kind] = EVERY_KIND
    metric: float | None = FAMILIES["metric"]
    """Millimetres between the grid's lines of aircraft measured in parts of a metre; None for no grid."""
    inch: float | None = FAMILIES["inch"]

    def grid(self, unit: str) -> float | None:
        """The grid's squares of an aircraft measured in a unit, mm."""
        return self.inch if family_of(unit) == "inch" else self.metric

    def with_grid(self, unit: str, grid: float | None) -> SnapChoice:
        return replace(self, inch=grid) if family_of(unit) == "inch" else replace(self, metric=grid)

    def with_kind(self, kind: Kind, on: bool) -> SnapChoice:
        return replace(self, kinds=self.kinds | {kind} if on else self.kinds - {kind})


def kept_choice(settings: Settings) -> SnapChoice:
    """As it was when the window was last used."""
    return SnapChoice(
        on=settings.flag("snap", True),
        kinds=frozenset(kind for kind in WORDS if settings.flag(f"snap-{kind.name.lower()}", True)),
        metric=_grid(settings, "metric"),
        inch=_grid(settings, "inch"),
    )


def keep_choice(settings: Settings, choice: SnapChoice) -> None:
    settings.keep_flag("snap", choice.on)
    for kind in WORDS:
        settings.keep_flag(f"snap-{kind.name.lower()}", kind in choice.kinds)
    settings.keep_text("grid-metric", "none" if choice.metric is None else repr(choice.metric))
    settings.keep_text("grid-inch", "none" if choice.inch is None else repr(choice.inch))


def _grid(settings: Settings, family: str) -> float | None:
    """What cannot be read is as if it had never been kept."""
    text = settings.text(f"grid-{family}", "")
    if text == "none":
        return None
    try:
        grid = float(text)
    except ValueError:
        return FAMILIES[family]
    return grid if FINEST <= grid <= COARSEST else FAMILIES[family]
