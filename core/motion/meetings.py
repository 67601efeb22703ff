"""Where two circles, or a circle and a line, meet: what every closed form here comes down to.

Both answer with a direction, chosen by a stored sign, and with a *margin* in millimetres: how far the two are from only
touching. A negative margin is by how much they fail to meet, and then the direction is that of the nearest approach, so
that nothing becomes NaN. A margin of nought is a dead centre: both signs give the same.
"""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Complexes, Floats, unit


def triangle(base: Complexes, side: Floats, opposite: Floats, sign: Floats | float) -> tuple[Complexes, Floats, Floats]:
    """The direction of `side` where `side` and `opposite` stand on the ends of `base` and meet, left of it by `sign`.

    This is the closure of a four-bar (A cos t + B sin t = C, e.g. J. J. Uicker, G. R. Pennock, J. E. Shigley, Theory of
    Machines and Mechanisms, position analysis) as a triangle: by the cosine rule, with the sine by Heron's product, which
    loses nothing near a dead centre. Returns the direction, the margin and the size against which it counts, mm.
    """
    distance = np.abs(base)
    cosine = distance * distance + (side - opposite) * (side + opposite)
    reach, fold = side + opposite - distance, distance - np.abs(side - opposite)
    square = reach * fold * (side + opposite + distance) * (distance + np.abs(side - opposite))
    sine = np.sqrt(np.maximum(square, 0.0))
    along = unit(base) * unit(cosine + 1j * sign * sine)
    return along, np.minimum(reach, fold), side + opposite + distance


def chord(radius: Floats, offset: Floats, sign: Floats | float) -> tuple[Floats, Floats, Floats]:
    """How far along a line, from its foot, it meets a circle of `radius` about a centre `offset` from it.

    Returns that, the margin and the size against which it counts, mm.
    """
    aside = np.abs(offset)
    square = (radius - aside) * (radius + aside)
    return sign * np.sqrt(np.maximum(square, 0.0)), radius - aside, radius + aside
