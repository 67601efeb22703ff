"""How the rows of bodies, connections, drives and steps are painted, and where their marks stand."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app.painting.theme import Theme
from app.panels.thing_model import ID_ROLE, KIND_ROLE, LOOSE_ROLE, THING_ROLE
from app.panels.things import Thing
from app.widgets.finding_mark import paint_mark
from app.widgets.look_marks import paint_look
from app.widgets.sizes import small
from core.drawing.drawing import Tint

ROW = 26
HEADING = 32
SIDE = 14
MARK = 14
LOOKS = ("hidden", "locked")
"""The marks at a row's right, from left to right."""
APART = 20
"""From the left of one of them to the left of the next."""
SWATCH = 10


class ThingDelegate(QStyledItemDelegate):
    """A heading with its number; a name with its kind and its marks at the right, and a sign where it is loose."""

    def __init__(self, theme: Theme, view: QListView) -> None:
        super().__init__(view)
        self._view = view
        self.theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(100, HEADING if index.data(ID_ROLE) is None else ROW)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        painter.save()
        if index.data(ID_ROLE) is None:
            self._paint_heading(painter, option.rect, index)
        else:
            self._paint_row(painter, option, index)
        painter.restore()

    def _paint_heading(self, painter: QPainter, rect: QRect, index: QModelIndex | QPersistentModelIndex) -> None:
        box = rect.adjusted(SIDE, 6, -SIDE, 0)
        painter.setPen(QColor(self.theme.text_soft))
        painter.setFont(small(self._view.font()))
        painter.drawText(box, _at_left(), index.data(Qt.ItemDataRole.DisplayRole))
        painter.drawText(box, _at_right(), index.data(KIND_ROLE))
        painter.setPen(QPen(QColor(self.theme.border), 1))
        painter.drawLine(rect.left() + SIDE, rect.bottom(), rect.right() - SIDE, rect.bottom())

    def _paint_row(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        rect = option.rect
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, QColor(self.theme.accent_soft))
            painter.fillRect(QRect(rect.left(), rect.top(), 3, rect.height()), QColor(self.theme.accent))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(rect, QColor(self.theme.panel_stripe))
        thing: Thing = index.data(THING_ROLE)
        box = rect.adjusted(SIDE, 0, -SIDE, 0)
        if thing.hidden is not None:
            self._paint_looks(painter, rect, thing)
            box.setRight(look_box(rect, LOOKS[0]).left() - 6)
        painter.setFont(small(self._view.font()))
        painter.setPen(QColor(self.theme.text_soft))
        painter.drawText(box, _at_right(), thing.kind)
        box.setRight(box.right() - QFontMetrics(painter.font()).horizontalAdvance(thing.kind) - 12)
        self._paint_name(painter, self._after_signs(painter, box, thing, loose=index.data(LOOSE_ROLE)), thing)

    def _paint_looks(self, painter: QPainter, rect: QRect, thing: Thing) -> None:
        """What is as usual stays faint."""
        for look, on, marks in zip(LOOKS, (thing.hidden, thing.locked), ("seen hidden", "free locked"), strict=True):
            ink = QColor(self.theme.text if on else self.theme.text_off)
            paint_look(painter, marks.split()[bool(on)], QRectF(look_box(rect, look)), ink)

    def _after_signs(self, painter: QPainter, box: QRect, thing: Thing, *, loose: bool) -> QRect:
        """What is left of a box when the signs before the name are painted into it."""
        middle = box.center().y() + 1
        if loose:
            mark = QRectF(box.left(), middle - MARK / 2, MARK, MARK)
            paint_mark(painter, "loose", mark, QColor(self.theme.clash))
            box = box.adjusted(MARK + 6, 0, 0, 0)
        if thing.tint is not None:
            painter.setPen(QPen(QColor(self.theme.ink), 1))
            painter.setBrush(QColor(self.theme.tint(Tint(thing.tint))))
            painter.drawRect(QRect(box.left(), middle - SWATCH // 2, SWATCH, SWATCH))
            box = box.adjusted(SWATCH + 6, 0, 0, 0)
        return box

    def _paint_name(self, painter: QPainter, box: QRect, thing: Thing) -> None:
        painter.setFont(self._view.font())
        painter.setPen(QColor(self.theme.text_soft if thing.hidden else self.theme.text))
        name = QFontMetrics(painter.font()).elidedText(thing.name, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, _at_left(), name)


def look_box(rect: QRect, look: str) -> QRect:
    """Where a row's mark stands."""
    left = rect.right() - SIDE + 4 - APART * (len(LOOKS) - LOOKS.index(look))
    return QRect(left, rect.center().y() - MARK // 2 + 1, MARK, MARK)


def look_at(rect: QRect, at: QPoint) -> str | None:
    """The mark that a place of a row is on, with some room about it."""
    return next((look for look in LOOKS if look_box(rect, look).adjusted(-3, -6, 2, 6).contains(at)), None)


def _at_left() -> Qt.AlignmentFlag:
    return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


def _at_right() -> Qt.AlignmentFlag:
    return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
