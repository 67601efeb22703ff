"""How the rows of bodies, connections and drives are painted."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app.painting.theme import Theme
from app.panels.things import ID_ROLE, KIND_ROLE, LOOSE_ROLE
from app.widgets.finding_mark import paint_mark
from app.widgets.sizes import small

ROW = 26
HEADING = 32
SIDE = 14
MARK = 14


class ThingDelegate(QStyledItemDelegate):
    """A heading with its number; a name with its kind at the right, and a sign where it is loose."""

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
        box = rect.adjusted(SIDE, 0, -SIDE, 0)
        painter.setFont(small(self._view.font()))
        painter.setPen(QColor(self.theme.text_soft))
        kind = index.data(KIND_ROLE)
        painter.drawText(box, _at_right(), kind)
        room = box.width() - QFontMetrics(painter.font()).horizontalAdvance(kind) - 12
        painter.setFont(self._view.font())
        painter.setPen(QColor(self.theme.text))
        left = box.left()
        if index.data(LOOSE_ROLE):
            mark = QRectF(left, box.center().y() - MARK / 2 + 1, MARK, MARK)
            paint_mark(painter, "loose", mark, QColor(self.theme.clash))
            left, room = left + MARK + 6, room - MARK - 6
        name = QFontMetrics(painter.font()).elidedText(
            index.data(Qt.ItemDataRole.DisplayRole), Qt.TextElideMode.ElideRight, room
        )
        painter.drawText(QRect(left, box.top(), room, box.height()), _at_left(), name)


def _at_left() -> Qt.AlignmentFlag:
    return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


def _at_right() -> Qt.AlignmentFlag:
    return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
