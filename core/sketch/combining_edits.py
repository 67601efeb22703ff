"""Edits that make one body of several, or cut bodies out of another, and why that cannot be where it cannot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely
from msgspec.structs import replace

from core.document.changing import each, with_body
from core.document.names import name_of
from core.document.project import Body, Connection, Figure, Gearing, PairRule, Point, Project, Shape
from core.geometry.outlines import outline
from core.sketch.body_edits import RemoveThings
from core.sketch.combining import SMALLEST, cut, joined


@dataclass(frozen=True, slots=True)
class JoinBodies:
    """The leading body takes in the shapes of others, which go; their connections, targets, figures and paths go
    over to it.

    Its name, role and depth stand. Rules that have others checked go over too; those that excuse others do not, nor
    what was accepted of them: joining must not silence a clash of the leading body. Changes nothing where
    `why_not_join` has a reason.
    """

    lead: str
    others: tuple[str, ...]
    words: str = "Join bodies"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        if why_not_join(project, self.lead, self.others):
            return project
        gone = set(self.others)
        bodies = [_body(project, one) for one in (self.lead, *self.others)]
        mass, centre = _weighed(bodies)
        shapes = _together(bodies)
        taken = with_body(project, self.lead, lambda one: replace(one, shapes=shapes, mass=mass, centre_of_mass=centre))
        over = replace(
            taken,
            connections=tuple(_over(one, gone, self.lead) for one in project.connections),
            pairs=_rules(project.pairs, gone, self.lead),
            targets=tuple(replace(one, body=self.lead) if one.body in gone else one for one in project.targets),
            paths=each(project.paths, lambda one: replace(one, body=self.lead) if one.body in gone else one),
            figures=each(project.figures, lambda one: _figure_over(one, gone, self.lead)),
        )  # fmt: skip
        return RemoveThings(self.others).apply(over)


@dataclass(frozen=True, slots=True)
class CutAway:
    """The outlines of other bodies, as drawn, cut out of the leading one; the others stay.

    Changes nothing where `why_not_cut` has a reason.
    """

    lead: str
    others: tuple[str, ...]
    words: str = "Cut away"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        if _why_neither(project, self.lead, self.others):
            return project
        left = _left(_body(project, self.lead), [_body(project, one) for one in self.others])
        return with_body(project, self.lead, lambda one: replace(one, shapes=left)) if left else project


# ---- what cannot be --------------------------------------------------------------------------------------------------


def why_not_join(project: Project, lead: str, others: Sequence[str]) -> str:
    """One line on why bodies cannot become one; empty where they can."""
    if reason := _why_neither(project, lead, others):
        return reason
    first = _body(project, lead)
    for other in (_body(project, one) for one in others):
        if other.depth != first.depth:
            return f"{name_of(other)} and {name_of(first)} differ in depth: a body has one, so give them the same first"
        if other.fixed != first.fixed:
            still, moving = (other, first) if other.fixed else (first, other)
            return f"{name_of(still)} is fixed and {name_of(moving)} is not: make them alike first"
    together = {lead, *others}
    for connection in project.connections:
        if not isinstance(connection, Gearing) and set(connection.bodies) <= together:
            first_name, second_name = (name_of(_body(project, one)) for one in connection.bodies)
            return (
                f"{name_of(connection)} connects {first_name} with {second_name}, and one body cannot be "
                "connected with itself: remove it first"
            )
    return ""


def why_not_cut(project: Project, lead: str, others: Sequence[str]) -> str:
    """One line on why bodies cannot be cut out of another; empty where they can."""
    if reason := _why_neither(project, lead, others):
        return reason
    first = _body(project, lead)
    left = _left(first, [_body(project, one) for one in others])
    if not left:
        return f"Nothing of {name_of(first)} would be left"
    return f"What is to be cut out does not lie on {name_of(first)} as drawn" if left == first.shapes else ""


def _why_neither(project: Project, lead: str, others: Sequence[str]) -> str:
    known = {one.id: one for one in project.bodies}
    if not others or lead in others or not {lead, *others} <= set(known):
        return "Choose two bodies or more, the leading one last: Shift and a click chooses one more"
    for one in (known[lead], *(known[other] for other in others)):
        if one.view != known[lead].view:
            return f"{name_of(one)} and {name_of(known[lead])} are in different views"
        if not one.shapes:
            return f"{name_of(one)} has no shape yet"
    return ""


# ---- shapes ----------------------------------------------------------------------------------------------------------


def _together(bodies: Sequence[Body]) -> tuple[Shape, ...]:
    """The shapes of all bodies, those that meet across bodies made one; what meets no other body stays as it is."""
    owned = [(number, shape) for number, body in enumerate(bodies) for shape in body.shapes]
    solids = [_solid(shape, bodies[0]) for _, shape in owned]
    groups = list(range(len(owned)))
    tree = shapely.STRtree(solids)
    for i, j in tree.query(solids, predicate="intersects").T.tolist():
        if groups[i] != groups[j]:
            groups = [groups[i] if one == groups[j] else one for one in groups]
    made: list[Shape] = []
    for group in dict.fromkeys(groups):
        members = [owned[i] for i in range(len(owned)) if groups[i] == group]
        shapes = [shape for _, shape in members]
        made += joined(shapes) if len({number for number, _ in members}) > 1 else shapes
    return tuple(made)


def _left(lead: Body, others: Sequence[Body]) -> tuple[Shape, ...]:
    """What is left of each of the leading body's shapes; the same where nothing is cut out of it."""
    tools = [shape for other in others for shape in other.shapes]
    gone = shapely.union_all([outline(other) for other in others])
    left: list[Shape] = []
    for shape in lead.shapes:
        met = shapely.intersection(_solid(shape, lead), gone).area > SMALLEST
        left += cut([shape], tools) if met else [shape]
    return tuple(left)


