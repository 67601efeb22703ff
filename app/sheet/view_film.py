"""One view on film: painted from its drawing, fitted, zoomed and moved about."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.painting.laid import Laid, changed_box
from app.painting.painter import Painter
from app.painting.pictures import Pictures
from app.painting.placement import Placement, fitted
from app.painting.theme import Theme
from app.sheet import film
from app.sheet.background import Background
from app.sheet.edges import paint_edges
from app.sheet.framing import MARGIN, NOTCH, brought_near, zoomed
from app.sheet.ground import Ground
from app.sheet.moment import ShownMoment, Standing
from app.sheet.still import Key, Still, same
from core.drawing.drawing import Drawing, Mark
from core.drawing.extent import Bounds, joined
from core.sketch.grids import family_of

EMPTY: Bounds = (-50.0, -50.0, 50.0, 50.0)
"""What a view is fitted to while it has nothing, mm."""
PART = 0.5
"""Of the sheet that may be painted anew by itself; more of it is not worth finding out."""


class ViewFilm(QWidget):
    """Paints one view of the shown moment. Everything it knows of the project comes from there; the hand on it is
    another's."""

    placement_changed = Signal()

    def __init__(self, shown: ShownMoment, theme: Theme, pictures: Pictures, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._view: str | None = None
        self._pictures = pictures
        self._placement = Placement(scale=4.0, x=0.0, y=0.0)
        self._framed = False
        self._as_fitted: Placement | None = None
        self._bounds = EMPTY
        self._top = 0
        """Pixels that it lies below the window's upper edge."""
        self._title = ""
        self._pointer: QPointF | None = None
        self._drawing: Drawing | None = None
        self._background = Background(self)
        self._background.settled.connect(self._sharpen)
        self._still = Still()
        self._ground = Ground()
        self._lies: tuple[Key, Laid] | None = None
        self.set_theme(theme)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        shown.changed.connect(self._refresh)
        shown.reframed.connect(self._reframe)

    def sizeHint(self) -> QSize:
        return QSize(900, 600)

    def minimumSizeHint(self) -> QSize:
        return QSize(160, 120)

    # ---- what the hand adds ----------------------------------------------------------------------------------------

    @property
    def grid(self) -> float | None:
        """What the hand is drawn to, mm; None for no grid."""
        return None

    @property
    def at_work(self) -> bool:
        """Whether a tool is."""
        return False

    def paint_hand(self, painter: QPainter) -> None:
        """What the hand does on the sheet, over all that is drawn."""

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

    # ---- zooming -----------------------------------------------------------------------------------------------

    def fit(self) -> None:
        """Show the room that the view needs over the whole sequence, or its traced drawing where it has no bodies."""
        bounds = self._shown.bounds(self._view) if self._view is not None else None
        if bounds is None:
            for picture in self.drawing.pictures:
                bounds = joined(bounds, self._pictures.corners(picture))
        self._fit_to(bounds or EMPTY)

    def _fit_to(self, bounds: Bounds) -> None:
        self._framed, self._bounds = True, bounds
        self.set_placement(fitted(bounds, self.width(), self.height(), MARGIN))
        self._as_fitted = self._placement

    def zoom(self, factor: float, at: QPointF | None = None) -> None:
        """Nearer by a factor, about a place, the pointer's or the middle."""
        middle = QPointF(0.5 * self.width(), 0.5 * self.height())
        self.set_placement(zoomed(self._placement, factor, at or self._pointer or middle))

    def zoom_in(self) -> None:
        self.zoom(NOTCH**2)

    def zoom_out(self) -> None:
        self.zoom(NOTCH**-2)

    def bring_near(self, x: float, y: float, size: float | None = None) -> None:
        """Have a place in sight, near enough to see what is `size` mm large there, and move no more than that needs."""
        near = brought_near(self._placement, QRectF(self.rect()), (x, y), size)
        if near is not self._placement:
            self._framed = True
            self.set_placement(near)

    # ---- painting ----------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        self._stay_under_the_hand()
        if not self._framed:
            self.fit()
        painter = QPainter(self)
        keep = self._shown.session.drafting  # what the check says of it comes soon, and is painted over the same
        self._still.paint(
            painter, self.size(), self.devicePixelRatioF(), self._still_key(), self._paint_still,
            keep=keep, changed=self._changed,
        )  # fmt: skip
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.paint_hand(painter)
        painter.setFont(self.font())
        film.paint_title(painter, self.rect(), self._theme, self._title)
        film.paint_note(painter, self.rect(), self._theme, film.note_of(self._shown, self._view))
        if not self.at_work:
            film.paint_empty(painter, self.rect(), self._theme, film.empty_words(self._shown, self._view, self.drawing))

    def _still_key(self) -> tuple[object, ...]:
        """What the sheet without the hand's doings depends on."""
        pictures, chosen = self.drawing.pictures, self._shown.session.chosen
        return (self._laid, pictures, self._painter, chosen, self._squares, self._traces)

    @property
    def _laid(self) -> Laid:
        """The drawing, whose pictures are the background's, as it lies here; the same object while that is so."""
        made_of = (self.drawing, self._placement, self._painter, self.size())
        if self._lies is None or not same(made_of, self._lies[0]):
            drawing = Drawing(marks=self.drawing.marks, signs=self.drawing.signs, labels=self.drawing.labels)
            last = self._lies[1] if self._lies is not None and self._lies[0][2] is self._painter else None
            self._lies = (made_of, self._painter.lay(drawing, self._placement, QRectF(self.rect()), last=last))
        return self._lies[1]

    def _changed(self, before: Key, after: Key) -> QRect | None:
        """The part of the sheet in which one drawing is another than the last; None where that is much of it."""
        was, now = before[0], after[0]
        assert isinstance(was, Laid)
        assert isinstance(now, Laid)
        if not same(before[1:], after[1:]) or was.placement != now.placement:
            return None
        room = self.rect()
        box = changed_box(was, now, self._painter.boxes).toAlignedRect().intersected(room)
        return box if box.width() * box.height() < PART * room.width() * room.height() else None

    @property
    def _squares(self) -> film.Squares:
        scene = self._shown.scene
        family = family_of(scene.project.length_unit) if scene is not None else "metric"
        return film.Squares(self.grid, family)

    @property
    def _traces(self) -> bool:
        """Whether something is drawn or reshaped over a picture."""
        return self.at_work and bool(self.drawing.pictures)

    def _paint_still(self, painter: QPainter, within: QRect) -> None:
        """The sheet without what the hand does on it, as far as it lies within a part of it."""
        laid = self._laid
        self._painter.see_through = self._traces
        after = self._paint_ground(painter, laid.drawing.marks, whole=within == self.rect())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._painter.paint_laid(painter, laid, QRectF(within), after=after)
        others = set(self._shown.session.chosen[:-1])  # the drawing itself marks the last
        paint_edges(painter, self._painter, self._placement, laid.drawing, others)

    def _paint_ground(self, painter: QPainter, marks: Sequence[Mark], *, whole: bool) -> int:
        """Film, grid, traced drawing, and of the whole sheet the marks that stay; how many of them."""
        pictures, ratio, room = self.drawing.pictures, self.devicePixelRatioF(), QRectF(self.rect())

        def draw(onto: QPainter, few: Sequence[Mark]) -> None:
            self._background.paint(onto, self._painter, self._placement, self.size(), pictures, ratio, self._squares)
            onto.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._painter.paint_marks(onto, few, self._placement, room)

        if not whole:
            draw(painter, ())
            return 0
        key = (self._placement, self._painter, pictures, self._squares, self._traces)
        return self._ground.paint(painter, self.size(), ratio, key, marks, draw)

    # ---- changes -----------------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What was fitted stays fitted; else what is in the middle stays there; what a tool works on stays put."""
        old = event.oldSize()
        if self._framed and self.at_work and old.width() == self.width():
            pass  # lines above and below come and go while a tool is at work
        elif self._framed and self._placement == self._as_fitted:
            self._fit_to(self._bounds)  # not what is drawn by now: a resize is no reason to see something else
        elif self._framed and old.isValid():
            by = event.size() - old
            self.set_placement(self._placement.moved(0.5 * by.width(), 0.5 * by.height()))
        self.placement_changed.emit()

    def _stay_under_the_hand(self) -> None:
        """A line that comes or goes above must not carry off what a tool works on: the next click would miss it."""
        top = self.mapTo(self.window(), QPoint()).y()
        sunk, self._top = top - self._top, top
        if sunk and self.at_work and self._framed:
            self.set_placement(self._placement.moved(0.0, -sunk))

    def _sharpen(self) -> None:
        self._still.forget()
        self._ground.forget()
        self.update()

    def _refresh(self) -> None:
        self._drawing = None
        if self._shown.standing is Standing.NOTHING:
            self._framed = False
        self.update()

    def _reframe(self) -> None:
        self._drawing, self._framed = None, False
        self.update()
