"""How far off work comes out by how it is made, plus or minus millimetres, each with where that comes from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

WORKSHOPS = "common practice of home workshops, unconfirmed"
SERVICES = "what makers of such parts state"


@dataclass(frozen=True, slots=True)
class Usual:
    within: float
    source: str


USUAL: Mapping[str, Usual] = MappingProxyType(
    {
        "milled": Usual(0.05, WORKSHOPS),
        "drilled": Usual(0.2, f"after marking out; {WORKSHOPS}"),
        "turned": Usual(0.02, WORKSHOPS),
        "printed": Usual(0.3, f"plastic thread below 100 mm; {SERVICES}"),
        "resin": Usual(0.1, SERVICES),
        "etched": Usual(0.05, f"a tenth of a half millimetre's sheet; {SERVICES}"),
        "filed": Usual(0.2, WORKSHOPS),
    }
)
"""By the ways that the file knows. Those of home workshops are from memory."""
