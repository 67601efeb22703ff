"""The Pellow once more, with three faults in how it was built.

The torque tube was left out, so that nothing turns the lever of the water-rudder. The slot in the leg was milled 3 mm
short at its inner end, where the crank's pin is with the leg half way up. And the well's after wall stands 12 mm too
far forward, so that the tyre all but rubs on it as it passes.
"""

from __future__ import annotations

from msgspec.structs import replace

from core.document.project import Connection, Project, Shape, Slot, View, Wall
from sample_projects.tools import pellow_layout as at
from sample_projects.tools.pellow_3 import leg, pellow_3
from sample_projects.tools.plane import polar
from sample_projects.tools.shapes import spot

SHORT_SLOT = (at.SLOT[0] + 3.0, at.SLOT[1])
WALL_FORWARD = 12.0


def pellow_3_flawed(views: tuple[View, ...]) -> Project:
    sound = pellow_3(views)
    bodies = []
    for body in sound.bodies:
        if body.id == "leg":
            bodies.append(leg(SHORT_SLOT))
        elif body.id == "hull":
            bodies.append(replace(body, shapes=tuple(_stern_forward(shape) for shape in body.shapes)))
        else:
            bodies.append(body)
    return replace(
        sound,
        aircraft=replace(
            sound.aircraft,
            note="Tailwheel and water-rudder with three faults: no torque tube, a short slot, a well wall in the way.",
        ),
        bodies=tuple(bodies),
        connections=tuple(_short_slot(one) for one in sound.connections if one.id != "torque-tube"),
        targets=tuple(target for target in sound.targets if target.body != "rudder"),
        figures=tuple(figure for figure in sound.figures if figure.of != "rudder-hinge"),
    )


def _stern_forward(shape: Shape) -> Shape:
    """The deck, stern and tail are one wall: all of it that lies aft of the well comes forward."""
    if not isinstance(shape, Wall):
        return shape
    return replace(shape, points=tuple((x - WALL_FORWARD if x > 80.0 else x, y, *rest) for x, y, *rest in shape.points))


def _short_slot(one: Connection) -> Connection:
    if not isinstance(one, Slot):
        return one
    return replace(one, start=spot(polar(at.LEG_PIVOT, SHORT_SLOT[0], at.SLOT_BEARING)))
