"""Positions, speeds and special positions of four-bars, from handbooks and worked examples."""

from __future__ import annotations

import numpy as np
import pytest

from core.motion.trouble import Jam
from tests.mechanisms.example import solve
from tests.mechanisms.four_bars import FourBar
from tests.mechanisms.sketch import project, step
from tests.published.cases import Case, case
from tests.published.machines import (
    NUMERICAL,
    Running,
    direction,
    run_four_bar,
    speeds,
)

BRANCHES = [("open", 1.0), ("crossed", -1.0)]


def bar_of(one: Case, drawn: float, side: float = 1.0) -> FourBar:
    """The case's four-bar drawn at a crank angle of its own, so that the answer has to be moved to."""
    unit = one.unit("a")
    d, a, b, c = (float(length) * unit for length in one.given("d", "a", "b", "c"))
    return FourBar(ground=d, crank=a, coupler=b, rocker=c, drawn=drawn, side=side)


def running(bar: FourBar, theta2: float) -> Running:
    """Through the wanted angle, from forty degrees before to thirty after."""
    return run_four_bar(bar, theta2 - 40.0, theta2 + 30.0)


@pytest.mark.parametrize(("branch", "side"), BRANCHES)
@pytest.mark.parametrize("name", ["pos4-norton-ex41", "pos4-norton-p41-a", "pos4-norton-p41-e"])
def test_positions(name: str, branch: str, side: float) -> None:
    """R. L. Norton, Design of Machinery, Example 4-1 and Table P4-1 rows a and e; from memory; 0.0006 to 0.1 deg."""
    one = case(name)
    (theta2,) = one.given("theta2")
    bar = bar_of(one, theta2 - 35.0, side)
    at = running(bar, theta2)
    a, b = bar.drawn_pins()
    value = theta2 - bar.drawn
    pin_a, pin_b = at.point(("coupler", a), value), at.point(("coupler", b), value)
    one.agrees_turned(f"theta3_{branch}", direction(pin_a, pin_b))
    one.agrees_turned(f"theta4_{branch}", direction(bar.ground, pin_b))


@pytest.mark.parametrize(("branch", "side"), BRANCHES)
@pytest.mark.parametrize("name", ["va4-norton-ex67-71", "va4-norton-row-a"])
def test_speeds_and_accelerations(name: str, branch: str, side: float) -> None:
    """R. L. Norton, Design of Machinery, Examples 6-7 and 7-1, Tables P6-1 and P7-1 row a; from memory."""
    one = case(name)
    theta2, omega2, alpha2 = one.given("theta2", "omega2", "alpha2")
    bar = bar_of(one, theta2 + 20.0, side)
    at = running(bar, theta2)
    for link, body in (("3", "coupler"), ("4", "rocker")):
        omega, alpha = speeds(at.turn_rates(body, theta2 - bar.drawn), omega2, alpha2)
        if f"omega{link}_{branch}" in one.expected:
            one.agrees(f"omega{link}_{branch}", omega)
            one.agrees(f"alpha{link}_{branch}", alpha)


def test_a_coupler_driven_from_its_far_crank() -> None:
    """Meriam & Kraige, Dynamics, Sample Problems 5/8 and 5/14; numbers seen, two accelerations recalled."""
    one = case("va4-meriam-58-514")
    o, a, b, c = (complex(*point) for point in one.given("O", "A", "B", "C"))
    (omega,) = one.given("omega_CB")
    # Turned half round, so that C is the origin and O lies on +x: FourBar stands that way.
    turned = -(a - c), -(b - c), -(o - c)
    line = turned[2] / abs(turned[2])
    pin, end = turned[1] / line, turned[0] / line
    side = float(np.sign(np.imag(np.conj(abs(turned[2]) - pin) * (end - pin))))
    bar = FourBar(
        ground=abs(o - c),
        crank=abs(b - c),
        coupler=abs(a - b),
        rocker=abs(a - o),
        drawn=direction(0, pin),
        side=side,
    )
    at = run_four_bar(bar, bar.drawn - 20.0, bar.drawn + 20.0)
    assert at.point(("rocker", bar.drawn_pins()[1]), 0.0) == pytest.approx(end, abs=1e-9)
    for name, body in (("AB", "coupler"), ("OA", "rocker")):
        speed, acceleration = speeds(at.turn_rates(body, 0.0), omega, 0.0)
        one.agrees(f"omega_{name}", speed)
        one.agrees(f"alpha_{name}", acceleration)


