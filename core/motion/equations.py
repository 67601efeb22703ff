"""The equations that place bodies, as the solver takes them: which rows find which bodies, block by block.

A *block* is what comes to stand in the view at once: the bodies of one grounded stage of the plan, with the rows of
that stage and of all that put its groups together before. Its rows speak of its own bodies and of those of earlier
blocks. What connections only check is in no block, nor has one that is dragged by others rows enough to be found from.
"""

from __future__ import annotations

from cmath import exp
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, auto

from core.mechanism.mechanism import Kind, Link, Mechanism
from core.motion.assembly import Knot, Stage
from core.motion.phase import Branch, Phase
from core.motion.steps import (
    Aligned,
    Bar,
    Fixed,
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

End = tuple[int, complex]
"""A point of a body, as drawn."""


class Ask(Enum):
    """What is asked of the gap from one body's point to another's."""

    SHUT = auto()
    """No component along a direction of the view."""
    ACROSS = auto()
    """None across a direction of the first body."""
    ALONG = auto()
    """A known one along a direction of the first body."""
    APART = auto()
    """A known length."""


@dataclass(frozen=True, slots=True)
class PointRow:
    ask: Ask
    first: End
    second: End
    way: complex = 1 + 0j
    constant: float = 0.0
    drive: int = -1
    """Whose value, mm, is to be added to the constant, or -1."""

    @property
    def bodies(self) -> tuple[int, ...]:
        return self.first[0], self.second[0]


@dataclass(frozen=True, slots=True)
class TurnRow:
    """A sum of turns has a known value, in radians; that of a drive is in degrees."""

    shares: tuple[tuple[int, float], ...]
    constant: float = 0.0
    drive: int = -1

    @property
    def bodies(self) -> tuple[int, ...]:
        return tuple(body for body, _ in self.shares)


Row = PointRow | TurnRow


@dataclass(frozen=True, slots=True)
class Block:
    bodies: tuple[int, ...]
    rows: tuple[Row, ...]
    """Three for each body."""


@dataclass(frozen=True, slots=True)
class Equations:
    """Of one phase. Body -1 is the view."""

    blocks: tuple[Block, ...]
    """In an order in which each only speaks of bodies before it, and of those that never move."""
    centres: tuple[complex, ...]
    """Of each body, amid its connections' points, as drawn."""
    without: frozenset[int]
    """Bodies that no equations place."""


def renumbered(block: Block, number: Mapping[int, int]) -> Block:
    """The same with its bodies numbered otherwise; `number` has what each is to be."""

    def point(end: End) -> End:
        return number[end[0]], end[1]

    def row(one: Row) -> Row:
        if isinstance(one, TurnRow):
            return TurnRow(tuple((number[body], share) for body, share in one.shares), one.constant, one.drive)
        return PointRow(one.ask, point(one.first), point(one.second), one.way, one.constant, one.drive)

    return Block(tuple(number[body] for body in block.bodies), tuple(row(one) for one in block.rows))


def equations_of(phase: Phase, only: Collection[int] | None = None) -> Equations:
    """Of all stages, or `only` of some and of what these build on, by number."""
    centres = _centres(phase.mechanism)
    blocks: list[Block] = []
    waiting: dict[int, tuple[Row, ...] | None] = {}
    """Of a body that stands in no view yet, the rows of its group."""
    without: set[int] = set()
    for number, stage in enumerate(phase.plan.stages):
        if only is not None and number not in only:
            continue
        parts = [_rows_of_stage(phase, number, centres)]
        parts += [waiting.get(group[0], ()) for group in stage.groups if group]
        rows = _together(parts)
        for group in stage.groups:
            waiting |= dict.fromkeys(group, () if stage.grounded else rows)
        if not stage.grounded:
            continue
        if rows is None or len(rows) != 3 * len(stage.carried):
            without |= set(stage.carried)
        else:
            blocks.append(Block(stage.carried, rows))
    return Equations(tuple(blocks), centres, frozenset(without))


def _together(parts: Iterable[tuple[Row, ...] | None]) -> tuple[Row, ...] | None:
    found: list[Row] = []
    for rows in parts:
        if rows is None:
            return None
        found += rows
    return tuple(found)


def _centres(mechanism: Mechanism) -> tuple[complex, ...]:
    points: list[list[complex]] = [[] for _ in mechanism.bodies]
    for link in mechanism.links:
        if link.kind is not Kind.GEARING:
            points[link.first].append(link.p)
            points[link.second].append(link.q)
    return tuple(sum(some) / len(some) if some else 0j for some in points)


def _rows_of_stage(phase: Phase, number: int, centres: Sequence[complex]) -> tuple[Row, ...] | None:
    stage, branch = phase.plan.stages[number], phase.branches[number]
    if isinstance(stage.step, Knot):
        return _of_knot(phase, stage, branch)
    found = list(_of_step(stage.step, centres))
    return None if None in found else tuple(row for row in found if row is not None)


def _of_knot(phase: Phase, stage: Stage, branch: Branch) -> tuple[Row, ...] | None:
    if branch.tangle is None or branch.tangle.slack:
        return None
    rows = [row for link in stage.step.links for row in _of_link(phase, link)]
    return tuple(rows[at] for at in branch.tangle.kept)


def _of_link(phase: Phase, number: int) -> Iterator[Row]:
    """As `constraints.rows_of` has them, one for one."""
    link = phase.mechanism.links[number]
    here, there = (link.first, link.p), (link.second, link.q)
    match link.kind:
        case Kind.GEARING:
            yield _geared(phase.mechanism, link)
        case Kind.LATCH:
            place, turn = phase.plan.grips[number]
            yield from _pinned((link.first, place), (link.second, 0j))
            yield TurnRow(((link.second, 1.0), (link.first, -1.0)), turn)
        case Kind.PIVOT:
            yield from _pinned(here, there)
            if link.drive >= 0:
                yield TurnRow(((link.second, 1.0), (link.first, -1.0)), drive=link.drive)
        case Kind.SLIDE:
            yield from _guided(Run.of(link), here, there)
            if link.drive >= 0:
                yield PointRow(Ask.ALONG, here, there, link.along, drive=link.drive)
        case Kind.SLOT:
            yield PointRow(Ask.ACROSS, here, there, link.along)
        case _:
            if link.kind is Kind.ROD or link.drive >= 0:
                yield PointRow(Ask.APART, here, there, constant=link.length, drive=link.drive)


def _geared(mechanism: Mechanism, link: Link) -> TurnRow:
    one, other = (mechanism.links[pivot] for pivot in link.pivots)
    shares = ((other.second, 1.0), (other.first, -1.0), (one.second, -link.ratio), (one.first, link.ratio))
    return TurnRow(_summed(shares))


def _summed(shares: Iterable[tuple[int, float]]) -> tuple[tuple[int, float], ...]:
    """Each body once."""
    found: dict[int, float] = {}
    for body, share in shares:
        found[body] = found.get(body, 0.0) + share
    return tuple(found.items())


def _of_step(step: Step, centres: Sequence[complex]) -> Iterator[Row | None]:
    """None stands for a row that has no form here."""
    match step:
        case Turned():
            yield from _pinned(*step.at)
            yield _turned(step.turn)
        case Aligned():
            yield from _pinned(step.here[0], step.there[0])
            yield _in_line(step)
        case Fixed():
            middle = centres[step.body]
            yield from _pinned((step.host, step.u + exp(1j * step.turn) * middle), (step.body, middle))
            yield TurnRow(((step.body, 1.0), (step.host, -1.0)), step.turn)
        case PinnedBar() | PinnedTrack():
            yield from _pinned(*step.at)
            yield _apart(step.bar) if isinstance(step, PinnedBar) else _on_line(step.track)
        case ThreePivots():
            yield from _pinned(step.first[0], step.second[0])
            yield from _pinned(step.first[1], step.third[0])
            yield from _pinned(step.second[1], step.third[1])
        case Slid() | SlidBar() | SlidTrack() | TwoPivotsAndSlide() | TwoSlidesAndPivot():
            yield from _of_run(step)
        case _:
            yield None


def _of_run(step: Slid | SlidBar | SlidTrack | TwoPivotsAndSlide | TwoSlidesAndPivot) -> Iterator[Row]:
    here, there = (step.run.first, step.run.at), (step.run.second, step.run.at)
    yield from _guided(step.run, here, there)
    match step:
        case Slid():
            yield PointRow(Ask.ALONG, here, there, step.run.along, step.constant, step.drive)
        case SlidBar():
            yield _apart(step.bar)
        case SlidTrack():
            yield _on_line(step.track)
        case TwoPivotsAndSlide():
            yield from _pinned(step.here, step.third[0])
            yield from _pinned(step.there, step.third[1])
        case TwoSlidesAndPivot():
            point, way = step.other
            yield TurnRow(((step.middle, 1.0), (step.last, -1.0)))
            yield PointRow(Ask.ACROSS, (step.last, point), (step.middle, point), way)
            yield from _pinned(*step.at)


def _pinned(first: End, second: End) -> Iterator[Row]:
    yield PointRow(Ask.SHUT, first, second, 1 + 0j)
    yield PointRow(Ask.SHUT, first, second, 1j)


def _turned(turn: Turn) -> TurnRow:
    shares = [(turn.second, 1.0), (turn.first, -1.0)]
    if turn.other is not None:
        shares += [(turn.other[1], -turn.ratio), (turn.other[0], turn.ratio)]
    return TurnRow(_summed(shares), turn.constant, turn.drive)


def _in_line(step: Aligned) -> Row | None:
    """The second pivot gives the direction only: it lies on the line through both that one body has."""
    for line, pin in ((step.here, step.there[1]), (step.there, step.here[1])):
        (body, start), (other, end) = line
        if body == other and start != end:
            return PointRow(Ask.ACROSS, (body, start), pin, (end - start) / abs(end - start))
    return None


def _guided(run: Run, here: End, there: End) -> Iterator[Row]:
    yield TurnRow(((run.second, 1.0), (run.first, -1.0)))
    yield PointRow(Ask.ACROSS, here, there, run.along)


def _apart(bar: Bar) -> PointRow:
    return PointRow(Ask.APART, bar.here, bar.there, constant=bar.length, drive=bar.drive)


def _on_line(track: Track) -> PointRow:
    return PointRow(Ask.ACROSS, track.line, track.pin, track.along)
