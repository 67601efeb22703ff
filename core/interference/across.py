"""Clashes and clearances between parts that are drawn in different views: a door that turns in the front view while
the leg swings in the side view.

What parts have in common and how far apart they are is `extrusions`, how a gap clears a span of time is
`across_survey`; the rest goes as it does in one view. Of a clash both views are told, and what each shows of it. Its
worst moment is that of the largest sum of what is common in the two.
"""

from __future__ import annotations

import numpy as np
from shapely.geometry.base import BaseGeometry

from core.geometry.planar import Bools, Floats, Ints
from core.interference.across_survey import near_spans_across, open_spans_across, survey_across
from core.interference.clearance import worst_contacts
from core.interference.contacts import contact_spans
from core.interference.extrusions import Extrusions
from core.interference.interference import Clearance, Contact, Overlap
from core.interference.overlap import TOUCH, KeptOverlaps, is_clash, joined_overlaps, only_areas, overlaps_at, point_in
from core.interference.pairs import Pairs, PairsAcross
from core.interference.placement import Parts, part_poses
from core.interference.samples import Samples
from core.interference.stages import Stages

Point = tuple[float, float]


def overlaps_in_all_views(
    parts: Parts, pairs: Pairs, poses: Floats, kept: KeptOverlaps | None = None
) -> tuple[Overlap, ...]:
    """Every overlap of checked pairs at one moment, within views and across them; `poses` is (B, 3). Deepest first.
    `kept` are those of the moment before."""
    found = overlaps_at(parts, pairs, poses, kept)
    if pairs.across is not None:
        found += overlaps_across(parts, pairs.across, poses)
    return tuple(sorted(found, key=lambda overlap: -overlap.depth))


def overlaps_across(parts: Parts, across: PairsAcross, poses: Floats) -> tuple[Overlap, ...]:
    """Every overlap of parts in different views at one moment, once for each of the two views; `poses` is (B, 3).
    Deepest first."""
    if not len(across):
        return ()
    there = part_poses(parts, poses[None])[0]
    extrusions, pairs = Extrusions(parts, across), across.pairs
    every = np.arange(len(pairs.first))
    both = extrusions.relative(every, there[pairs.first], there[pairs.second])
    rows = np.flatnonzero(extrusions.meet(every, both))
    found = extrusions.measure(rows, both[rows])
    rows, thick = rows[found.thick > TOUCH], found.thick[found.thick > TOUCH]
    seen = extrusions.seen(rows, both[rows])
    by_pair: dict[tuple[int, int], list[Overlap]] = {}
    for number, row in enumerate(rows.tolist()):
        depth, pair = seen.depth(number, quick=True), int(pairs.reported[row])
        if not is_clash(depth, float(thick[number])):
            continue
        for view in (0, 1):
            area = _drawn(extrusions, row, view, seen.areas[view][number])
            one = Overlap(
                parts=pairs.ids[pair], view=_view(across, pair, view), area=area, depth=depth, at=point_in(area)
            )
            by_pair.setdefault((pair, view), []).append(one)
    return tuple(sorted((joined_overlaps(few) for few in by_pair.values()), key=lambda overlap: -overlap.depth))


def _view(across: PairsAcross, pair: int, view: int) -> str:
    return across.other_views[pair] if view else across.pairs.views[pair]


def _drawn(extrusions: Extrusions, row: int, view: int, area: BaseGeometry) -> BaseGeometry:
    return extrusions.area_in_view(row, view, only_areas(area))


def _contacts(samples: Samples[Extrusions]) -> tuple[Contact, ...]:
    """The spans in which parts get deeper into each other than a fit, measured at their worst moments."""
    spans = contact_spans(samples)
    if not spans:
        return ()
    extrusions, across = samples.probe, samples.probe.across
    rows = np.array([span.pair for span in spans])
    poses = _poses_at(samples, rows, np.array([span.worst for span in spans]))
    seen, thick = extrusions.seen(rows, poses), extrusions.measure(rows, poses).thick
    contacts = []
    for number, span in enumerate(spans):
        samples.stop_if_cancelled()
        if thick[number] <= TOUCH:
            continue
        depth = seen.depth(number)
        if is_clash(depth, float(thick[number])):
            one, other = (_drawn(extrusions, span.pair, view, seen.areas[view][number]) for view in (0, 1))
            contacts.append(
                Contact(
                    parts=across.pairs.ids[span.reported],
                    view=across.pairs.views[span.reported],
                    begin=span.begin,
                    end=span.end,
                    worst=span.worst,
                    area=float(one.area),
                    depth=depth,
                    at=point_in(one),
                    other_view=across.other_views[span.reported],
                    other_at=point_in(other),
                    other_area=float(other.area),
                )
            )
    return tuple(contacts)


def _clearances(
    samples: Samples[Extrusions], contacts: tuple[Contact, ...], sight: float, unproved: Bools, unsure: Bools
) -> tuple[Clearance, ...]:
    """As `clearance.clearances`, with what both views show."""
    across, worst = samples.probe.across, worst_contacts(contacts)
    pairs = across.pairs
    which = np.flatnonzero(samples.least <= sight)
    lines = _shortest_lines(samples, which)
    found = []
    for n, line, other_line in zip(which.tolist(), *lines, strict=True):
        contact = worst.get(pairs.ids[n])
        if contact is not None and contact.other_at is not None:
            line, other_line = (contact.at, contact.at), (contact.other_at, contact.other_at)
        found.append(
            Clearance(
                parts=pairs.ids[n],
                view=pairs.views[n],
                least=0.0 if contact else float(samples.least[n]),
                time=contact.worst if contact else float(samples.least_time[n]),
                points=line,
                wanted=float(pairs.wanted[n]),
                proved=not unsure[n] and (contact is not None or not unproved[n]),
                other_view=across.other_views[n],
                other_points=other_line,
            )
        )
    return tuple(found)


def _shortest_lines(samples: Samples[Extrusions], which: Ints) -> tuple[list[tuple[Point, Point]], ...]:
    """The nearest points of reported pairs at their nearest moments, as either view shows them, the first on the first
    part."""
    if not len(which):
        return [], []
    rows, extrusions = samples.least_pair[which], samples.probe
    found = extrusions.nearest(rows, _poses_at(samples, rows, samples.least_time[which]))
    lines = []
    for view, (own, other) in enumerate(((found.first, found.second), (found.second, found.first))):
        ends = [own, extrusions.as_seen(rows, view, own, other)]
        first, second = (extrusions.in_view(rows, view, points).tolist() for points in (ends[::-1] if view else ends))
        lines.append([((a[0], a[1]), (b[0], b[1])) for a, b in zip(first, second, strict=True)])
    return tuple(lines)


def _poses_at(samples: Samples[Extrusions], rows: Ints, times: Floats) -> Floats:
    """(M, 6) poses of pairs of parts at (M,) times."""
    anchor, mover, row = samples.probe.anchor[rows], samples.probe.mover[rows], np.arange(len(rows))
    posed = samples.track.between(times, np.concatenate([anchor, mover]))
    return samples.probe.relative(rows, posed[row, anchor], posed[row, mover])


ACROSS_VIEWS = Stages(
    survey=survey_across,
    open_spans=open_spans_across,
    near_spans=near_spans_across,
    contacts=_contacts,
    clearances=_clearances,
)
