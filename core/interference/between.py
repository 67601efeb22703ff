"""What happens between moments: where contact begins and ends, and proof that nothing else does.

A span of time over which two parts are not cleared yet is divided, and the motion solved and measured in between.
Where one end touches and the other does not, it is divided until the change is known to `TIME_SHARE` of the sequence.
Where neither touches, it is divided until the gaps at both ends and the longest path between them show that the pair
keeps its claimed clearance, or until a contact comes to light. All spans of all pairs are divided together.

**The bound.** The path between two solved moments is at most the chord of the mover's centre, its radius times the
turn, and an extra. When a span is divided, what the new moments show the path to stray from the old chord sets the
extra of its pieces: four times as much covers a leap of the velocity anywhere in it, and a smooth path with room to
spare; it is never less than a smooth path's extra would have shrunk to.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.interference.samples import Measuring, Samples
from core.interference.survey import OpenSpans, claimed

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]
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
CHANGE_PIECES = 16
CLEAR_PIECES = (2, 4, 8)
"""How many pieces a span is divided into; the more, the longer the path is for the gap at its ends."""


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
        claim = claimed(samples.least)[reported]
        waiting = apart & (least <= claim)
        hopeless = waiting & ((path <= SHORTEST_PATH) | (length <= tolerance) | (lying >= 2))
        crowded = np.bincount(reported[waiting], minlength=len(unproved)) > MOST_OPEN
        hopeless |= waiting & crowded[reported]
        unproved[reported[hopeless]] = True
        wanted = np.where(waiting & ~hopeless, _pieces(spans.gaps.sum(axis=1) - 2.0 * claim, path), 0)
        wanted[change & (length > tolerance)] = CHANGE_PIECES
        parts = [
            _divide(samples, _chosen(spans, wanted == pieces), lying[wanted == pieces], pieces)
            for pieces in np.unique(wanted[wanted > 0]).tolist()
        ]
        spans, lying = (
            _joined(spans, [part[0] for part in parts]),
            np.concatenate([lying[:0], *(part[1] for part in parts)]),
        )
    return unproved


def _pieces(room: Floats, path: Floats) -> Ints:
    """(S,) into how many pieces to divide spans whose gaps leave so much room for so long a path."""
    wanted = np.divide(path, room, out=np.full(len(path), np.inf), where=room > 0.0)
    return np.select([wanted < few for few in CLEAR_PIECES[:-1]], CLEAR_PIECES[:-1], CLEAR_PIECES[-1])


def _divide(samples: Samples[Measuring], spans: OpenSpans, lying: Ints, pieces: int) -> tuple[OpenSpans, Ints]:
    """Every span in so many equal pieces, measured in between."""
    count = len(spans.pair)
    share = np.arange(1, pieces) / pieces
    times = spans.times[:, :1] + (spans.times[:, 1:] - spans.times[:, :1]) * share
    pair = np.repeat(spans.pair, pieces - 1)
    relative, found = samples.take_between(pair, times.ravel())
    relative = relative.reshape(count, pieces - 1, -1)

    def all_along(ends: Values, middle: Values) -> Values:
        return np.concatenate([ends[:, :1], middle.reshape(count, pieces - 1, *ends.shape[2:]), ends[:, 1:]], axis=1)

    gaps = all_along(spans.gaps, found.gap)
    touching = all_along(spans.touching, found.touching)
    against = ((gaps <= LYING) & ~touching).all(axis=1)
    strayed = samples.probe.strayed(spans.pair, spans.poses, relative, share)
    extra = np.maximum(4.0 * strayed, spans.extra / pieces**2)
    divided = OpenSpans(
        pair=np.repeat(spans.pair, pieces),
        times=_in_twos(all_along(spans.times, times)),
        poses=_in_twos(all_along(spans.poses, relative)),
        gaps=_in_twos(gaps),
        touching=_in_twos(touching),
        extra=np.repeat(extra, pieces),
    )
    return divided, np.repeat(np.where(against, lying + 1, 0), pieces)


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
    )
