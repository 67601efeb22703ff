"""Slider-cranks, inverted slider-cranks, jacks and quick returns, from handbooks and worked examples."""

from __future__ import annotations

import numpy as np
import pytest

from tests.mechanisms.planar import degrees, unit
from tests.mechanisms.sketch import FRAME, frame, jack, moving, pivot, project, slide, slot
from tests.mechanisms.sliders import SliderCrank, slider_crank, slotted_lever
from tests.published.cases import Case, case
from tests.published.machines import NUMERICAL, Running, direction, run, speeds

REVOLUTIONS = 2 * np.pi / 60


def running_crank(mechanism: SliderCrank, low: float, high: float) -> Running:
    made = slider_crank(mechanism, name="case").project
    return run(made, "input", low - mechanism.drawn, high - mechanism.drawn)


def in_line(one: Case, theta: float) -> tuple[SliderCrank, Running, float, float]:
    """The case's slider-crank through its crank angle; its input there, and the crank's speed in radians a second."""
    crank, rod, speed = one.given("crank", "rod", "speed")
    unit_mm = one.unit("crank")
    mechanism = SliderCrank(crank=crank * unit_mm, rod=rod * unit_mm, drawn=theta + 22.0)
    at = running_crank(mechanism, theta - 30.0, theta + 30.0)
    return mechanism, at, theta - mechanism.drawn, speed * REVOLUTIONS


def test_a_piston_at_1500_revolutions() -> None:
    """Meriam & Kraige, Dynamics, Sample Problems 5/9 and 5/15: feet a second, as printed."""
    one = case("sc-meriam-59-515")
    mechanism, at, value, omega = in_line(one, one.given("theta")[0])
    a, b = mechanism.drawn_pins()
    (from_pin,) = one.given("G_from_crankpin")
    middle = a + unit(b - a) * from_pin * 25.4
    foot = 304.8
    piston = at.point_rates(("slider", b), value)
    one.agrees("v_piston", abs(piston[0]) * omega / foot)
    one.agrees("a_piston", abs(piston[1]) * omega**2 / foot)
    one.agrees("v_G", abs(at.point_rates(("link", complex(middle)), value)[0]) * omega / foot)
    link = at.turn_rates("link", value)
    one.agrees("omega_rod", abs(link[0]) * omega)
    one.agrees("alpha_rod", abs(link[1]) * omega**2)


def test_a_piston_by_its_instant_centre() -> None:
    """Tayal, Engineering Mechanics, Examples 21.5 and 21.12: metres a second, as printed."""
    one = case("sc-tayal-215")
    mechanism, at, value, omega = in_line(one, one.given("theta")[0])
    _, b = mechanism.drawn_pins()
    one.agrees("omega_rod", abs(at.turn_rates("link", value)[0]) * omega)
    one.agrees("v_piston", abs(at.point_rates(("slider", b), value)[0]) * omega / 1000.0)


def test_the_middle_of_a_connecting_rod() -> None:
    """Khurmi & Gupta, Theory of Machines, Example 8.1: 117 m/s^2 as printed, the rod's acceleration exact."""
    one = case("sc-khurmi-81")
    mechanism, at, value, omega = in_line(one, one.given("theta")[0])
    a, b = mechanism.drawn_pins()
    one.agrees("a_midpoint_rod", abs(at.point_rates(("link", (a + b) / 2), value)[1]) * omega**2 / 1000.0)
    one.agrees("alpha_rod", abs(at.turn_rates("link", value)[1]) * omega**2, numerical=NUMERICAL)


def offset_of(one: Case, drawn: float, side: float = 1.0) -> SliderCrank:
    a, b, c = (float(length) * one.unit("a") for length in one.given("a", "b", "c_offset"))
    return SliderCrank(crank=a, rod=b, offset=c, drawn=drawn, side=side)


