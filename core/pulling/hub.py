"""Whether a wheel is held by its hub, where the hand means what it hangs on, or nearer its rim, where it rolls."""

from __future__ import annotations

import numpy as np
import shapely

from core.document.project import Body
from core.geometry.outlines import outline
from core.geometry.planar import Floats
from core.mechanism.mechanism import Link, Mechanism

HUB = 0.5
"""Of a wheel's radius: nearer its middle a pull does not roll it."""


def by_hub(mechanism: Mechanism, poses: Floats, body: Body, at: complex) -> bool:
    """Whether a place of the view is near the middle of a round wheel, `body`, that hangs on something which can move.

    `poses` is (B, 3), of where everything stands.
    """
    wheel = mechanism.bodies.index(body.id)
    axle = _axle(mechanism, wheel)
    if axle is None:
        return False
    other = axle.first if axle.second == wheel else axle.second
    if mechanism.fixed[other]:
        return False
    pivot = axle.q if axle.second == wheel else axle.p
    drawn = np.exp(-1j * poses[wheel, 2]) * (at - complex(poses[wheel, 0], poses[wheel, 1]))
    centre = shapely.Point(pivot.real, pivot.imag)
    return bool(abs(drawn - pivot) <= HUB * shapely.hausdorff_distance(centre, outline(body)))


def rolls_about(mechanism: Mechanism, poses: Floats, body: str) -> complex | None:
    """The place of the view about which a round wheel rolls freely, (B, 3) `poses` given; None of any other body.

    How far a wheel rolls is nobody's to keep, as it is no looseness in a check.
    """
    wheel = mechanism.bodies.index(body)
    axle = _axle(mechanism, wheel)
    if axle is None:
        return None
    pivot = axle.q if axle.second == wheel else axle.p
    return complex(complex(poses[wheel, 0], poses[wheel, 1]) + np.exp(1j * poses[wheel, 2]) * pivot)


def _axle(mechanism: Mechanism, wheel: int) -> Link | None:
    """The one connection that a round wheel has; None where there is no such."""
    links = [link for link in mechanism.links if wheel in link.bodies]
    return links[0] if mechanism.round[wheel] and len(links) == 1 else None
