"""What a figure measures: of which thing, and between which points or moments."""

from __future__ import annotations

from collections.abc import Iterable
from types import MappingProxyType

import msgspec

from core.document.names import DRIVEN, Ids
from core.document.project import (
    Body,
    Connection,
    Figure,
    FigurePoint,
    Jack,
    Moment,
    Pivot,
    Point,
    Project,
    Quantity,
    Rod,
    Sequence,
    Slide,
    Slot,
)

POINTS = MappingProxyType({"distance": (2,), "angle": (2, 3, 4), "gap": (2,)})
"""How many points each of these is between."""
MOMENTS = MappingProxyType({"travel": (2,), "stroke": (2,), "length": (0, 1)})
"""How many moments each of these is measured at."""
OF: MappingProxyType[str, tuple[type, ...]] = MappingProxyType(
    {"travel": DRIVEN, "stroke": (Pivot, Slide, Slot, Jack), "length": (Rod, Jack), "diameter": (Body,)}
)
"""What each of these is of."""


def is_of_something(quantity: str) -> bool:
    """Whether a quantity is of one thing, and not between points."""
    return quantity in OF


def measurable(project: Project, quantity: Quantity) -> tuple[Body | Connection, ...]:
    """The things of a project that a quantity can be of, in the file's order; a body has a diameter by its outline."""
    things = project.bodies if quantity == "diameter" else project.connections
    return tuple(
        one for one in things if isinstance(one, OF[quantity]) and (not isinstance(one, Body) or bool(one.shapes))
    )


def moments_of(figure: Figure) -> tuple[Moment, ...]:
    """The moments that a figure of one thing is measured at: two of a travel or a stroke, one or none of a length, none
    of a diameter; raises msgspec.ValidationError for anything else."""
    if figure.quantity == "diameter":
        centre_of(figure)
        return ()
    written = () if figure.between is None else msgspec.convert(figure.between, tuple[Moment, ...], strict=True)
    if len(written) not in MOMENTS[figure.quantity]:
        raise msgspec.ValidationError(f"a {figure.quantity} is not at {len(written)} moments")
    return written


def centre_of(figure: Figure) -> Point | None:
    """The point of its body that a diameter is of the circle about; None of the whole body.

    Raises msgspec.ValidationError for anything else.
    """
    if figure.between is None:
        return None
    (centre,) = msgspec.convert(figure.between, tuple[FigurePoint], strict=True)
    if centre.body != figure.of or centre.point is None or not _is_clear(centre):
        raise msgspec.ValidationError("a diameter is about a point of its own body")
    return centre.point


def sequence_of(sequences: Iterable[Sequence], moment: Moment) -> str | None:
    """The sequence a moment lies in: the one it names, the one that has its step, or the first; None where none has."""
    if moment.sequence is not None:
        return moment.sequence
    fitting = (one for one in sequences if moment.after is None or any(step.id == moment.after for step in one.steps))
    return next((one.id for one in fitting), None)


def points_of(figure: Figure) -> tuple[FigurePoint, ...]:
    """The points of a distance, an angle or a gap; raises msgspec.ValidationError for anything else."""
    written = msgspec.convert(figure.between, tuple[str | FigurePoint, ...], strict=True)
    points = tuple(FigurePoint(pivot=one) if isinstance(one, str) else one for one in written)
    if len(points) not in POINTS[figure.quantity]:
        raise msgspec.ValidationError(f"a {figure.quantity} is not between {len(points)} points")
    is_clear = _ends_a_gap if figure.quantity == "gap" else _is_clear
    if not all(is_clear(point) for point in points):
        raise msgspec.ValidationError(
            "a point is a body and a point of it, or a pivot; a gap may end at a body or an edge"
        )
    return points


def is_angle(figure: Figure, ids: Ids) -> bool:
    """Whether a figure is measured in degrees: an angle, or what a pivot travels or could."""
    return figure.quantity == "angle" or (
        figure.quantity in ("travel", "stroke") and isinstance(ids.connections.get(figure.of or ""), Pivot)
    )


def _is_clear(point: FigurePoint) -> bool:
    """Whether it can be told which point is meant: a body and a point of it, or a pivot."""
    return point.edge is None and (point.pivot is None) == (point.body is not None) == (point.point is not None)


def _ends_a_gap(point: FigurePoint) -> bool:
    """Whether it can be told what a gap ends at: a point, a body, or an edge of one."""
    of_a_body = point.body is not None and point.pivot is None and point.point is None
    return _is_clear(point) or (of_a_body and (point.edge is None or len(point.edge) > 1))
