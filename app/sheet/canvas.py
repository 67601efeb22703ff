"""The hand on a view: what it points at and chooses, what it drags, and what it does with a tool."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from app.painting.pictures import Pictures
from app.painting.theme import Theme
from app.sheet import film
from app.sheet.bench import Bench
from app.sheet.edges import paint_edges
from app.sheet.framing import NOTCH
from app.sheet.moment import ShownMoment
from app.sheet.picking import owners_at
from app.sheet.tool_keys import is_the_tools, pass_on
from app.sheet.tools.choosing import REACH, Band, Carry, choose_next
from app.sheet.tools.drafts import cue_label, cue_marks
from app.sheet.tools.gesture import Gesture
from app.sheet.tools.pan import Pan
from app.sheet.tools.tool import Hand, Tool
from app.sheet.view_film import ViewFilm
from app.widgets.focus_edge import FocusEdge
from core.document.looks import locked_in
from core.drawing.drawing import Drawing
from core.sketch.snapping import Snap

NUDGE = 60.0
"""Pixels that an arrow key moves the film."""


class Canvas(ViewFilm):
    """A view on film under the hand."""

    pointer_moved = Signal(float, float)
    """Millimetres in the view."""
    pointer_left = Signal()
    worked = Signal()
    """The tool at work did something: what it expects may be different."""
    put_away = Signal()
    """Escape was pressed with nothing begun: the tool is to be put away."""
    menu_wanted = Signal(object, object)
    """What can be done is asked for: the ids under the pointer, nearest to the eye first and what is locked last, and
    where on the screen."""
    typed = Signal(str)
    """A digit was typed while a tool is at work; nothing where Tab asks for the tool's numbers."""

    _edge: FocusEdge | None = None
    """None while it is made, which has events already."""

    def __init__(self, shown: ShownMoment, theme: Theme, pictures: Pictures, parent: QWidget | None = None) -> None:
        super().__init__(shown, theme, pictures, parent)
        self._gesture: Gesture | None = None
        self._tool: Tool | None = None
        self._bench: Bench | None = None
        self._snap: Snap | None = None
        self._space = False
        self._hovered: str | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Sheet")
        self._edge = FocusEdge(self)
        shown.session.moment_changed.connect(self._let_hovered_go)

    # ---- what is painted of it -----------------------------------------------------------------------------------

    @property
    def grid(self) -> float | None:
        return None if self._bench is None else self._bench.grid

    @property
    def at_work(self) -> bool:
        return self._tool is not None

    def paint_hand(self, painter: QPainter) -> None:
        room = QRectF(self.rect())
        self._paint_hovered(painter, room)
        self._paint_tool(painter, room)
        if self._gesture is not None:
            begun = self._gesture.preview()
            self._painter.paint(painter, Drawing(marks=begun.marks, labels=begun.labels), self._placement, room)

    def _paint_hovered(self, painter: QPainter, room: QRectF) -> None:
        if self._hovered is None or self._gesture is not None or self._pointer is None:
            return
        if self._tool is not None and (not self._tool.grasps or self._shown.pulled):
            return
        paint_edges(painter, self._painter, self._placement, self.drawing, (self._hovered,))
        painter.setFont(self.font())
        film.paint_tip(painter, room, self._theme, self._pointer, film.name_of(self._shown, self._hovered))

    def _paint_tool(self, painter: QPainter, room: QRectF) -> None:
        if self._tool is None or self._bench is None or self._bench.view != (self._view or ""):
            return  # what is begun in another view is drawn there
        reach = self._bench.reach = REACH / self._placement.scale
        preview = self._tool.preview()
        cue = cue_marks(self._snap, reach) if self._snap is not None and self._pointer is not None else ()
        labels = cue_label(self._snap) if self._snap is not None and self._pointer is not None else ()
        drawing = Drawing(marks=(*preview.marks, *cue), labels=(*preview.labels, *labels))
        self._painter.paint(painter, drawing, self._placement, room)

    # ---- tools ---------------------------------------------------------------------------------------------------

    def use(self, bench: Bench) -> None:
        """Have the hand drawn to what the bench says, and the film to its grid."""
        self._bench = bench
        bench.snapping_changed.connect(self.update)

    def take_up(self, tool: Tool | None) -> None:
        """Have presses and moves go to a tool; None for choosing and dragging the film."""
        self._tool, self._snap = tool, None
        self._rest_cursor()
        self.update()

    def _hand(self, event: QMouseEvent, *, pressed: bool = False) -> Hand:
        """Where the hand is and what that means; Alt says that it means just that."""
        assert self._bench is not None
        assert self._tool is not None
        at = event.position()
        raw = self._placement.to_drawing(at.x(), at.y())
        reach = REACH / self._placement.scale
        alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        free = alt or self._tool.grasps or not self._tool.snaps
        self._bench.view, self._bench.pixel = self._view or "", self.mapToGlobal(at.toPoint())
        self._snap = self._bench.snapped(raw, reach, self._tool.start(), free=free)
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        under = self.owners_at(at) if pressed and self._tool.grasps else ()
        return Hand(raw=raw, point=self._snap.at, snap=self._snap, reach=reach, shift=shift, under=under)

    # ---- the hand ----------------------------------------------------------------------------------------------

    def owners_at(self, at: QPointF, *, locked: bool = False) -> tuple[str, ...]:
        """What lies under a pixel and is free, or what is locked; nearest to the eye first."""
        project = self._shown.session.project
        kept = frozenset() if project is None else locked_in(project)
        found = owners_at(self.drawing, self._painter, self._placement, at)
        return tuple(one for one in found if (one in kept) is locked)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        if self._gesture is not None:
            return
        if event.button() == Qt.MouseButton.MiddleButton or (
            event.button() == Qt.MouseButton.LeftButton and self._space
        ):
            self._begin(Pan(self, at))
        elif event.button() == Qt.MouseButton.LeftButton and self._tool is not None:
            self._shown.session.ask_anew()
            self._tool.press(self._hand(event, pressed=True))
            self.worked.emit()
            self.update()
        elif event.button() == Qt.MouseButton.LeftButton:
            self._begin(self._choosing(event))

    def _choosing(self, event: QMouseEvent) -> Gesture:
        """What is chosen is carried, what is not is chosen by a click; else the film is dragged, or with Shift a
        band."""
        at, view = event.position(), self._view or ""
        session = self._shown.session
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            return Band(self, self._shown, view, at, self._choose_also_at)
        bodies = {body.id for body in session.project.bodies} if session.project is not None else set()
        held = next((one for one in self.owners_at(at) if one in session.chosen and one in bodies), None)
        if held is None or session.looked_at_only or self._bench is None:
            return Pan(self, at, self._choose_at)
        self._bench.view = view
        return Carry(self, self._shown, self._bench, held, at, self._choose_at)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._pointer = event.position()
        self.pointer_moved.emit(*self._placement.to_drawing(self._pointer.x(), self._pointer.y()))
        if self._gesture is not None:
            if isinstance(self._gesture, Carry):
                self._gesture.free = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
            self._gesture.move(self._pointer)
            self.setCursor(self._gesture.cursor)
            self.update()
            return
        if self._tool is not None:
            self._tool.move(self._hand(event))
            self.worked.emit()
            self.update()
            if not self._tool.grasps or self._shown.pulled:
                return
        self._hover()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        gesture, self._gesture = self._gesture, None
        if gesture is not None:
            gesture.end(event.position())
            self._rest_cursor()
            self._hover()
        elif self._tool is not None and event.button() == Qt.MouseButton.LeftButton:
            self._tool.release(self._hand(event))
            self.worked.emit()
            self.update()

    def _rest_cursor(self) -> None:
        if self._tool is None:
            self.unsetCursor()
        else:
            self.setCursor(Qt.CursorShape.OpenHandCursor if self._tool.grasps else Qt.CursorShape.CrossCursor)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if self._tool is not None:
            if event.button() == Qt.MouseButton.LeftButton:
                self._tool.finish()
                self.worked.emit()
                self.update()
        elif event.button() == Qt.MouseButton.LeftButton and not self.owners_at(event.position()):
            self.fit()

    def leaveEvent(self, event: QEvent) -> None:
        self._pointer = self._hovered = None
        self.pointer_left.emit()
        self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """A wheel's notch is 120; a trackpad may give pixels and no notches at all."""
        turned = event.angleDelta().y() or event.angleDelta().x()
        notches = turned / 120.0 if turned else event.pixelDelta().y() / 40.0
        if notches:
            self.zoom(NOTCH**notches, event.position())
        event.accept()

    def event(self, event: QEvent) -> bool:
        if self._edge is not None:
            self._edge.follow(event)
        if isinstance(event, QKeyEvent) and self._tool is not None:
            if event.type() == QEvent.Type.ShortcutOverride and is_the_tools(event):
                event.accept()
                return True
            if event.type() == QEvent.Type.KeyPress and event.key() == Qt.Key.Key_Tab and self._tool.fields():
                self.typed.emit("")
                return True
        if isinstance(event, QNativeGestureEvent) and event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
            self.zoom(1.0 + event.value(), event.position())
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = True
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif not self._key(event):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self._rest_cursor()
        else:
            super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QEvent) -> None:
        self._space = False
        if self._gesture is not None:
            self._gesture.cancel()
            self._gesture = None
        self._rest_cursor()

    def _key(self, event: QKeyEvent) -> bool:
        tool = self._tool
        if tool is not None and pass_on(tool, event, put_away=self.put_away.emit, typed=self.typed.emit):
            self.worked.emit()
            self.update()
            return True
        keys: dict[int, Callable[[], None]] = {
            Qt.Key.Key_F: self.fit,
            Qt.Key.Key_Plus: self.zoom_in,
            Qt.Key.Key_Equal: self.zoom_in,
            Qt.Key.Key_Minus: self.zoom_out,
            Qt.Key.Key_Escape: self._let_go,
        }
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            ways = {Qt.Key.Key_Left: (1, 0), Qt.Key.Key_Right: (-1, 0), Qt.Key.Key_Up: (0, 1), Qt.Key.Key_Down: (0, -1)}
            if event.key() in ways:
                across, down = ways[Qt.Key(event.key())]
                self.set_placement(self._placement.moved(NUDGE * across, NUDGE * down))
                return True
        does = keys.get(event.key())
        if does is not None:
            does()
        return does is not None

    def _begin(self, gesture: Gesture) -> None:
        self._gesture = gesture
        self.setCursor(gesture.cursor)

    def _let_go(self) -> None:
        if self._gesture is not None:
            self._gesture.cancel()
            self._gesture = None
            self.unsetCursor()
            self.update()
        else:
            self._shown.session.choose(None)

    def look_elsewhere(self) -> None:
        """Another sequence is looked at: what is carried would stand elsewhere than under the hand."""
        if isinstance(self._gesture, Carry):
            self._let_go()

    def _choose_at(self, at: QPointF) -> None:
        choose_next(self._shown.session, self.owners_at(at))

    def _choose_also_at(self, at: QPointF) -> None:
        """Choose what is in front besides what is chosen, or let it go."""
        found = self.owners_at(at)
        if found:
            self._shown.session.choose_also(found[0])

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """By the mouse, of what lies under it; by the keyboard, of what is chosen."""
        if self._gesture is not None:
            return
        by_mouse = event.reason() == QContextMenuEvent.Reason.Mouse
        at = QPointF(event.pos())
        under = (*self.owners_at(at), *self.owners_at(at, locked=True))
        found = under if by_mouse else self._shown.session.chosen[::-1]
        self.menu_wanted.emit(found, event.globalPos())

    def _hover(self) -> None:
        found = self.owners_at(self._pointer) if self._pointer is not None else ()
        self._hovered = found[0] if found else None
        self.update()

    def _let_hovered_go(self, _moment: float) -> None:
        """It may have gone from under the pointer."""
        if self._hovered is not None:
            self._hovered = None
            self.update()

    def _reframe(self) -> None:
        self._hovered = None
        super()._reframe()
