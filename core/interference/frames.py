"""What a check says of the motion's own frames."""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Bools, Floats, Ints
from core.interference.interference import Contact, Interference
from core.interference.pairs import Pairs
from core.interference.placement import part_poses
from core.interference.samples import Measuring, Samples
from core.interference.track import Track
from core.motion.motion import Motion


def touching_at_frames(pairs: Pairs, motion: Motion, contacts: tuple[Contact, ...]) -> Bools:
    """(N, F) the frames that lie within a contact."""
    touching = np.zeros((len(pairs), len(motion.times)), dtype=bool)
    number = {ids: n for n, ids in enumerate(pairs.ids)}
    for contact in contacts:
        touching[number[contact.parts]] |= (motion.times >= contact.begin) & (motion.times <= contact.end)
    return touching


def gaps_at_frames(samples: Samples[Measuring], near: Floats) -> Floats:
    """(N, F) what was measured at frames, where it is near enough for every frame to have been; NaN elsewhere."""
    frame_times = samples.track.motion.times
    gaps = np.full((len(samples.pairs), len(frame_times)), np.nan)
    pair, times, found = samples.all()
    frame = np.searchsorted(frame_times, times).clip(0, len(frame_times) - 1)
    reported = samples.pairs.reported[pair]
    kept = (frame_times[frame] == times) & (found.gap <= near[reported])
    np.fmin.at(gaps, (reported[kept], frame[kept]), found.gap[kept])
    return gaps


def measure_frames(samples: Samples[Measuring], pair: Ints, start: Ints, touching: Bools) -> None:
    """Measure the frames that lie between moments, of pairs of parts (S,) in the spans that begin at moments (S,), but
    for those at which the reported pair is known to touch (N, F)."""
    track = samples.track
    if not len(track.left):
        return
    times = track.motion.times[track.left]
    first = np.searchsorted(times, track.times[start], side="right")
    count = np.searchsorted(times, track.times[start + 1], side="left") - first
    span = np.repeat(np.arange(len(pair)), count)
    which = first[span] + np.arange(len(span)) - (np.cumsum(count) - count)[span]
    open_ = ~touching[samples.pairs.reported[pair[span]], track.left[which]]
    span, which = span[open_], which[open_]
    frames, row = np.unique(which, return_inverse=True)
    posed = part_poses(track.parts, track.motion.poses[track.left[frames]])
    probe, pair = samples.probe, pair[span]
    samples.take(
        pair, times[which], probe.relative(pair, posed[row, probe.anchor[pair]], posed[row, probe.mover[pair]])
    )


def unsure_pairs(track: Track, pairs: Pairs) -> Bools:
    """(N,) pairs of which a part's motion is not known all the way."""
    unsure = np.zeros(len(pairs), dtype=bool)
    np.logical_or.at(unsure, pairs.reported, ~(track.sure[pairs.first] & track.sure[pairs.second]))
    return unsure


def nothing_found(
    ids: tuple[tuple[str, str], ...], motion: Motion, without_depth: tuple[str, ...] = ()
) -> Interference:
    """What is known of pairs that nothing was measured of."""
    shape = (len(ids), len(motion.times))
    return Interference(
        pairs=ids,
        touching=np.zeros(shape, dtype=bool),
        gaps=np.full(shape, np.nan),
        contacts=(),
        clearances=(),
        without_depth=without_depth,
    )
