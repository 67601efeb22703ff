"""What happens between moments: where contact begins and ends, and proof that nothing else does.

A span of time over which two parts are not cleared yet is divided, and the motion solved and measured in between.
Where one end touches and the other does not, it is divided until the change is known to `TIME_SHARE` of the sequence.
Where neither touches, it is divided until the gaps at both ends and the longest path between them show that the pair
keeps its claimed clearance, or until a contact comes to light. All spans of all pairs are divided together.

**The bound.** Between two solved moments any point goes at most the chord of the mover's centre, its radius times the
turn, and an extra farther than from either of them. Where the linkage's equations bound the straying (see `track`), the
extra of a piece is what falls with the square of its length, and the firm rest. Where they do not, what the new moments
show the path to stray from the old chord sets the extra of the pieces: four times as much covers a leap of the velocity
anywhere in it, and a smooth path with room to spare; it is never less than a smooth path's extra would have shrunk to.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Bools, Floats, Ints
from core.interference.probe import Measure
from core.interference.samples import Measuring, Samples
from core.interference.survey import OpenSpans, claimed

Values = NDArray[Any]

TIME_SHARE = 1e-5
"""Contact begins and ends are found to within this part of the sequence."""
SHORTEST_PATH = 0.002
"""A span over which nothing moves farther than this, in mm, is not divided further: no contact deeper than half of it
hides there."""
LYING = 1e-4
"""Parts nearer than this, in mm, lie against each other; no number of measurements would prove them apart."""
MOST_OPEN = 512
"""Spans of one pair open at once; a pair with more is given up as unproved."""
CHANGE_PIECES = 4
CLEAR_PIECES = (2, 4, 8)
"""How many pieces a span is divided into; the more, the longer the path is for the gap at its ends."""
MOST_AIMS, LEAST_LEFT, MOST_LEFT, ROOM = 20, 0.3, 0.75, 1.3
"""Where contact is foreseen, so many moments at most lead up to it, each leaving between these parts of the way that
was left: as much as has the gaps clear a path that is longer by this than it seems."""
LATER, AT_MOST = np.array([1.0, 3.2, 5.4, 20.0, 80.0]), np.array([0.4, 0.5, 0.6, 0.7, 0.8])
"""And so many times as far beyond it moments follow, for contact begins a little later than the gap is closed: these of
the way to the span's end at most."""


def settle_between(samples: Samples[Measuring], spans: OpenSpans) -> Bools:
    """Divide spans until each is settled; (N,) which reported pairs stay unproved."""
    unproved = np.zeros(len(samples.pairs), dtype=bool)
    tolerance = TIME_SHARE * (samples.track.times[-1] - samples.track.times[0])
    lying = np.zeros(len(spans.pair), dtype=np.intp)
    while len(spans.pair):
        reported = samples.pairs.reported[spans.pair]
        change = spans.touching[:, 0] != spans.touching[:, 1]
        length = spans.times[:, 1] - spans.times[:, 0]
        path = samples.probe.straight_path(spans.pair, spans.poses) + spans.extra
        apart = ~spans.touching.any(axis=1)
        least = 0.5 * (spans.gaps.sum(axis=1) - path)
        claim = claimed(samples.least, samples.pairs.wanted)[reported]
        waiting = apart & (least <= claim)
        hopeless = waiting & ((path <= SHORTEST_PATH) | (length <= tolerance) | (lying >= 2))
        crowded = np.bincount(reported[waiting], minlength=len(unproved)) > MOST_OPEN
        hopeless |= waiting & crowded[reported]
        unproved[reported[hopeless]] = True
        wanted = np.where(waiting & ~hopeless, _pieces(spans.gaps - claim[:, None], path), 0)
        changing = change & (length > tolerance)
        foreseen = _foreseen(spans)
        aimed = changing & (foreseen > 0.0) & (foreseen < 1.0)
        wanted[changing & ~aimed] = CHANGE_PIECES
        divisions = [(wanted == pieces, _evenly(pieces)) for pieces in np.unique(wanted[wanted > 0]).tolist()]
        if aimed.any():
            beside = path[aimed] * foreseen[aimed] / spans.gaps[aimed].max(axis=1)
            divisions.append((
                aimed, _towards(spans.touching[aimed, 0], foreseen[aimed], tolerance / length[aimed], beside)
            ))  # fmt: skip
        spans, lying = _divided(samples, spans, lying, divisions)
    return unproved


