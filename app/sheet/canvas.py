"""One view on film: painted from its drawing, zoomed to the pointer, panned, and asked what lies where."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.painting.painter import Painter
from app.painting.pictures import Pictures
from app.painting.placement import Placement, fitted
from app.painting.theme import Theme
from app.sheet import film
from app.sheet.background import Background
from app.sheet.bench import Bench
from app.sheet.moment import ShownMoment, Standing
from app.sheet.picking import owners_at
from app.sheet.still import Still
from app.sheet.tools.choosing import REACH, Band, Carry
from app.sheet.tools.drafts import cue_label, cue_marks
from app.sheet.tools.gesture import Gesture
from app.sheet.tools.pan import Pan
from app.sheet.tools.tool import Hand, Tool
from core.document.looks import locked_in
from core.drawing.drawing import Drawing, Line, Mark
from core.drawing.extent import joined
from core.sketch.grids import family_of
from core.sketch.snapping import Snap

MARGIN = 44.0
"""Pixels left about a view that is fitted."""
NOTCH = 1.18
"""How much nearer one notch of a wheel, or one key, goes."""
LEAST_SCALE, GREATEST_SCALE = 0.005, 20000.0
"""Pixels a millimetre."""
PLACE_ROOM = 12.0
"""Millimetres of the drawing about a finding that is brought near."""
SEEN, NEAREST = 9.0, 250.0
"""Pixels at which a small thing is seen well, and pixels a millimetre beyond which nothing is brought near for that."""
TOOL_KEYS = frozenset({
    Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Backspace, Qt.Key.Key_Delete, Qt.Key.Key_Escape,
})  # fmt: skip
NUDGE = 60.0
"""Pixels that an arrow key moves the film."""


class Canvas(QWidget):
    """Paints one view of the shown moment. Everything it knows of the project comes from there."""

    pointer_moved = Signal(float, float)
    """Millimetres in the view."""
    pointer_left = Signal()
    placement_changed = Signal()
    worked = Signal()
    """The tool at work did something: what it expects may be different."""
    put_away = Signal()
    """Escape was pressed with nothing begun: the tool is to be put away."""
    menu_wanted = Signal(object, object)
    """What can be done is asked for: the ids under the pointer, nearest to the eye first and what is locked last, and
    where on the screen."""
    typed = Signal(str)
    """A digit was typed while a tool is at work; nothing where Tab asks for the tool's numbers."""

    def __init__(self, shown: ShownMoment, theme: Theme, pictures: Pictures, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._view: str | None = None
        self._pictures = pictures
        self._placement = Placement(scale=4.0, x=0.0, y=0.0)
        self._framed = False
        self._as_fitted: Placement | None = None
        self._gesture: Gesture | None = None
        self._tool: Tool | None = None
        self._bench: Bench | None = None
        self._snap: Snap | None = None
        self._space = False
        self._title = ""
        self._hovered: str | None = None
        self._pointer: QPointF | None = None
        self._drawing: Drawing | None = None
        self._background = Background(self)
        self._background.settled.connect(self._sharpen)
        self._still = Still()
        self.set_theme(theme)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName("Sheet")
        shown.changed.connect(self._refresh)
        shown.reframed.connect(self._reframe)

    def sizeHint(self) -> QSize:
        return QSize(900, 600)

    def minimumSizeHint(self) -> QSize:
        return QSize(160, 120)

    # ---- what is shown -----------------------------------------------------------------------------------------

    @property
    def view(self) -> str | None:
        return self._view

    def set_view(self, view: str | None) -> None:
        if view != self._view:
            self._view = view
            self._reframe()

    def set_title(self, title: str) -> None:
        """Words at the upper left: the view's name, where several are shown."""
        if title != self._title:
            self._title = title
            self.update()

    def set_theme(self, theme: Theme) -> None:
        self._theme = theme
        self._painter = Painter(theme, unit=self.logicalDpiX() / 25.4, pictures=self._pictures)
        self._background.forget()
        self.update()

    @property
    def drawing(self) -> Drawing:
        """The view at the shown moment, made when it is first asked for."""
        if self._drawing is None:
            self._drawing = Drawing() if self._view is None else self._shown.drawing(self._view)
        return self._drawing

    @property
    def placement(self) -> Placement:
        return self._placement

    def set_placement(self, placement: Placement) -> None:
        if placement != self._placement:
            self._placement = placement
            self.update()
            self.placement_changed.emit()

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
        free = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier) or self._tool.grasps
        self._bench.view, self._bench.pixel = self._view or "", self.mapToGlobal(at.toPoint())
        self._snap = self._bench.snapped(raw, reach, self._tool.start(), free=free)
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        under = self.owners_at(at) if pressed and self._tool.grasps else ()
        return Hand(raw=raw, point=self._snap.at, snap=self._snap, reach=reach, shift=shift, under=under)

    def _paint_tool(self, painter: QPainter, room: QRectF) -> None:
        if self._tool is None or self._bench is None or self._bench.view != (self._view or ""):
            return  # what is begun in another view is drawn there
        reach = self._bench.reach = REACH / self._placement.scale
        preview = self._tool.preview()
        cue = cue_marks(self._snap, reach) if self._snap is not None and self._pointer is not None else ()
        labels = cue_label(self._snap) if self._snap is not None and self._pointer is not None else ()
        drawing = Drawing(marks=(*preview.marks, *cue), labels=(*preview.labels, *labels))
        self._painter.paint(painter, drawing, self._placement, room)

    # ---- zooming -----------------------------------------------------------------------------------------------

    def fit(self) -> None:
        """Show the room that the view needs over the whole sequence, or its traced drawing where it has no bodies."""
        bounds = self._shown.bounds(self._view) if self._view is not None else None
        if bounds is None:
            for picture in self.drawing.pictures:
                bounds = joined(bounds, self._pictures.corners(picture))
        self._framed = True
        self.set_placement(fitted(bounds or (-50.0, -50.0, 50.0, 50.0), self.width(), self.height(), MARGIN))
        self._as_fitted = self._placement

    def zoom(self, factor: float, at: QPointF | None = None) -> None:
        """Nearer by a factor, about a place, the pointer's or the middle."""
        scale = min(max(self._placement.scale * factor, LEAST_SCALE), GREATEST_SCALE)
        place = at or self._pointer or QPointF(0.5 * self.width(), 0.5 * self.height())
        self.set_placement(self._placement.zoomed(scale / self._placement.scale, place.x(), place.y()))

    def zoom_in(self) -> None:
        self.zoom(NOTCH**2)

    def zoom_out(self) -> None:
        self.zoom(NOTCH**-2)

    def bring_near(self, x: float, y: float, size: float | None = None) -> None:
        """Have a place in sight, near enough to see what is `size` mm large there, and move no more than that needs."""
        room = PLACE_ROOM
        nearest = min(self.width(), self.height()) / (2.0 * room)
        if size is not None and size > 0.0:
            nearest = min(max(nearest, SEEN / size), NEAREST)
        # Coming from a smaller place, further off again: what is round about should be in sight as well.
        wanted = min(max(self._placement.scale, 0.45 * nearest), nearest)
        at = self._placement.to_device(x, y)
        inner = QRectF(self.rect()).adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
        if wanted == self._placement.scale and inner.contains(at):
            return
        self._framed = True
        self.set_placement(
            Placement(scale=wanted, x=0.5 * self.width() - wanted * x, y=0.5 * self.height() + wanted * y)
        )

    # ---- painting ----------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._framed:
            self.fit()
        painter = QPainter(self)
        room = QRectF(self.rect())
        self._still.paint(painter, self.size(), self.devicePixelRatioF(), self._still_key(), self._paint_still)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_hovered(painter, room)
        self._paint_tool(painter, room)
        if self._gesture is not None:
            begun = self._gesture.preview()
            self._painter.paint(painter, Drawing(marks=begun.marks, labels=begun.labels), self._placement, room)
        painter.setFont(self.font())
        film.paint_title(painter, self._theme, self._title)
        film.paint_note(painter, self.rect(), self._theme, film.note_of(self._shown, self._view))
        if self._tool is None:
            film.paint_empty(painter, self.rect(), self._theme, film.empty_words(self._shown, self._view, self.drawing))

    def _still_key(self) -> tuple[object, ...]:
        """What the sheet without the hand's doings depends on."""
        return (self.drawing, self._placement, self._painter, self._shown.session.chosen, self._squares, self._traces)

    @property
    def _traces(self) -> bool:
        """Whether something is drawn or reshaped over a picture."""
        return self._tool is not None and bool(self.drawing.pictures)

    @property
    def _squares(self) -> film.Squares:
        scene = self._shown.scene
        family = family_of(scene.project.length_unit) if scene is not None else "metric"
        return film.Squares(None if self._bench is None else self._bench.grid, family)

    def _paint_still(self, painter: QPainter) -> None:
        """The sheet without what the hand does on it."""
        pictures, ratio = self.drawing.pictures, self.devicePixelRatioF()
        self._painter.see_through = self._traces
        self._background.paint(painter, self._painter, self._placement, self.size(), pictures, ratio, self._squares)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._painter.paint(painter, self._without_pictures(), self._placement, QRectF(self.rect()))
        self._paint_others_chosen(painter)

    def _without_pictures(self) -> Drawing:
        drawing = self.drawing
        return Drawing(marks=drawing.marks, signs=drawing.signs, labels=drawing.labels, bounds=drawing.bounds)

    def _paint_hovered(self, painter: QPainter, room: QRectF) -> None:
        if self._hovered is None or self._gesture is not None or self._pointer is None:
            return
        if self._tool is not None and (not self._tool.grasps or self._shown.pulled):
            return
        base = painter.transform()
        for mark in self.drawing.marks:
            if mark.owner == self._hovered and mark.line is Line.OUTLINE:
                self._paint_edge(painter, mark, base)
        painter.setTransform(base)
        painter.setFont(self.font())
        film.paint_tip(painter, room, self._theme, self._pointer, film.name_of(self._shown, self._hovered))

    def _paint_others_chosen(self, painter: QPainter) -> None:
        """An edge about what is chosen besides the last, which the drawing itself marks."""
        others = set(self._shown.session.chosen[:-1])
        if not others:
            return
        base = painter.transform()
        for mark in self.drawing.marks:
            if mark.owner in others and mark.line is Line.OUTLINE:
                self._paint_edge(painter, mark, base)
        painter.setTransform(base)

    def _paint_edge(self, painter: QPainter, mark: Mark, base: QTransform) -> None:
        pen = QPen(QColor(self._theme.accent), 2.6 / self._placement.scale)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setTransform(self._placement.transform(mark.pose) * base)
        painter.strokePath(self._painter.path(mark.geometry), pen)

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
        if event.type() == QEvent.Type.ShortcutOverride and self._tool is not None and isinstance(event, QKeyEvent):
            # Digits, Enter and the like are the tool's while it is at work, and no shortcuts of the window.
            mine = event.key() in TOOL_KEYS or (event.text() and event.text() in "0123456789.-")
            if mine and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
                event.accept()
                return True
        tabbed = event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Tab
        if tabbed and self._tool is not None and self._tool.fields():
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

    def event_key_of_tool(self, event: QKeyEvent) -> bool:
        """What a key means to the tool at work; False where it means nothing to it."""
        tool, key = self._tool, event.key()
        if tool is None:
            return False
        does: dict[int, Callable[[], object]] = {
            Qt.Key.Key_Return: tool.finish,
            Qt.Key.Key_Enter: tool.finish,
            Qt.Key.Key_Backspace: tool.back,
            Qt.Key.Key_Delete: tool.remove,
        }
        if key in does:
            does[key]()
        elif key == Qt.Key.Key_Escape:
            if not tool.cancel():
                self.put_away.emit()
        elif event.text() and event.text() in "0123456789.-" and not event.modifiers():
            self.typed.emit(event.text())
        else:
            return False
        self.worked.emit()
        self.update()
        return True

    def _key(self, event: QKeyEvent) -> bool:
        if self.event_key_of_tool(event):
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

    def _choose_at(self, at: QPointF) -> None:
        """Choose what is in front; where that is chosen already, what lies behind it, and so on round."""
        found = self.owners_at(at)
        chosen = self._shown.session.selection
        if not found:
            self._shown.session.choose(None)
        elif chosen in found:
            self._shown.session.choose(found[(found.index(chosen) + 1) % len(found)])
        else:
            self._shown.session.choose(found[0])

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

    # ---- changes -----------------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What was fitted stays fitted; else what is in the middle stays there."""
        old = event.oldSize()
        if self._framed and self._placement == self._as_fitted:
            self.fit()
        elif self._framed and old.isValid():
            by = event.size() - old
            self.set_placement(self._placement.moved(0.5 * by.width(), 0.5 * by.height()))
        self.placement_changed.emit()

    def _sharpen(self) -> None:
        self._still.forget()
        self.update()

    def _refresh(self) -> None:
        self._drawing = None
        if self._shown.standing is Standing.NOTHING:
            self._framed = False
        self.update()

    def _reframe(self) -> None:
        self._drawing, self._framed, self._hovered = None, False, None
        self.update()


def scale_words(placement: Placement, unit: float) -> str:
    """How large the model stands on the screen, `100 %` as large as it is: no ratio, which is what an aircraft's scale
    is."""
    share = 100.0 * placement.scale / unit
    return f"on screen {share:.{0 if share >= 10.0 else 1}f} %"
