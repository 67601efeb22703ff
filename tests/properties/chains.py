"""Random mechanisms of up to a dozen bodies, grown two bodies at a time, with their answers in closed form.

Each growth hangs on two bodies that are already there: two links, a link and a block on a line, a link with its pin in
a slot, a barrel and piston, a crank with a rod, or a geared crank. The answer walks the same way in complex numbers: a
body is a place `u` and a rotor `w`, and its point drawn at p is at u + w p.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from core.document.project import Body, Connection, Project, Step
from tests.mechanisms.example import Drives, Example
from tests.mechanisms.planar import Floats, Points, cross, degrees, dot, meet_circles, unit
from tests.mechanisms.sketch import FRAME, frame, gearing, moving, pivot, project, rod, slide, slot, step


@dataclass(frozen=True, slots=True)
class Track:
    """Where a body is over the inputs: its point drawn at p is at u + w p."""

    u: Points
    w: Points

    def at(self, point: complex) -> Points:
        return self.u + self.w * point


Tracks = dict[str, Track]
Rule = Callable[[Tracks, Floats], tuple[Tracks, Floats]]
"""New bodies from the old ones, and how far from a dead centre they are: a signed sine, drawn positive."""


@dataclass(slots=True)
class Growing:
    """A chain while it grows."""

    random: np.random.Generator
    size: float
    bodies: list[Body] = field(default_factory=lambda: [frame(), *moving("input")])
    connections: list[Connection] = field(default_factory=lambda: [pivot("input-pivot", FRAME, "input", 0)])
    rules: list[Rule] = field(default_factory=list)

    def point(self) -> complex:
        x, y = self.random.uniform(-1.0, 1.0, 2)
        return complex(self.size * (x + 1j * y))

    def name(self) -> str:
        return f"b{len(self.bodies)}"

    def hosts(self) -> tuple[str, str]:
        """Two different bodies, the younger ones rather than the older."""
        names = [body.id for body in self.bodies]
        weights = np.arange(1.0, len(names) + 1)
        first, second = self.random.choice(len(names), 2, replace=False, p=weights / weights.sum())
        return names[first], names[second]

    def add(self, bodies: tuple[str, ...], connections: tuple[Connection, ...], rule: Rule) -> None:
        self.bodies += moving(*bodies)
        self.connections += connections
        self.rules.append(rule)


def pinned(track: Track, point: complex, now: Points, drawn_arm: complex, arm: Points) -> Track:
    """A body whose point is at `now` and whose drawn arm points along `arm`."""
    w = unit(arm) / unit(drawn_arm)
    return Track(now - w * point, w)


def grow_links(chain: Growing) -> None:
    """Two links meeting at r."""
    (i, j), p, q, r = chain.hosts(), chain.point(), chain.point(), chain.point()
    first, second = chain.name(), chain.name() + "x"
    side = float(np.sign(cross(q - p, r - p)))

    def rule(tracks: Tracks, turn: Floats) -> tuple[Tracks, Floats]:
        at_p, at_q = tracks[i].at(p), tracks[j].at(q)
        at_r = meet_circles(at_p, abs(r - p), at_q, abs(r - q), side)
        new = {
            first: pinned(tracks[i], p, at_p, r - p, at_r - at_p),
            second: pinned(tracks[j], q, at_q, r - q, at_r - at_q),
        }
        return new, side * cross(unit(at_p - at_r), unit(at_q - at_r))

    joints = (
        pivot(f"{first}-p", i, first, p),
        pivot(f"{first}-r", second, first, r),
        pivot(f"{first}-q", j, second, q),
    )
    chain.add((first, second), joints, rule)


def grow_crank_with_rod(chain: Growing) -> None:
    """A crank on the first host, a rod from its pin to the second."""
    (i, j), p, q, r = chain.hosts(), chain.point(), chain.point(), chain.point()
    first = chain.name()
    side = float(np.sign(cross(q - p, r - p)))

    def rule(tracks: Tracks, turn: Floats) -> tuple[Tracks, Floats]:
        at_p, at_q = tracks[i].at(p), tracks[j].at(q)
        at_r = meet_circles(at_p, abs(r - p), at_q, abs(r - q), side)
        return (
            {first: pinned(tracks[i], p, at_p, r - p, at_r - at_p)},
            side * cross(unit(at_p - at_r), unit(at_q - at_r)),
        )

    chain.add((first,), (rod(f"{first}-rod", j, first, q, r), pivot(f"{first}-p", first, i, p)), rule)


def _on_line(
    chain: Growing, i: str, j: str, p: complex, r: complex, along: complex
) -> Callable[[Tracks], tuple[Points, Points, Floats]]:
    """p and r now, and the sine of the dead centre, for r at its distance from p and on a line of body j."""
    further = float(np.sign(dot(along, r - p)))

    def meet(tracks: Tracks) -> tuple[Points, Points, Floats]:
        at_p = tracks[i].at(p)
        through, direction = tracks[j].at(r), tracks[j].w * along
        gap = through - at_p
        across = cross(direction, gap)
        square = abs(r - p) ** 2 - across**2
        run = further * np.sqrt(np.where(square >= 0, square, np.nan)) - dot(direction, gap)
        return at_p, through + direction * run, np.sqrt(np.where(square >= 0, square, np.nan)) / abs(r - p)

    return meet


def grow_block(chain: Growing) -> None:
    """A link to a block that slides on the second host."""
    (i, j), p, r = chain.hosts(), chain.point(), chain.point()
    along = complex(degrees(chain.random.uniform(0, 360)))
    link, block = chain.name(), chain.name() + "x"
    meet = _on_line(chain, i, j, p, r, along)

    def rule(tracks: Tracks, turn: Floats) -> tuple[Tracks, Floats]:
        at_p, at_r, sine = meet(tracks)
        w = tracks[j].w
        return {link: pinned(tracks[i], p, at_p, r - p, at_r - at_p), block: Track(at_r - w * r, w)}, sine

    joints = (
        slide(f"{link}-guide", j, block, r, along),
        pivot(f"{link}-r", link, block, r),
        pivot(f"{link}-p", i, link, p),
    )
    chain.add((link, block), joints, rule)


def grow_slot(chain: Growing) -> None:
    """A link whose far pin runs in a slot of the second host."""
    (i, j), p, r = chain.hosts(), chain.point(), chain.point()
    along = complex(degrees(chain.random.uniform(0, 360)))
    link = chain.name()
    meet = _on_line(chain, i, j, p, r, along)
    reach = 20 * chain.size * along

    def rule(tracks: Tracks, turn: Floats) -> tuple[Tracks, Floats]:
        at_p, at_r, sine = meet(tracks)
        return {link: pinned(tracks[i], p, at_p, r - p, at_r - at_p)}, sine

    chain.add((link,), (slot(f"{link}-slot", j, link, r, r - reach, r + reach), pivot(f"{link}-p", i, link, p)), rule)


def grow_barrel(chain: Growing) -> None:
    """A barrel on the first host and a piston on the second, in line with both pins."""
    (i, j), p, q = chain.hosts(), chain.point(), chain.point()
    barrel, piston = chain.name(), chain.name() + "x"

    def rule(tracks: Tracks, turn: Floats) -> tuple[Tracks, Floats]:
        at_p, at_q = tracks[i].at(p), tracks[j].at(q)
        new = {
            barrel: pinned(tracks[i], p, at_p, q - p, at_q - at_p),
            piston: pinned(tracks[j], q, at_q, q - p, at_q - at_p),
        }
        return new, np.minimum(np.abs(at_q - at_p) / abs(q - p), 1.0)

    joints = (
        pivot(f"{barrel}-p", barrel, i, p),
        pivot(f"{barrel}-q", j, piston, q),
        slide(f"{barrel}-bore", piston, barrel, (p + q) / 2, unit(q - p)),
    )
    chain.add((barrel, piston), joints, rule)


def grow_geared(chain: Growing) -> None:
    """A crank on the frame, geared to the input."""
    p, name = chain.point(), chain.name()
    ratio = float(chain.random.choice([-1.0, 0.5, -2.0, 1.5]))

    def rule(tracks: Tracks, turn: Floats) -> tuple[Tracks, Floats]:
        w = degrees(ratio * turn)
        return {name: Track(p - w * p, w)}, np.ones_like(turn)

    joints = (gearing(f"{name}-gears", "input-pivot", f"{name}-p", ratio), pivot(f"{name}-p", FRAME, name, p))
    chain.add((name,), joints, rule)


GROWTHS = (grow_links, grow_links, grow_crank_with_rod, grow_block, grow_slot, grow_barrel, grow_geared)
LEAST_SINE = 0.15
"""How near to a dead centre a chain may come; near ones have tests of their own."""


@np.errstate(invalid="ignore")  # a growth that does not meet is NaN, and so is all that hangs on it
def tracks_of(chain: Growing, turn: Floats) -> tuple[Tracks, Floats]:
    """Every body over the input's turn, and the least sine of any growth."""
    tracks = {FRAME: Track(0 * turn + 0j, 1 + 0j * turn), "input": Track(0 * turn + 0j, degrees(turn))}
    least = np.ones_like(turn)
    for rule in chain.rules:
        new, sine = rule(tracks, turn)
        tracks.update(new)
        least = np.minimum(least, np.nan_to_num(sine, nan=-1.0))
    return tracks, least


