"""What a tool works on: the view, what is chosen for new bodies, snapping, and the one way to change the project."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import QObject, QPoint, Signal

from app.session import Session
from app.sheet.pulling import Pulling
from app.sheet.snap_choice import SnapChoice
from app.sheet.standing import Stand
from core.document.edits import Edit
from core.document.fresh import fresh_id, fresh_name
from core.document.joint_edits import AddConnection
from core.document.lengths import shown_point, small_unit
from core.document.looks import locked_in, not_drawn
from core.document.names import called
from core.document.project import Body, Connection, Drive, Point, Project, Role, Shape, Span, View
from core.geometry.outlines import crossing
from core.pulling.ends import EndHeld
from core.sketch.body_edits import AddBodies, AddShape, bodies_at
from core.sketch.reshaping import rings
from core.sketch.snap_targets import Kind, SnapTargets, snap_targets
from core.sketch.snapping import Snap, snap
from core.units import LENGTH_UNITS

ROLE_NAMES: dict[Role, str] = {
    "structure": "Bay",
    "leg": "Leg",
    "wheel": "Wheel",
    "door": "Door",
    "link": "Link",
    "lock": "Lock",
    "other": "Body",
}
AS_DRAWN = Stand()
FIRST_VIEW = View(id="side", name="Side elevation", plane="side")


class Bench(QObject):
    changed = Signal()
    """What a tool shows or says is different."""
    choices_wanted = Signal(object, object)
    """Several things can be meant: (words, what to do) each, and where to ask, in pixels of the canvas."""
    fitted = Signal()
    """A drawing lies elsewhere, or otherwise, by what is known of it."""
    made = Signal(str)
    """The id of what a tool made."""
    snapping_changed = Signal()
    """What the hand is drawn to is chosen anew, or the grid is."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.role: Role = "structure"
        self.into_chosen = False
        self.snapping = SnapChoice()
        self._width: float | None = None
        self.view = ""
        self.reach = 1.0
        """Millimetres within which something is near, as the view stands."""
        self.pixel = QPoint()
        self.stand: Callable[[], Stand] = lambda: AS_DRAWN
        """Where the bodies stand that the hand is over."""
        self.hold_end: Callable[[str, int], EndHeld | None] = lambda _connection, _number: None
        """Takes a point of a connection in hand at the moment that is looked at."""
        self.solved: Callable[[EndHeld], EndHeld] = lambda held: held
        """What is in hand, with where the newest check has everything."""
        self._targets: tuple[Project, str, Stand, SnapTargets] | None = None
        self.pulling: Pulling | None = None
        """What the hand pulls at the scrubbed moment; the sheet has one."""
        self._left_out: frozenset[str] = frozenset()

    @property
    def project(self) -> Project | None:
        return self.session.project

    # ---- snapping --------------------------------------------------------------------------------------------------

    @property
    def width(self) -> float:
        """Millimetres of bars and walls that are drawn next: what was typed last, or a usual one."""
        inches = self.project is not None and small_unit(self.project) == "in"
        return self._width or (5.0 / 32.0 * LENGTH_UNITS["in"] if inches else 4.0)

    @width.setter
    def width(self, width: float) -> None:
        self._width = width

    @property
    def grid(self) -> float | None:
        """Millimetres between the grid's lines; None where there is none."""
        return self.snapping.grid("mm" if self.project is None else self.project.length_unit)

    def choose_snapping(self, choice: SnapChoice) -> None:
        if choice != self.snapping:
            self.snapping, self._targets = choice, None
            self.snapping_changed.emit()

    def set_snapping(self, on: bool) -> None:
        self.choose_snapping(replace(self.snapping, on=on))

    def set_snapping_to(self, kind: Kind, on: bool) -> None:
        self.choose_snapping(self.snapping.with_kind(kind, on))

    def set_grid(self, grid: float) -> None:
        """Squares of so many mm for aircraft of this kind of unit; 0 for none."""
        unit = "mm" if self.project is None else self.project.length_unit
        self.choose_snapping(self.snapping.with_grid(unit, grid or None))

    def leave_out(self, owners: Sequence[str]) -> None:
        """What moves with the hand is not snapped to."""
        self._left_out = frozenset(owners)
        self._targets = None

    def snapped(self, raw: Point, reach: float, start: Point | None, *, free: bool) -> Snap:
        """What a point under the hand means."""
        project = self.project
        if free or project is None or not self.snapping.on:
            return Snap(at=raw)
        stand, held = self.stand(), self._targets
        if held is None or held[0] is not project or held[1] != self.view or held[2] is not stand:
            targets = snap_targets(project, self.view, stand.poses).of_kinds(self.snapping.kinds)
            left_out = self._left_out | not_drawn(project)
            held = (project, self.view, stand, targets.without(left_out) if left_out else targets)
            self._targets = held
        kinds = self.snapping.kinds
        return snap(raw, targets=held[3], reach=reach, start=start, grid=self.grid, kinds=kinds)

    def bodies_at(self, at: Point, within: float) -> tuple[str, ...]:
        """The bodies in sight that stand at a place of the view, or so near; the last drawn first."""
        project = self.project
        return () if project is None else bodies_at(project, self.view, at, within, drawn=self.stand().drawn)

    def free_at(self, at: Point, within: float) -> tuple[str, ...]:
        """The bodies there that a hand may change."""
        project = self.project
        locked = frozenset() if project is None else locked_in(project)
        return tuple(one for one in self.bodies_at(at, within) if one not in locked)

    def name_of(self, thing: str) -> str:
        project = self.project
        things = () if project is None else (*project.bodies, *project.connections)
        return called(things, thing)

    # ---- making ----------------------------------------------------------------------------------------------------

    def push(self, edit: Edit) -> bool:
        """Whether the edit went in; where it did not, the session has said why."""
        before = self.project
        self.session.push(edit)
        return self.project is not before

    def draw(self, shape: Shape | None, *, depth: Span | None = None, tyre: str | None = None) -> bool:
        """A new body of a shape, or the shape in the chosen body; False where it is none, or crosses itself."""
        project = self.project
        if project is None or shape is None:
            return False
        if crossed := crossing_of(shape):
            self.session.turn_down(f"The outline crosses itself at {shown_point(project, crossed)}: it is not drawn")
            return False
        into = next((one.id for one in project.bodies if one.id == self.session.selection), None)
        if self.into_chosen and into is not None:
            return self.push(AddShape(into, shape))
        name = fresh_name({body.name for body in project.bodies}, ROLE_NAMES[self.role])
        view = None if project.views else FIRST_VIEW
        body = Body(
            id=fresh_id(project, name), name=name, view=self.view or FIRST_VIEW.id, role=self.role,
            fixed=self.role == "structure", shapes=(shape,), depth=depth, tyre=tyre,
        )  # fmt: skip
        if not self.push(AddBodies((body,), view)):
            return False
        self.session.choose(body.id)
        self.made.emit(body.id)
        return True

    @property
    def chosen_body(self) -> Body | None:
        """The body chosen last, if a hand may change it."""
        project, chosen = self.project, self.session.selection
        bodies = () if project is None else project.bodies
        return next((one for one in bodies if one.id == chosen and not one.locked), None)

    @property
    def chosen_bodies(self) -> tuple[Body, ...]:
        """The chosen bodies of the view that the hand is in, as far as it may change them."""
        project, chosen = self.project, set(self.session.chosen)
        bodies = () if project is None else project.bodies
        return tuple(body for body in bodies if body.id in chosen and body.view == self.view and not body.locked)

    def connect_up(self, make: Callable[[str, str], Connection], words: str, drive: str | None = None) -> bool:
        """A connection made with a fresh id and name, and a drive on it where one is named."""
        project = self.project
        if project is None:
            return False
        name = fresh_name({one.name for one in project.connections}, words)
        connection = make(fresh_id(project, name), name)
        driven = (
            None if drive is None else Drive(id=fresh_id(project, drive, {connection.id}), name=drive, on=connection.id)
        )
        if not self.push(AddConnection(connection, driven)):
            return False
        self.session.choose(connection.id)
        self.made.emit(connection.id)
        return True


def crossing_of(shape: Shape) -> Point | None:
    """Where an outline runs through itself; None for sound ones."""
    if not hasattr(shape, "holes"):
        return None
    for ring in rings(shape):  # type: ignore[arg-type]
        found = crossing(ring)
        if found is not None:
            return found.point
    return None
