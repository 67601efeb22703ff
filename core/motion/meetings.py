"""Where two circles, or a circle and a line, meet: what every closed form here comes down to.

Both answer with a direction, chosen by a stored sign, and with a *margin* in millimetres: how far the two are from only
touching. A negative margin is by how much they fail to meet, and then the direction is that of the nearest approach, so
that nothing becomes NaN. A margin of nought is a dead centre: both signs give the same.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Complexes, Floats, unit


@dataclass(frozen=True, slots=True)
class Side:
    """Which of both: the stored sign, and where the way goes through a dead centre the root itself.

    There a root is the square root of what is nearly nought, and keeps half its digits only; with its sign it runs
    smoothly through nought, so that it is taken from its course about the dead centre instead.
    """

    sign: Floats | float = 1.0
    smooth: tuple[tuple[NDArray[np.intp], Floats], ...] = ()
    """Frames and their roots."""

    def root(self, square: Floats) -> Floats:
        root = np.asarray(self.sign * np.sqrt(np.maximum(square, 0.0)))
        for frames, values in self.smooth:
            root = np.array(np.broadcast_to(root, np.broadcast_shapes(root.shape, np.shape(self.sign))))
            root[frames] = values
        return root


@dataclass(frozen=True, slots=True)
class Closeness:
    """How near a meeting is to a dead centre."""

    margin: Floats
    size: Floats
    """The lengths against which the margin counts, mm."""
    root: Floats
    """With its sign; nought at the dead centre."""


def triangle(base: Complexes, side: Floats, opposite: Floats, of: Side) -> tuple[Complexes, Closeness]:
    """The direction of `side` where `side` and `opposite` stand on the ends of `base` and meet, left of it for +.

    This is the closure of a four-bar (A cos t + B sin t = C, e.g. J. J. Uicker, G. R. Pennock, J. E. Shigley, Theory of
    Machines and Mechanisms, position analysis) as a triangle: by the cosine rule, with the sine by Heron's product,
    which loses nothing near a dead centre.
    """
    distance = np.abs(base)
    cosine = distance * distance + (side - opposite) * (side + opposite)
    reach, fold = side + opposite - distance, distance - np.abs(side - opposite)
    square = reach * fold * (side + opposite + distance) * (distance + np.abs(side - opposite))
    sine = of.root(square)
    along = unit(base) * unit(cosine + 1j * sine)
    return along, Closeness(np.minimum(reach, fold), side + opposite + distance, sine)


def chord(radius: Floats, offset: Floats, of: Side) -> tuple[Floats, Closeness]:
    """How far along a line, from its foot, it meets a circle of `radius` about a centre `offset` from it."""
    aside = np.abs(offset)
    square = (radius - aside) * (radius + aside)
    along = of.root(square)
    return along, Closeness(radius - aside, radius + aside, along)
