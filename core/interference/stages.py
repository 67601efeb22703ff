"""The row of stages that every check goes through, of parts in one view as of parts in different ones."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np

from core.geometry.planar import Bools, Floats, Ints
from core.interference.between import settle_between
from core.interference.clearance import refine_least
from core.interference.frames import gaps_at_frames, measure_frames, touching_at_frames, unsure_pairs
from core.interference.interference import Clearance, Contact, Interference
from core.interference.samples import Measuring, Samples
from core.interference.survey import OpenSpans

Probe = TypeVar("Probe", bound=Measuring)
Surveyed = TypeVar("Surveyed")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stages(Generic[Probe, Surveyed]):
    """The stages that depend on how pairs are measured; what a survey answers is known to them alone."""

    survey: Callable[[Samples[Probe], Floats, float], Surveyed]
    open_spans: Callable[[Samples[Probe], Surveyed], OpenSpans]
    near_spans: Callable[[Surveyed, Floats], tuple[Ints, Ints]]
    contacts: Callable[[Samples[Probe]], tuple[Contact, ...]]
    clearances: Callable[[Samples[Probe], tuple[Contact, ...], float, Bools, Bools], tuple[Clearance, ...]]

    def check(self, samples: Samples[Probe], near: Floats, sight: float) -> Interference:
        """Check every pair at every frame and between frames; gaps are measured where they are `near` (N,) mm or less,
        and clearances told up to `sight` mm. Raises CheckCancelled when the samples are told to stop."""
        pairs, track = samples.pairs, samples.track
        surveyed = self.survey(samples, near, sight)
        refine_least(samples, near, sight, np.ones(len(pairs), dtype=bool))
        before = samples.least.copy()
        unproved = settle_between(samples, self.open_spans(samples, surveyed))
        refine_least(samples, near, sight, samples.least < before)
        contacts = self.contacts(samples)
        touching = touching_at_frames(pairs, track.motion, contacts)
        measure_frames(samples, *self.near_spans(surveyed, near[pairs.reported]), touching)
        gaps = gaps_at_frames(samples, near)
        gaps[touching] = 0.0
        return Interference(
            pairs=pairs.ids,
            touching=touching,
            gaps=gaps,
            contacts=contacts,
            clearances=self.clearances(samples, contacts, sight, unproved, unsure_pairs(track, pairs)),
        )
