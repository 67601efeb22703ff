"""Mechanisms with slides, slots and jacks, each beside its answer in closed form."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.mechanisms.example import Drives, Example
from tests.mechanisms.four_bars import once_round
from tests.mechanisms.planar import Floats, Points, degrees, meet_circles, meet_line, side_of, unit
from tests.mechanisms.sketch import FRAME, frame, jack, moving, pivot, project, rod, slide, slot, step


@dataclass(frozen=True, slots=True, kw_only=True)
class SliderCrank:
    """Crank about the origin; slider pin B runs on y = offset, turned by `line` degrees about the origin."""

    crank: float
    rod: float
    offset: float = 0.0
    drawn: float = 50.0
    side: float = 1.0
    line: float = 0.0

    def pins(self, angle: Floats | float) -> tuple[Points, Points]:
        a = self.crank * degrees(angle)
        along = degrees(self.line)
        return a, meet_line(a, self.rod, 1j * self.offset * along, along, self.side)

    def drawn_pins(self) -> tuple[complex, complex]:
        a, b = self.pins(self.drawn)
        return complex(a), complex(b)


def slider_crank(mechanism: SliderCrank, *, name: str, turn: float = 360.0, as_rod: bool = False) -> Example:
    """Driven by the crank; the connecting rod is a body, or a rod without one."""
    a, b = mechanism.drawn_pins()
    along = complex(degrees(mechanism.line))
    joined = (
        (rod("rod", "crank", "slider", a, b),)
        if as_rod
        else (pivot("a", "crank", "link", a), pivot("b", "link", "slider", b))
    )
    bodies = (frame(), *moving("crank", *(() if as_rod else ("link",)), "slider"))
    elsewhere = b + 7 * along + 3j * along
    marks = {"a": ("crank", a), "b": ("slider", b), "slider corner": ("slider", elsewhere)}
    link_marks = {} if as_rod else {"a of link": ("link", a), "b of link": ("link", b)}

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        pin_a, pin_b = mechanism.pins(mechanism.drawn + drives["input"])
        link = {} if as_rod else {"a of link": pin_a, "b of link": pin_b}
        return {"a": pin_a, "b": pin_b, "slider corner": pin_b + (elsewhere - b), **link}

    return Example(
        name=name,
        project=project(
            bodies,
            (pivot("o2", FRAME, "crank", 0), *joined, slide("guide", FRAME, "slider", b, along)),
            {"input": "o2"},
            once_round(turn),
        ),
        marks={**marks, **link_marks},
        answer=answer,
    )


def slider_driven(mechanism: SliderCrank, *, name: str, travel: float) -> Example:
    """The same, pushed by the slider through `travel` millimetres, the crank following."""
    a, b = mechanism.drawn_pins()
    along = complex(degrees(mechanism.line))
    side = side_of(0, b, a)

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        pin_b = b + drives["input"] * along
        return {"b": pin_b, "a": meet_circles(0, mechanism.crank, pin_b, mechanism.rod, side)}

    return Example(
        name=name,
        project=project(
            (frame(), *moving("slider", "link", "crank")),
            (
                slide("guide", FRAME, "slider", b, along),
                pivot("b", "slider", "link", b),
                pivot("a", "link", "crank", a),
                pivot("o2", "crank", FRAME, 0),
            ),
            {"input": "guide"},
            (step("push", 3.0, {"input": travel}),),
        ),
        marks={"b": ("link", b), "a": ("crank", a)},
        answer=answer,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class JackedLeg:
    """A leg about the origin with a lug at `radius`, `drawn` degrees round, pushed by a jack from `foot`."""

    foot: complex
    radius: float
    drawn: float

    def lug(self) -> complex:
        return complex(self.radius * degrees(self.drawn))

    def length(self) -> float:
        return abs(self.lug() - self.foot)

    def lug_at(self, length: Floats) -> Points:
        """By the cosine rule, on the drawn side of the line from the pivot to the foot."""
        cosine = (abs(self.foot) ** 2 + self.radius**2 - length**2) / (2 * abs(self.foot) * self.radius)
        between = np.arccos(cosine)
        side = side_of(0, self.foot, self.lug())
        return np.asarray(self.radius * unit(self.foot) * np.exp(1j * side * between), dtype=complex)


def jacked_leg(leg: JackedLeg, *, name: str, to: float, closed: float) -> Example:
    """A jack without bodies, driven to a length of `to` millimetres."""
    lug = leg.lug()
    far = 3 * lug
    stroke = max(leg.length(), to) - closed + 1

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        at = leg.lug_at(closed + drives["input"])
        return {"lug": at, "axle": 3 * at}

    return Example(
        name=name,
        project=project(
            (frame(), *moving("leg")),
            (jack("jack", FRAME, "leg", leg.foot, lug, closed, stroke), pivot("leg-pivot", FRAME, "leg", 0)),
            {"input": "jack"},
            (step("push", 4.0, {"input": to - closed}),),
            {"input": leg.length() - closed},
        ),
        marks={"lug": ("leg", lug), "axle": ("leg", far)},
        answer=answer,
    )


def barrelled_leg(leg: JackedLeg, *, name: str, to: float) -> Example:
    """The same with barrel and piston as bodies, a slide between them: an inverted slider-crank."""
    lug = leg.lug()
    along = unit(lug - leg.foot)
    piston_end = leg.foot + 0.4 * (lug - leg.foot)

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        length = leg.length() + drives["input"]
        at = leg.lug_at(length)
        return {
            "lug of leg": at,
            "lug of piston": at,
            "piston end": at + unit(leg.foot - at) * abs(lug - piston_end),
            "barrel mouth": leg.foot + 0.5 * leg.length() * unit(at - leg.foot),
        }

    return Example(
        name=name,
        project=project(
            (*moving("piston"), frame(), *moving("leg", "barrel")),
            (
                pivot("eye", "leg", "piston", lug),
                slide("bore", "barrel", "piston", piston_end, complex(along)),
                pivot("foot", FRAME, "barrel", leg.foot),
                pivot("leg-pivot", FRAME, "leg", 0),
            ),
            {"input": "bore"},
            (step("push", 4.0, {"input": to - leg.length()}),),
        ),
        marks={
            "lug of leg": ("leg", lug),
            "lug of piston": ("piston", lug),
            "piston end": ("piston", complex(piston_end)),
            "barrel mouth": ("barrel", (leg.foot + lug) / 2),
        },
        answer=answer,
    )


def scotch_yoke(*, name: str, crank: float, drawn: float) -> Example:
    """The yoke's slot stands upright; its travel is the crank's cosine."""
    pin = complex(crank * degrees(drawn))
    reach = 1.5j * crank

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        at = crank * degrees(drawn + drives["input"])
        return {"pin": at, "yoke": (at.real - pin.real) + (pin + 3 + 4j)}

    return Example(
        name=name,
        project=project(
            (frame(), *moving("crank", "yoke")),
            (
                pivot("o2", FRAME, "crank", 0),
                slot("slot", "yoke", "crank", pin, pin.real - reach, pin.real + reach),
                slide("guide", FRAME, "yoke", pin.real - 2 * crank, 1),
            ),
            {"input": "o2"},
            once_round(),
        ),
        marks={"pin": ("crank", pin), "yoke": ("yoke", pin + 3 + 4j)},
        answer=answer,
    )


def slotted_lever(*, name: str, centres: float, crank: float, drawn: float) -> Example:
    """A crank about the origin, its pin in the slot of a lever about -i centres.

    The lever swings where the crank is shorter than the distance of the centres (crank and slotted lever) and turns
    right round where it is longer (Whitworth's quick return).
    """
    pivot_at = -1j * centres
    pin = complex(crank * degrees(drawn))
    along = unit(pin - pivot_at)
    reach = centres + crank

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        at = crank * degrees(drawn + drives["input"])
        return {"pin": at, "lever end": pivot_at + reach * unit(at - pivot_at)}

    return Example(
        name=name,
        project=project(
            (*moving("lever", "crank"), frame()),
            (
                pivot("o2", FRAME, "crank", 0),
                pivot("o4", FRAME, "lever", pivot_at),
                slot("slot", "lever", "crank", pin, complex(pivot_at), complex(pivot_at + 1.2 * reach * along)),
            ),
            {"input": "o2"},
            once_round(),
        ),
        marks={"pin": ("crank", pin), "lever end": ("lever", complex(pivot_at + reach * along))},
        answer=answer,
    )


def shaper(*, name: str, centres: float, crank: float, lever: float, link: float) -> Example:
    """A slotted lever with a sliding block, and a ram that its far end pushes."""
    drawn, pivot_at, ram_height = 30.0, -1j * centres, 0.9 * lever - centres

    def places(angle: Floats | float) -> tuple[Points, Points, Points]:
        pin = crank * degrees(angle)
        end = pivot_at + lever * unit(pin - pivot_at)
        return pin, end, meet_line(end, link, 1j * ram_height, 1 + 0j, 1.0)

    pin, end, ram = (complex(place) for place in places(drawn))
    along = complex(unit(pin - pivot_at))

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        at, at_end, at_ram = places(drawn + drives["input"])
        # The block keeps its size while it slides: only its direction is the lever's.
        block = at + 2j * unit(at - pivot_at)
        return {"block": block, "end of lever": at_end, "end of link": at_end, "ram": at_ram}

    return Example(
        name=name,
        project=project(
            (frame(), *moving("ram", "link", "lever", "block", "crank")),
            (
                slide("guide", FRAME, "ram", ram, -1),
                pivot("ram-pin", "ram", "link", ram),
                pivot("end", "lever", "link", end),
                slide("sleeve", "lever", "block", pin, along),
                pivot("pin", "crank", "block", pin),
                pivot("o4", FRAME, "lever", pivot_at),
                pivot("o2", FRAME, "crank", 0),
            ),
            {"input": "o2"},
            once_round(),
        ),
        marks={
            "block": ("block", pin + 2j * along),
            "end of lever": ("lever", end),
            "end of link": ("link", end),
            "ram": ("ram", ram),
        },
        answer=answer,
    )