def _evenly(pieces: int) -> Floats:
    """(1, n) the shares of a span at which it falls into equal pieces."""
    return np.arange(1, pieces)[None] / pieces


def _foreseen(spans: OpenSpans) -> Floats:
    """(S,) the share of a span, from its end that does not touch, after which its gap would be closed if it went on
    closing as it did just beyond that end; NaN where that is not known."""
    gap = np.where(spans.touching[:, 0], spans.gaps[:, 1], spans.gaps[:, 0])
    reach = spans.closing * (spans.times[:, 1] - spans.times[:, 0])
    return np.divide(gap, reach, out=np.full(len(gap), np.nan), where=reach > 0.0)


def _towards(from_end: Bools, foreseen: Floats, tolerance: Floats, beside: Floats) -> Floats:
    """(S, n) shares of spans that come ever nearer to where contact is foreseen to begin, and close in on it; a path is
    so many times as long as the gap that closes meanwhile as `beside` (S,) says.

    Each piece before it is so much shorter than the one before that its gaps clear its path; two moments lie to both
    sides of it, and the next ones beyond, each less than a `tolerance` (S,) apart.
    """
    foreseen, left = foreseen[:, None], 1.0 - foreseen[:, None]
    close = 0.4 * np.minimum(tolerance[:, None], np.minimum(foreseen, left))
    # Gaps g and r g clear a path of g + r g, and one that closes 1 - r of g is `beside` times that long.
    path = ROOM * np.maximum(beside[:, None], 1.0)
    leaves = np.clip((path - 1.0) / (path + 1.0), LEAST_LEFT, MOST_LEFT)
    count = np.ceil(np.log(close / foreseen) / np.log(leaves)).max(initial=1.0)
    nearer = foreseen * (1.0 - leaves ** np.arange(1.0, min(count, MOST_AIMS) + 1.0))
    later = foreseen + np.minimum(close * LATER, left * AT_MOST)
    share = np.concatenate([np.minimum(nearer, foreseen - close), foreseen - close, later], axis=1)
    return np.where(from_end[:, None], 1.0 - share[:, ::-1], share)


def _divided(
    samples: Samples[Measuring], spans: OpenSpans, lying: Ints, divisions: list[tuple[Bools, Floats]]
) -> tuple[OpenSpans, Ints]:
    """The pieces of all spans that are divided: which of them, and the increasing shares (1 or S, n) at which. All are
    measured at once."""
    some = [(_chosen(spans, which), lying[which], share) for which, share in divisions if which.any()]
    if not some:
        return _joined(spans, []), lying[:0]
    every = [_parted(one, share) for one, _, share in some]
    pair = np.concatenate([np.repeat(one.pair, share.shape[1]) for one, _, share in some])
    relative, found = samples.take_between(pair, np.concatenate([times.ravel() for times in every]))
    parts, begin = list[tuple[OpenSpans, Ints]](), 0
    for (one, against, share), times in zip(some, every, strict=True):
        mine = slice(begin, begin := begin + times.size)
        parts.append(_pieces_of(samples, one, against, share, times, relative[mine], found.at(mine)))
    return _joined(spans, [part[0] for part in parts]), np.concatenate([part[1] for part in parts])


def _parted(spans: OpenSpans, share: Floats) -> Floats:
    """(S, n) when spans are parted at shares of them."""
    return spans.times[:, :1] + (spans.times[:, 1:] - spans.times[:, :1]) * share


def _pieces(room: Floats, path: Floats) -> Ints:
    """(S,) into how many pieces to divide spans whose gaps leave so much room (S, 2) at either end for so long a path:
    as many as clear the whole, and the piece at the nearer end if the gap goes evenly from there."""
    less, both = room.min(axis=1), room.sum(axis=1)
    evenly = path - (room.max(axis=1) - less)
    wanted = np.divide(path, both, out=np.full(len(path), np.inf), where=both > 0.0)
    wanted = np.maximum(wanted, np.divide(evenly, 2.0 * less, out=np.full(len(path), np.inf), where=less > 0.0))
    return np.select([wanted < few for few in CLEAR_PIECES[:-1]], CLEAR_PIECES[:-1], CLEAR_PIECES[-1])


