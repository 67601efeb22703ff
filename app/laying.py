"""Drawings laid under a view and outlines brought in from files, with the questions that go with them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QWidget

from app.dialogs.files import ask_for_drawing, ask_for_outlines
from app.dialogs.view_settings import DatumSettings, OutlineUnit
from app.keeping import Keeping
from app.pictures import bring_in
from app.session import Session
from app.sheet.sheet import Sheet
from app.sheet.tools.fitting import FitLengthTool
from app.uses import Uses
from core.document.drawing_edits import AddDrawing, AddView, RemoveDrawing, SetDatum, SetDrawing
from core.document.fresh import fresh_id, fresh_name
from core.document.names import by_id
from core.document.project import Body, Plane, Polygon, TracedDrawing, View, Wall
from core.errors import BayfoldError
from core.sketch.body_edits import AddBodies
from core.sketch.laying import laid, turned_over
from core.sketch.outside.lines import Outlines
from core.sketch.outside.svg import outlines_of_svg
from core.units import LENGTH_UNITS

PIXEL = 25.4 / 96.0
PLANE_NAMES: dict[Plane, str] = {"side": "Side elevation", "front": "Front elevation", "plan": "Plan", "other": "View"}
OPACITY_STEP = 0.15
WALL_THICKNESS = 1.0


class Laying(QObject):
    def __init__(self, session: Session, keeping: Keeping, sheet: Sheet, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._keeping, self._sheet, self._window = session, keeping, sheet, window

    # ---- drawings --------------------------------------------------------------------------------------------------

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        return {
            "lay-drawing": self.ask_for_drawing,
            "drawing-fainter": self.fainter,
            "drawing-stronger": self.stronger,
            "drawing-mirror": self.mirror,
            "drawing-lock": self.lock,
            "drawing-away": self.take_away,
            "datum": self.ask_for_datum,
            "outlines": self.ask_for_outlines,
            "view-side": lambda: self.add_view("side"),
            "view-front": lambda: self.add_view("front"),
            "view-plan": lambda: self.add_view("plan"),
        }

    def ask_for_drawing(self) -> None:
        ask_for_drawing(self._window, self._near(), self.lay)

    def lay(self, file: Path) -> None:
        """Copy a drawing into the aircraft's folder and lay it under the view that is looked at.

        An aircraft that has no folder yet is kept in one first: a drawing has to be somewhere.
        """
        if self._session.project is None:
            return
        if self._session.looked_at_only:
            self._session.turn_down(self._session.looked_at_only)
            return
        if self._session.folder is None:
            self._keeping.ask_where_to_save(lambda: self.lay(file))
            return
        view = self._view()
        try:
            inside, width, height = bring_in(file, self._session.folder)
        except BayfoldError as error:
            self._session.trouble.emit(str(error))
            return
        if view is None:
            view = View(id="side", name=PLANE_NAMES["side"], plane="side")
            self._session.push(AddView(view))
        self._session.push(AddDrawing(view.id, laid(inside, width, height)))
        self._sheet.take_up(FitLengthTool.id)  # it lies at a size that means nothing until something of it is known
        QTimer.singleShot(0, self._sheet.panes.fit)  # the tool's line has taken room by then

    def mirror(self) -> None:
        self._change(turned_over, "Mirror the drawing")

    def fainter(self) -> None:
        self._change(lambda one: _with_opacity(one, one.opacity - OPACITY_STEP), "Fainter drawing")

    def stronger(self) -> None:
        self._change(lambda one: _with_opacity(one, one.opacity + OPACITY_STEP), "Stronger drawing")

    def lock(self) -> None:
        """Lock the topmost drawing, or free it again."""
        self._change(lambda one: replace(one, locked=not one.locked), "Lock or free the drawing", also_locked=True)

    def take_away(self) -> None:
        view = self._view()
        if view is not None and view.drawings:
            self._session.push(RemoveDrawing(view.id, len(view.drawings) - 1))

    def _change(
        self, change: Callable[[TracedDrawing], TracedDrawing], words: str, *, also_locked: bool = False
    ) -> None:
        view = self._view()
        if view is None or not view.drawings:
            self._session.turn_down("There is no drawing under this view")
            return
        top = view.drawings[-1]
        if top.locked and not also_locked:
            self._session.turn_down("The drawing is locked; free it first")
            return
        self._session.push(SetDrawing(view.id, len(view.drawings) - 1, change(top), words))

    # ---- views -----------------------------------------------------------------------------------------------------

    def ask_for_datum(self) -> None:
        view, project = self._view(), self._session.project
        if view is None or project is None:
            return
        question = DatumSettings(view, project, self._window)
        question.chosen.connect(lambda datum: self._session.push(SetDatum(view.id, datum)))
        question.open()

    def add_view(self, plane: Plane) -> None:
        """A view of a plane, and look at it."""
        project = self._session.project
        if project is None:
            return
        name = fresh_name({one.name for one in project.views}, PLANE_NAMES[plane])
        view = View(id=fresh_id(project, plane), name=name, plane=plane)
        self._session.push(AddView(view))
        self._sheet.set_view(view.id)

    # ---- outlines --------------------------------------------------------------------------------------------------

    def ask_for_outlines(self) -> None:
        ask_for_outlines(self._window, self._near(), self.take_outlines)

    def take_outlines(self, file: Path) -> None:
        """Every outline of a DXF or SVG file as a body of its own; a file without a unit is asked about."""
        from core.sketch.outside.dxf import outlines_of_dxf  # a third of a second, which no start need wait for

        try:
            found = outlines_of_svg(file) if file.suffix.lower() == ".svg" else outlines_of_dxf(file)
        except BayfoldError as error:
            self._session.trouble.emit(str(error))
            return
        if found.unit is not None:
            self._add(file, found.in_millimetres(LENGTH_UNITS[found.unit]))
            return
        question = OutlineUnit(file.name, _width(found), (*LENGTH_UNITS, "pixel"), self._window)
        question.chosen.connect(
            lambda unit: self._add(file, found.in_millimetres(PIXEL if unit == "pixel" else LENGTH_UNITS[unit]))
        )
        question.open()

    def _add(self, file: Path, found: Outlines) -> None:
        project, view = self._session.project, self._view()
        if project is None:
            return
        shapes = [*found.shapes, *(Wall(points=line, thickness=WALL_THICKNESS) for line in found.open_lines)]
        taken = {body.name for body in project.bodies}
        ids: set[str] = set()
        bodies = []
        for shape in shapes:
            name = fresh_name(taken, file.stem)
            taken.add(name)
            one = fresh_id(project, name, frozenset(ids))
            ids.add(one)
            bodies.append(Body(id=one, name=name, view=view.id if view is not None else "side", shapes=(shape,)))
        new_view = None if view is not None else View(id="side", name=PLANE_NAMES["side"], plane="side")
        self._session.push(AddBodies(tuple(bodies), new_view, f"Bring in {file.name}"))
        self._sheet.panes.fit()
        if found.left_out:
            self._session.trouble.emit(f"{file.name}: passed over {', '.join(found.left_out)}")

    # ---- inside ----------------------------------------------------------------------------------------------------

    def _view(self) -> View | None:
        """The view that the hand was last in."""
        project, shown = self._session.project, self._sheet.looked_at
        return None if project is None else by_id(project.views, shown)

    def _near(self) -> Path:
        return self._session.folder if self._session.folder is not None else Path.home()


def _with_opacity(drawing: TracedDrawing, opacity: float) -> TracedDrawing:
    return replace(drawing, opacity=min(max(round(opacity, 2), 0.05), 1.0))


def _width(found: Outlines) -> float:
    xs = [corner[0] for shape in found.shapes if isinstance(shape, Polygon) for corner in shape.points]
    xs += [corner[0] for line in found.open_lines for corner in line]
    xs += [x for shape in found.shapes if not isinstance(shape, Polygon | Wall)
           for x in (shape.centre[0] - shape.radius, shape.centre[0] + shape.radius)]  # fmt: skip
    return round(max(xs) - min(xs), 3) if xs else 0.0
