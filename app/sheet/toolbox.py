"""Every tool of the sheet, by its id: what it is called, its key, and what makes it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from app.sheet.bench import Bench
from app.sheet.tools.figures import DRAWING
from app.sheet.tools.fitting import FITTING
from app.sheet.tools.joints import JOINING
from app.sheet.tools.measuring import MEASURING
from app.sheet.tools.measuring_things import SIZING
from app.sheet.tools.moving import MOVING
from app.sheet.tools.outline import OutlineTool, WallTool
from app.sheet.tools.paths import TRACING
from app.sheet.tools.pull import PullTool
from app.sheet.tools.reshape import ReshapeTool
from app.sheet.tools.tool import Tool


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolRow:
    id: str
    words: str
    group: str
    make: Callable[[Bench], Tool]


GROUPS = ("Draw", "Join", "Change", "Fit", "Measure")


def _rows() -> dict[str, ToolRow]:
    grouped = (
        ("Draw", (OutlineTool, WallTool, *DRAWING)),
        ("Join", JOINING),
        ("Change", (ReshapeTool, *MOVING, PullTool)),
        ("Fit", FITTING),
        ("Measure", (*MEASURING, *SIZING, *TRACING)),
    )
    return {
        make.id: ToolRow(id=make.id, words=make.words, group=group, make=make)  # type: ignore[attr-defined]
        for group, makers in grouped
        for make in makers
    }


TOOLS: Mapping[str, ToolRow] = MappingProxyType(_rows())
