"""The mechanism: what a project's bodies and connections are to the solver, by number instead of by name."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from functools import cached_property


class Kind(Enum):
    PIVOT = auto()
    SLIDE = auto()
    SLOT = auto()
    ROD = auto()
    JACK = auto()
    GEARING = auto()
    LATCH = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One connection. Points are x + iy as drawn; `p` is carried by the first body, `q` by the second.

    A slot's `p` is where its line begins. A gearing has no bodies of its own: `pivots` are the numbers of the two
    connections it couples.
    """

    id: str
    kind: Kind
    first: int = -1
    second: int = -1
    p: complex = 0j
    q: complex = 0j
    along: complex = 1 + 0j
    """Unit direction of a slide or a slot."""
    length: float = 0.0
    """Of a rod; of a slot's line; of a jack when closed; the drawn one where a file gives none."""
    stroke: float = 0.0
    ratio: float = 1.0
    reach: float = 0.0
    pivots: tuple[int, int] = (-1, -1)
    drive: int = -1
    """The number of the drive on it, or -1."""
    limits: tuple[float, float] | None = None
    """In its drive's terms; of a slot from 0 to its length, of a jack from 0 to its stroke."""

    @property
    def bodies(self) -> tuple[int, int]:
        return self.first, self.second


@dataclass(frozen=True, kw_only=True)
class Mechanism:
    """B bodies, C connections and D drives, numbered in the order of the file."""

    bodies: tuple[str, ...]
    fixed: tuple[bool, ...]
    round: tuple[bool, ...]
    """Wheels that are round about the one pivot they hang on: turning changes nothing of them."""
    links: tuple[Link, ...]
    drives: tuple[str, ...]
    driven: tuple[int, ...]
    """(D,) the number of the connection that each drive is on."""
    drawn: tuple[float, ...]
    """(D,) each drive's value in the drawn position, in its terms."""
    size: float
    """How far apart the connections' points are, mm: the length by which a turn is compared with a shift."""

    @cached_property
    def drive_of(self) -> dict[str, int]:
        return {drive: number for number, drive in enumerate(self.drives)}

    @cached_property
    def link_of(self) -> dict[str, int]:
        return {link.id: number for number, link in enumerate(self.links)}
