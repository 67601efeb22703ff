"""Showing the path of a point: a click on a body takes the point there, wherever it goes with the body."""

from __future__ import annotations

from functools import partial

from app.sheet.bench import Bench
from app.sheet.tools.collecting import Following
from app.sheet.tools.tool import Hand, Preview
from core.document.fresh import fresh_id, fresh_name
from core.document.names import name_of
from core.document.path_edits import AddPath
from core.document.project import Body, Gearing, Point, PointPath, Project
from core.drawing.drawing import Label


class PathTool(Following):
    """The point is taken where the body stands at the moment that is looked at. One off every outline goes with the
    chosen body, as the tip of something that is not drawn does."""

    id, words = "path", "Path"
    as_drawn = False

    def hint(self) -> str:
        return "Click a point of a body that moves; its path over the sequence is drawn"

    def press(self, hand: Hand) -> None:
        found = self._bodies(hand)
        if not found:
            self._bench.session.turn_down(
                "No body there can move: click a point of one, or choose one first and click anywhere"
            )
        elif len(found) == 1:
            self._add(found[0], hand.point)
        else:
            choices = tuple((name_of(body), partial(self._add, body, hand.point)) for body in found)
            self._bench.choices_wanted.emit(choices, self._bench.pixel)

    def _add(self, body: Body, at: Point) -> None:
        add_path(self._bench, body, self._bench.stand().drawn(body.id, at))

    def _bodies(self, hand: Hand) -> tuple[Body, ...]:
        """Those that can move and lie under the hand; of these, or else at all, the chosen one."""
        project = self._bench.project
        if project is None:
            return ()
        under = self._bench.bodies_at(hand.point, 0.25 * hand.reach)
        moving = {one.id: one for one in project.bodies if not one.fixed and one.view == self._bench.view}
        found = tuple(moving[one] for one in under if one in moving)
        chosen = self._bench.chosen_body
        if chosen is not None and chosen.id in moving and (not found or chosen in found):
            return (chosen,)
        return found

    def preview(self) -> Preview:
        """Whose point it would be."""
        found = () if self._hand is None else self._bodies(self._hand)
        if self._hand is None or not found:
            return Preview()
        said = found[0].name or found[0].id if len(found) == 1 else f"{len(found)} bodies"
        return Preview(labels=(Label(text=f"point of {said}", at=self._hand.point, offset=(5.0, -5.0), boxed=True),))


def add_path(bench: Bench, body: Body, point: Point) -> None:
    """Show the path of a body's point, mm as drawn, and choose it."""
    project = bench.project
    if project is None:
        return
    name = fresh_name({one.name for one in project.paths}, f"Path on {name_of(body)}")
    at = (round(point[0], 6) + 0.0, round(point[1], 6) + 0.0)  # turned back from where it stood
    path = PointPath(id=fresh_id(project, name), name=name, body=body.id, point=at)
    if bench.push(AddPath(path)):
        bench.session.choose(path.id)
        bench.made.emit(path.id)


def not_on(project: Project, body: str) -> tuple[str, ...]:
    """The other bodies, and the connections that do not join this one."""
    others = tuple(one.id for one in project.bodies if one.id != body)
    return others + tuple(
        one.id for one in project.connections if isinstance(one, Gearing) or body not in one.bodies
    )  # fmt: skip


TRACING = (PathTool,)
