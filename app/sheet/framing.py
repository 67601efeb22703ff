"""How near a view is shown, and where it lies then."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF

from app.painting.placement import Placement
from core.document.project import Point

MARGIN = 44.0
"""Pixels left about a view that is fitted."""
NOTCH = 1.18
"""How much nearer one notch of a wheel, or one key, goes."""
LEAST_SCALE, GREATEST_SCALE = 0.005, 20000.0
"""Pixels a millimetre."""
PLACE_ROOM = 12.0
"""Millimetres of the drawing about a finding that is brought near."""
SEEN, NEAREST = 9.0, 250.0
"""Pixels at which a small thing is seen well, and pixels a millimetre beyond which nothing is brought near for that."""


def zoomed(placement: Placement, factor: float, about: QPointF) -> Placement:
    """Nearer by a factor, as far as numbers allow; what lies at a pixel stays there."""
    scale = min(max(placement.scale * factor, LEAST_SCALE), GREATEST_SCALE)
    return placement.zoomed(scale / placement.scale, about.x(), about.y())


def brought_near(placement: Placement, room: QRectF, place: Point, size: float | None = None) -> Placement:
    """With a place in sight, near enough to see what is `size` mm large there, and moved no more than that needs."""
    nearest = min(room.width(), room.height()) / (2.0 * PLACE_ROOM)
    if size is not None and size > 0.0:
        nearest = min(max(nearest, SEEN / size), NEAREST)
    # Coming from a smaller place, further off again: what is round about should be in sight as well.
    scale = min(max(placement.scale, 0.45 * nearest), nearest)
    x, y = place
    if scale == placement.scale and room.adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN).contains(placement.to_device(x, y)):
        return placement
    return Placement(scale=scale, x=0.5 * room.width() - scale * x, y=0.5 * room.height() + scale * y)


def scale_words(placement: Placement, unit: float) -> str:
    """How large the model stands on the screen, `100 %` as large as it is: no ratio, which is what an aircraft's scale
    is."""
    share = 100.0 * placement.scale / unit
    return f"on screen {share:.{0 if share >= 10.0 else 1}f} %"