def _pieces_of(
    samples: Samples[Measuring],
    spans: OpenSpans,
    lying: Ints,
    share: Floats,
    times: Floats,
    relative: Floats,
    found: Measure,
) -> tuple[OpenSpans, Ints]:
    """Every span in pieces, parted at shares (1 or S, n) of it, at times (S, n) when it was measured."""
    count, inner = times.shape
    share = np.broadcast_to(share, (count, inner))
    length = spans.times[:, 1:] - spans.times[:, :1]
    relative = relative.reshape(count, inner, -1)

    def all_along(ends: Values, middle: Values) -> Values:
        return np.concatenate([ends[:, :1], middle.reshape(count, inner, *ends.shape[2:]), ends[:, 1:]], axis=1)

    gaps, every = all_along(spans.gaps, found.gap), all_along(spans.times, times)
    touching = all_along(spans.touching, found.touching)
    against = ((gaps <= LYING) & ~touching).all(axis=1)
    strayed = samples.probe.strayed(spans.pair, spans.poses, relative, share)
    longest = np.diff(every, axis=1).max(axis=1) / np.maximum(length[:, 0], 1e-300)
    extra = np.where(
        np.isnan(spans.firm),
        np.maximum(4.0 * strayed, spans.extra * longest**2),
        spans.firm + (spans.extra - spans.firm) * longest**2,
    )
    divided = OpenSpans(
        pair=np.repeat(spans.pair, inner + 1),
        times=_in_twos(every),
        poses=_in_twos(all_along(spans.poses, relative)),
        gaps=_in_twos(gaps),
        touching=_in_twos(touching),
        extra=np.repeat(extra, inner + 1),
        firm=np.repeat(spans.firm, inner + 1),
        closing=_closing(every, gaps, touching).ravel(),
    )
    return divided, np.repeat(np.where(against, lying + 1, 0), inner + 1)


def _closing(times: Floats, gaps: Floats, touching: Bools) -> Floats:
    """(S, n) how fast the gap closes towards each piece at whose one end it touches, as the piece beyond its other end
    shows, mm/s; NaN where that touches too, or there is none."""
    steps = np.diff(times, axis=1)
    rate = np.divide(np.diff(gaps, axis=1), steps, out=np.full(steps.shape, np.nan), where=steps > 0.0)
    rate[touching[:, 1:] | touching[:, :-1]] = np.nan
    none = np.full((len(times), 1), np.nan)
    before = np.concatenate([none, -rate[:, :-1]], axis=1)
    after = np.concatenate([rate[:, 1:], none], axis=1)
    return np.where(touching[:, 1:], before, after)


def _in_twos(values: Values) -> Values:
    """(S, n + 1, ...) values along spans -> (S n, 2, ...) at both ends of each piece."""
    twos = np.stack([values[:, :-1], values[:, 1:]], axis=2)
    return twos.reshape(-1, 2, *values.shape[2:])


def _chosen(spans: OpenSpans, which: Bools) -> OpenSpans:
    return OpenSpans(
        pair=spans.pair[which],
        times=spans.times[which],
        poses=spans.poses[which],
        gaps=spans.gaps[which],
        touching=spans.touching[which],
        extra=spans.extra[which],
        firm=spans.firm[which],
        closing=spans.closing[which],
    )


def _joined(like: OpenSpans, spans: list[OpenSpans]) -> OpenSpans:
    """All spans in one, or none, like others."""
    every = [_chosen(like, np.zeros(len(like.pair), dtype=bool)), *spans]
    return OpenSpans(
        pair=np.concatenate([one.pair for one in every]),
        times=np.concatenate([one.times for one in every]),
        poses=np.concatenate([one.poses for one in every]),
        gaps=np.concatenate([one.gaps for one in every]),
        touching=np.concatenate([one.touching for one in every]),
        extra=np.concatenate([one.extra for one in every]),
        firm=np.concatenate([one.firm for one in every]),
        closing=np.concatenate([one.closing for one in every]),
    )