def test_the_speed_of_a_rocker() -> None:
    """Khurmi & Gupta, Theory of Machines, Example 7.1, graphical; numbers seen, 0.051 rad/s."""
    one = case("va4-khurmi-71")
    ground, crank, coupler, rocker, angle, speed = one.given("AD_fixed", "AB", "BC", "CD", "angle_BAD", "AB_speed")
    bar = FourBar(ground=ground, crank=crank, coupler=coupler, rocker=rocker, drawn=angle - 15.0)
    at = running(bar, angle)
    omega = speed * 2 * np.pi / 60
    got, _ = speeds(at.turn_rates("rocker", angle - bar.drawn), -omega, 0.0)
    one.agrees("omega_CD_magnitude", abs(got))
    assert got < 0.0  # the same sense as the crank, which turns clockwise


def test_the_accelerations_of_a_rocker_and_a_coupler() -> None:
    """Khurmi & Gupta, Theory of Machines, Example 8.4; 3.79 rad/s as printed, the others exact."""
    one = case("va4-khurmi-84")
    names = ("PS_fixed", "PQ", "QR", "RS", "angle_QPS", "omega_PQ")
    ground, crank, coupler, rocker, angle, omega = one.given(*names)
    bar = FourBar(ground=ground, crank=crank, coupler=coupler, rocker=rocker, drawn=angle + 25.0)
    at = running(bar, angle)
    for link, body in (("QR", "coupler"), ("RS", "rocker")):
        speed, acceleration = speeds(at.turn_rates(body, angle - bar.drawn), omega, 0.0)
        one.agrees(f"omega_{link}_magnitude", abs(speed), numerical=NUMERICAL)
        one.agrees(f"alpha_{link}_magnitude", abs(acceleration), numerical=NUMERICAL)


def test_dead_centres_of_a_crank_rocker() -> None:
    """Closed form, cosine rule with crank and coupler in line: 1e-9 degrees, where the poses say they are in line."""
    one = case("dc4-ref-1")
    bar = bar_of(one, 90.0)
    at = run_four_bar(bar, -10.0, 350.0)
    a, b = bar.drawn_pins()

    def off_line(value: float) -> float:
        pin_a, pin_b = at.points(("coupler", a), [value])[0], at.points(("coupler", b), [value])[0]
        return float(np.imag(np.conj(pin_a) * (pin_b - pin_a)))

    found = {}
    for kind, low, high in (("extended", 0.0, 60.0), ("folded", 200.0, 260.0)):
        value = at.root(off_line, low - bar.drawn, high - bar.drawn)
        found[kind] = value + bar.drawn
        rocker = direction(bar.ground, at.point(("rocker", b), value))
        one.agrees(f"crank_{kind}", found[kind])
        one.agrees(f"rocker_{kind}", rocker)
        assert abs(at.turn_rates("rocker", value)[0]) < 1e-7
    between = found["folded"] - found["extended"]
    one.agrees("time_ratio", between / (360.0 - between))
    swing = [direction(bar.ground, at.point(("rocker", b), found[kind] - bar.drawn)) for kind in ("folded", "extended")]
    one.agrees("swing", swing[0] - swing[1])


@pytest.mark.parametrize(("kind", "way"), [("extended", -1.0), ("folded", 1.0)])
def test_a_rocker_pushed_past_its_dead_centre_jams_there(kind: str, way: float) -> None:
    """The same closed form met from the other side: the rocker as the input, to a thousandth of the sequence."""
    one = case("dc4-ref-1")
    bar = bar_of(one, 90.0)
    limit = one.expected[f"rocker_{kind}"]["value"]
    drawn = direction(bar.ground, bar.drawn_pins()[1])
    target = limit + way * 5.0 - drawn
    made = project(bar.bodies(), bar.connections(), {"input": "o4"}, (step("push", 1.0, {"input": target}),))
    (jam,) = (trouble for trouble in solve(made, 61).troubles if isinstance(trouble, Jam))
    assert jam.begin == pytest.approx((limit - drawn) / target, abs=1e-3)


def test_transmission_angle_extremes() -> None:
    """Between coupler and rocker, least and greatest at 0 and 180 degrees of crank; closed form, 1e-9 degrees."""
    one = case("mu4-ref-1")
    bar = bar_of(one, 75.0)
    at = run_four_bar(bar, -5.0, 355.0)
    a, b = bar.drawn_pins()

    def angle(theta2: np.ndarray) -> np.ndarray:
        values = np.asarray(theta2) - bar.drawn
        pin_a, pin_b = at.points(("coupler", a), values), at.points(("coupler", b), values)
        return np.abs(np.rad2deg(np.angle((pin_a - pin_b) / (bar.ground - pin_b))))

    at_0, at_180 = angle(np.array([0.0, 180.0]))
    one.agrees("mu_at_0", at_0)
    one.agrees("mu_at_180", at_180)
    everywhere = angle(np.linspace(-5.0, 355.0, 721))
    one.agrees("worst_deviation_from_90", float(np.max(np.abs(everywhere - 90.0))))
    assert everywhere.min() == pytest.approx(at_0, abs=1e-9)
    assert everywhere.max() == pytest.approx(at_180, abs=1e-9)


