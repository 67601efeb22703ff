"""A motion as the check walks it: moments close enough together for its course between them to be known, and how far
parts stray there.

**By the equations.** Of a motion that the solver made, the linkage's own equations bound how far any point of a part
strays from the straight way between two moments; the theorem stands in `core.motion.straying`. Where its condition
fails, or what it leaves open is not small, moments are put in between. That is what *proved* means here: between the
two moments the linkage has one continuous course through both solved poses that stays within the bound, and any other
way of putting it together is farther off.

**At a dead centre** no span fulfils the condition, however short: two courses meet there, and which of them is gone the
solver decides (straight on, or back where the drive turns back). Moments close in on it until the spans left are as
short as LAST_SPAN says, or as SHORTEST_SPAN and nothing moves in them that the part stands on; only these are taken as
they are seen, below: what a linkage does in a hundred-millionth of its sequence, between moments that look alike, is
the one thing that is believed. A part with a longer span that the equations do not bound is not sure: what is held at
its last good pose, what only drags along, what leaps.

**By what is seen.** For those spans, and for a motion that comes without equations, a point's path between two moments,
h seconds apart, is taken to be no longer than its chord and h² times its greatest acceleration there, the acceleration
being what the moments on either side show by their second differences. A path of steady acceleration strays from its
chord by an eighth of that, so the bound holds with room to spare; it also holds where the velocity leaps anywhere
between the two moments, since the second differences on either side then show at least half of the leap. A point of a
body is no farther from the body's centre than its radius, so its chord and acceleration are at most those of the
centre, and the radius times those of the turn. Wherever a moment shows the motion to stray farther from the chord of
its neighbours than the neighbours beyond them foretold, moments are put in between until it no longer does; where that
never ends the motion is called unsure. This is no proof: an excursion that leaves place and velocity as they were,
begun and ended between the same two moments, is not seen.

Moments are the motion's frames (evenly chosen ones where there are very many), the beginnings and ends of its steps,
where drives start and stop, and as many more as keep them within a hundredth or so of the sequence.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Bools, Floats, Ints
from core.interference.placement import Parts, as_drawn_before, part_poses
from core.interference.riding import Riding
from core.motion.motion import Motion
from core.motion.ways import Ways

FEWEST_SPANS = 128
MOST_FRAMES = 150
"""Of a motion with twice as many frames or more, not all are moments: it is seen well enough from fewer."""
SAME_MOMENT = 1e-6
"""Frames and landmarks nearer than this part of the sequence are one moment."""
SHORTEST_SPAN = 5e-5
"""Spans shorter than this part of the sequence are not divided to see the motion better."""
LAST_SPAN = 1e-8
"""Spans shorter than this part of it are not divided for the equations to bound them."""
FORETOLD = 0.75
"""How far a moment may stray from its neighbours' chord, as a part of the acceleration times the time between them
squared.

