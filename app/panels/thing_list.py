"""The list under the hand: rows chosen one by one or several, marks clicked, bodies dragged, a menu asked for."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QItemSelection, QItemSelectionModel, QModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QDragMoveEvent, QDropEvent, QHelpEvent, QMouseEvent
from PySide6.QtWidgets import QAbstractItemView, QToolTip

from app.painting.theme import Theme
from app.panels.thing_delegate import ThingDelegate, look_at
from app.panels.thing_model import ID_ROLE, ROWS, THING_ROLE, ThingModel
from app.widgets.focus_edge import EdgedList

TIPS = {
    ("hidden", False): "Drawn – click to hide it",
    ("hidden", True): "Hidden, still checked – click to draw it again",
    ("locked", False): "Free – click to lock it",
    ("locked", True): "Locked: stays as it is – click to free it",
}


class ThingList(EdgedList):
    chosen = Signal(object)
    """The ids of the rows that the hand chose, what was chosen last standing last."""
    look_wanted = Signal(str, object, bool)
    """"hidden" or "locked", the ids that are to be so, and whether they are to be or no longer."""
    lay_wanted = Signal(object, object)
    """The ids of bodies that were dragged, and of the one that they are to lie right over; None for under all."""
    menu_wanted = Signal(QPoint)
    """What can be done with what is chosen is asked for, and where on the screen."""

    def __init__(self, model: ThingModel, theme: Theme) -> None:
        super().__init__()
        self._rows = model
        self._following = False
        self._order: tuple[str, ...] = ()
        self.setModel(model)
        self.look = ThingDelegate(theme, self)
        self.setItemDelegate(self.look)
        self.setAccessibleName("Bodies, connections and drives")
        self.setMouseTracking(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDragDropOverwriteMode(False)
        self.selectionModel().selectionChanged.connect(self._on_selected)

    # ---- what is chosen ------------------------------------------------------------------------------------------

    def follow(self, chosen: Sequence[str]) -> None:
        """Stand on what is chosen elsewhere; nothing moves where the list stands on it already."""
        self._order = tuple(chosen)
        if {str(index.data(ID_ROLE)) for index in self.selectedIndexes()} == set(chosen):
            return
        indexes = [self._rows.index(row) for one in chosen if (row := self._rows.row_of(one)) is not None]
        picked = QItemSelection()
        for index in indexes:
            picked.select(index, index)
        self._following = True
        self.selectionModel().select(picked, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        if indexes:
            self.selectionModel().setCurrentIndex(indexes[-1], QItemSelectionModel.SelectionFlag.NoUpdate)
            self.scrollTo(indexes[-1])
        else:
            self.selectionModel().clearCurrentIndex()
        self._following = False

    def _on_selected(self) -> None:
        """Not merely made current, which a list does to its first row when the keyboard comes to it."""
        if self._following:
            return
        now = [str(index.data(ID_ROLE)) for index in sorted(self.selectedIndexes(), key=QModelIndex.row)]
        stayed, last = [one for one in self._order if one in now], self.currentIndex().data(ID_ROLE)
        new = sorted((one for one in now if one not in stayed), key=lambda one: one == last)
        self._order = (*stayed, *new)
        self.chosen.emit(self._order)

    # ---- marks ---------------------------------------------------------------------------------------------------

    def _look_at(self, at: QPoint) -> tuple[str, QModelIndex] | None:
        index = self.indexAt(at)
        thing = index.data(THING_ROLE) if index.isValid() else None
        look = look_at(self.visualRect(index), at) if thing is not None and thing.hidden is not None else None
        return None if look is None else (look, index)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        marked = self._look_at(event.position().toPoint())
        if marked is None or event.button() != Qt.MouseButton.LeftButton:
            super().mousePressEvent(event)
            return
        look, index = marked
        thing = index.data(THING_ROLE)
        mine = thing.id in self._order and len(self._order) > 1
        self.look_wanted.emit(look, self._order if mine else (thing.id,), not getattr(thing, look))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        over = self._look_at(event.position().toPoint()) is not None
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.ArrowCursor)
        super().mouseMoveEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """A quick second click on a mark is a click again."""
        if self._look_at(event.position().toPoint()) is None:
            super().mouseDoubleClickEvent(event)
        else:
            self.mousePressEvent(event)

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            marked = self._look_at(event.pos())
            if marked is not None:
                look, index = marked
                QToolTip.showText(event.globalPos(), self.tip(look, index), self)
                return True
        return super().viewportEvent(event)

    def tip(self, look: str, index: QModelIndex) -> str:
        """What a row's mark says, and what a click on it does."""
        return TIPS[look, bool(getattr(index.data(THING_ROLE), look))]

    # ---- bodies dragged among each other -------------------------------------------------------------------------

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        super().dragMoveEvent(event)
        if not self._rows.under(self._place(event.position().toPoint()))[0]:
            event.ignore()

    def dropEvent(self, event: QDropEvent) -> None:
        """The rows are made anew by what the project says, and not by the list."""
        fits, under = self._rows.under(self._place(event.position().toPoint()))
        dragged = bytes(event.mimeData().data(ROWS).data()).decode().split()
        event.setDropAction(Qt.DropAction.IgnoreAction)
        event.accept()
        self.setState(QAbstractItemView.State.NoState)
        self.viewport().update()
        if fits and dragged and event.source() is self:
            self.lay_wanted.emit(dragged, under)

    def _place(self, at: QPoint) -> int:
        """Before which row a place is."""
        index = self.indexAt(at)
        if not index.isValid():
            return self._rows.rowCount()
        return index.row() + (at.y() > self.visualRect(index).center().y())

    # ---- what can be done ----------------------------------------------------------------------------------------

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """By the mouse, of the row under it, with the others chosen where that is one of them; else of what is
        chosen."""
        if event.reason() == QContextMenuEvent.Reason.Mouse:
            thing = self.indexAt(event.pos()).data(ID_ROLE)
            if thing is None or thing not in self._order:
                self.follow(() if thing is None else (thing,))
                self.chosen.emit(self._order)
        self.menu_wanted.emit(event.globalPos())
