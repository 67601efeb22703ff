"""Every checked pair over a whole motion: what touches, from when to when, how deep, and how near the rest come.

The motion's moments are surveyed first, then nearest moments narrowed down, then what is left open between moments is
settled; contacts and clearances are read off what was measured (`stages`). See `track` for how a path is bounded,
`survey` and `between` for how a gap clears a span, and `depth` for what depth is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from core.errors import SenselessRequest
from core.geometry.planar import Floats
from core.interference.across import ACROSS_VIEWS
from core.interference.clearance import clearances
from core.interference.contacts import find_contacts
from core.interference.earlier import Checked, unchanged, unchanged_across, with_earlier
from core.interference.extrusions import Extrusions
from core.interference.frames import nothing_found
from core.interference.interference import Interference
from core.interference.pairs import Pairs, PairsAcross
from core.interference.placement import Parts, part_poses
from core.interference.probe import probe_of
from core.interference.samples import Measuring, Samples
from core.interference.stages import Stages
from core.interference.survey import near_spans, open_spans, survey
from core.interference.track import Track, track_of
from core.motion.motion import Motion

NEAR = 0.5
NEAR_SHARE = 1.5
"""Gaps are measured at every frame where they are below this, in mm, or below so many times the wanted clearance."""
SIGHT = 10.0
"""Pairs that never come nearer than this, in mm, are passed over; they have no clearance to report."""

WITHIN_VIEWS = Stages(
    survey=survey, open_spans=open_spans, near_spans=near_spans, contacts=find_contacts, clearances=clearances
)


def interfere(
    parts: Parts,
    pairs: Pairs,
    motion: Motion,
    *,
    previous: Checked | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Interference:
    """Check every pair at every frame and between frames, those of parts in different views too.

    `previous` is an earlier check of the same sequence: pairs that nothing touched since keep what it found of them.
    `cancelled` is asked now and then whether to stop; when it says yes, CheckCancelled is raised. A least clearance
    is proved when no instant of the motion can bring the pair nearer by more than `survey.claimed` allows, by what the
    linkage's equations bound (`Track.sure`, and what is said there of dead centres); it is not where a part stands at
    its last good pose because its connections cannot meet, nor for parts that lie against each other. Of a motion
    that comes without equations it rests on what its moments show.
    """
    across = pairs.across
    if not len(motion.times):
        found = nothing_found(pairs.ids, motion)
        if across is not None:
            found = _joined(found, nothing_found(across.pairs.ids, motion, across.without_depth))
        return found
    track = track_of(parts, motion, None if previous is None else previous.found.track)
    found = _within_views(track, pairs, None if previous is None else previous.within_views(), cancelled)
    if across is not None:
        found = _joined(found, _across_views(track, across, previous, cancelled))
    return replace(found, track=track)


def _within_views(
    track: Track, pairs: Pairs, earlier: Checked | None, cancelled: Callable[[], bool] | None
) -> Interference:
    which = np.full(len(pairs), -1)
    if earlier is not None and _sight(pairs) == _sight(earlier.pairs):
        which = unchanged(track, pairs, earlier)
    anew = np.flatnonzero(which < 0)
    found = nothing_found((), track.motion)
    if len(anew):
        some = pairs if len(anew) == len(pairs) else pairs.only(anew)
        samples = Samples(track, some, probe_of(track.parts, some), cancelled)
        found = WITHIN_VIEWS.check(samples, _near(some), _sight(pairs))
    return found if earlier is None else with_earlier(pairs.ids, which, earlier.found, found)


def _across_views(
    track: Track, across: PairsAcross, previous: Checked | None, cancelled: Callable[[], bool] | None
) -> Interference:
    which, earlier = np.full(len(across), -1), None if previous is None else previous.across_views()
    before = None if previous is None else previous.pairs.across
    if earlier is not None and before is not None and _sight(across.pairs) == _sight(earlier.pairs):
        which = unchanged_across(track, across, earlier, before)
    anew = np.flatnonzero(which < 0)
    found = nothing_found((), track.motion, across.without_depth)
    if len(anew):
        some = across if len(anew) == len(across) else across.only(anew)
        samples = Samples(track, some.pairs, Extrusions(track.parts, some), cancelled)
        found = ACROSS_VIEWS.check(samples, _near(some.pairs), _sight(across.pairs))
        found = replace(found, without_depth=across.without_depth)
    return found if earlier is None else with_earlier(across.pairs.ids, which, earlier.found, found)


def _near(pairs: Pairs) -> Floats:
    """(N,) below which gaps every frame is measured, mm."""
    return np.maximum(NEAR, NEAR_SHARE * pairs.wanted)


def _sight(pairs: Pairs) -> float:
    """How far a clearance is looked for, mm."""
    return max(SIGHT, float(_near(pairs).max(initial=0.0)))


def _joined(one: Interference, other: Interference) -> Interference:
    """Two results over the same frames as one."""
    if not other.pairs:
        return replace(one, without_depth=one.without_depth + other.without_depth)
    return Interference(
        pairs=one.pairs + other.pairs,
        touching=np.concatenate([one.touching, other.touching]),
        gaps=np.concatenate([one.gaps, other.gaps]),
        contacts=one.contacts + other.contacts,
        clearances=one.clearances + other.clearances,
        without_depth=one.without_depth + other.without_depth,
    )


def gap_curve(parts: Parts, pairs: Pairs, motion: Motion, ids: tuple[str, str]) -> Floats:
    """(F,) the gap of one checked pair at every frame, however far apart, mm; 0 where it touches, NaN where a pose is
    none.

    Raises SenselessRequest when the pair is not checked.
    """
    probe, posed = _probe_of_one(parts, pairs, ids), part_poses(parts, motion.poses)
    gaps = []
    for row in range(len(probe.anchor)):
        every = np.full(len(posed), row)
        relative = probe.relative(every, posed[:, probe.anchor[row]], posed[:, probe.mover[row]])
        gaps.append(probe.measure(every, relative).gap)
    return np.min(gaps, axis=0)


def _probe_of_one(parts: Parts, pairs: Pairs, ids: tuple[str, str]) -> Measuring:
    """What measures one checked pair, in one view or across two."""
    if ids in pairs.ids:
        return probe_of(parts, pairs.of(np.flatnonzero(pairs.reported == pairs.ids.index(ids))))
    across = pairs.across
    if across is not None and ids in across.pairs.ids:
        rows = np.flatnonzero(across.pairs.reported == across.pairs.ids.index(ids))
        return Extrusions(parts, across.of(rows))
    raise SenselessRequest(f"{ids[0]!r} and {ids[1]!r} are not checked against each other")
