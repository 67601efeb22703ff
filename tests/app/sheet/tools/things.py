"""A small aircraft to choose, carry and change things of, and what is asked of it."""

from __future__ import annotations

from core.document.project import Aircraft, Body, Drive, Move, Pivot, Polygon, Project, Rod, Sequence, Step, View
from tests.app.sketcher import Sketcher


def box(left: float, low: float, right: float, high: float) -> Polygon:
    return Polygon(points=((left, low), (right, low), (right, high), (left, high)))


def aircraft() -> Project:
    """A bay; a leg that turns through 90 degrees about (0, 0); a door and a link by themselves."""
    return Project(
        aircraft=Aircraft(name="Pellow 3", scale=8),
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="bay", name="Bay", view="side", fixed=True, shapes=(box(-40, 20, 40, 30),)),
            Body(id="leg", name="Leg", view="side", role="leg", shapes=(box(-3, -30, 3, 3),)),
            Body(id="door", name="Door", view="side", role="door", shapes=(box(30, -20, 40, -10),)),
            Body(id="link", name="Link", view="side", role="link", shapes=(box(32, -18, 36, -14),)),
        ),
        connections=(
            Pivot(id="trunnion", bodies=("bay", "leg"), at=(0.0, 0.0)),
            Rod(id="rod", bodies=("leg", "door"), ends=((0.0, -20.0), (30.0, -15.0))),
        ),
        drives=(Drive(id="gear", on="trunnion"),),
        sequences=(Sequence(id="up", steps=(Step(id="leg-up", duration=1.0, moves=(Move(drive="gear", to=90.0),)),)),),
    )


def body(hand: Sketcher, one: str) -> Body:
    return next(body for body in hand.window.session.project.bodies if body.id == one)


def corner(hand: Sketcher, one: str) -> tuple[float, float]:
    return body(hand, one).shapes[0].points[0]
