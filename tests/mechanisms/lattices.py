"""Parallelograms, straight-line cells and five-bars: more bodies than freedoms would suggest, or fewer drives."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from core.document.project import Step
from tests.mechanisms.example import Drives, Example
from tests.mechanisms.four_bars import FourBar, four_bar, once_round
from tests.mechanisms.planar import Floats, Points, degrees, meet_circles, side_of
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, rod, step


def parallelogram(*, name: str, ground: float, crank: float, drawn: float) -> Example:
    """Smoothly through both change points: the rocker turns as the crank does, the coupler not at all."""

    def side(angle: Floats) -> Floats:
        return np.where(np.sin(np.deg2rad(angle)) >= 0, 1.0, -1.0)

    bar = FourBar(ground=ground, crank=crank, coupler=ground, rocker=crank, drawn=drawn, side=side)
    example = four_bar(bar, name=name)
    a, b = bar.drawn_pins()

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        at = crank * degrees(drawn + drives["input"])
        return {
            "a of crank": at,
            "a of coupler": at,
            "b of coupler": at + ground,
            "b of rocker": at + ground,
            "o4 of rocker": np.full_like(at, ground),
            "coupler point": at + (b - a) * bar.point,
        }

    return Example(name=name, project=example.project, marks=example.marks, answer=answer)


def change_point(*, name: str) -> Example:
    """5 + 8 = 6 + 7: everything in line at 180 degrees, where the smooth way swaps the side of B."""

    def side(angle: Floats) -> Floats:
        return np.where(angle < 180.0, 1.0, -1.0)

    bar = FourBar(ground=8.0, crank=5.0, coupler=7.0, rocker=6.0, drawn=75.0, side=side)
    return four_bar(bar, name=name, turn=210.0)


def coupled_cranks(*, name: str, pins: tuple[complex, ...], crank: float, drawn: float, rods: bool = False) -> Example:
    """Equal cranks about several pins with one coupler between them, or a ring of rods.

    The bodies agree though the joints are more than needed: one for each crank past the second.
    """
    arm = complex(crank * degrees(drawn))
    cranks = tuple(f"crank-{at}" for at in range(len(pins)))
    feet = tuple(pivot(f"foot-{at}", FRAME, cranks[at], pin) for at, pin in enumerate(pins))
    if rods:
        ring = [*range(len(pins)), 0] if len(pins) > 2 else [0, 1]
        joints: tuple = tuple(
            rod(f"rod-{i}", cranks[first], cranks[second], pins[first] + arm, pins[second] + arm)
            for i, (first, second) in enumerate(pairwise(ring))
        )
    else:
        joints = tuple(pivot(f"pin-{at}", cranks[at], "coupler", pin + arm) for at, pin in enumerate(pins))
    bodies = (frame(), *moving(*cranks, *(() if rods else ("coupler",))))
    marks = {name: (name, pins[at] + arm) for at, name in enumerate(cranks)}
    if not rods:
        marks["coupler"] = ("coupler", 3 + 4j)

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        at = crank * degrees(drawn + drives["input"])
        known = {name: pins[i] + at for i, name in enumerate(cranks)}
        return known if rods else {**known, "coupler": 3 + 4j + at - arm}

    surplus = len(joints) - len(cranks) + 1 if rods else len(cranks) - 2
    return Example(
        name=name,
        project=project(bodies, (*feet, *joints), {"input": "foot-0"}, once_round()),
        marks=marks,
        answer=answer,
        redundant=surplus,
    )


def peaucellier(*, name: str, long: float, short: float, crank: float, swing: float) -> Example:
    """The eight-bar cell: the far corner of the rhombus runs on a straight line, inverse to the crank pin's circle.

    The two long links turn about the origin, the crank about (crank, 0), so that its pin's circle goes through the
    origin; the corner's x is (long squared - short squared) / (2 crank) on every frame.
    """
    drawn = 35.0

    def places(angle: Floats | float) -> tuple[Points, Points, Points, Points]:
        inner = crank + crank * degrees(angle)
        upper = meet_circles(0, long, inner, short, 1.0)
        lower = meet_circles(0, long, inner, short, -1.0)
        # An inversion about the origin, which knows nothing of the rhombus.
        corner = np.asarray((long**2 - short**2) / np.conj(inner), dtype=complex)
        return inner, upper, lower, corner

    inner, upper, lower, corner = (complex(place) for place in places(drawn))

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        names = ("inner", "upper", "lower", "corner")
        return dict(zip(names, places(drawn + drives["input"]), strict=True))

    return Example(
        name=name,
        project=project(
            (*moving("far-up", "far-low", "near-up", "near-low", "long-up", "long-low", "crank"), frame()),
            (
                pivot("o2", FRAME, "crank", crank),
                pivot("o-up", FRAME, "long-up", 0),
                pivot("o-low", FRAME, "long-low", 0),
                pivot("in-up", "crank", "near-up", inner),
                pivot("in-low", "crank", "near-low", inner),
                pivot("up-near", "near-up", "long-up", upper),
                pivot("up-far", "far-up", "long-up", upper),
                pivot("low-near", "near-low", "long-low", lower),
                pivot("low-far", "far-low", "long-low", lower),
                pivot("out", "far-up", "far-low", corner),
            ),
            {"input": "o2"},
            (step("over", 2.0, {"input": swing - drawn}), step("back", 3.0, {"input": -swing - drawn})),
        ),
        marks={
            "inner": ("near-low", inner),
            "upper": ("far-up", upper),
            "lower": ("near-low", lower),
            "corner": ("far-low", corner),
        },
        answer=answer,
    )


def five_bar(*, name: str, drives: int = 2) -> Example:
    """Two cranks and two links between them; with one drive a freedom is left over and nothing holds the rest."""
    ground, arms, links, drawn = 60.0, (30.0, 25.0), (66.0, 64.0), (70.0, 95.0)

    def places(first: Floats | float, second: Floats | float) -> tuple[Points, Points, Points]:
        a = arms[0] * degrees(first)
        c = ground + arms[1] * degrees(second)
        return a, meet_circles(a, links[0], c, links[1], 1.0), c

    a, b, c = (complex(place) for place in places(*drawn))

    def answer(values: Drives, times: Floats) -> dict[str, Points]:
        names = ("a", "b", "c")
        return dict(zip(names, places(drawn[0] + values["first"], drawn[1] + values["second"]), strict=True))

    moves: tuple[Step, ...] = (
        step("one", 2.0, {"first": 40.0}),
        step("other", 2.0, {"second": -40.0}),
        step("both", 3.0, {"first": 360.0, "second": -400.0}, profile="eased"),
    )
    return Example(
        name=name,
        project=project(
            (frame(), *moving("left", "left-link", "right-link", "right")),
            (
                pivot("o2", FRAME, "left", 0),
                pivot("a", "left", "left-link", a),
                pivot("b", "left-link", "right-link", b),
                pivot("c", "right", "right-link", c),
                pivot("o5", FRAME, "right", ground),
            ),
            dict((("first", "o2"), ("second", "o5"))[:drives]),
            moves if drives == 2 else moves[:1],
        ),
        marks={"a": ("left", a), "b": ("right-link", b), "c": ("right", c)},
        answer=answer,
        freedoms=2,
    )


def relative_drive(*, name: str, travel: float) -> Example:
    """A four-bar driven at the pin between crank and coupler: no two of its bodies can be placed after one another.

    By inversion: the coupler's turn within the crank is the angle at A of the triangle O2-A-B, so B's distance from O2
    follows from it, and with it the whole.
    """
    bar = FourBar(ground=70.0, crank=40.0, coupler=60.0, rocker=55.0, drawn=65.0)
    a, b = bar.drawn_pins()
    at_a = float(np.angle((b - a) / a))

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        # In the crank's own frame A is real; B follows from the coupler's turn in it.
        local_b = bar.crank + bar.coupler * np.exp(1j * (at_a + np.deg2rad(drives["input"])))
        world_b = _on_two(np.abs(local_b), bar.ground, bar.rocker, b)
        turned = world_b / local_b
        return {"a": bar.crank * turned, "b": world_b}

    return Example(
        name=name,
        project=project(bar.bodies(), bar.connections(), {"input": "a"}, (step("fold", 3.0, {"input": travel}),)),
        marks={"a": ("crank", a), "b": ("coupler", b)},
        answer=answer,
    )


def _on_two(reach: Floats, centre: float, radius: float, drawn: complex) -> Points:
    """Points `reach` from the origin and `radius` from a centre on the x axis, on the drawn point's side."""
    side = side_of(0, centre, drawn)
    x = (reach**2 - radius**2 + centre**2) / (2 * centre)
    return np.asarray(x + 1j * side * np.sqrt(reach**2 - x**2), dtype=complex)
