"""Four-bars and the six-bars that grow on them: each project beside its answer in closed form.

Ground pivots are O2 = 0 and O4 = (ground, 0); angles are from +x, counter-clockwise. `side` is +1 where the coupler's
far end B stands to the left of the way from the crank pin A to O4 (the open assembly), -1 for the crossed one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.document.project import Body, Connection, Step
from tests.mechanisms.example import Drives, Example, Mark
from tests.mechanisms.planar import Floats, Points, carried, degrees, meet_circles
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, rod, step

Side = float | Callable[[Floats], Floats]


@dataclass(frozen=True, slots=True, kw_only=True)
class FourBar:
    """Lengths in millimetres; `drawn` is the crank's angle in the drawn position, in degrees."""

    ground: float
    crank: float
    coupler: float
    rocker: float
    drawn: float = 40.0
    side: Side = 1.0
    """Of the crank's angle, where the motion goes through a change point and the sides are swapped smoothly."""
    point: complex = 0.3 + 0.4j
    """A third point of the coupler, from A as nought to B as one."""

    def pins(self, angle: Floats | float) -> tuple[Points, Points]:
        """A and B at crank angles in degrees."""
        side = self.side(np.asarray(angle, dtype=float)) if callable(self.side) else self.side
        a = self.crank * degrees(angle)
        return a, meet_circles(a, self.coupler, self.ground, self.rocker, side)

    def coupler_point(self, angle: Floats | float) -> Points:
        a, b = self.pins(angle)
        return a + (b - a) * self.point

    def drawn_pins(self) -> tuple[complex, complex]:
        a, b = self.pins(self.drawn)
        return complex(a), complex(b)

    def bodies(self) -> tuple[Body, ...]:
        return (frame(), *moving("crank", "coupler", "rocker"))

    def connections(self) -> tuple[Connection, ...]:
        a, b = self.drawn_pins()
        return (
            pivot("o2", FRAME, "crank", 0),
            pivot("a", "crank", "coupler", a),
            pivot("b", "coupler", "rocker", b),
            pivot("o4", FRAME, "rocker", self.ground),
        )

    def marks(self) -> dict[str, Mark]:
        a, b = self.drawn_pins()
        return {
            "a of crank": ("crank", a),
            "a of coupler": ("coupler", a),
            "b of coupler": ("coupler", b),
            "b of rocker": ("rocker", b),
            "o4 of rocker": ("rocker", complex(self.ground)),
            "coupler point": ("coupler", a + (b - a) * self.point),
        }

    def answer(self, drives: Drives, times: Floats) -> dict[str, Points]:
        """Where the marks are when the drive `input` turns the crank."""
        angle = self.drawn + drives["input"]
        a, b = self.pins(angle)
        o4 = np.full_like(a, self.ground)
        return {
            "a of crank": a,
            "a of coupler": a,
            "b of coupler": b,
            "b of rocker": b,
            "o4 of rocker": o4,
            "coupler point": a + (b - a) * self.point,
        }


def once_round(turn: float = 360.0, seconds: float = 6.0) -> tuple[Step, ...]:
    return (step("round", seconds, {"input": turn}),)


def four_bar(bar: FourBar, *, name: str, turn: float = 360.0, start: float | None = None) -> Example:
    """The crank driven by `turn` degrees, from `start` degrees past the drawn position."""
    begin = None if start is None else {"input": start}
    return Example(
        name=name,
        project=project(bar.bodies(), bar.connections(), {"input": "o2"}, once_round(turn), begin),
        marks=bar.marks(),
        answer=bar.answer,
    )


def four_bar_of_rods(bar: FourBar, *, name: str) -> Example:
    """The coupler as a rod without a body of its own."""
    a, b = bar.drawn_pins()
    connections = (
        pivot("o4", "rocker", FRAME, bar.ground),
        rod("coupler", "rocker", "crank", b, a),
        pivot("o2", FRAME, "crank", 0),
    )

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        pin_a, pin_b = bar.pins(bar.drawn + drives["input"])
        return {"a": pin_a, "b": pin_b}

    return Example(
        name=name,
        project=project((frame(), *moving("rocker", "crank")), connections, {"input": "o2"}, once_round()),
        marks={"a": ("crank", a), "b": ("rocker", b)},
        answer=answer,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Dyad:
    """Two more bodies on a four-bar: from a point of one body to a point of another, meeting at `g`."""

    first: Mark
    second: Mark
    lengths: tuple[float, float]
    side: float


def six_bar(bar: FourBar, dyad: Dyad, *, name: str, turn: float = 360.0) -> Example:
    """Watt's (the dyad stands on coupler and rocker, or on rocker and frame) or Stephenson's (coupler and frame)."""
    drawn = _ends(bar, dyad, bar.drawn)
    g = complex(meet_circles(drawn[0], dyad.lengths[0], drawn[1], dyad.lengths[1], dyad.side))
    e, f = complex(drawn[0]), complex(drawn[1])
    connections = (
        *bar.connections(),
        pivot("e", dyad.first[0], "link-e", e),
        pivot("g", "link-e", "link-f", g),
        pivot("f", "link-f", dyad.second[0], f),
    )

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        pin_e, pin_f = _ends(bar, dyad, bar.drawn + drives["input"])
        pin_g = meet_circles(pin_e, dyad.lengths[0], pin_f, dyad.lengths[1], dyad.side)
        four = bar.answer(drives, times)
        return {**four, "e": pin_e, "f": pin_f, "g of link-e": pin_g, "g of link-f": pin_g}

    return Example(
        name=name,
        project=project((*bar.bodies(), *moving("link-e", "link-f")), connections, {"input": "o2"}, once_round(turn)),
        marks={
            **bar.marks(),
            "e": ("link-e", e),
            "f": ("link-f", f),
            "g of link-e": ("link-e", g),
            "g of link-f": ("link-f", g),
        },
        answer=answer,
    )


def _ends(bar: FourBar, dyad: Dyad, angle: Floats | float) -> tuple[Points, Points]:
    return _follow(bar, dyad.first, angle), _follow(bar, dyad.second, angle)


def _follow(bar: FourBar, mark: Mark, angle: Floats | float) -> Points:
    """Where a body's point goes; the point is given as drawn."""
    body, point = mark
    a, b = bar.pins(angle)
    drawn_a, drawn_b = bar.drawn_pins()
    if body == FRAME:
        return np.full_like(a, point)
    if body == "crank":
        return carried(np.zeros_like(a), a, (0, drawn_a, point))
    if body == "coupler":
        return carried(a, b, (drawn_a, drawn_b, point))
    return carried(np.full_like(a, bar.ground), b, (bar.ground, drawn_b, point))
