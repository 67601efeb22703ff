"""What the interference stage answers: contacts, clearances and the state of every pair at every frame."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.geometry.planar import Floats

if TYPE_CHECKING:
    from core.interference.track import Track


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """One span of time in which two parts overlap. Parts are bodies, or rods and jacks with a width, by their ids."""

    parts: tuple[str, str]
    view: str
    begin: float
    end: float
    worst: float
    """The time of the largest common area."""
    area: float
    """The largest common area, mm²."""
    depth: float
    """How far one must move to come clear at the worst moment, mm."""
    at: tuple[float, float]
    """A point in the common area at the worst moment, in the view."""
    other_view: str | None = None
    """Of the second part, where the two are drawn in different views; `view` is the first's then."""
    other_at: tuple[float, float] | None = None
    """The same point in the other view."""
    other_area: float | None = None
    """The common area as it is seen in the other view, mm²; the worst moment is that of the largest sum of both."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """The least clearance of one checked pair over the sequence; 0 where they touch."""

    parts: tuple[str, str]
    view: str
    least: float
    time: float
    points: tuple[tuple[float, float], tuple[float, float]]
    """The nearest points, the first on the first part."""
    wanted: float
    proved: bool
    """True when the clearance holds between the frames as well as at them."""
    other_view: str | None = None
    """Of the second part, where the two are drawn in different views: `least` is the gap in space then, and each view
    shows what it can of it."""
    other_points: tuple[tuple[float, float], tuple[float, float]] | None = None
    """The nearest points as the other view shows them, the first on the first part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interference:
    """Everything found about N checked pairs over F frames."""

    pairs: tuple[tuple[str, str], ...]
    """(N) part ids, in the order of axis N; only pairs that are checked."""
    touching: NDArray[np.bool_]
    """(N, F) whether the pair overlaps at the frame."""
    gaps: Floats
    """(N, F) clearance in mm: 0 where touching, NaN where far apart and not measured (further than the wanted
    clearance)."""
    contacts: tuple[Contact, ...]
    clearances: tuple[Clearance, ...]
    without_depth: tuple[str, ...] = ()
    """Parts not checked against those of other views, since how deep they are is not known."""
    track: Track | None = field(default=None, compare=False, repr=False)
    """What was walked, so that a later check can tell what has changed; None where another process keeps it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """The common area of two parts at one moment, for the sheet."""

    parts: tuple[str, str]
    view: str
    area: BaseGeometry
    depth: float
    at: tuple[float, float]
