"""Six-bar positions and the count of freedoms, from a worked example, reference values and the textbooks' counts."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.project import Project
from core.motion.trouble import Loose
from tests.mechanisms.catalogue import CRANK_ROCKER, catalogue
from tests.mechanisms.example import Mark, solve
from tests.mechanisms.four_bars import Dyad, FourBar, four_bar, six_bar
from tests.mechanisms.planar import carried, degrees, meet_circles, unit
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, slide, step
from tests.mechanisms.variations import undriven
from tests.published.cases import case
from tests.published.machines import Running, direction, run


def test_a_crank_a_sliding_block_and_a_slider() -> None:
    """Marghitu & Dupac, Advanced Dynamics, Example 5.3: crank, block on a turning link, link and slider; 0.6 mm."""
    one = case("six-marghitu-53")
    ab, ac, cd, de, cf, a_off = (1000.0 * x for x in one.given("AB", "AC", "CD", "DE", "CF", "a"))
    (phi,) = one.given("phi")
    drawn, c, x_e = phi + 30.0, complex(-ac), -ac - a_off
    b = ab * complex(degrees(drawn))
    line = complex(unit(b - c))
    d, f = c - cd * line, c + cf * line
    e = complex(x_e, d.imag + np.sqrt(de**2 - (x_e - d.real) ** 2))
    made = project(
        (frame(), *moving("slider", "link", "lever", "block", "crank")),
        (
            pivot("a", FRAME, "crank", 0),
            pivot("b", "crank", "block", b),
            slide("sleeve", "lever", "block", b, line),
            pivot("c", FRAME, "lever", c),
            pivot("d", "lever", "link", d),
            pivot("e", "link", "slider", e),
            slide("guide", FRAME, "slider", e, 1j),
        ),
        {"input": "a"},
    )
    at = run(made, "input", 0.0, phi - drawn)
    marks: dict[str, Mark] = {"B": ("block", b), "D": ("link", d), "E": ("slider", e), "F": ("lever", f)}
    for name, mark in marks.items():
        got = at.point(mark, phi - drawn) / 1000.0
        wanted = one.expected[name]["value"]
        assert [got.real, got.imag] == pytest.approx(wanted, abs=one.tolerance[name]), name


def run_six_bar(bar: FourBar, dyad: Dyad, theta2: float) -> Running:
    return run(six_bar(bar, dyad, name="case").project, "input", 0.0, theta2 - bar.drawn)


def upper(first: complex, from_first: float, second: complex, from_second: float) -> float:
    """The side of the higher of the two points at these distances."""
    return max((1.0, -1.0), key=lambda side: complex(meet_circles(first, from_first, second, from_second, side)).imag)


def test_watts_second_six_bar() -> None:
    """Links as in a problem of Constans & Dyer, values by two circle intersections: 1e-9 m, drawn 25 degrees away."""
    one = case("six-watt2-ref")
    a, b, c, d, p, q, u, v = (1000.0 * x for x in one.given("a", "b", "c", "d", "p", "q", "u", "v"))
    gamma4, gamma1, theta2 = one.given("gamma4", "gamma1", "theta2")
    bar = FourBar(ground=d, crank=a, coupler=b, rocker=c, drawn=theta2 + 25.0)
    _, pin_c = bar.drawn_pins()

    def on_rocker(at_c: complex) -> complex:
        return d + p * complex(degrees(direction(d, at_c) + gamma4))

    e, f = on_rocker(pin_c), q * complex(degrees(gamma1))
    side = upper(on_rocker(complex(bar.pins(theta2)[1])), u, f, v)
    at = run_six_bar(bar, Dyad(first=("rocker", e), second=(FRAME, f), lengths=(u, v), side=side), theta2)
    value = theta2 - bar.drawn
    g = complex(meet_circles(e, u, f, v, side))
    marks: dict[str, Mark] = {"C": ("coupler", pin_c), "E": ("link-e", e), "F": ("link-f", f), "G": ("link-f", g)}
    for name, mark in marks.items():
        got = at.point(mark, value) / 1000.0
        one.agrees(f"{name}_x", got.real)
        one.agrees(f"{name}_y", got.imag)


def test_stephensons_third_six_bar() -> None:
    """Reference values by two circle intersections: 1e-9 mm and degrees, drawn 20 degrees away."""
    one = case("six-steph3-ref")
    d, a, b, c, ap, angle, pq, oq, theta2 = one.given("d", "a", "b", "c", "AP", "angle_PAB", "PQ", "O6Q", "theta2")
    o6 = complex(*one.given("O6")[0])
    bar = FourBar(ground=d, crank=a, coupler=b, rocker=c, drawn=theta2 + 20.0)
    pin_a, pin_b = bar.drawn_pins()
    p = pin_a + ap * complex(degrees(direction(pin_a, pin_b) + angle))
    there = carried(*bar.pins(theta2), (pin_a, pin_b, p))
    side = upper(complex(there), pq, o6, oq)
    at = run_six_bar(bar, Dyad(first=("coupler", p), second=(FRAME, o6), lengths=(pq, oq), side=side), theta2)
    value = theta2 - bar.drawn
    got_p = at.point(("coupler", p), value)
    got_q = at.point(("link-f", complex(meet_circles(p, pq, o6, oq, side))), value)
    for name, got in (("P", got_p), ("Q", got_q)):
        one.agrees(f"{name}_x", got.real)
        one.agrees(f"{name}_y", got.imag)
    one.agrees_turned("theta6", direction(o6, got_q))


def freedoms(made: Project) -> int:
    return sum(one.freedoms for one in solve(undriven(made), 2).troubles if isinstance(one, Loose))


@pytest.mark.parametrize("name", ["four_bar", "slider_crank", "watt_six_bar", "peaucellier", "three_bar_triangle"])
def test_mobility(name: str) -> None:
    """Kutzbach's count in the textbooks, against what is found loose when nothing is driven; exact."""
    one = case("mob-1")
    by_name = {example.name: example.project for example in catalogue()}
    triangle = project(
        (frame(), *moving("left", "right")),
        (pivot("a", FRAME, "left", 0), pivot("b", "left", "right", 30 + 40j), pivot("c", FRAME, "right", 60)),
        {},
        (step("wait", 1.0),),
    )
    made = {
        "four_bar": four_bar(CRANK_ROCKER, name="").project,
        "slider_crank": by_name["slider-crank"],
        "watt_six_bar": by_name["Watt's first six-bar"],
        "peaucellier": by_name["Peaucellier's cell"],
        "three_bar_triangle": triangle,
    }[name]
    links, full_joints, _ = one.given(name)[0]
    assert (len(made.bodies), len(made.connections)) == (links, full_joints)
    assert freedoms(made) == one.expected[name]["value"]
