"""How drives go within spans of time: values and rates at the ends, and bounds of their derivatives between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats, Ints
from core.motion.inputs import Inputs, part_done, part_way

LEAP = 1e-9
"""Of a move: what a drive may be off at a span's end without being said to leap there."""
UNBOUNDED = 1e30


@dataclass(frozen=True, slots=True)
class Pace:
    """D drives over S spans, in their own units; derivatives are by the share of the span, 0 to 1.

    A drive that leaps in a span, or whose move begins or ends within it, has no bounds there.
    """

    values: Floats
    """(2, S, D) at the ends, as seen from within the span."""
    rates: Floats
    """(2, S, D)"""
    middle: Floats
    """(S, D) half way through the span."""
    greatest: Floats
    """(5, S, D) bounds of the first to the fifth derivative."""

    def over(self, spans: Ints) -> Pace:
        """Over some of the spans."""
        return Pace(self.values[:, spans], self.rates[:, spans], self.middle[spans], self.greatest[:, spans])


def pace_of(inputs: Inputs, begin: Floats, end: Floats, lap: float, wanted: Ints | None = None) -> Pace:
    """Over spans (S,) of the sequence; moves that lap a span by no more than `lap` seconds are not in it. Where some
    drives are `wanted`, nothing is said of the others."""
    count, drives = len(begin), len(inputs.start)
    values, rates = np.zeros((2, count, drives)), np.zeros((2, count, drives))
    greatest = np.zeros((5, count, drives))
    middle, length = 0.5 * (begin + end), end - begin
    at_ends = np.stack([inputs.at(begin), inputs.at(end)])
    for drive in range(drives) if wanted is None else wanted.tolist():
        value = np.full((2, count), inputs.start[drive])
        for span in inputs.spans[drive]:
            after = middle >= span.begin
            took = span.end - span.begin
            under_way = after & (middle < span.end)
            value[:, after] = span.to
            rates[:, after, drive], greatest[:, after, drive] = 0.0, 0.0
            if took > 0.0 and under_way.any():
                share = np.clip((np.stack([begin, end])[:, under_way] - span.begin) / took, 0.0, 1.0)
                done, slope, bounds = _eased(share, span.part) if span.profile == "eased" else _steady(share)
                way, step = span.to - span.value, length[under_way] / took
                value[:, under_way] = span.value + way * done
                rates[:, under_way, drive] = way * step * slope
                greatest[:, under_way, drive] = [abs(way) * step**power * bounds[power - 1] for power in range(1, 6)]
        values[:, :, drive] = value
        bends = np.array([[span.begin, span.end] for span in inputs.spans[drive]]).reshape(-1)
        inside = (bends > begin[:, None] + lap) & (bends < end[:, None] - lap)
        way = max((abs(span.to - span.value) for span in inputs.spans[drive]), default=0.0)
        leaps = (np.abs(value - at_ends[:, :, drive]) > LEAP * way).any(axis=0)
        greatest[:, inside.any(axis=1) | leaps, drive] = UNBOUNDED
    return Pace(values, rates, inputs.at(middle), greatest)


def _steady(share: Floats) -> tuple[Floats, Floats, tuple[Floats | float, ...]]:
    """How much of a move is done at the ends of spans (2, S), how fast, and bounds of five derivatives between."""
    return share, np.ones_like(share), (1.0, 0.0, 0.0, 0.0, 0.0)


def _eased(share: Floats, part: tuple[float, float]) -> tuple[Floats, Floats, tuple[Floats | float, ...]]:
    """As `_steady`, of 10 t^3 - 15 t^4 + 6 t^5, or of a part of it. A derivative is no greater than at the nearer end
    and the next one's bound times half the span."""
    first, last = part
    course = first + (last - first) * share
    slope = 30.0 * course**2 * (1.0 - course) ** 2
    half = 0.5 * (course[1] - course[0])
    fourth = np.abs(720.0 * course - 360.0).max(axis=0)
    third = np.abs(60.0 - 360.0 * course + 360.0 * course**2).max(axis=0) + half * fourth
    second = np.abs(60.0 * course * (1.0 - course) * (1.0 - 2.0 * course)).max(axis=0) + half * third
    bounds = (slope.max(axis=0) + half * second, second, third, fourth, 720.0)
    length, way = last - first, part_way(part)
    per_share = tuple(bound * length**power / way for power, bound in enumerate(bounds, 1))
    return part_done(share, part), slope * length / way, per_share