def test_an_offset_slider_crank() -> None:
    """Norton, Design of Machinery, Examples 4-2 and 6-8, from memory; the accelerations are reference values."""
    one = case("osc-norton-ex42")
    theta2, omega2, alpha2 = one.given("theta2", "omega2", "alpha2")
    mechanism = offset_of(one, theta2 + 30.0)
    at = running_crank(mechanism, theta2 - 30.0, theta2 + 40.0)
    a, b = mechanism.drawn_pins()
    value = theta2 - mechanism.drawn
    pin_a, pin_b = at.point(("link", a), value), at.point(("slider", b), value)
    one.agrees_turned("theta3_open", direction(pin_b, pin_a))
    one.agrees("d_open", pin_b.real)
    omega3, alpha3 = speeds(at.turn_rates("link", value), omega2, alpha2)
    one.agrees("omega3_open", omega3)
    one.agrees("alpha3_open", alpha3, numerical=NUMERICAL)
    first, second = at.point_rates(("slider", b), value)
    speed, acceleration = speeds((first.real, second.real), omega2, alpha2)
    one.agrees("d_dot_open", speed)
    one.agrees("d_ddot_open", acceleration, numerical=NUMERICAL)


@pytest.mark.parametrize(("branch", "side"), [("open", 1.0), ("crossed", -1.0)])
def test_an_offset_slider_crank_on_both_sides(branch: str, side: float) -> None:
    """Norton, Table P4-2 row a, printed answers from memory."""
    one = case("osc-norton-p42-a")
    (theta2,) = one.given("theta2")
    mechanism = offset_of(one, theta2 - 25.0, side)
    at = running_crank(mechanism, theta2 - 30.0, theta2 + 10.0)
    a, b = mechanism.drawn_pins()
    value = theta2 - mechanism.drawn
    pin_a, pin_b = at.point(("link", a), value), at.point(("slider", b), value)
    one.agrees_turned(f"theta3_{branch}", direction(pin_b, pin_a))
    one.agrees(f"d_{branch}", pin_b.real / one.unit("a"))


def test_dead_centres_of_an_offset_slider_crank() -> None:
    """Closed form, right triangles: 1e-9 mm and degrees, where the poses say crank and rod are in line."""
    one = case("dc-osc-ref-1")
    mechanism = offset_of(one, 70.0)
    at = running_crank(mechanism, -20.0, 340.0)
    a, b = mechanism.drawn_pins()

    def off_line(value: float) -> float:
        pin_a, pin_b = at.point(("link", a), value), at.point(("link", b), value)
        return float(np.imag(np.conj(pin_a) * (pin_b - pin_a)))

    crank, reach = {}, {}
    for kind, low, high in (("extended", -15.0, 60.0), ("folded", 150.0, 250.0)):
        value = at.root(off_line, low - mechanism.drawn, high - mechanism.drawn)
        crank[kind], reach[kind] = value + mechanism.drawn, at.point(("slider", b), value).real
        one.agrees(f"crank_{kind}", crank[kind])
        one.agrees(f"x_{kind}", reach[kind])
    one.agrees("stroke", reach["extended"] - reach["folded"])
    between = crank["folded"] - crank["extended"]
    one.agrees("time_ratio", max(between, 360.0 - between) / min(between, 360.0 - between))


def test_a_window_opened_by_a_jack() -> None:
    """Hibbeler, Engineering Mechanics, Example 16.5: the jack is the drive; metres and seconds as printed."""
    one = case("isc-hibbeler-165-jack")
    ground, arm, theta, speed = one.given("jack_ground_to_rocker_pivot", "rocker_arm", "theta", "jack_speed")
    foot, eye = ground * 1000.0, arm * 1000.0 * complex(degrees(50.0))
    closed = 1050.0
    made = project(
        (frame(), *moving("window")),
        (pivot("hinge", FRAME, "window", 0), jack("jack", FRAME, "window", foot, eye, closed, 1500.0)),
        {"jack": "jack"},
    )
    at = run(made, "jack", abs(foot - eye) - closed, 1100.0 - closed, rate=speed * 1000.0)
    value = at.root(lambda extension: at.turn("window", extension) + 50.0 - theta, 55.0, 500.0)
    one.agrees("jack_length", (value + closed) / 1000.0)
    # Closing here, so that opening at the same speed is the same with its sign turned; the acceleration keeps its sign.
    omega, alpha = at.turn_rates("window", value, step_=0.01)
    one.agrees("omega_rocker", -omega)
    one.agrees("alpha_rocker", alpha)