def _solid(shape: Shape, body: Body) -> shapely.Geometry:
    return outline(replace(body, shapes=(shape,)))


def _weighed(bodies: Sequence[Body]) -> tuple[float | None, Point | None]:
    """The mass of all and its centre; unknown where one of them is."""
    masses = [body.mass for body in bodies if body.mass is not None]
    whole = sum(masses)
    if len(masses) < len(bodies):
        return None, None
    centres = [body.centre_of_mass for body in bodies if body.centre_of_mass is not None]
    if len(centres) < len(bodies) or whole <= 0.0:
        return whole, None
    x, y = (sum(mass * at[axis] for mass, at in zip(masses, centres, strict=True)) / whole for axis in (0, 1))
    return whole, (x, y)


# ---- what goes over to the leading body ------------------------------------------------------------------------------


def _body(project: Project, body_id: str) -> Body:
    return next(one for one in project.bodies if one.id == body_id)


def _over(connection: Connection, gone: set[str], lead: str) -> Connection:
    if isinstance(connection, Gearing) or not gone & set(connection.bodies):
        return connection
    first, second = (lead if one in gone else one for one in connection.bodies)
    return replace(connection, bodies=(first, second))


def _rules(rules: tuple[PairRule, ...], gone: set[str], lead: str) -> tuple[PairRule, ...]:
    """Rules by which others are checked become the leading body's, unless it has one with the same other part."""
    kept = [rule for rule in rules if not gone & set(rule.bodies)]
    paired = {frozenset(rule.bodies) for rule in kept}
    for rule in rules:
        first, second = (lead if one in gone else one for one in rule.bodies)
        pair = frozenset({first, second})
        if gone & set(rule.bodies) and rule.rule == "check" and first != second and pair not in paired:
            kept.append(replace(rule, bodies=(first, second)))
            paired.add(pair)
    return tuple(kept)


def _figure_over(figure: Figure, gone: set[str], lead: str) -> Figure:
    """A figure of what goes, or between points of it, is the leading body's."""
    of = lead if figure.of in gone else figure.of
    between = _named_over(figure.between, gone, lead)
    unchanged = (of, between) == (figure.of, figure.between)
    return figure if unchanged else replace(figure, of=of, between=between)


def _named_over(between: Any, gone: set[str], lead: str) -> Any:
    """A figure's points as the file has them, those of bodies that go put on the leading one."""
    if isinstance(between, list | tuple):
        return type(between)(_named_over(one, gone, lead) for one in between)
    if isinstance(between, dict) and isinstance(between.get("body"), str) and between["body"] in gone:
        return {**between, "body": lead}
    return between
