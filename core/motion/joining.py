"""What joins two or three groups, and the step of closed form that it makes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.geometry.planar import cross
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.placing import Placing
from core.motion.steps import (
    SIDEWAYS,
    Aligned,
    Bar,
    PinnedBar,
    PinnedTrack,
    Run,
    Slid,
    SlidBar,
    SlidTrack,
    Step,
    ThreePivots,
    Track,
    Turn,
    Turned,
    TwoPivotsAndSlide,
    TwoSlidesAndPivot,
)

NOTHING = 1e-9
"""Of the mechanism's size: an arm shorter than this gives no direction."""
JOINTS = (Kind.PIVOT, Kind.SLIDE)
BARS = (Kind.ROD, Kind.JACK)

Ends = tuple[tuple[int, complex], tuple[int, complex]]
Joined = tuple[Step, list[int]]
"""A step and the groups it makes one, in the step's order."""


@dataclass(frozen=True, slots=True)
class Joining:
    """Chooses steps. `group_of` is whose group each body is in just now; -1 is the world."""

    mechanism: Mechanism
    start: Placing
    group_of: Sequence[int]

    def _group(self, body: int) -> int:
        return self.group_of[body]

    def pair(self, one: int, other: int, numbers: list[int], geared: tuple[Turn, int] | None) -> Joined | None:
        """What takes all freedoms between two groups, if anything does."""
        kinds = {kind: [number for number in numbers if self.mechanism.links[number].kind is kind] for kind in JOINTS}
        pivots, slides = kinds[Kind.PIVOT], kinds[Kind.SLIDE]
        rows = [number for number in numbers if number not in pivots and number not in slides]
        driven = self._driven(pivots, slides, one, other)
        if driven is not None:
            return driven
        if pivots and (geared or slides):
            turn, source = geared or (Turn(*self.mechanism.links[slides[0]].bodies), slides[0])
            return self._turned(turn, pivots[0], one, (source,) if geared else (), ()), [one, other]
        found: list[Step | None] = []
        if pivots:
            found = [self._aligned(pivots, one), *(self._pinned(pivots[0], row, one) for row in rows)]
            order = [one, other]
        elif slides:
            order = self._order(slides[0], one, other)
            found = [self._slid(slides[0], row, order[0]) for row in (*rows, *slides[1:])]
        return next(((step, order) for step in found if step is not None), None)

    def _driven(self, pivots: list[int], slides: list[int], one: int, other: int) -> Joined | None:
        links = self.mechanism.links
        for number in pivots:
            if links[number].drive >= 0:
                turn = Turn(*links[number].bodies, drive=links[number].drive)
                return self._turned(turn, number, one, (), (links[number].drive,)), [one, other]
        for number in slides:
            drive = links[number].drive
            if drive >= 0:
                step = Slid((number,), (drive,), links[number].bodies, Run.of(links[number]), drive)
                return step, self._order(number, one, other)
        return None

    def _order(self, slide: int, one: int, other: int) -> list[int]:
        """The groups with that of the slide's first body first."""
        return [one, other] if self._group(self.mechanism.links[slide].first) == one else [other, one]

    def _ends(self, number: int, first: int) -> Ends:
        """A connection's two points, that of the group `first` first."""
        link = self.mechanism.links[number]
        ends = ((link.first, link.p), (link.second, link.q))
        return ends if self._group(link.first) == first else (ends[1], ends[0])

    def _turned(self, turn: Turn, pivot: int, one: int, extra: tuple[int, ...], drives: tuple[int, ...]) -> Turned:
        ends = self._ends(pivot, one)
        bodies = (*turn.bodies, ends[0][0], ends[1][0])
        # A slide that only gives the turn is not used up: that it also meets is checked.
        return Turned((pivot, *extra), drives, bodies, turn, self._group(turn.first) == one, ends)

    def _aligned(self, pivots: list[int], one: int) -> Aligned | None:
        first = self._ends(pivots[0], one)
        for number in pivots[1:]:
            second = self._ends(number, one)
            if self._apart(first[1], second[1]) and self._apart(first[0], second[0]):
                bodies = (first[0][0], second[0][0], first[1][0], second[1][0])
                # The second pivot gives the direction and is checked for the distance.
                return Aligned((pivots[0],), (), bodies, (first[0], second[0]), (first[1], second[1]))
        return None

    def _apart(self, one: tuple[int, complex], other: tuple[int, complex]) -> bool:
        gap = abs(complex(self.start.point(*one)) - complex(self.start.point(*other)))
        return gap > NOTHING * self.mechanism.size

    def _bar(self, number: int, one: int) -> tuple[Bar, tuple[int, ...]]:
        link, ends = self.mechanism.links[number], self._ends(number, one)
        return Bar(ends[0], ends[1], link.length, link.drive), (link.drive,) if link.drive >= 0 else ()

    def _track(self, number: int, one: int) -> Track:
        link = self.mechanism.links[number]
        return Track((link.first, link.p), link.along, (link.second, link.q), self._group(link.first) == one)

    def _pinned(self, pivot: int, row: int, one: int) -> Step | None:
        ends, link = self._ends(pivot, one), self.mechanism.links[row]
        bodies = (*self.mechanism.links[pivot].bodies, *link.bodies)
        if link.kind in BARS:
            bar, drives = self._bar(row, one)
            if not self._apart(ends[1], bar.there) or not self._apart(ends[0], bar.here):
                return None
            return PinnedBar((pivot, row), drives, bodies, ends, bar)
        track = self._track(row, one)
        if not self._apart(ends[1] if track.on_first else ends[0], track.pin):
            return None
        return PinnedTrack((pivot, row), (), bodies, ends, track)

    def _slid(self, slide: int, row: int, one: int) -> Step | None:
        run, link = Run.of(self.mechanism.links[slide]), self.mechanism.links[row]
        bodies = (*self.mechanism.links[slide].bodies, *link.bodies)
        if link.kind in BARS:
            bar, drives = self._bar(row, one)
            return SlidBar((slide, row), drives, bodies, run, bar)
        way, line = self.start.way(run.first, run.along), self.start.way(link.first, link.along)
        if abs(float(cross(way, line))) <= SIDEWAYS:
            return None
        # A second slide is not used up: that it does not turn is checked.
        used = (slide,) if link.kind is Kind.SLIDE else (slide, row)
        return SlidTrack(used, (), bodies, run, self._track(row, one))

    def triple(self, a: int, b: int, c: int, joints: dict[int, dict[int, int]]) -> Joined | None:
        links = self.mechanism.links
        for first, second, third in ((a, b, c), (b, c, a), (c, a, b)):
            between, aside, closing = joints[first][second], joints[second][third], joints[third][first]
            slides = [links[number].kind is Kind.SLIDE for number in (between, aside, closing)]
            if slides == [False, False, False]:
                return self._three_pivots(first, second, third, (between, aside, closing))
            if slides == [True, False, False]:
                if self._group(links[between].first) != first:
                    first, second, aside, closing = second, first, closing, aside
                return self._two_pivots(first, second, third, (between, aside, closing))
            if slides == [True, True, False]:
                if self._group(links[between].first) == first:
                    return self._two_slides(first, second, third, (between, aside, closing))
                if self._group(links[aside].first) == third:
                    return self._two_slides(third, second, first, (aside, between, closing))
                return self._slides_from_within(first, second, third, (between, aside, closing))
        return None

    def _three_pivots(self, a: int, b: int, c: int, by: tuple[int, int, int]) -> Joined | None:
        between, aside, closing = by
        first = (self._ends(between, a)[0], self._ends(closing, a)[0])
        second = (self._ends(between, b)[0], self._ends(aside, b)[0])
        third = (self._ends(closing, c)[0], self._ends(aside, c)[0])
        if not (self._apart(*second) and self._apart(*third) and self._apart(*first)):
            return None
        bodies = tuple(end[0] for pair in (first, second, third) for end in pair)
        return ThreePivots(by, (), bodies, first, second, third), [a, b, c]

    def _two_pivots(self, a: int, b: int, c: int, by: tuple[int, int, int]) -> Joined | None:
        slide, aside, closing = by
        here, there = self._ends(closing, a)[0], self._ends(aside, b)[0]
        third = (self._ends(closing, c)[0], self._ends(aside, c)[0])
        if not self._apart(*third):
            return None
        bodies = (*self.mechanism.links[slide].bodies, here[0], there[0], third[0][0], third[1][0])
        return TwoPivotsAndSlide(by, (), bodies, Run.of(self.mechanism.links[slide]), here, there, third), [a, b, c]

    def _two_slides(self, a: int, b: int, c: int, by: tuple[int, int, int]) -> Joined | None:
        return self._run_on_run(Run.of(self.mechanism.links[by[0]]), a, b, c, by)

    def _slides_from_within(self, a: int, b: int, c: int, by: tuple[int, int, int]) -> Joined | None:
        """Both slides have the middle group's body first; a slide goes the other way as seen from its second body."""
        link = self.mechanism.links[by[0]]
        return self._run_on_run(Run(link.second, link.first, link.p, -link.along), a, b, c, by)

    def _run_on_run(self, run: Run, a: int, b: int, c: int, by: tuple[int, int, int]) -> Joined | None:
        slide, aside, closing = by
        link = self.mechanism.links[aside]
        middle, last = link.bodies if self._group(link.second) == c else link.bodies[::-1]
        way, line = self.start.way(run.first, run.along), self.start.way(last, link.along)
        if abs(float(cross(way, line))) <= SIDEWAYS:
            return None
        at = self._ends(closing, a)
        bodies = (*self.mechanism.links[slide].bodies, *link.bodies, at[0][0], at[1][0])
        return TwoSlidesAndPivot(by, (), bodies, run, middle, last, (link.p, link.along), at), [a, b, c]

    def held(self, number: int, other: int) -> Joined:
        link = self.mechanism.links[number]
        if link.kind is Kind.PIVOT:
            constant = float(self.start.turn(link.second) - self.start.turn(link.first))
            return self._turned(Turn(*link.bodies, constant=constant), number, -1, (), ()), [-1, other]
        gap = self.start.point(link.second, link.q) - self.start.point(link.first, link.p)
        travel = float((gap * self.start.way(link.first, link.along).conjugate()).real)
        return Slid((number,), (), link.bodies, Run.of(link), -1, travel), self._order(number, -1, other)