@pytest.mark.parametrize("way", [1.0, -1.0])
@pytest.mark.parametrize(
    ("name", "kind", "drawn"),
    [("tog4-norton-row-h", "straight", 40.0), ("tog4-norton-row-k", "folded", 60.0)],
)
def test_toggles_jam_at_the_input_limit(name: str, kind: str, drawn: float, way: float) -> None:
    """Row h and k of Norton's Table P4-1, limits by the cosine rule; a thousandth of the sequence is 0.004 degrees."""
    one = case(name)
    limit = one.expected[f"input_limit_{kind}"]["value"]
    inside = -1.0 if kind == "straight" else 1.0
    bar = bar_of(one, way * drawn, way)
    start, target = way * (limit + inside * 2.0) - bar.drawn, way * (limit - inside * 2.0) - bar.drawn
    made = project(
        bar.bodies(),
        bar.connections(),
        {"input": "o2"},
        (step("up-to-it", 1.0, {"input": target}),),
        {"input": start},
    )
    (jam,) = (trouble for trouble in solve(made, 21).troubles if isinstance(trouble, Jam))
    assert start + (target - start) * jam.begin == pytest.approx(way * limit - bar.drawn, abs=0.004)


def goes_right_round(one: FourBar, connection: str) -> bool:
    made = project(one.bodies(), one.connections(), {"input": connection}, (step("round", 6.0, {"input": 360.0}),))
    return not any(isinstance(trouble, Jam) for trouble in solve(made, 121).troubles)


GRASHOF = {
    # Which of crank, rocker and coupler can turn right round against the frame, or the coupler against the crank.
    "Grashof crank-rocker": {"o2": True, "o4": False, "a": True},
    "Grashof double-crank": {"o2": True, "o4": True, "a": False},
    "Grashof double-rocker": {"o2": False, "o4": False, "a": True},
    "change-point (s+l=p+q)": {"o2": True},
    "non-Grashof triple-rocker": {"o2": False, "o4": False, "a": False},
}


@pytest.mark.parametrize("row", ["a", "b", "c", "d", "h", "k"])
def test_grashof_classes_by_turning_right_round(row: str) -> None:
    """Rows of Norton's Table P4-1: what assembles over a full turn and what jams is what the class says."""
    one = case("grashof-1")
    d, a, b, c = (10.0 * length for length in one.given(f"row_{row}_d_a_b_c")[0])
    drawn = next(
        angle for angle in range(35, 180, 5) if abs(b - c) + 1 < abs(a * np.exp(1j * np.deg2rad(angle)) - d) < b + c - 1
    )
    bar = FourBar(ground=d, crank=a, coupler=b, rocker=c, drawn=float(drawn))
    wanted = GRASHOF[one.expected[row]["value"]]
    assert {name: goes_right_round(bar, name) for name in wanted} == wanted


def test_instant_centres() -> None:
    """Kennedy's theorem by line intersections; 1e-9 in the table, 1e-8 of the value through the differences."""
    one = case("ic4-ref-1")
    (theta2,) = one.given("theta2")
    bar = bar_of(one, 75.0)
    at = running(bar, theta2)
    value = theta2 - bar.drawn
    a, _ = bar.drawn_pins()
    speed_a, _ = at.point_rates(("coupler", a), value)
    omega3, _ = at.turn_rates("coupler", value)
    i13 = at.point(("coupler", a), value) + 1j * speed_a / omega3
    one.agrees("I13_x", i13.real, numerical=NUMERICAL)
    one.agrees("I13_y", i13.imag, numerical=NUMERICAL)
    omega4, _ = at.turn_rates("rocker", value)
    one.agrees("omega4_over_omega2", omega4, numerical=NUMERICAL)
    # Crank and rocker have one speed where they are both square to the line of centres: x omega2 = (x - d) omega4.
    one.agrees("I24_x", -bar.ground * omega4 / (1.0 - omega4), numerical=NUMERICAL)