def test_a_pin_in_a_slotted_arm() -> None:
    """Meriam & Kraige, Dynamics, Sample Problems 5/17 and 5/18: the slotted arm drives the crank; exact values."""
    one = case("isc-meriam-517-518")
    o, a, c = (complex(*point) for point in one.given("O", "A", "C"))
    omega, alpha = one.given("omega_OD", "alpha_OD")
    made = project(
        (frame(), *moving("crank", "arm")),
        (
            pivot("o", FRAME, "arm", o),
            slot("slot", "arm", "crank", a, o + 0.1 * (a - o), o + 2 * (a - o)),
            pivot("c", FRAME, "crank", c),
        ),
        {"arm": "o"},
    )
    at = run(made, "arm", 5.0, -12.0)  # ten degrees further back the pin leaves the slot's reach
    turning = at.turn_rates("arm", 0.0, step_=0.005)[0]
    speed, acceleration = speeds(at.turn_rates("crank", 0.0, step_=0.005), omega / turning, alpha)
    one.agrees("omega_CA", speed, numerical=NUMERICAL)
    one.agrees("alpha_CA_magnitude", abs(acceleration), numerical=NUMERICAL)
    one.agrees("v_A", abs(at.point_rates(("crank", a), 0.0, step_=0.005)[0] * omega), numerical=NUMERICAL)
    # Along the arm: the pin's distance from O, by the poses' first and second differences.
    track, (first, second) = at.point(("crank", a), 0.0), at.point_rates(("crank", a), 0.0, step_=0.005)
    line = (track - o) / abs(track - o)
    along, across = np.real(np.conj(line) * first), np.imag(np.conj(line) * first)
    one.agrees("v_slide", abs(along * omega))
    one.agrees("a_slide_magnitude", abs(np.real(np.conj(line) * second) + across**2 / abs(track - o)) * omega**2)


@pytest.mark.parametrize(("branch", "side"), [("first", 1.0), ("second", -1.0)])
def test_an_inverted_slider_crank(branch: str, side: float) -> None:
    """Norton, Table P4-3 row a, printed answers from memory: 0.051 degrees, 0.006 of length."""
    one = case("isc-norton-p43-a")
    d, a, c = (10.0 * length for length in one.given("d", "a", "c"))
    (theta2,) = one.given("theta2")
    drawn = theta2 + 25.0
    pin = a * complex(degrees(drawn))
    # The sliding line is square to link 4, so B, O4 and A make a right triangle.
    theta4 = direction(d, pin) - side * float(np.rad2deg(np.arccos(c / abs(pin - d))))
    b = d + c * complex(degrees(theta4))
    made = project(
        (frame(), *moving("crank", "block", "link")),
        (
            pivot("o2", FRAME, "crank", 0),
            pivot("a", "crank", "block", pin),
            slide("line", "link", "block", pin, complex(unit(pin - b))),
            pivot("o4", FRAME, "link", d),
        ),
        {"input": "o2"},
    )
    at = run(made, "input", 0.0, theta2 - drawn - 1.0)
    value = theta2 - drawn
    got_b = at.point(("link", b), value)
    one.agrees_turned(f"theta4_{branch}", direction(d, got_b))
    one.agrees("RB", abs(at.point(("crank", pin), value) - got_b) / 10.0)


def test_a_jack_along_a_leg() -> None:
    """Closed form, cosine rule: lengths to 1e-7 mm, and their rates by the leg's angle."""
    one = case("jack-ref-leg-1")
    leg_pivot, foot, radius, angles = one.given("leg_pivot", "jack_foot", "lug_radius", "leg_angles")
    drawn, foot_at = -75.0, complex(*foot)
    lug = radius * complex(degrees(drawn))
    made = project(
        (frame(), *moving("leg")),
        (
            pivot("leg-pivot", FRAME, "leg", complex(*leg_pivot)),
            jack("jack", FRAME, "leg", foot_at, lug, 200.0, 300.0),
        ),
        {"gear": "leg-pivot"},
    )
    at = run(made, "gear", -100.0 - drawn, -20.0 - drawn, frames=81)
    values = at.motion.values[:, at.motion.connections.index("jack")] + 200.0
    for angle in angles:
        one.agrees(f"length_at_{angle}", abs(at.point(("leg", lug), angle - drawn) - foot_at))
        # A frame stands at every degree, so the jack's own value can be read there too.
        one.agrees(f"length_at_{angle}", float(values[round(angle + 100)]))
        arm = at.point(("leg", lug), angle - drawn) - foot_at
        rate = at.point_rates(("leg", lug), angle - drawn)[0]
        one.agrees(f"dL_dphi_at_{angle}", float(np.real(np.conj(arm) * rate)) / abs(arm), numerical=NUMERICAL)


