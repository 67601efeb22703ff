"""Blocks of equations laid out as arrays, so that all rows of all blocks are taken at all moments at once.

Rows come first those between points, then those of turns. An *entry* is what one row has for one component (x, y, turn)
of one body; blocks that know as much as each other and have as many unknowns are one batch. T moments, R rows, E
entries, N bodies and after them the view.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Bools, Complexes, Floats, Ints, cross, dot
from core.motion.equations import Ask, Block, PointRow, TurnRow
from core.motion.pace import Pace


@dataclass(frozen=True, slots=True)
class Batch:
    """K blocks of m unknowns each."""

    rows: Ints
    """(K, m)"""
    columns: Ints
    """(K, m) their unknowns: three times the body's number and the component."""
    inside: Ints
    """Entries for the blocks' own bodies."""
    places: Ints
    """Where they stand in (K, m, m), counted through."""
    known: Ints
    """Entries for other bodies, in the order of `rows`."""
    starts: Ints
    """Where in `known` those of a row begin, of each row that has any."""
    reached: Ints
    """Which of the K m rows these are."""

    def matrices(self, entries: Floats) -> Floats:
        """(..., E) entries -> (..., K, m, m)."""
        count, size = self.rows.shape
        flat = np.zeros((*entries.shape[:-1], count * size * size))
        flat[..., self.places] = entries[..., self.inside]
        return flat.reshape(*entries.shape[:-1], count, size, size)

    def sums(self, terms: Floats) -> Floats:
        """(..., len(known)) terms -> (..., K, m), summed by their rows."""
        out = np.zeros((*terms.shape[:-1], self.rows.size))
        if len(self.starts):
            out[..., self.reached] = np.add.reduceat(terms, self.starts, axis=-1)
        return out.reshape(*terms.shape[:-1], *self.rows.shape)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tableau:
    first: Ints
    second: Ints
    p: Complexes
    q: Complexes
    """(Rp,) arms of the points from their bodies' centres."""
    way: Complexes
    fixed_way: Bools
    across: Bools
    along: Bools
    apart: Bools
    """(Rp,) what is asked; `fixed_way` is SHUT."""
    scale: Floats
    """(Rp,) of rows of lengths: by what their squares are divided."""
    constant: Floats
    drive: Ints
    """(R,) number of the drive, or the number of drives where there is none."""
    unit: Floats
    """(R,) radians or mm for a drive's unit."""
    share: Floats
    """Of turn rows, for each of their entries."""
    turn_starts: Ints
    """Where among these those of a row begin."""
    row: Ints
    body: Ints
    component: Ints
    """(E,)"""
    batches: tuple[Batch, ...]
    """In an order in which each follows those it builds on."""
    reach: Floats
    """(N + 1,) the longest arm of each body, mm."""

    @property
    def points(self) -> int:
        return len(self.first)

    def by_rows(self, terms: Floats) -> Floats:
        """(..., R) sums of (..., E) terms."""
        points = self.points
        between = terms[..., : 6 * points].reshape(*terms.shape[:-1], 6, points).sum(axis=-2)
        turns = np.add.reduceat(terms[..., 6 * points :], self.turn_starts, axis=-1)
        return np.concatenate([between, turns], axis=-1)


@dataclass(frozen=True, slots=True)
class Linearised:
    """At T moments."""

    values: Floats
    """(T, R) what ought to be the rows' goals."""
    entries: Floats
    """(T, E)"""
    gap: Floats
    """(T, Rp) how long the gaps between points are."""


def linearised(tableau: Tableau, z: Complexes, turn: Floats) -> Linearised:
    """Of centres and turns (T, N + 1)."""
    points = tableau.points
    w = np.exp(1j * turn)
    arm_p, arm_q = w[:, tableau.first] * tableau.p, w[:, tableau.second] * tableau.q
    gap = z[:, tableau.second] + arm_q - z[:, tableau.first] - arm_p
    way = np.where(tableau.fixed_way, tableau.way, w[:, tableau.first] * tableau.way)
    pull = np.where(tableau.across, 1j * way, way)
    pull = np.where(tableau.apart, gap * tableau.scale, pull)
    twist = np.where(tableau.across, -dot(way, gap), np.where(tableau.along, cross(way, gap), 0.0))
    entries = [-pull.real, -pull.imag, twist - cross(arm_p, pull), pull.real, pull.imag, cross(arm_q, pull)]
    turns = np.add.reduceat(tableau.share * turn[:, tableau.body[6 * points :]], tableau.turn_starts, axis=1)
    shares = np.broadcast_to(tableau.share, (len(z), len(tableau.share)))
    return Linearised(
        np.concatenate([np.where(tableau.apart, 0.5, 1.0) * dot(pull, gap), turns], axis=1),
        np.concatenate([*entries, shares], axis=1),
        np.abs(gap),
    )


@dataclass(frozen=True, slots=True)
class Goals:
    """What the rows of S spans ask for."""

    values: Floats
    """(2, S, R) at both ends."""
    rates: Floats
    """(2, S, R)"""
    middle: Floats
    """(S, R) half way."""
    fourth: Floats
    fifth: Floats
    """(S, R) bounds of these derivatives."""


