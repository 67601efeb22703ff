"""What an earlier check still says after an edit: pairs that nothing has touched keep their results.

What is found of a pair follows from the two outlines, the rule for them, how far a clearance is looked for, and how the
two parts move. Where the outlines and the rule are the very same as before, and the parts stand at the very same
numbers at every moment that both tracks have, the answer is taken over. Both have the same frames, steps and what
fills them up, so that they differ only where moments were put in between for some part's sake. Two motions that agree
at all of these agree between them: either is bounded there as `track` says, and no edit moves a part between two
moments alone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from core.geometry.planar import Ints
from core.interference.interference import Clearance, Contact, Interference
from core.interference.pairs import Pairs, PairsAcross
from core.interference.placement import alike, as_drawn_before
from core.interference.track import Track


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Checked:
    """A check that was made: what was asked, and what was found."""

    pairs: Pairs
    found: Interference

    def within_views(self) -> Checked:
        """Only the pairs of parts in one view."""
        return self._some(self.pairs, slice(0, len(self.pairs)), across=False)

    def across_views(self) -> Checked | None:
        """Only the pairs of parts in different views, if there were any."""
        across = self.pairs.across
        return None if across is None else self._some(across.pairs, slice(len(self.pairs), None), across=True)

    def _some(self, pairs: Pairs, which: slice, *, across: bool) -> Checked:
        found = self.found
        mine = replace(
            found,
            pairs=found.pairs[which],
            touching=found.touching[which],
            gaps=found.gaps[which],
            contacts=tuple(one for one in found.contacts if (one.other_view is not None) == across),
            clearances=tuple(one for one in found.clearances if (one.other_view is not None) == across),
        )
        return Checked(pairs=pairs, found=mine)


def unchanged(track: Track, pairs: Pairs, earlier: Checked) -> Ints:
    """(N,) which of the earlier reported pairs each pair is, if nothing of it has changed; -1 for the others."""
    before = earlier.found.track
    none = np.full(len(pairs), -1)
    if before is None or not _same_moments(track, before) or not len(earlier.pairs.first):
        return none
    part = _same_parts(track, before)
    old = earlier.pairs
    row = _rows_of(old, len(before.parts), part[pairs.first], part[pairs.second])
    good = row >= 0
    good[good] = alike(pairs.first_polygons[good], old.first_polygons[row[good]])
    good[good] = alike(pairs.second_polygons[good], old.second_polygons[row[good]])
    good[good] = pairs.wanted[pairs.reported[good]] == old.wanted[old.reported[row[good]]]
    kept = np.bincount(pairs.reported[good], minlength=len(pairs))
    number = {ids: n for n, ids in enumerate(old.ids)}
    which = np.array([number.get(ids, -1) for ids in pairs.ids], dtype=np.intp)
    had = np.append(np.bincount(old.reported, minlength=len(old)), -1)
    whole = (kept == np.bincount(pairs.reported, minlength=len(pairs))) & (kept == had[which])
    return np.where(whole, which, none)


def unchanged_across(track: Track, across: PairsAcross, earlier: Checked, before: PairsAcross) -> Ints:
    """As `unchanged`, for pairs of parts in different views."""
    which = unchanged(track, across.pairs, earlier)
    old = {told: n for n, told in enumerate(_told(before))}
    seen = np.array([old.get(told, -1) for told in _told(across)], dtype=np.intp)
    return np.where(which == seen, which, -1)


def with_earlier(
    ids: tuple[tuple[str, str], ...], which: Ints, earlier: Interference, found: Interference
) -> Interference:
    """What was found anew of some pairs, and of the rest what the earlier check says.

    `which` (N,) says of all pairs `ids` which of the earlier ones each is; `found` is of those that are none, in order.
    """
    kept = {ids[n] for n in np.flatnonzero(which >= 0).tolist()}
    if not kept:
        return found
    touching, gaps = np.take(earlier.touching, which, axis=0), np.take(earlier.gaps, which, axis=0)
    touching[which < 0], gaps[which < 0] = found.touching, found.gaps
    order = {pair: n for n, pair in enumerate(ids)}

    def place(one: Contact | Clearance) -> int:
        return order[one.parts]

    contacts = [*found.contacts, *(one for one in earlier.contacts if one.parts in kept)]
    nearest = [*found.clearances, *(one for one in earlier.clearances if one.parts in kept)]
    return replace(
        found,
        pairs=ids,
        touching=touching,
        gaps=gaps,
        contacts=tuple(sorted(contacts, key=place)),
        clearances=tuple(sorted(nearest, key=place)),
    )


def _told(across: PairsAcross) -> list[tuple[object, ...]]:
    """Of each reported pair, its parts, views, and how each of its pairs of parts is seen from the other's view."""
    pairs = across.pairs
    seen: list[list[object]] = [[] for _ in range(len(pairs))]
    for pair, upright, slabs in zip(
        pairs.reported.tolist(), across.upright.tolist(), across.slabs.reshape(-1, 4).tolist(), strict=True
    ):
        seen[pair].append((*upright, *slabs))
    return [
        (*ids, *views, *rows)
        for ids, *views, rows in zip(pairs.ids, pairs.views, across.other_views, seen, strict=True)
    ]


def _same_moments(track: Track, before: Track) -> bool:
    """Whether both were begun from the same moments."""
    steps = [[(step.begin, step.end) for step in one.motion.schedule.steps] for one in (track, before)]
    return steps[0] == steps[1] and np.array_equal(track.motion.times, before.motion.times)


def _same_parts(track: Track, before: Track) -> Ints:
    """(P,) which part of the earlier track each part is, if it looks and moves as it did; -1 for the others."""
    same = as_drawn_before(track.parts, before.parts)
    there = np.flatnonzero(same >= 0)
    was = same[there]
    good = track.sure[there] == before.sure[was]
    good &= track.proved[:, there].all(axis=0) == before.proved[:, was].all(axis=0)
    now, then = track.poses, before.poses
    if not np.array_equal(track.times, before.times):
        _, here, at = np.intersect1d(track.times, before.times, assume_unique=True, return_indices=True)
        now, then = now.take(here, axis=0), then.take(at, axis=0)
    now, then = now.take(there, axis=1), then.take(was, axis=1)
    moved = now != then
    unlike = moved.any(axis=0).any(axis=1)
    if unlike.any():  # where a pose is none, then as now, it has not moved
        none = np.isnan(now[:, unlike]) & np.isnan(then[:, unlike])
        unlike[unlike] = (moved[:, unlike] & ~none).any(axis=0).any(axis=1)
    good &= ~unlike
    same[there[~good]] = -1
    return same


def _rows_of(pairs: Pairs, parts: int, first: Ints, second: Ints) -> Ints:
    """(K,) which of the earlier pairs of parts have these two; -1 where none has."""
    keys = pairs.first * parts + pairs.second
    order = np.argsort(keys)
    wanted = first * parts + second
    at = order[np.searchsorted(keys, wanted, sorter=order).clip(0, len(keys) - 1)]
    return np.where((first >= 0) & (second >= 0) & (keys[at] == wanted), at, -1)