def test_the_cylinder_of_a_lift() -> None:
    """Beer & Johnston, Statics, Sample Problem 10.3: the cylinder's length S, as printed (its force is statics)."""
    one = case("vw-beer-103-jack")
    theta, a, length = one.given("theta", "a", "L")
    drawn = 45.0
    eye = a * 1000.0 * complex(degrees(drawn))
    made = project(
        (frame(), *moving("arm")),
        (
            pivot("e", FRAME, "arm", 0),
            jack("cylinder", FRAME, "arm", length * 1000.0, eye, 2000.0, 2000.0),
        ),
        {"arm": "e"},
    )
    at = run(made, "arm", 0.0, theta - drawn)
    extension = at.motion.values[-1, at.motion.connections.index("cylinder")]
    one.agrees("S", (extension + 2000.0) / 1000.0)


def lever_run(one: Case, drawn: float) -> tuple[Running, tuple[str, complex], float]:
    centres, crank = (float(length) for length in one.given("fixed_centres", "crank"))
    example = slotted_lever(name="case", centres=centres, crank=crank, drawn=drawn)
    return run(example.project, "input", 0.0, 360.0, frames=361), example.marks["lever end"], centres


def test_crank_and_slotted_lever() -> None:
    """Khurmi & Gupta, Example 5.2: time ratio 2 exactly, stroke 450 mm; the lever stands still at its extremes."""
    one = case("qr-khurmi-52")
    at, (body, end), centres = lever_run(one, 100.0)
    (lever,) = one.given("lever")

    def still(value: float) -> float:
        return at.turn_rates("lever", value)[0]

    right, left = at.root(still, 200.0, 300.0), at.root(still, 40.0, 160.0)
    assert [right + 100.0, left + 100.0] == [pytest.approx(330.0, abs=1e-6), pytest.approx(210.0, abs=1e-6)]
    one.agrees("time_ratio", (360.0 - (right - left)) / (right - left))
    ends = [-1j * centres + lever * unit(at.point((body, end), value) + 1j * centres) for value in (right, left)]
    one.agrees("stroke", abs(ends[0] - ends[1]))


def test_whitworth_quick_return() -> None:
    """Khurmi & Gupta, Example 5.4: the lever square to the line of centres ends each stroke; ratio as printed."""
    one = case("qr-khurmi-54")
    at, mark, centres = lever_run(one, 10.0)

    def height(value: float) -> float:
        return at.point(mark, value).imag + centres

    first, second = at.root(height, 150.0, 240.0), at.root(height, 270.0, 355.0)
    one.agrees("time_ratio", (360.0 - (second - first)) / (second - first))


def test_an_instant_centre_of_a_slider_crank() -> None:
    """Meriam & Kraige, Dynamics, Sample Problem 5/12: I, A and B make a right isosceles triangle with 14 in legs."""
    one = case("ic-meriam-512")
    inch = 25.4
    (omega,) = one.given("omega_OB")
    a, b, centre, o = 0j, 14 * inch + 0j, 14j * inch, (8 + 6j) * inch
    d = 6 * inch + 0j
    made = project(
        (frame(), *moving("slider", "bar", "crank")),
        (
            pivot("o", FRAME, "crank", o),
            pivot("b", "crank", "bar", b),
            pivot("a", "bar", "slider", a),
            slide("guide", FRAME, "slider", a, 1),
        ),
        {"input": "o"},
    )
    at = run(made, "input", -15.0, 15.0)
    rate = at.turn_rates("bar", 0.0)[0]
    one.agrees("omega_AB", abs(rate) * omega)
    one.agrees("v_A", abs(at.point_rates(("slider", a), 0.0)[0]) * omega / 304.8)
    one.agrees("v_D", abs(at.point_rates(("bar", d), 0.0)[0]) * omega / 304.8)
    # The centre itself: 14 in from A, 14 sqrt 2 in from B, as given; through the differences, 1e-5 mm.
    found = b + 1j * at.point_rates(("bar", b), 0.0)[0] / rate
    assert abs(found - centre) <= 1e-5
