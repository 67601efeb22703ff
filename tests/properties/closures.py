"""Loop-closure equations written out mechanism by mechanism, and solved with scipy: nothing of core is used.

These are for mechanisms that no two-body construction can place: a body held by three rods, and six-bars driven so that
three or more bodies have to be found together.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import root

from tests.mechanisms.example import Drives, Example
from tests.mechanisms.planar import Floats, Points, degrees
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, rod, step

Residual = Callable[[Floats, float], Floats]
Jacobian = Callable[[Floats, float], Floats]


def follow(residual: Residual, jacobian: Jacobian, start: Floats, values: Floats, *, finest: float) -> Floats:
    """(F, N) roots at any values, walked from `start`, the root at nought, in steps of `finest` at most."""
    found = np.full((len(values), len(start)), np.nan)
    for way in (values >= 0, values < 0):
        at, value = start, 0.0
        order = np.flatnonzero(way)[np.argsort(np.abs(values[way]), kind="stable")]
        for frame_at in order:
            count = max(1, int(np.ceil(abs(values[frame_at] - value) / finest)))
            for between in np.linspace(value, values[frame_at], count + 1)[1:]:
                solved = root(residual, at, args=(between,), jac=jacobian, method="hybr", options={"xtol": 1e-14})
                at = solved.x - np.linalg.solve(jacobian(solved.x, between), residual(solved.x, between))
                assert np.max(np.abs(residual(at, between))) < 1e-7
            found[frame_at], value = at, values[frame_at]
    return found


@dataclass(frozen=True, slots=True)
class Platform:
    """A body held by three rods to three points that the input carries or the frame holds."""

    feet: tuple[complex, complex, complex]
    eyes: tuple[complex, complex, complex]
    carried: tuple[bool, bool, bool]
    """Which feet stand on the input, a crank about the origin."""

    def feet_at(self, turn: float) -> Points:
        turned = complex(degrees(turn))
        return np.array([foot * (turned if on else 1.0) for foot, on in zip(self.feet, self.carried, strict=True)])

    def arms(self, unknown: Floats, turn: float) -> Points:
        """From foot to eye, three of them; unknown are x, y and turn in radians."""
        eyes = unknown[0] + 1j * unknown[1] + np.exp(1j * unknown[2]) * np.array(self.eyes)
        return np.asarray(eyes - self.feet_at(turn))

    def residual(self, unknown: Floats, turn: float) -> Floats:
        lengths = np.abs(np.array(self.eyes) - np.array(self.feet))
        return (np.abs(self.arms(unknown, turn)) ** 2 - lengths**2) / (2 * lengths)

    def jacobian(self, unknown: Floats, turn: float) -> Floats:
        lengths = np.abs(np.array(self.eyes) - np.array(self.feet))
        arms = self.arms(unknown, turn)
        rotated = 1j * np.exp(1j * unknown[2]) * np.array(self.eyes)
        columns = (arms.real, arms.imag, np.real(np.conj(arms) * rotated))
        return np.stack([column / lengths for column in columns], axis=1)

    def firmness(self, unknown: Floats, turn: float) -> float:
        """The moment arm of the three rods: nought where their lines meet in a point, millimetres."""
        lines = self.arms(unknown, turn)
        lines = lines / np.abs(lines)
        middle = unknown[0] + 1j * unknown[1] + np.exp(1j * unknown[2]) * np.mean(self.eyes)
        moments = np.imag(np.conj(self.feet_at(turn) - middle) * lines)
        return float(np.linalg.det(np.stack([lines.real, lines.imag, moments], axis=1)))


def platform(seed: int, *, as_bodies: bool = False) -> Example:
    """A random platform on three rods, or on three links that are bodies, over the span where it stands firm."""
    made = random_platform(seed)
    return platform_example(made, _firm_turns(made, 1.0), _firm_turns(made, -1.0), as_bodies, name=f"platform {seed}")


def random_platform(seed: int) -> Platform:
    """One that stands firm over twenty degrees of its input and more."""
    random = np.random.default_rng(seed)

    def points(radius: float) -> tuple[complex, complex, complex]:
        x, y = random.uniform(-radius, radius, (2, 3))
        first, second, third = (complex(point) for point in x + 1j * y)
        return first, second, third

    while True:
        made = Platform(points(60.0), points(60.0), (True, bool(random.random() < 0.5), False))
        if _firm_turns(made, 1.0) - _firm_turns(made, -1.0) > 20.0:
            return made


def platform_limit(made: Platform) -> float | None:
    """The positive turn at which the three rods' lines first meet in a point, where it can go no further: both loop
    closure and that are solved for at once. None within 120 degrees."""
    unknown, drawn = np.zeros(3), made.firmness(np.zeros(3), 0.0)
    for count in range(1, 2401):
        turn, trial = count / 20, unknown
        for _ in range(12):
            trial = trial - np.linalg.solve(made.jacobian(trial, turn), made.residual(trial, turn))
        lost = np.max(np.abs(made.residual(trial, turn))) > 1e-9 or made.firmness(trial, turn) / drawn <= 0
        if lost or np.max(np.abs(trial - unknown)) > 15.0:

            def at_the_end(values: Floats) -> Floats:
                return np.append(made.residual(values[:3], values[3]), made.firmness(values[:3], values[3]) / drawn)

            solved = root(at_the_end, np.append(unknown, turn - 0.05), options={"xtol": 1e-13})
            met = np.max(np.abs(at_the_end(solved.x))) < 1e-9 and abs(solved.x[3] - turn) < 1.0
            return float(solved.x[3]) if met else None
        unknown = trial
    return None


def _firm_turns(made: Platform, way: float) -> float:
    """How far the input turns until the platform is less than a quarter as firm as drawn, 100 degrees at most."""
    unknown, drawn = np.zeros(3), made.firmness(np.zeros(3), 0.0)
    if abs(drawn) < 6.0:
        return 0.0
    for count in range(1, 401):
        turn = way * count / 4
        for _ in range(8):
            unknown = unknown - np.linalg.solve(made.jacobian(unknown, turn), made.residual(unknown, turn))
        if np.max(np.abs(made.residual(unknown, turn))) > 1e-9 or made.firmness(unknown, turn) / drawn < 0.25:
            return way * (count - 1) / 4
    return way * 100.0


def platform_example(made: Platform, high: float, low: float, as_bodies: bool, *, name: str) -> Example:
    """Driven to `high` and on to `low`."""
    hosts = tuple("input" if on else FRAME for on in made.carried)
    arms = list(zip(hosts, made.feet, made.eyes, strict=True))
    if as_bodies:
        links = tuple(f"link-{at}" for at in range(3))
        joints: tuple = tuple(
            joint
            for link, (host, foot, eye) in zip(links, arms, strict=True)
            for joint in (pivot(f"{link}-eye", link, "platform", eye), pivot(f"{link}-foot", host, link, foot))
        )
    else:
        links = ()
        joints = tuple(rod(f"rod-{at}", host, "platform", foot, eye) for at, (host, foot, eye) in enumerate(arms))
    marks = {f"eye {at}": ("platform", eye) for at, eye in enumerate(made.eyes)}

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        found = follow(made.residual, made.jacobian, np.zeros(3), drives["input"], finest=0.5)
        place, rotor = found[:, 0] + 1j * found[:, 1], np.exp(1j * found[:, 2])
        return {name: place + rotor * eye for name, (_, eye) in marks.items()}

    return Example(
        name=name,
        project=project(
            (frame(), *moving("platform", *links, "input")),
            (*joints, pivot("input-pivot", FRAME, "input", 0)),
            {"input": "input-pivot"},
            (step("out", 2.0, {"input": high}), step("back", 3.0, {"input": low})),
        ),
        marks=marks,
        answer=answer,
    )


@dataclass(frozen=True, slots=True)
class StephensonFromAfar:
    """Stephenson's third six-bar driven by the crank of its five-bar loop: four bodies in one knot.

    Pins: frame at o2, o4, o6; a joins arm and coupler, b coupler and rocker, p the coupler and the far link, q the far
    link and the driven crank. Unknown are the turns of arm, coupler, rocker and far link, in radians; two vector loops.
    """

    o2: complex
    o4: complex
    o6: complex
    a: complex
    b: complex
    p: complex
    q: complex

    def loops(self, unknown: Floats, turn: float) -> Points:
        arm, coupler, rocker, far = np.exp(1j * unknown)
        at_a = self.o2 + arm * (self.a - self.o2)
        first = at_a + coupler * (self.b - self.a) - self.o4 - rocker * (self.b - self.o4)
        at_q = self.o6 + complex(degrees(turn)) * (self.q - self.o6)
        second = at_a + coupler * (self.p - self.a) + far * (self.q - self.p) - at_q
        return np.array([first, second])

    def residual(self, unknown: Floats, turn: float) -> Floats:
        loops = self.loops(unknown, turn)
        return np.concatenate([loops.real, loops.imag])

    def jacobian(self, unknown: Floats, turn: float) -> Floats:
        arm, coupler, rocker, far = 1j * np.exp(1j * unknown)
        first = [arm * (self.a - self.o2), coupler * (self.b - self.a), -rocker * (self.b - self.o4), 0]
        second = [arm * (self.a - self.o2), coupler * (self.p - self.a), 0, far * (self.q - self.p)]
        loops = np.array([first, second])
        return np.concatenate([loops.real, loops.imag])


def stephenson_from_afar(*, high: float, low: float) -> Example:
    """Driven at the pivot that makes all four other bodies depend on each other."""
    made = StephensonFromAfar(o2=0j, o4=100 + 0j, o6=180 + 30j, a=24 + 32j, b=70 + 74j, p=60 + 95j, q=150 + 100j)
    marks = {"a": ("coupler", made.a), "b": ("rocker", made.b), "p": ("far-link", made.p), "q": ("far-link", made.q)}

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        found = follow(made.residual, made.jacobian, np.zeros(4), drives["input"], finest=0.25)
        arm, coupler, rocker, far = np.exp(1j * found.T)
        at_a = made.o2 + arm * (made.a - made.o2)
        at_p = at_a + coupler * (made.p - made.a)
        return {
            "a": at_a,
            "b": made.o4 + rocker * (made.b - made.o4),
            "p": at_p,
            "q": at_p + far * (made.q - made.p),
        }

    return Example(
        name="Stephenson's third six-bar driven from afar",
        project=project(
            (*moving("far-link", "rocker", "coupler", "arm", "far-crank"), frame()),
            (
                pivot("a", "arm", "coupler", made.a),
                pivot("b", "coupler", "rocker", made.b),
                pivot("p", "coupler", "far-link", made.p),
                pivot("q", "far-link", "far-crank", made.q),
                pivot("o2", FRAME, "arm", made.o2),
                pivot("o4", FRAME, "rocker", made.o4),
                pivot("o6", FRAME, "far-crank", made.o6),
            ),
            {"input": "o6"},
            (step("out", 2.0, {"input": high}), step("back", 3.0, {"input": low})),
        ),
        marks=marks,
        answer=answer,
    )