def test_two_positions_of_a_coupler() -> None:
    """Norton, Example 5-1: the printed linkage carries its coupler point by P21 while it turns 43.3 degrees.

    From memory; links are printed to 0.001 in and angles to 0.1 degree, so 0.01 in and 0.3 degree are asked for.
    """
    one = case("syn2-norton-51")
    w, theta, u, sigma = (one.expected[name]["value"] for name in ("w", "theta", "u", "sigma"))
    z, phi, s, psi = one.given("z", "phi", "s", "psi")
    links = {"w": (w, theta), "z": (z, phi), "u": (u, sigma), "s": (s, psi)}
    vector = {name: 25.4 * size * np.exp(1j * np.deg2rad(angle)) for name, (size, angle) in links.items()}
    moved, turned = _carried_by(vector, one.given("beta2")[0])
    p21, delta2, alpha2 = one.given("P21", "delta2", "alpha2")
    assert abs(moved - 25.4 * p21 * np.exp(1j * np.deg2rad(delta2))) <= 0.01 * 25.4
    assert turned == pytest.approx(alpha2, abs=0.3)
    assert abs(vector["z"] - vector["s"]) / 25.4 == pytest.approx(
        one.expected["coupler"]["value"], abs=one.tolerance["coupler"]
    )
    assert abs(vector["w"] + vector["z"] - vector["s"] - vector["u"]) / 25.4 == pytest.approx(
        one.expected["ground"]["value"], abs=one.tolerance["ground"]
    )


@pytest.mark.parametrize("position", [2, 3])
def test_three_positions_of_a_coupler(position: int) -> None:
    """Norton's three-position example of chapter 5: the linkage goes through both prescribed positions.

    Only w is a recalled print; the other vectors are reference values for the same givens: 1e-3 in, since w is rounded.
    """
    one = case("syn3-norton-52")
    pairs = {"w": "theta", "z": "phi", "u": "sigma", "s": "psi"}
    vector = {
        name: 25.4 * one.expected[name]["value"] * np.exp(1j * np.deg2rad(one.expected[angle]["value"]))
        for name, angle in pairs.items()
    }
    beta, alpha, delta, p = one.given(f"beta{position}", f"alpha{position}", f"delta{position}", f"P{position}1")
    moved, turned = _carried_by(vector, (beta + 180.0) % 360.0 - 180.0)
    assert abs(moved - 25.4 * p * np.exp(1j * np.deg2rad(delta))) <= 1e-3 * 25.4
    assert turned == pytest.approx(alpha, abs=0.02)


def _carried_by(vector: dict[str, complex], beta: float) -> tuple[complex, float]:
    """How far the coupler point moves and the coupler turns while the crank w turns by beta degrees."""
    a, b = vector["w"], vector["w"] + vector["z"] - vector["s"]
    o4 = b - vector["u"]
    line = o4 / abs(o4)
    pin, end = a / line, b / line
    bar = FourBar(
        ground=abs(o4),
        crank=abs(a),
        coupler=abs(b - a),
        rocker=abs(vector["u"]),
        drawn=direction(0, pin),
        side=float(np.sign(np.imag(np.conj(abs(o4) - pin) * (end - pin)))),
    )
    made = project(bar.bodies(), bar.connections(), {"input": "o2"}, (step("over", 2.0, {"input": beta}),))
    motion = solve(made, 61)
    assert motion.assembled.all()
    at = Running(motion, 0.0, beta / 2.0)
    point = ("coupler", (vector["w"] + vector["z"]) / line)
    return (at.point(point, beta) - at.point(point, 0.0)) * line, at.turn("coupler", beta)


def test_a_function_generator_meets_its_precision_points() -> None:
    """Freudenstein's equation for y = 1/x on 1..2, in 30..120 and out 240..330 degrees: Uicker, Pennock & Shigley.

    K1 = d/a, K2 = -d/c, K3 = (a^2 - b^2 + c^2 + d^2) / 2ac, so c comes out negative: the output is read at its far end.
    """
    one = case("fg-uicker-recip")
    k1, k2, k3 = (one.expected[name]["value"] for name in ("K1", "K2", "K3"))
    d = 100.0
    a, c = d / k1, -d / k2
    b = float(np.sqrt(a**2 + c**2 + d**2 - 2 * a * c * k3))
    chebyshev = [1.5 + 0.5 * np.cos(np.pi * (5 - 2 * number) / 6) for number in range(3)]
    inputs = [30.0 + 90.0 * (x - 1.0) for x in chebyshev]
    outputs = [240.0 + 90.0 * (1.0 - 1.0 / x) / 0.5 for x in chebyshev]
    for name, x in zip(("x1", "x2", "x3"), chebyshev, strict=True):
        one.agrees(name, x)
    pin = abs(a) * np.exp(1j * np.deg2rad(inputs[0]))
    end = d + c * np.exp(1j * np.deg2rad(outputs[0]))
    side = float(np.sign(np.imag(np.conj(d - pin) * (end - pin))))
    bar = FourBar(ground=d, crank=abs(a), coupler=b, rocker=abs(c), drawn=inputs[0], side=side)
    at = run_four_bar(bar, inputs[0], inputs[2] + 1.0)
    for theta, phi in zip(inputs, outputs, strict=True):
        got = at.turn("rocker", theta - bar.drawn) + outputs[0]
        assert got == pytest.approx(phi, abs=1e-6)