def clear_span(chain: Growing) -> tuple[float, float]:
    """The turns about the drawn position, in degrees, over which no growth comes near a dead centre."""
    spans = []
    for way in (-1, 1):
        turn = way * np.linspace(0.0, 300.0, 1201)
        _, least = tracks_of(chain, turn)
        bad = np.flatnonzero(least < LEAST_SINE)
        spans.append(float(turn[bad[0] - 1]) if len(bad) and bad[0] > 0 else 0.0 if len(bad) else float(turn[-1]))
    return spans[0], spans[1]


def grown_chain(seed: int, growths: int = 4, size: float = 50.0) -> Growing:
    """A chain that can turn its input by at least thirty degrees."""
    random = np.random.default_rng(seed)
    while True:
        chain = Growing(random, size)
        for grow in random.choice(np.array(GROWTHS, dtype=object), growths):
            for _ in range(40):
                kept = (list(chain.bodies), list(chain.connections), list(chain.rules))
                grow(chain)
                low, high = clear_span(chain)
                if high - low >= 30.0:
                    break
                chain.bodies, chain.connections, chain.rules = kept
        low, high = clear_span(chain)
        if high - low >= 30.0 and len(chain.rules) == growths:
            return chain


def random_chain(seed: int, growths: int = 4, size: float = 50.0) -> Example:
    """A chain driven over all of its clear span, out and back."""
    chain = grown_chain(seed, growths, size)
    low, high = clear_span(chain)
    probes = (0j, complex(size))
    marks = {f"{body.id} {at}": (body.id, probe) for body in chain.bodies for at, probe in enumerate(probes)}

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        tracks, _ = tracks_of(chain, drives["input"])
        return {name: tracks[body].at(point) for name, (body, point) in marks.items()}

    steps = (step("out", 2.0, {"input": high}), step("back", 3.0, {"input": low}, profile="eased"))
    return Example(name=f"chain {seed}", project=driven(chain, steps), marks=marks, answer=answer)


def driven(chain: Growing, steps: tuple[Step, ...]) -> Project:
    return project(chain.bodies, chain.connections, {"input": "input-pivot"}, steps)


def limit_of(chain: Growing, margin: float = 5.0) -> float | None:
    """The turn at which the chain can first no longer be put together, if it stays so for another `margin` degrees."""
    high = clear_span(chain)[1]
    turns = np.arange(high, high + 40.0, 0.05)
    apart = tracks_of(chain, turns)[1] < 0
    if apart[0] or not apart.any():
        return None
    first = int(np.argmax(apart))
    if not apart[first : first + int(margin / 0.05)].all():
        return None
    low, up = float(turns[first - 1]), float(turns[first])
    for _ in range(60):
        middle = (low + up) / 2
        if tracks_of(chain, np.array([middle]))[1][0] < 0:
            up = middle
        else:
            low = middle
    return low
