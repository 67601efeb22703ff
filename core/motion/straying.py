"""How far a motion strays between two solved moments, proved from the linkage's own equations.

**The course that is compared.** Over a span between two moments, s running from 0 to 1, every body's place and turn
are guessed by the cubic that has the solved poses and rates at both ends; the rates are those that the equations ask
for, with the drives' rates inside the span. Along it a row's residual r vanishes at both ends and so do its first
derivatives, but for rounding, so that (Hermite's remainder, e.g. J. Stoer, R. Bulirsch, Introduction to Numerical
Analysis, section 2.1.5)

    |r(s)|  <=  max |r|  +  4/27 (|r'(0)| + |r'(1)|)  +  max |r''''| / 384,

and it is off the quartic 16 s^2 (1 - s)^2 r(1/2) by no more than max |r'''''| / 13400 and what the ends leave. The
first says it by absolute values alone; the second takes most of r with its signs, so that what cancels does. The lesser
of the two is used.

Rows are sums and products of turns, of points z + w p with w = exp(i turn), and of the drives' values, so the bounds of
their derivatives follow from those of the cubics by Leibniz's rule and that of Faa di Bruno. A length l is taken by its
square, (|gap|^2 - l^2) / 2 l.

**The theorem.** Let F(x, s) be the rows of one block (see `equations`) in its own bodies' poses x, A the inverse of its
Jacobian at an end of the span, U a box about the cubic, |A F(cubic, s)| <= b and |A (F'(end) - F'(x, s))| <= K for all
x in U, entry by entry. If there is v > 0 with b + K v < v such that the box of half sides v lies in U, then x - A F(x,
s) maps that box into itself and contracts it in the norm that v weighs: at every s there is exactly one solution in it,
it is continuous in s, and within e = (I - K)^-1 b of the cubic, component by component. (L. V. Kantorovich's theorem in
the form for a fixed matrix: J. M. Ortega, W. C. Rheinboldt, Iterative Solution of Nonlinear Equations in Several
Variables, 12.4 and 12.6; P. Deuflhard, Newton Methods for Nonlinear Problems, 2.1; component by component: A. Neumaier,
Interval Methods for Systems of Equations, 5.1, after R. Krawczyk. Cited from memory.) v = (I - K)^-1 (b + d) is tried,
with d > 0 small; that it is positive says that K's spectral radius is below 1 (L. Collatz, H. Wielandt). The solved
poses at both ends lie in the box and solve the rows: between them the linkage has one course that does not leave it,
and every other branch stays out of it. The first half of the span is taken by the start's inverse, the second by the
end's, and both with the greater of each entry: over its nearer half the Jacobian goes half of its change between the
ends, an eighth at most of its second derivative's bound beside that, and what the box adds. What earlier blocks may be
off adds to b through the Jacobian's columns for them. What connections ask beyond what places the bodies is checked at
moments only.

**What it does not say.** At a dead centre the Jacobian is singular, and the condition fails for every span at or about
it; the equations then have more than one course, and which of them is gone is the solver's choice. It also fails where
a body is held at its last good pose, and where drives leap. Bodies that nothing drives, but others drag, have no
equations. `Ways.proved` is False of all of these, and of all that stands on them. What stands still while all drives
that it hangs on rest does so by the solver's word, at a dead centre too. Rounding is not bounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Bools, Complexes, Floats, Ints
from core.motion.contraction import FAR, Contraction, Spans, contract
from core.motion.equations import Ask, Block, PointRow, Row, equations_of, renumbered
from core.motion.pace import Pace, pace_of
from core.motion.phase import Phase
from core.motion.span import Course
from core.motion.tableau import Tableau, goals, linearised, tableau_of
from core.motion.ways import Ways

SHARE = 0.02
"""Of the way that is gone in a span: the ball within which the course is sought."""
SMALLEST, CAP = 1e-10, 1e-4
"""Of the mechanism's size: between which it is kept."""
LEAST_ARM = 0.05
"""Of the mechanism's size: the arm at which a turn counts at the least."""
CALM = 1e-7
"""Of the mechanism's size: what looks alike goes no farther."""
AT_ONCE = 1e-9
"""Of the sequence: a span that laps a latch's event or a move's end by less than this does not hold it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """What reaches from a point of one body to a point of another: it stands at the first and points at the second."""

    bodies: tuple[int, int]
    ends: tuple[complex, complex]


class Linkage:
    """The equations of a solved course, and of P discs that ride on its B bodies or on bars between them.

    `which` (P,) says on which body each disc rides, the bars counted on from the bodies; `points` (P,) are their
    centres, as drawn, or from where a bar stands along it. With `alone`, only the equations that those discs hang on
    are taken up.
    """

    def __init__(
        self, course: Course, bars: Sequence[Bar], which: Ints, points: Complexes, *, alone: bool = False
    ) -> None:
        self._course, self._bars = course, tuple(bars)
        self._wanted = frozenset(which.tolist()) if alone else None
        self._phases: dict[int, _Phase] = {}
        self._begins = np.array([stretch.phase.begin for stretch in course.stretches])
        self._which, self._points = which, points

    def ways(self, times: Floats, poses: Floats, start: Ints, stop: Ints) -> Ways:
        """How the discs go over spans from moments `start` to moments `stop` (S,) among `times` (T,); `poses` (T, N, 3)
        are those of the bodies and then of the bars."""
        middle = 0.5 * (times[start] + times[stop])
        phase = np.searchsorted(self._begins, middle, side="right") - 1
        found, order = list[Ways](), list[Ints]()
        for number in np.unique(phase).tolist():
            some = np.flatnonzero(phase == number)
            moments, index = np.unique(np.concatenate([start[some], stop[some]]), return_inverse=True)
            ends = index.reshape(2, -1)
            found.append(self._phase(number).ways(times[moments], poses[moments], ends, self._which, self._points))
            order.append(some)
        whole = found[0]
        for others in found[1:]:
            whole = whole.with_others(others)
        return whole.taken(np.argsort(np.concatenate(order)))

    def _phase(self, number: int) -> _Phase:
        if number not in self._phases:
            phase = self._course.stretches[number].phase
            self._phases[number] = _Phase.of(self._course, phase, self._bars, self._wanted)
        return self._phases[number]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Phase:
    """Of N bodies and bars."""

    course: Course
    begin: float
    end: float
    own: Ints
    """(N,) which of all they are, increasing."""
    tableau: Tableau
    centres: Complexes
    """(N,)"""
    still: Bools
    """(N + 1,) what never moves; the last is the view."""
    unplaced: Bools
    """(N + 1,) what no equations place."""
    stands: Bools
    """(N + 1, N + 1) what each stands on, itself among it."""
    moved_by: Bools
    """(N, D) the drives that each hangs on."""
    drives: Ints
    """Those that something here hangs on."""
    among: Ints
    """The bodies that each block speaks of, block after block."""
    starts: Ints
    """Where those of a block begin."""
    blocked: Ints
    block: Ints
    """The bodies that are in blocks, and in which."""

    @classmethod
    def of(cls, course: Course, phase: Phase, bars: Sequence[Bar], wanted: frozenset[int] | None) -> _Phase:
        mechanism, count = course.mechanism, len(course.mechanism.bodies)
        only = None if wanted is None else _stages_of(phase, bars, wanted)
        found = equations_of(phase, only)
        blocks = [*found.blocks, *(_of_bar(bar, count + at) for at, bar in enumerate(bars))]
        own = np.arange(count + len(bars))
        if wanted is not None:
            blocks = _hung_on(blocks, wanted)
            own = np.unique([*wanted, *(body for block in blocks for body in _spoken_of(block) if body >= 0)])
            number = {body: at for at, body in enumerate(own.tolist())} | {-1: -1}
            blocks = [renumbered(block, number) for block in blocks]
        still, unplaced = (np.zeros(len(own) + 1, dtype=bool) for _ in range(2))
        still[:-1] = np.append(mechanism.fixed, np.zeros(len(bars), dtype=bool))[own]
        still[-1] = True
        unplaced[:-1] = np.isin(own, list(found.without))
        speaks = [sorted({body % len(still) for body in _spoken_of(block)}) for block in blocks]
        stands = np.eye(len(still), dtype=bool)
        for block, bodies in zip(blocks, speaks, strict=True):
            stands[list(block.bodies)] |= stands[bodies].any(axis=0)
        moved_by_one = phase.plan.moved_by
        hangs_on = [*moved_by_one, *(moved_by_one[i] | moved_by_one[j] for i, j in (bar.bodies for bar in bars))]
        moved_by = np.zeros((len(own), len(mechanism.drives)), dtype=bool)
        for at, body in enumerate(own.tolist()):
            moved_by[at, list(hangs_on[body])] = True
        centres = np.array([*found.centres, *[0j] * len(bars)])[own]
        return cls(
            course=course,
            begin=phase.begin,
            end=phase.end,
            own=own,
            tableau=tableau_of(blocks, centres.tolist(), len(mechanism.drives)),
            centres=centres,
            still=still,
            unplaced=unplaced,
            stands=stands,
            moved_by=moved_by,
            drives=np.flatnonzero(moved_by.any(axis=0)),
            among=np.array([body for bodies in speaks for body in bodies], dtype=np.intp),
            starts=np.cumsum([0, *(len(bodies) for bodies in speaks)])[:-1],
            blocked=np.array([body for block in blocks for body in block.bodies], dtype=np.intp),
            block=np.repeat(np.arange(len(blocks)), [len(block.bodies) for block in blocks]),
        )

    def ways(self, times: Floats, poses: Floats, ends: Ints, which: Ints, points: Complexes) -> Ways:
        """`ends` (2, S) are the moments at both ends."""
        poses, which = poses.take(self.own, axis=1), np.searchsorted(self.own, which)
        poses = np.where(np.isfinite(poses).all(axis=2, keepdims=True), poses, FAR)
        z, turn = np.zeros((len(times), len(self.still)), dtype=complex), np.zeros((len(times), len(self.still)))
        turn[:, :-1] = poses[..., 2]
        z[:, :-1] = poses[..., 0] + 1j * poses[..., 1] + np.exp(1j * poses[..., 2]) * self.centres
        lap = AT_ONCE * max(self.course.end, 1e-300)
        begin, end = times[ends]
        pace = pace_of(self.course.inputs, begin, end, lap, self.drives)
        ball = self._ball(z, turn, ends)
        rests = np.concatenate([self._rests(poses, ends, pace), np.ones((len(begin), 1), dtype=bool)], axis=1)
        found = self._contracted(z, turn, ends, pace, ball, rests)
        proved = (found.off < FAR).all(axis=2) & ((begin >= self.begin - lap) & (end <= self.end + lap))[:, None]
        rate = found.rates[:, :, which]
        return Ways.of(
            proved=proved[:, which],
            placed=~((self.unplaced | found.amiss) @ self.stands.T)[:, which],
            calm=self._calm(z, turn, ends)[:, which],
            place=z[ends][..., which],
            rate=rate[..., 0] + 1j * rate[..., 1],
            turn=turn[ends][..., which],
            turn_rate=rate[..., 2],
            arms=points - self.centres[which],
            off=np.hypot(found.off[:, which, 0], found.off[:, which, 1]),
            off_turn=found.off[:, which, 2],
        )

    def _contracted(
        self, z: Complexes, turn: Floats, ends: Ints, pace: Pace, ball: Floats, rests: Bools
    ) -> Contraction:
        """Spans in which nothing that has equations moves are not looked into: nothing strays there."""
        going = np.flatnonzero(~rests[:, self.blocked].all(axis=1))
        rates, amiss = np.zeros((2, *ball.shape)), np.zeros(rests.shape, dtype=bool)
        off = np.where((self.unplaced & ~rests)[..., None], FAR, np.zeros(3))
        if len(going):
            moments, index = np.unique(ends[:, going], return_inverse=True)
            z, turn = z[moments], turn[moments]
            spans = Spans(
                tableau=self.tableau, at=linearised(self.tableau, z, turn), z=z, turn=turn, ends=index.reshape(2, -1),
                goals=goals(self.tableau, pace.over(going)), ball=ball[going], rests=rests[going],
                size=self.course.mechanism.size,
            )  # fmt: skip
            found = contract(spans, self.unplaced)
            rates[:, going], off[going], amiss[going] = found.rates, found.off, found.amiss
        return Contraction(rates, off, amiss)

    def _ball(self, z: Complexes, turn: Floats, ends: Ints) -> Floats:
        """(S, N + 1, 3) in which to seek the course: so much of the way that anything in the body's block, or that it
        builds on, goes."""
        size, reach = self.course.mechanism.size, self.tableau.reach
        turned = np.abs(turn[ends[1]] - turn[ends[0]])
        gone = np.abs(z[ends[1]] - z[ends[0]]) + reach * turned
        ball = np.zeros((*gone.shape, 3))
        place = np.clip(SHARE * self._in_block(gone), SMALLEST * size, CAP * size)
        by_turn = np.minimum(SHARE * self._in_block(turned), CAP * size / np.maximum(reach[self.blocked], 1e-300))
        ball[:, self.blocked, 0] = ball[:, self.blocked, 1] = place
        ball[:, self.blocked, 2] = np.maximum(by_turn, place / np.maximum(reach, LEAST_ARM * size)[self.blocked])
        return ball

    def _calm(self, z: Complexes, turn: Floats, ends: Ints) -> Bools:
        """(S, N + 1) what looks alike at both ends with all that it stands on."""
        size = self.course.mechanism.size
        arms = np.maximum(self.tableau.reach, LEAST_ARM * size)
        moves = np.abs(z[ends[1]] - z[ends[0]]) + arms * np.abs(turn[ends[1]] - turn[ends[0]]) > CALM * size
        return np.asarray(~(moves @ self.stands.T))

    def _in_block(self, values: Floats) -> Floats:
        """The greatest of (S, N + 1) values among what is spoken of in the block of each body that has one."""
        return np.asarray(np.maximum.reduceat(values[:, self.among], self.starts, axis=1)[:, self.block])

    def _rests(self, poses: Floats, ends: Ints, pace: Pace) -> Bools:
        """(S, N) what stands still because all drives that it hangs on do."""
        driven = (pace.greatest[0] > 0.0) @ self.moved_by.T
        same = (poses[ends[0]] == poses[ends[1]]).all(axis=2)
        return np.asarray(self.still[:-1] | (same & ~driven))


def _stages_of(phase: Phase, bars: Sequence[Bar], wanted: frozenset[int]) -> frozenset[int]:
    """The stages that some bodies and bars follow from."""
    count = len(phase.mechanism.bodies)
    bodies = {body for one in wanted for body in ((one,) if one < count else bars[one - count].bodies)}
    return frozenset().union(*(phase.behind[body] for body in bodies))


def _spoken_of(block: Block) -> set[int]:
    return {*block.bodies, *(body for row in block.rows for body in row.bodies)}


def _hung_on(blocks: Sequence[Block], wanted: frozenset[int]) -> list[Block]:
    """The blocks that some bodies are placed by, and those that these build on, in the same order."""
    needed, kept = set(wanted), list[Block]()
    for block in reversed(blocks):
        if needed & set(block.bodies):
            needed |= {body for row in block.rows for body in row.bodies}
            kept.append(block)
    return kept[::-1]


def _of_bar(bar: Bar, body: int) -> Block:
    start, toward = ((at, end) for at, end in zip(bar.bodies, bar.ends, strict=True))
    here = (body, 0j)
    rows: tuple[Row, ...] = (
        PointRow(Ask.SHUT, start, here),
        PointRow(Ask.SHUT, start, here, 1j),
        PointRow(Ask.ACROSS, here, toward),
    )
    return Block((body,), rows)
