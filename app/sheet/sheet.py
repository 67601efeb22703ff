"""The sheet: one view, or two side by side that move together, with what may be shown on them."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import (
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from app.painting.pictures import Pictures
from app.painting.theme import DARK, LIGHT, Theme
from app.session import Session
from app.sheet.bench import Bench
from app.sheet.canvas import Canvas
from app.sheet.framing import scale_words
from app.sheet.head import SheetHead, place_words
from app.sheet.moment import ShownMoment
from app.sheet.pane import Pane
from app.sheet.pulling import Pulling
from app.sheet.snap_popup import SnapPopup
from app.sheet.swing import Swing
from app.sheet.take_bar import TakeBar
from app.sheet.things_menu import ThingsMenu
from app.sheet.toolbox import TOOLS
from app.sheet.tools.choosing import REACH, chosen_bodies, nudge_step, push_move
from app.sheet.tools.paths import add_path, not_on
from app.sheet.tools.tool import Tool
from app.sheet.tray import BenchLine, Choices, Tray
from app.uses import Switches, Uses
from core.document.looks import at_hand
from core.document.project import View
from core.drawing.placing import drawn_point
from core.findings.finding import Kind

SMALL = frozenset({Kind.CLASH, Kind.TIGHT, Kind.LATCH, Kind.TARGET})
"""Kinds of finding whose amount is a length that can be seen at its place."""


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
        self._given_theme = theme is not None
        self._theme = theme or self._theme_of_palette()
        self._pictures = Pictures()
        self._shown = ShownMoment(session, self)
        self.swing = Swing(self._shown, self)
        self._panes = tuple(Pane(self._shown, self._theme, self._pictures, self) for _ in range(2))
        self._active = self._panes[0]
        self._second = False
        self.head = SheetHead(self)
        self.head.view_wanted.connect(self.set_view)
        self.head.two_wanted.connect(self.set_side_by_side)
        self.head.fit_wanted.connect(self.fit)
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
        self._set_second(False)
        self._take_views()

    def _listen(self) -> None:
        self._shown.changed.connect(self._tell_measure)
        for pane in self._panes:
            pane.canvas.pointer_moved.connect(self._read)
            pane.canvas.pointer_moved.connect(self.pointer_moved)
            pane.canvas.pointer_left.connect(self.head.pointer.clear)
            pane.canvas.pointer_left.connect(self.pointer_left)
            pane.canvas.placement_changed.connect(self._tell_scale)
            pane.canvas.installEventFilter(self)
            pane.canvas.worked.connect(self._tell_tool)
            pane.canvas.menu_wanted.connect(self.things_menu.offer)
            pane.canvas.put_away.connect(lambda: self.take_up(""))
            pane.canvas.typed.connect(self._begin_typing)
            pane.canvas.use(self.bench)
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
        session = self._session
        session.project_opened.connect(lambda: self.take_up(""))
        session.project_changed.connect(self._on_bench_changed)
        session.selection_changed.connect(self._on_bench_changed)
        session.project_changed.connect(self._take_views)
        session.finding_changed.connect(self.show_place)

    @property
    def canvases(self) -> tuple[Canvas, ...]:
        """The canvas of each view that is shown."""
        return tuple(pane.canvas for pane in self._shown_panes())

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
            "fit": self.fit,
            "zoom-in": self.zoom_in,
            "zoom-out": self.zoom_out,
            "next-view": self.next_view,
            "place": self.show_place,
        }

    @property
    def switches(self) -> Switches:
        """What its checkable actions do when they are put on or off."""
        tools: Switches = {f"tool-{tool}": partial(self._switch, tool) for tool in TOOLS}
        return {**tools, "two-views": self.set_side_by_side, "snap": self.bench.set_snapping}

    def _switch(self, tool: str, on: bool) -> None:
        self.take_up(tool if on else "")

    # ---- tools ---------------------------------------------------------------------------------------------------

    @property
    def tool(self) -> str:
        """The id of the tool at work; empty for none."""
        return "" if self._tool is None else self._tool.id

    def take_up(self, tool: str) -> None:
        """Put a tool to work, whatever was begun with another is given up; empty to put it away."""
        if self._tool is not None:
            self._tool.cancel()
        if self._session.project is None:
            tool = ""
        self._tool = TOOLS[tool].make(self.bench) if tool else None
        self._shown.show_as_drawn(self._tool is not None and self._tool.as_drawn)
        for pane in self._panes:
            pane.canvas.take_up(self._tool)
        self.bench.view = self._active.canvas.view or ""
        if self._tool is not None:
            self._active.canvas.setFocus()
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
            self._session.trouble.emit("Bodies that are not locked can be nudged; choose one first")
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
            self.line.set_unit(project.length_unit, project.aircraft.scale)
        self.line.show_tool(self._tool)
        self.tray.show_role()

    def _tell_measure(self) -> None:
        """What is measured runs with the moment."""
        if self._tool is not None and not self._tool.as_drawn:
            self._tell_tool()

    def _on_bench_changed(self) -> None:
        self._tell_tool()
        for pane in self._shown_panes():
            pane.canvas.update()

    def _on_pulled(self) -> None:
        pulling = self.pulling
        self.take_bar.show_offers(pulling.offers, every=pulling.every, more=pulling.moves_more)
        self._on_bench_changed()

    def _want_every_drive(self, on: bool) -> None:
        self.pulling.every = on
        self._on_pulled()

    def _enter(self, values: dict[str, float]) -> None:
        if self._tool is not None:
            if values:
                self._tool.enter(values)
            else:
                self._tool.finish()
            self._on_bench_changed()

    def _back_to_canvas(self) -> None:
        self._active.canvas.setFocus()

    def _begin_typing(self, text: str) -> None:
        self.line.begin(text)

    def _show_path(self, body_id: str, at: QPoint) -> None:
        """Of the point that a body has under a place of the screen at the shown moment, drawn to what is near it."""
        project, canvas = self._session.project, self._active.canvas
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
    def views(self) -> tuple[str, ...]:
        """The ids of the views that are shown."""
        return tuple(pane.canvas.view for pane in self._shown_panes() if pane.canvas.view is not None)

    @property
    def looked_at(self) -> str | None:
        """The view that the hand was last in."""
        return self._active.canvas.view

    def set_view(self, view_id: str) -> None:
        """Show a view in the pane that the hand was last in."""
        if view_id in self._known() and self._active.canvas.view != view_id:
            others = [pane for pane in self._shown_panes() if pane is not self._active]
            for other in others:
                if other.canvas.view == view_id:  # the two change places
                    other.canvas.set_view(self._active.canvas.view)
            self._active.canvas.set_view(view_id)
            self.bench.view = view_id
            self._tell_views()

    def set_views(self, first: str, second: str | None = None) -> None:
        """Show one view, or two side by side."""
        known = self._known()
        if first not in known or (second is not None and second not in known):
            return
        self._panes[0].canvas.set_view(first)
        self._panes[1].canvas.set_view(second)
        self._set_second(second is not None)
        self._tell_views()

    def next_view(self) -> None:
        known = self._known()
        if known:
            now = self._active.canvas.view
            self.set_view(known[(known.index(now) + 1) % len(known)] if now in known else known[0])

    def set_side_by_side(self, both: bool) -> None:
        """Show a second view beside the first, or only the one that the hand was last in."""
        known = self._known()
        first = self._active.canvas.view if not both else self._panes[0].canvas.view
        if first is None or (both and len(known) < 2):
            return
        second = next(view for view in (*known[known.index(first) + 1 :], *known) if view != first) if both else None
        self.set_views(first, second)

    @property
    def side_by_side(self) -> bool:
        return self._second

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
        self._theme, self._given_theme = theme, True
        self._wear()

    # ---- moving about ------------------------------------------------------------------------------------------

    def fit(self) -> None:
        for pane in self._shown_panes():
            pane.canvas.fit()

    def zoom_in(self) -> None:
        self._active.canvas.zoom_in()

    def zoom_out(self) -> None:
        self._active.canvas.zoom_out()

    def show_place(self) -> None:
        """Bring the place of the session's finding into sight, in its own view, and in the other where it has two."""
        finding = self._session.finding
        if finding is None or finding.at is None or self._session.drafting:  # nothing moves on under the hand
            return
        if finding.view is not None and finding.view not in self.views:
            self.set_view(finding.view)
        for pane in self._shown_panes():
            at = finding.at if finding.view in (None, pane.canvas.view) else None
            if at is None and finding.other_view == pane.canvas.view:
                at = finding.other_at
            if at is not None:
                pane.canvas.bring_near(*at, finding.amount if finding.kind in SMALL else None)

    # ---- inside ------------------------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        split = QSplitter(Qt.Orientation.Horizontal, self)
        split.setChildrenCollapsible(False)
        for pane in self._panes:
            split.addWidget(pane)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.head)
        layout.addWidget(self.tray)
        layout.addWidget(split, 1)
        layout.addWidget(self.take_bar)
        layout.addWidget(self.line)

    def _known(self) -> list[str]:
        return [view.id for view in self._views()]

    def _views(self) -> tuple[View, ...]:
        return self._session.project.views if self._session.project is not None else ()

    def _shown_panes(self) -> list[Pane]:
        return list(self._panes if self._second else self._panes[:1])

    def _set_second(self, shown: bool) -> None:
        self._second = shown
        self._panes[1].setVisible(shown)
        if not shown:
            self._active = self._panes[0]

    def _take_views(self) -> None:
        """Keep showing what was shown while the project still has it."""
        known = self._known()
        for pane in self._panes:
            if pane.canvas.view not in known:
                pane.canvas.set_view(None)
        if self._panes[0].canvas.view is None and known:
            self._panes[0].canvas.set_view(known[0])
        if self._panes[1].canvas.view is None:
            self._set_second(False)
        self._tell_views()

    def _tell_views(self) -> None:
        names = {view.id: view.name or view.id for view in self._views()}
        for pane in self._panes:
            pane.canvas.set_title(names.get(pane.canvas.view or "", "") if self._second else "")
        self.head.show_views(self._views(), self._active.canvas.view, two=self.side_by_side)
        self._tell_scale()
        self.views_changed.emit()

    def _read(self, x: float, y: float) -> None:
        canvas = self._active.canvas
        view = next((one for one in self._views() if one.id == canvas.view), None)
        unit, pixels = self._active.length_unit, canvas.placement.scale
        self.head.pointer.setText(place_words(self._session.project, view, (x, y), unit, pixels))

    def _tell_scale(self) -> None:
        canvas = self._active.canvas
        self.head.scale.setText(scale_words(canvas.placement, canvas.logicalDpiX() / 25.4) if canvas.view else "")

    def eventFilter(self, watched: object, event: QEvent) -> bool:
        """The pane that the hand is in is the one that keys and buttons are meant for."""
        if event.type() in (QEvent.Type.MouseButtonPress, QEvent.Type.FocusIn, QEvent.Type.Wheel):
            for pane in self._panes:
                if pane.canvas is watched and pane is not self._active:
                    self._active = pane
                    self._tell_views()
        return False

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange and not self._given_theme:
            self._theme = self._theme_of_palette()
            self._wear()
        super().changeEvent(event)

    def _theme_of_palette(self) -> Theme:
        return DARK if self.palette().color(QPalette.ColorRole.Window).lightness() < 128 else LIGHT

    def _wear(self) -> None:
        for pane in self._panes:
            pane.set_theme(self._theme)