def goals(tableau: Tableau, pace: Pace) -> Goals:
    unit = tableau.unit

    def of_rows(values: Floats) -> Floats:
        none = np.zeros((*values.shape[:-1], 1))
        return np.asarray(unit * np.concatenate([values, none], axis=-1)[..., tableau.drive])

    values, rates = tableau.constant + of_rows(pace.values), of_rows(pace.rates)
    middle = tableau.constant + of_rows(pace.middle)
    one, two, three, four, five = (of_rows(bound) for bound in pace.greatest)
    some = np.flatnonzero(tableau.apart)  # their goal is half the square of a length, over the scale
    scale, length = tableau.scale[some], values[..., some]
    longest, *by = np.abs(length).max(axis=0), *(bound[:, some] for bound in (one, two, three, four, five))
    four[:, some] = scale * (longest * by[3] + 4.0 * by[0] * by[2] + 3.0 * by[1] ** 2)
    five[:, some] = scale * (longest * by[4] + 5.0 * by[0] * by[3] + 10.0 * by[1] * by[2])
    middle[:, some] = 0.5 * scale * middle[:, some] ** 2
    rates[..., some] = scale * length * rates[..., some]
    values[..., some] = 0.5 * scale * length**2
    return Goals(values, rates, middle, four, five)


def tableau_of(blocks: Sequence[Block], centres: Sequence[complex], drives: int) -> Tableau:
    """Of N bodies with these centres; the view is body -1."""
    view, middles = len(centres), np.array([*centres, 0j])
    points = [(at, row) for at, block in enumerate(blocks) for row in block.rows if isinstance(row, PointRow)]
    turns = [(at, row) for at, block in enumerate(blocks) for row in block.rows if isinstance(row, TurnRow)]
    rows: list[PointRow | TurnRow] = [*(row for _, row in points), *(row for _, row in turns)]
    first = np.array([row.first[0] % (view + 1) for _, row in points], dtype=np.intp)
    second = np.array([row.second[0] % (view + 1) for _, row in points], dtype=np.intp)
    p = np.array([row.first[1] for _, row in points], dtype=complex) - middles[first]
    q = np.array([row.second[1] for _, row in points], dtype=complex) - middles[second]
    reach = np.zeros(view + 1)
    np.maximum.at(reach, first, np.abs(p))
    np.maximum.at(reach, second, np.abs(q))
    asks = {ask: np.array([row.ask is ask for _, row in points], dtype=bool) for ask in Ask}
    length = np.array([row.constant for _, row in points], dtype=float)
    counts = np.array([len(row.shares) for _, row in turns], dtype=np.intp)
    shares = [one for _, row in turns for one in row.shares]
    entry_row = np.concatenate([
        np.tile(np.arange(len(points)), 6), len(points) + np.repeat(np.arange(len(turns)), counts)
    ])  # fmt: skip
    turned = np.array([body % (view + 1) for body, _ in shares], dtype=np.intp)
    body = np.concatenate([first, first, first, second, second, second, turned])
    component = np.concatenate([np.repeat([0, 1, 2, 0, 1, 2], len(points)), np.full(len(shares), 2)])
    owner = np.array([*(at for at, _ in points), *(at for at, _ in turns)], dtype=np.intp)
    return Tableau(
        first=first,
        second=second,
        p=p,
        q=q,
        way=np.array([row.way for _, row in points], dtype=complex),
        fixed_way=asks[Ask.SHUT],
        across=asks[Ask.ACROSS],
        along=asks[Ask.ALONG],
        apart=asks[Ask.APART],
        scale=1.0 / np.where(asks[Ask.APART] & (length > 0.0), length, 1.0),
        constant=np.array([row.constant for row in rows], dtype=float),
        drive=np.array([row.drive if row.drive >= 0 else drives for row in rows], dtype=np.intp),
        unit=np.repeat([1.0, np.deg2rad(1.0)], [len(points), len(turns)]),
        share=np.array([share for _, share in shares], dtype=float),
        turn_starts=np.concatenate([[0], np.cumsum(counts)[:-1]]).astype(np.intp)[: len(turns)],
        row=entry_row.astype(np.intp),
        body=body,
        component=component.astype(np.intp),
        batches=tuple(_batches(blocks, owner, entry_row, body, component, view)),
        reach=reach,
    )


def _batches(
    blocks: Sequence[Block], owner: Ints, row: Ints, body: Ints, component: Ints, view: int
) -> Iterator[Batch]:
    """`owner` is each row's block; `row`, `body` and `component` are of the entries."""
    block_of = np.full(view + 1, -1)
    slot = np.zeros(view + 1, dtype=np.intp)
    for at, block in enumerate(blocks):
        block_of[list(block.bodies)], slot[list(block.bodies)] = at, np.arange(len(block.bodies))
    mine, theirs = owner[row], block_of[body]
    kinds: dict[tuple[int, int], list[int]] = {}
    level = np.zeros(len(blocks), dtype=np.intp)
    for at, block in enumerate(blocks):
        needed = theirs[(mine == at) & (theirs >= 0) & (theirs != at)]
        level[at] = level[needed].max(initial=-1) + 1
        kinds.setdefault((int(level[at]), len(block.rows)), []).append(at)
    for (_, size), some in sorted(kinds.items()):
        rows = np.array([np.flatnonzero(owner == at) for at in some], dtype=np.intp)
        place = np.full(len(owner), -1)
        place[rows.ravel()] = np.arange(rows.size)
        ours = place[row] >= 0
        inside = np.flatnonzero(ours & (theirs == mine))
        known = np.flatnonzero(ours & (theirs >= 0) & (theirs != mine))
        known = known[np.argsort(place[row[known]], kind="stable")]
        reached, starts = np.unique(place[row[known]], return_index=True)
        yield Batch(
            rows=rows,
            columns=np.array(
                [[3 * body + part for body in blocks[at].bodies for part in range(3)] for at in some], dtype=np.intp
            ),
            inside=inside,
            places=place[row[inside]] * size + 3 * slot[body[inside]] + component[inside],
            known=known,
            starts=starts,
            reached=reached,
        )