A leap of the velocity at the moment itself shows half of that, a steady acceleration an eighth."""
NOISE = 1e-6
"""Straying in mm that is the solver's and not the motion's."""
MOST_ADDED = 2000
MOST_GROWN = 2.0
"""From an earlier track nothing is taken that has so many times as many moments as this one begins with."""
PIECES = 3
"""Into how many a span is divided which the equations do not bound."""
LEAP = 0.1
"""What no part goes in one of these, mm, unless it leaps."""
FIRM = 1e-3
"""What no division of a span takes from its bound is made less than this, mm."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """T moments of P parts."""

    parts: Parts
    motion: Motion
    times: Floats
    """(T,) seconds, increasing."""
    frames: Ints
    """(F',) where those of the motion's frames stand that are among them: all, but in very long motions."""
    left: Ints
    """The motion's frames that are not among them, increasing."""
    poses: Floats
    """(T, P, 3) of parts."""
    centres: Floats
    """(T, P, 2) of the circles about parts."""
    stray: Floats
    """(T - 1, P) how far any point of a part may be from its chord between two moments, mm."""
    stays: Floats
    """(T - 1, P) what of that does not fall with the square of the length of a piece of the span, mm."""
    proved: Bools
    """(T - 1, P) whether the linkage's equations bound it. Where they do not, it is what is seen."""
    ways: Ways | None
    """How the parts go over the spans, by the equations; None of a motion without any."""
    sure: Bools
    """(P,) whether the part's poses are solved all the way and its straying is bounded: by the equations in every span
    that is not shortest, and otherwise calmly by what is seen."""

    def between(self, times: Floats, wanted: Ints | None = None) -> Floats:
        """(M, P, 3) poses of parts at any (M,) times, turns continuous with the moments about them. Where only some
        parts are `wanted`, by number, the others stand anywhere."""
        times = np.clip(times, self.times[0], self.times[-1])
        place = np.searchsorted(self.times, times).clip(0, len(self.times) - 1)
        if (self.times[place] == times).all():
            return self.poses[place]
        poses = part_poses(self.parts, self._solved(times, wanted), wanted)
        near = self.poses[place, :, 2]
        leaps = np.round((poses[..., 2] - near) / (2.0 * np.pi))
        poses[..., 2] -= 2.0 * np.pi * np.where(np.isfinite(leaps), leaps, 0.0)
        return poses

    def _solved(self, times: Floats, wanted: Ints | None) -> Floats:
        if wanted is None or self.motion.course is None:
            return self.motion.poses_at(times)
        return self.motion.course.poses_of(set(self.parts.bodies[wanted].ravel().tolist()), times)

    def farther(self, radius: Floats) -> tuple[Floats, Floats]:
        """(T - 1, P) by how much, at the most, any point of discs of a radius (P,) about parts goes farther from where
        it is at either end of a span than chord and turn say, mm; and how much of that does not fall with the square
        of the length of a piece of it. Both NaN where the equations bound nothing.

        Of two gaps at the ends and the straight path between, each loses what both parts may stray: twice the straying.
        """
        if self.ways is None:
            return _unbounded(self.proved.shape)
        falls, stays = self.ways.stray(radius)
        return _doubled(falls, stays, self.ways.proved)

    def farther_apart(
        self, spans: Ints, anchor: Ints, mover: Ints, radius: Floats, steady: Bools
    ) -> tuple[Floats, Floats]:
        """The same of movers (M,) of a radius (M,) as anchors (M,) see them, over spans (M, n); `steady` (M,) are
        anchors that are taken as if they did not turn."""
        if self.ways is None:
            return _unbounded(spans.shape)
        seeing, seen = (self.ways.at(spans, part[:, None]) for part in (anchor, mover))
        if steady.any():
            seeing = seeing.upright(steady[:, None])
        falls, stays = seen.seen_from(seeing, radius[:, None])
        return _doubled(falls, stays, seeing.proved & seen.proved)


def _unbounded(shape: tuple[int, ...]) -> tuple[Floats, Floats]:
    return np.full(shape, np.nan), np.full(shape, np.nan)


def _doubled(falls: Floats, stays: Floats, proved: Bools) -> tuple[Floats, Floats]:
    return np.where(proved, 2.0 * (falls + stays), np.nan), np.where(proved, 2.0 * stays, np.nan)


def track_of(parts: Parts, motion: Motion, previous: Track | None = None) -> Track:
    """Take moments of a motion until it is known well enough.

    `previous` is the track of the same sequence before an edit: how parts stray that look and go as they did at all of
    its moments is taken from it, since no edit changes how a part goes between two moments alone.
    """
    chosen = _frames_to_take(len(motion.times))
    times, poses, solved = motion.times[chosen], motion.poses[chosen], motion.assembled[chosen]
    times, poses, solved = _with_moments(motion, times, poses, solved, _landmarks(motion, times))
    riding = Riding(parts, motion) if motion.course is not None and len(times) > 1 and len(parts) else None
    if riding is not None and previous is not None and _comparable(previous, motion, len(times)):
        times, poses, solved = _with_moments(motion, times, poses, solved, previous.times, same=0.0)
        _take_over(riding, parts, times, poses, previous)
    added = 0
    while True:
        posed = part_poses(parts, poses)
        places = centres(parts.centre, posed)
        turns = np.where(parts.round, 0.0, posed[..., 2])  # what is round looks the same however it turns
        ways = None if riding is None else riding.ways(times, poses, posed)
        proved = np.zeros((len(times) - 1, len(parts)), dtype=bool) if ways is None else ways.proved
        held = np.asarray(~solved[:, parts.bodies].all(axis=2))
        rough = np.zeros(turns.shape, dtype=bool)
        if not proved.all():
            rough = _rough(parts, times, places, turns) & ~_among(proved)
        falls, stays = _bounds(parts, ways)
        wanted = np.concatenate([_beside(times, rough), *_within(times, ways, stays, held)])
        if not len(wanted) or added + len(wanted) > MOST_ADDED:
            break
        added += len(wanted)
        times, poses, solved = _with_moments(motion, times, poses, solved, wanted, same=LAST_SPAN / PIECES**2)
    known = np.asarray(~held.any(axis=0) & np.asarray(np.isfinite(posed).all(axis=0)).all(axis=1))
    return Track(
        parts=parts,
        motion=motion,
        times=times,
        frames=np.searchsorted(times, motion.times[chosen]),
        left=np.flatnonzero(times[np.searchsorted(times, motion.times)] != motion.times),
        poses=posed,
        centres=places,
        stray=falls + stays if proved.all() else np.where(proved, falls + stays, _stray(parts, times, places, turns)),
        stays=np.where(proved, stays, 0.0),
        proved=proved,
        ways=ways,
        sure=known & ~(rough.any(axis=0) if ways is None else _unbounded_parts(parts, times, places, turns, ways)),
    )


def _comparable(previous: Track, motion: Motion, moments: int) -> bool:
    """Whether an earlier track is of a motion with the same steps and frames, and has not grown out of all proportion
    to what this one begins with: where a jam is dragged along, each place where it was leaves moments behind."""
    before = previous.motion
    return (
        previous.ways is not None
        and len(previous.times) <= MOST_GROWN * moments
        and before.schedule == motion.schedule
        and np.array_equal(before.times, motion.times)
    )


def _take_over(riding: Riding, parts: Parts, times: Floats, poses: Floats, previous: Track) -> None:
    posed = part_poses(parts, poses)
    if previous.ways is None or not np.array_equal(times, previous.times):
        return
    same = parts_that_go_as_before(parts, posed, previous)
    if (same >= 0).any():
        riding.take_over(times, previous.ways, same, poses, posed)


def parts_that_go_as_before(parts: Parts, posed: Floats, previous: Track) -> Ints:
    """(P,) which part of an earlier track each part is, where it looks and goes as it did at poses (T, P, 3) of the
    same moments; -1 for the others."""
    same = as_drawn_before(parts, previous.parts)
    there = np.flatnonzero(same >= 0)
    was = same[there]
    good = (posed.take(there, axis=1) == previous.poses.take(was, axis=1)).all(axis=0).all(axis=1)
    same[there[~good]] = -1
    return same


def centres(centre: Floats, poses: Floats) -> Floats:
    """(..., 2) where points (..., 2) of parts are at poses (..., 3)."""
    cosine, sine = np.cos(poses[..., 2]), np.sin(poses[..., 2])
    x = cosine * centre[..., 0] - sine * centre[..., 1] + poses[..., 0]
    y = sine * centre[..., 0] + cosine * centre[..., 1] + poses[..., 1]
    return np.stack([x, y], axis=-1)


def straight_path(centre: Floats, radius: Floats, poses: Floats) -> Floats:
    """(S,) chord and turn: how far any point of a part goes at most between (S, 2, 3) poses, if it goes straight; of
    parts with `centre` (S, 2) and `radius` (S,)."""
    places = centres(centre[:, None, :], poses)
    chord = places[:, 1] - places[:, 0]
    return np.asarray(np.hypot(chord[:, 0], chord[:, 1]) + radius * np.abs(poses[:, 1, 2] - poses[:, 0, 2]))


def strayed(centre: Floats, radius: Floats, ends: Floats, between: Floats, share: Floats) -> Floats:
    """(S,) how far any point of a part is at the most from the straight way between (S, 2, 3) poses when it is at
    poses `between` (S, n, 3), after `share` (n,) or (S, n) of the time."""
    start, stop = centres(centre[:, None, :], ends).swapaxes(0, 1)
    places = centres(centre[:, None, :], between)
    expected = start[:, None] + share[..., None] * (stop - start)[:, None]
    turns = ends[:, :1, 2] + share * (ends[:, 1:, 2] - ends[:, :1, 2])
    off = np.hypot(places[..., 0] - expected[..., 0], places[..., 1] - expected[..., 1])
    return np.asarray((off + radius[:, None] * np.abs(between[..., 2] - turns)).max(axis=1))


def bend(times: Floats, places: Floats, turns: Floats, radius: Floats) -> Floats:
    """Greatest accelerations, mm/s², between neighbouring moments along the first axis.

    `times` (T, ...), `places` (T, ..., 2) and `turns` (T, ...) -> (T - 1, ...).
    """
    steps = np.diff(times, axis=0)
    rate = np.divide(1.0, steps, out=np.zeros_like(steps), where=steps > 0.0)
    velocity = np.diff(places, axis=0) * rate[..., None]
    spin = np.diff(turns, axis=0) * rate
    about = np.maximum(0.5 * (steps[1:] + steps[:-1]), 1e-300)
    leap = np.hypot(velocity[1:, ..., 0] - velocity[:-1, ..., 0], velocity[1:, ..., 1] - velocity[:-1, ..., 1])
    shown = (leap + radius * np.abs(np.diff(spin, axis=0))) / about
    shown = np.where((steps[1:] > 0.0) & (steps[:-1] > 0.0), shown, 0.0)
    greatest = np.zeros(steps.shape[:1] + shown.shape[1:])
    greatest[1:] = shown
    greatest[:-1] = np.maximum(greatest[:-1], shown)
    return greatest


def _frames_to_take(count: int) -> Ints:
    """Evenly chosen frames, the first and the last among them."""
    return np.unique(np.append(np.arange(0, count, max(count // MOST_FRAMES, 1)), count - 1))


def _landmarks(motion: Motion, times: Floats) -> Floats:
    """Where steps begin and end, and moments that are missing for an even cover of the sequence."""
    first, last = times[0], times[-1]
    ends = [time for step in motion.schedule.steps for time in (step.begin, step.end)]
    fixed = np.unique(np.concatenate([times, np.clip(ends, first, last)]))
    gaps = np.diff(fixed)
    pieces = np.ceil(gaps * FEWEST_SPANS / max(last - first, 1e-300) - 1e-9).astype(int).clip(1)
    wide = np.flatnonzero(pieces > 1)
    each = zip(fixed[wide], gaps[wide], pieces[wide], strict=True)
    fill = [start + gap * np.arange(1, count) / count for start, gap, count in each]
    return np.concatenate([fixed, *fill])


def _with_moments(
    motion: Motion, times: Floats, poses: Floats, solved: Bools, wanted: Floats, *, same: float = SAME_MOMENT
) -> tuple[Floats, Floats, Bools]:
    """More moments among those there are, but for those that are there already."""
    if len(times) < 2:
        return times, poses, solved
    wanted = np.unique(wanted)
    after = np.searchsorted(times, wanted).clip(1, len(times) - 1)
    apart = np.minimum(np.abs(wanted - times[after]), np.abs(wanted - times[after - 1]))
    wanted = wanted[apart > same * (times[-1] - times[0])]
    if not len(wanted):
        return times, poses, solved
    order = np.argsort(np.concatenate([times, wanted]), kind="stable")
    course = motion.course  # which answers both at once
    there, holds = course.at(wanted) if course else (motion.poses_at(wanted), motion.assembled_at(wanted))
    return (
        np.concatenate([times, wanted])[order],
        np.concatenate([poses, there])[order],
        np.concatenate([solved, holds])[order],
    )


def _bounds(parts: Parts, ways: Ways | None) -> tuple[Floats, Floats]:
    """(S, P) as `Ways.stray` says."""
    none = np.zeros((1, 1))
    return (none, none) if ways is None else ways.stray(np.where(parts.round, 0.0, parts.radius))


def _among(proved: Bools) -> Bools:
    """(T, P) moments with nothing but proved spans beside them."""
    none = np.ones((1, proved.shape[1]), dtype=bool)
    return np.asarray(np.concatenate([none, proved]) & np.concatenate([proved, none]))


def _open(times: Floats, ways: Ways | None) -> Bools:
    """(S, P) spans of a solved motion in which the equations do not bound a part, though they are long enough to be
    divided."""
    if ways is None:
        return np.zeros((max(len(times) - 1, 0), 1), dtype=bool)
    share = np.diff(times)[:, None] / max(times[-1] - times[0], 1e-300)
    return np.asarray(~ways.proved & (share > np.where(ways.calm, SHORTEST_SPAN, LAST_SPAN)))


def _unbounded_parts(parts: Parts, times: Floats, places: Floats, turns: Floats, ways: Ways) -> Bools:
    """(P,) the parts with a span that the equations do not bound, but for those of a dead centre: so short, and gone
    through without a leap."""
    gone = np.hypot(*np.diff(places, axis=0).transpose(2, 0, 1)) + parts.radius * np.abs(np.diff(turns, axis=0))
    return np.asarray((_open(times, ways) | (~ways.proved & ~(gone <= LEAP))).any(axis=0))


def _within(times: Floats, ways: Ways | None, stays: Floats, held: Bools) -> list[Floats]:
    """Moments in the spans that are to be divided for the equations to bound them well: not those of what is held
    because it cannot be put together, or of what no equations place."""
    if ways is None:
        return []
    hopeful = _open(times, ways) & ways.placed & ~held[1:] & ~held[:-1]
    loose = (ways.proved & (stays > FIRM)).any(axis=1)
    pieces = np.where(hopeful.any(axis=1), PIECES, np.where(loose, 2, 1))
    steps = np.diff(times)
    return [times[:-1][pieces > at] + (steps / pieces)[pieces > at] * at for at in range(1, PIECES)]


def _stray(parts: Parts, times: Floats, places: Floats, turns: Floats) -> Floats:
    steps = np.diff(times)[:, None]
    seen = bend(times[:, None], places, turns, parts.radius)
    return np.nan_to_num(0.5 * seen * steps**2 + parts.radius * np.diff(turns, axis=0) ** 2 / 8.0)


def _rough(parts: Parts, times: Floats, places: Floats, turns: Floats) -> Bools:
    """(T, P) moments that stray farther from their neighbours' chord than the moments beyond foretell."""
    rough = np.zeros(turns.shape, dtype=bool)
    if len(times) < 7:
        return rough
    for offset in (0, 1):
        every = slice(offset, None, 2)
        coarse = bend(times[every, None], places[every], turns[every], parts.radius)
        middle = np.arange(offset + 1, offset + 2 * len(coarse), 2)
        middle = middle[middle + 1 < len(times)]
        coarse = coarse[: len(middle)]
        before, after = middle - 1, middle + 1
        span = times[after] - times[before]
        share = (times[middle] - times[before]) / span
        place = places[middle] - (places[before] + share[:, None, None] * (places[after] - places[before]))
        turn = turns[middle] - (turns[before] + share[:, None] * (turns[after] - turns[before]))
        strayed = np.hypot(place[..., 0], place[..., 1]) + parts.radius * np.abs(turn)
        rough[middle] = strayed > FORETOLD * coarse * span[:, None] ** 2 + NOISE
    return rough


def _beside(times: Floats, rough: Bools) -> Floats:
    """The middles of the spans on both sides of each moment that is rough for some part."""
    middles = 0.5 * (times[:-1] + times[1:])
    unruly = np.asarray(rough.any(axis=1))
    wide = np.diff(times) > SHORTEST_SPAN * max(times[-1] - times[0], 0.0)
    return middles[(unruly[:-1] | unruly[1:]) & wide]
