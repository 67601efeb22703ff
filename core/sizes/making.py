"""How true each way of making comes out, for a length between two holes and for the holes themselves."""

from __future__ import annotations

from dataclasses import dataclass

LONG = 100.0
"""From this length on, in mm, what is printed is off by its share and not by its least."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    id: str
    words: str
    least: float
    """± mm of a length between two holes."""
    share: float = 0.0
    """± of the length, where it is longer than `LONG`."""
    clearance: float = 0.0
    """mm by which a running hole is wider than its pin."""
    source: str

    def tolerance(self, length: float) -> float:
        """± mm of a length in mm."""
        return max(self.least, self.share * abs(length)) if abs(length) > LONG else self.least


WORKSHOP = "common workshop practice, from memory"
PRINTER = "public guides of print services"
MAKINGS = (
    Making(id="milled", words="milled", least=0.05, clearance=0.02, source=WORKSHOP),
    Making(id="drilled", words="marked out and drilled by hand", least=0.2, clearance=0.1, source=WORKSHOP),
    Making(id="printed", words="printed from filament", least=0.3, share=0.005, clearance=0.4, source=PRINTER),
    Making(id="resin", words="printed from resin", least=0.1, clearance=0.25, source=PRINTER),
    Making(id="etched", words="etched", least=0.05, clearance=0.02,
           source="an etching house's guidelines: a tenth of the thickness, here of 0.5 mm"),
)  # fmt: skip


def making_of(name: str) -> Making | None:
    return next((one for one in MAKINGS if one.id == name), None)
