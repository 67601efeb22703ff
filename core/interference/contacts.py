"""Spans of contact, from what was measured: when they begin and end, and how bad they are at their worst."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats
from core.interference.between import TIME_SHARE
from core.interference.depth import depth_of_overlap
from core.interference.interference import Contact
from core.interference.overlap import common_areas, is_clash, point_in, thickness
from core.interference.placement import moved
from core.interference.probe import Measure
from core.interference.refine import climb, inwards, neighbours
from core.interference.samples import Measuring, Samples

LOOKS = 24
"""A contact that is nowhere measured as closely as this part of it is measured so many times to find its worst
moment."""
WORST_SHARE = 1e-4
"""The largest common area is found to within this part of it."""


@dataclass(slots=True, kw_only=True)
class Span:
    """A span of contact of a reported pair, and the pair of parts and moment with the largest common area in it."""

    reported: int
    begin: float
    end: float
    pair: int
    worst: float
    area: float
    widest: float
    """The longest time in it between two measurements."""


def find_contacts(samples: Samples[Measuring]) -> tuple[Contact, ...]:
    """Every contact of every reported pair that gets deeper than a fit, in order of pair and time."""
    spans = contact_spans(samples)
    return _measured(samples, spans) if spans else ()


def contact_spans(samples: Samples[Measuring]) -> list[Span]:
    """Every span in which a reported pair touches, and the moment of its largest common area, in order of pair and
    time."""
    tolerance = TIME_SHARE * float(samples.track.times[-1] - samples.track.times[0])
    spans = _merged(_spans(samples), 2.0 * tolerance)
    if not spans:
        return []
    _look_through(samples, [span for span in spans if span.widest * LOOKS > span.end - span.begin])
    _note_worst(samples, spans)
    pair, times, found = samples.all()
    which = np.array([span.pair for span in spans])
    three = neighbours(pair, times, which, np.array([span.worst for span in spans]))
    before, here, after = inwards(three, pair)
    enough = WORST_SHARE * np.array([span.area for span in spans])
    climb(
        samples, which, times[before], times[here], times[after],
        (found.area[before], found.area[here], found.area[after]), _area, enough,
    )  # fmt: skip
    _note_worst(samples, spans)
    return spans


def _look_through(samples: Samples[Measuring], spans: list[Span]) -> None:
    if spans:
        times = [_looks(samples.track.times, span.begin, span.end) for span in spans]
        samples.take_between(np.repeat([span.pair for span in spans], LOOKS), np.concatenate(times))


def _looks(moments: Floats, begin: float, end: float) -> Floats:
    """(LOOKS,) from the begin of a span to its end: moments that are solved already, where there are as many."""
    within = moments[(moments >= begin) & (moments <= end)]
    if len(within) < LOOKS:
        return np.linspace(begin, end, LOOKS)
    return within[np.round(np.linspace(0.0, len(within) - 1.0, LOOKS)).astype(int)]


def _area(found: Measure) -> Floats:
    return found.area


def _spans(samples: Samples[Measuring]) -> list[Span]:
    """Runs of touching moments of each pair of parts; a run begins and ends half-way to the moment that does not
    touch."""
    pair, times, found = samples.all()
    touching = found.touching
    same = np.diff(pair) == 0
    begins = np.flatnonzero(touching & np.append(True, ~(same & touching[:-1])))
    ends = np.flatnonzero(touching & np.append(~(same & touching[1:]), True))
    spans = []
    for begin, end in zip(begins.tolist(), ends.tolist(), strict=True):
        start = 0.5 * (times[begin - 1] + times[begin]) if begin and same[begin - 1] else times[begin]
        stop = 0.5 * (times[end] + times[end + 1]) if end < len(same) and same[end] else times[end]
        worst = begin + int(found.area[begin : end + 1].argmax())
        spans.append(
            Span(
                reported=int(samples.pairs.reported[pair[begin]]),
                begin=float(start),
                end=float(stop),
                pair=int(pair[begin]),
                worst=float(times[worst]),
                area=float(found.area[worst]),
                widest=float(np.diff(times[begin : end + 1]).max(initial=0.0)),
            )
        )
    return spans


def _merged(spans: list[Span], tolerance: float) -> list[Span]:
    """Spans of one reported pair that are less than `tolerance` apart as one."""
    merged: list[Span] = []
    for span in sorted(spans, key=lambda span: (span.reported, span.begin)):
        last = merged[-1] if merged else None
        if last is None or last.reported != span.reported or span.begin > last.end + tolerance:
            merged.append(span)
            continue
        last.end, last.widest = max(last.end, span.end), max(last.widest, span.widest)
        if span.area > last.area:
            last.pair, last.worst, last.area = span.pair, span.worst, span.area
    return merged


def _note_worst(samples: Samples[Measuring], spans: list[Span]) -> None:
    pair, times, found = samples.all()
    for span in spans:
        start, stop = np.searchsorted(pair, [span.pair, span.pair + 1])
        within = np.flatnonzero((times[start:stop] >= span.begin) & (times[start:stop] <= span.end)) + start
        worst = int(within[found.area[within].argmax()])
        span.worst, span.area = float(times[worst]), float(found.area[worst])


def _measured(samples: Samples[Measuring], spans: list[Span]) -> tuple[Contact, ...]:
    pairs = samples.pairs
    which = np.array([span.pair for span in spans])
    parts = np.concatenate([pairs.first[which], pairs.second[which]])
    posed = samples.track.between(np.array([span.worst for span in spans]), parts)
    row = np.arange(len(spans))
    first = moved(pairs.first_polygons[which], posed[row, pairs.first[which]])
    second = moved(pairs.second_polygons[which], posed[row, pairs.second[which]])
    areas = common_areas(first, second)
    contacts = []
    for span, one, other, common, thick in zip(spans, first, second, areas, thickness(areas), strict=True):
        samples.stop_if_cancelled()
        if common.is_empty:
            continue
        depth = depth_of_overlap(one, other, common)
        if is_clash(depth, thick):
            contacts.append(
                Contact(
                    parts=pairs.ids[span.reported],
                    view=pairs.views[span.reported],
                    begin=span.begin,
                    end=span.end,
                    worst=span.worst,
                    area=float(common.area),  # with the holes of wheels, which the search leaves filled
                    depth=depth,
                    at=point_in(common),
                )
            )
    return tuple(contacts)
