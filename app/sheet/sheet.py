"""The sheet: the views that are shown, the tools that work on them, and what is told of both."""

from __future__ import annotations

import math
from functools import partial

from PySide6.QtCore import QPoint, QPointF, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.painting.theme import Theme
from app.session import Session
from app.sheet.bench import Bench
from app.sheet.bench_line import BenchLine
from app.sheet.canvas import Canvas
from app.sheet.choices import Choices
from app.sheet.framing import scale_words
from app.sheet.head import SheetHead, place_words
from app.sheet.moment import ShownMoment
from app.sheet.panes import Panes
from app.sheet.pulling import Pulling
from app.sheet.snap_popup import SnapPopup
from app.sheet.swing import Swing
from app.sheet.take_bar import TakeBar
from app.sheet.things_menu import ThingsMenu
from app.sheet.toolbox import TOOLS
from app.sheet.tools.choosing import REACH, chosen_bodies, nudge_step, push_move
from app.sheet.tools.paths import add_path, not_on
from app.sheet.tools.tool import Tool
from app.sheet.tray import Tray
from app.uses import Switches, Uses
from core.document.looks import at_hand
from core.document.names import by_id
from core.geometry.poses import drawn_point


class Sheet(QWidget):
    """Shows the session's project at its moment; listens to the session and changes nothing but what is chosen."""

    pointer_moved = Signal(float, float)
    """Millimetres in the view under the pointer."""
    pointer_left = Signal()
    tool_changed = Signal(str)
    """The id of the tool at work; empty for none."""
    views_changed = Signal()
    """Other views are shown, or other things on them."""

    def __init__(self, session: Session, *, theme: Theme | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._shown = ShownMoment(session, self)
        self.swing = Swing(self._shown, self)
        self.panes = Panes(self._shown, theme=theme, parent=self)
        self.head = SheetHead(self)
        self.bench = Bench(session, self)
        self.bench.stand = lambda: self._shown.stand
        self.bench.hold_end, self.bench.solved = self._shown.hold_end, self._shown.solved
        self.pulling = self.bench.pulling = Pulling(self._shown, self)
        self.take_bar = TakeBar(self)
        self._tool: Tool | None = None
        self.tray = Tray(self.bench, self)
        self.line = BenchLine(self)
        self._choices = Choices(self)
        self.things_menu = ThingsMenu(session, self)
        self.snap_popup = SnapPopup(self.bench, self)
        self._lay_out()
        self._listen()
        self.panes.take_views()

    def _listen(self) -> None:
        self._shown.changed.connect(self._tell_measure)
        self._listen_to_views()
        self.things_menu.path_wanted.connect(self._show_path)
        self.tray.wanted.connect(self.take_up)
        self.tray.snapping_wanted.connect(self.choose_snapping)
        self.line.entered.connect(self._enter)
        self.line.left.connect(self._back_to_canvas)
        self.bench.changed.connect(self._on_bench_changed)
        self.pulling.changed.connect(self._on_pulled)
        self.take_bar.kept.connect(self.pulling.keep)
        self.take_bar.let_go.connect(self.pulling.let_go)
        self.take_bar.every_wanted.connect(self._want_every_drive)
        self.bench.choices_wanted.connect(self._choices.offer)
        self.bench.fitted.connect(self._keep_drawing_in_sight)
        session = self._session
        session.project_opened.connect(lambda: self.take_up(""))
        session.sequence_changed.connect(self._look_elsewhere)
        session.project_changed.connect(self._on_bench_changed)
        session.selection_changed.connect(self._on_bench_changed)
        session.project_changed.connect(self.panes.take_views)
        session.finding_changed.connect(self.panes.show_place)

    def _listen_to_views(self) -> None:
        for pane in self.panes.all:
            canvas = pane.canvas
            canvas.pointer_moved.connect(self._read)
            canvas.pointer_moved.connect(self.pointer_moved)
            canvas.pointer_left.connect(self.head.pointer.clear)
            canvas.pointer_left.connect(self.pointer_left)
            canvas.placement_changed.connect(self._tell_scale)
            canvas.worked.connect(self._tell_tool)
            canvas.menu_wanted.connect(self.things_menu.offer)
            canvas.put_away.connect(lambda: self.take_up(""))
            canvas.typed.connect(self.line.begin)
            canvas.use(self.bench)
        self.panes.turned.connect(self._turn_bench)
        self.panes.changed.connect(self._tell_views)
        self.head.view_wanted.connect(self.panes.set_view)
        self.head.two_wanted.connect(self.panes.set_two)
        self.head.fit_wanted.connect(self.panes.fit)

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        return {
            "tool-none": lambda: self.take_up(""),
            "choose-all": self.choose_all,
            "snapping": self.choose_snapping,
            "nudge-left": lambda: self.nudge(-1, 0),
            "nudge-right": lambda: self.nudge(1, 0),
            "nudge-up": lambda: self.nudge(0, 1),
            "nudge-down": lambda: self.nudge(0, -1),
            "fit": self.panes.fit,
            "zoom-in": self.panes.zoom_in,
            "zoom-out": self.panes.zoom_out,
            "next-view": self.panes.next_view,
            "place": self.panes.show_place,
        }

    @property
    def switches(self) -> Switches:
        """What its checkable actions do when they are put on or off."""
        tools: Switches = {f"tool-{tool}": partial(self._switch, tool) for tool in TOOLS}
        return {**tools, "two-views": self.panes.set_two, "snap": self.bench.set_snapping}

    def _switch(self, tool: str, on: bool) -> None:
        self.take_up(tool if on else "")

    # ---- tools ---------------------------------------------------------------------------------------------------

    @property
    def tool(self) -> str:
        """The id of the tool at work; empty for none."""
        return "" if self._tool is None else self._tool.id

    def take_up(self, tool: str) -> None:
        """Put a tool to work, whatever was begun with another is given up; empty to put it away."""
        self._session.ask_anew()
        if self._tool is not None:
            self._tool.cancel()
        if self._session.project is None:
            tool = ""
        self._tool = TOOLS[tool].make(self.bench) if tool else None
        self._shown.show_as_drawn(self._tool is not None and self._tool.as_drawn)
        for pane in self.panes.all:
            pane.canvas.take_up(self._tool)
        self.bench.view = self.looked_at or ""
        if self._tool is not None:
            self.panes.canvas.setFocus()
        self.tray.show_tool(tool)
        self._tell_tool()
        self.tool_changed.emit(tool)

    def choose_snapping(self) -> None:
        """Show what the hand is drawn to, and the grid, to be chosen."""
        below = self.tray.snap_more
        self.snap_popup.show_at(below.mapToGlobal(below.rect().bottomRight()))

    def nudge(self, right: int, up: int) -> None:
        """Move the chosen bodies by steps, in the drawn position; those that are locked stay."""
        project, bodies = self._session.project, chosen_bodies(self._session)
        if project is None:
            return
        if not bodies:
            self._session.turn_down("Bodies that are not locked can be nudged; choose one first")
            return
        step = nudge_step(project)
        push_move(self._session, bodies, (right * step, up * step))

    def choose_all(self) -> None:
        """Choose every body in sight and free of the view that the hand was last in."""
        project = self._session.project
        if project is not None:
            free = (body for body in project.bodies if at_hand(body))
            self._session.choose_several(body.id for body in free if body.view == self.looked_at)

    def _tell_tool(self) -> None:
        project = self._session.project
        if project is not None:
            self.line.read_for(project)
        self.line.show_tool(self._tool)
        self.tray.show_role()

    def _look_elsewhere(self) -> None:
        if self._tool is not None:
            self._tool.look_elsewhere()
        for pane in self.panes.all:
            pane.canvas.look_elsewhere()

    def _tell_measure(self) -> None:
        """What is measured runs with the moment."""
        if self._tool is not None and not self._tool.as_drawn:
            self._tell_tool()

    def _on_bench_changed(self) -> None:
        self._tell_tool()
        for canvas in self.canvases:
            canvas.update()

    def _on_pulled(self) -> None:
        pulling = self.pulling
        self.take_bar.show_offers(pulling.offers, every=pulling.every, more=pulling.moves_more)
        self._on_bench_changed()

    def _want_every_drive(self, on: bool) -> None:
        self.pulling.every = on
        self._on_pulled()

    def _enter(self, values: dict[str, float]) -> None:
        if self._tool is not None:
            self._session.ask_anew()
            if values:
                self.bench.pixel = self._place_of(values)
                self._tool.enter(values)
            else:
                self._tool.finish()
            self._on_bench_changed()

    def _keep_drawing_in_sight(self) -> None:
        """However it is fitted, while there is nothing else in its view that the hand may be at."""
        project = self._session.project
        if project is not None and all(body.view != self.looked_at for body in project.bodies):
            self.panes.fit()

    def _place_of(self, values: dict[str, float]) -> QPoint:
        """Where on the screen a typed place lies, to ask there what is meant; out of sight, the sheet's middle."""
        canvas = self.panes.canvas
        at = canvas.placement.to_device(values.get("x", math.nan), values.get("y", math.nan))
        seen = math.isfinite(at.x() + at.y()) and canvas.rect().contains(at.toPoint())
        return canvas.mapToGlobal(at.toPoint() if seen else canvas.rect().center())

    def _back_to_canvas(self) -> None:
        self.panes.canvas.setFocus()

    def _show_path(self, body_id: str, at: QPoint) -> None:
        """Of the point that a body has under a place of the screen at the shown moment, drawn to what is near it."""
        project, canvas = self._session.project, self.panes.canvas
        number = next((n for n, one in enumerate(project.bodies) if one.id == body_id), None) if project else None
        if project is None or number is None or not len(self._shown.poses) > number:
            return
        place = QPointF(canvas.mapFromGlobal(at))
        drawn = drawn_point(self._shown.poses[number], canvas.placement.to_drawing(place.x(), place.y()))
        self.bench.view = canvas.view or ""
        self.bench.leave_out(not_on(project, body_id))  # others stand elsewhere than where they are drawn
        snap = self.bench.snapped(drawn, REACH / canvas.placement.scale, None, free=False)
        self.bench.leave_out(())
        add_path(self.bench, project.bodies[number], snap.at)

    # ---- views -------------------------------------------------------------------------------------------------

    @property
    def canvases(self) -> tuple[Canvas, ...]:
        """The canvas of each view that is shown."""
        return self.panes.canvases

    @property
    def views(self) -> tuple[str, ...]:
        """The ids of the views that are shown."""
        return self.panes.views

    @property
    def looked_at(self) -> str | None:
        """The view that the hand was last in."""
        return self.panes.canvas.view

    def set_view(self, view_id: str) -> None:
        """Show a view in the pane that the hand was last in."""
        self.panes.set_view(view_id)

    @property
    def shown(self) -> ShownMoment:
        """What all views are drawn from."""
        return self._shown

    # ---- what is shown on them ---------------------------------------------------------------------------------

    def set_ghosts(self, start: bool, end: bool) -> None:
        """Draw where moving bodies start, and where they end."""
        self._shown.wish(start_ghost=start, end_ghost=end)
        self.views_changed.emit()

    def set_pinned_ghosts(self, on: bool) -> None:
        """Draw where moving bodies stand at pinned moments."""
        self._shown.wish(pinned_ghosts=on)
        self.views_changed.emit()

    def set_names(self, on: bool) -> None:
        self._shown.wish(names=on)
        self.views_changed.emit()

    def set_tracing(self, on: bool) -> None:
        """Show the traced drawing under the bodies."""
        self._shown.wish(tracing=on)
        self.views_changed.emit()

    def set_theme(self, theme: Theme) -> None:
        self.panes.set_theme(theme)

    # ---- inside ------------------------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.head)
        layout.addWidget(self.tray)
        layout.addWidget(self.panes, 1)
        layout.addWidget(self.take_bar)
        layout.addWidget(self.line)

    def _turn_bench(self, view: str) -> None:
        self.bench.view = view

    def _tell_views(self) -> None:
        self.head.show_views(self.panes.known, self.looked_at, two=self.panes.two)
        self._tell_scale()
        self.views_changed.emit()

    def _read(self, x: float, y: float) -> None:
        pane = self.panes.active
        view = by_id(self.panes.known, pane.canvas.view)
        self.head.pointer.setText(place_words(self._session.project, view, (x, y), pane.canvas.placement.scale))

    def _tell_scale(self) -> None:
        canvas = self.panes.canvas
        self.head.scale.setText(scale_words(canvas.placement, canvas.logicalDpiX() / 25.4) if canvas.view else "")
