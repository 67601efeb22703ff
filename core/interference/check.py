"""Every checked pair over a whole motion: what touches, from when to when, how deep, and how near the rest come.

The motion's moments are surveyed first, then nearest moments narrowed down, then what is left open between moments is
settled; contacts and clearances are read off what was measured. See `track` for how a path is bounded, `survey` and
`between` for how a gap clears a span, and `depth` for what depth is.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from core.errors import SenselessRequest
from core.interference.between import settle_between
from core.interference.clearance import clearances, refine_least
from core.interference.contacts import find_contacts
from core.interference.interference import Contact, Interference
from core.interference.pairs import Pairs
from core.interference.placement import Parts, part_poses
from core.interference.probe import probe_of
from core.interference.samples import Samples
from core.interference.survey import open_spans, survey
from core.interference.track import track_of
from core.motion.motion import Motion

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

NEAR = 0.5
NEAR_SHARE = 1.5
"""Gaps are measured at every frame where they are below this, in mm, or below so many times the wanted clearance."""
SIGHT = 10.0
"""Pairs that never come nearer than this, in mm, are passed over; they have no clearance to report."""


def interfere(
    parts: Parts, pairs: Pairs, motion: Motion, *, cancelled: Callable[[], bool] | None = None
) -> Interference:
    """Check every pair at every frame and between frames.

    `cancelled` is asked now and then whether to stop; when it says yes, CheckCancelled is raised. A least clearance
    is proved when no instant of the motion can bring the pair nearer by more than `survey.claimed` allows; it is not
    where a part stands at its last good pose because its connections cannot meet, nor for parts that lie against each
    other.
    """
    shape = (len(pairs), len(motion.times))
    if not len(pairs.first) or not len(motion.times):
        return Interference(
            pairs=pairs.ids,
            touching=np.zeros(shape, dtype=bool),
            gaps=np.full(shape, np.nan),
            contacts=(),
            clearances=(),
        )
    track = track_of(parts, motion)
    samples = Samples(track, pairs, probe_of(parts, pairs), cancelled)
    near = np.maximum(NEAR, NEAR_SHARE * pairs.wanted)
    sight = max(SIGHT, float(near.max()))
    rows = survey(samples, near, sight)
    refine_least(samples, near, sight, np.ones(len(pairs), dtype=bool))
    before = samples.least.copy()
    unproved = settle_between(samples, open_spans(samples, rows))
    refine_least(samples, near, sight, samples.least < before)
    contacts = find_contacts(samples)
    unsure = np.zeros(len(pairs), dtype=bool)
    np.logical_or.at(unsure, pairs.reported, ~(track.sure[pairs.first] & track.sure[pairs.second]))
    touching = _touching(pairs, motion, contacts)
    return Interference(
        pairs=pairs.ids,
        touching=touching,
        gaps=np.where(touching, 0.0, _gaps(samples, near)),
        contacts=contacts,
        clearances=clearances(samples, contacts, sight, unproved, unsure),
    )


def gap_curve(parts: Parts, pairs: Pairs, motion: Motion, ids: tuple[str, str]) -> Floats:
    """(F,) the gap of one checked pair at every frame, however far apart, mm; 0 where it touches, NaN where a pose is
    none.

    Raises SenselessRequest when the pair is not checked.
    """
    if ids not in pairs.ids:
        raise SenselessRequest(f"{ids[0]!r} and {ids[1]!r} are not checked against each other")
    rows = np.flatnonzero(pairs.reported == pairs.ids.index(ids))
    probe, posed = probe_of(parts, pairs.of(rows)), part_poses(parts, motion.poses)
    gaps = []
    for row in range(len(rows)):
        every = np.full(len(posed), row)
        relative = probe.relative(every, posed[:, probe.anchor[row]], posed[:, probe.mover[row]])
        gaps.append(probe.measure(every, relative).gap)
    return np.min(gaps, axis=0)


def _touching(pairs: Pairs, motion: Motion, contacts: tuple[Contact, ...]) -> Bools:
    """(N, F) the frames that lie within a contact."""
    touching = np.zeros((len(pairs), len(motion.times)), dtype=bool)
    number = {ids: n for n, ids in enumerate(pairs.ids)}
    for contact in contacts:
        touching[number[contact.parts]] |= (motion.times >= contact.begin) & (motion.times <= contact.end)
    return touching


def _gaps(samples: Samples, near: Floats) -> Floats:
    """(N, F) what was measured at frames, where it is near enough for every frame to have been."""
    frame_times = samples.track.motion.times
    gaps = np.full((len(samples.pairs), len(frame_times)), np.nan)
    pair, times, found = samples.all()
    frame = np.searchsorted(frame_times, times).clip(0, len(frame_times) - 1)
    reported = samples.pairs.reported[pair]
    kept = (frame_times[frame] == times) & (found.gap <= near[reported])
    np.fmin.at(gaps, (reported[kept], frame[kept]), found.gap[kept])
    return gaps
