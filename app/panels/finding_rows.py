"""The list of findings: a model, and a delegate that paints a mark, a sentence, and when, where and by how much."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPalette, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.painting.theme import Theme
from app.panels.finding_groups import Group
from app.widgets.finding_mark import MILD, paint_mark
from core.document.project import Project
from core.findings.finding import Finding, Kind
from core.findings.sentences import millimetres
from core.units import format_number

Index = QModelIndex | QPersistentModelIndex
GROUP_ROLE = int(Qt.ItemDataRole.UserRole)
NOTE_ROLE = GROUP_ROLE + 1
SIDE_MARGIN = 14
MARK_SIDE = 18
TEXT_LEFT = SIDE_MARGIN + MARK_SIDE + 12
ABOVE = 10
BETWEEN = 4
STALE_OPACITY = 0.4

TITLES: Mapping[Kind, str] = MappingProxyType(
    {
        Kind.JAMMED: "Jammed",
        Kind.CLASH: "Clash",
        Kind.LOOSE: "Loose",
        Kind.LATCH: "Latch does not reach",
        Kind.TRAVEL: "Beyond its travel",
        Kind.TARGET: "Off its target",
        Kind.TIGHT: "Nearer than wanted",
        Kind.DEAD_CENTRE: "Dead centre",
        Kind.REDUNDANT: "More than needed",
    }
)


def note_of(group: Group, project: Project, shown: str | None) -> str:
    """Which step it is in and where, in one short line; the sequences where there are several, or another is shown."""
    if group.accepted is not None:
        return f"accepted: {group.accepted}"
    if len(group.findings) > 1:
        names = {one.id: one.name or one.id for one in project.sequences}
        return "in " + ", ".join(names.get(one.sequence, one.sequence) for one in group.findings)
    finding = group.findings[0]
    parts = []
    sequence = next((one for one in project.sequences if one.id == finding.sequence), None)
    if sequence is not None and sequence.id != shown:
        parts.append(sequence.name or sequence.id)
    step = next((one for one in sequence.steps if one.id == finding.step), None) if sequence is not None else None
    if step is not None:
        parts.append(f"during {(step.name or step.id).lower()}")
    if finding.at is not None:
        x, y = (format_number(value, decimals=1, fixed=True) for value in finding.at)
        parts.append(f"at {x}, {y}")
    return "  ·  ".join(parts)


def amount_of(finding: Finding) -> str:
    """By how much, in a word or two, for the corner of the row."""
    match finding.kind:
        case Kind.CLASH:
            return f"{millimetres(finding.amount)} deep"
        case Kind.TIGHT | Kind.DEAD_CENTRE:
            return millimetres(finding.amount)
        case Kind.LATCH | Kind.TARGET:
            return f"{millimetres(finding.amount)} off"
        case Kind.JAMMED:
            return "" if finding.time is None else f"{finding.time:.2f} s"
    return ""


def kept_together(text: str) -> str:
    """A number never stands at the end of a line with its unit on the next."""
    return re.sub(r"(?<=\d) (?=(mm|s)\b)", "\N{NO-BREAK SPACE}", text)


class FindingModel(QAbstractListModel):
    def __init__(self) -> None:
        super().__init__()
        self._groups: tuple[Group, ...] = ()
        self._notes: tuple[str, ...] = ()

    @property
    def groups(self) -> tuple[Group, ...]:
        return self._groups

    def show(self, groups: tuple[Group, ...], notes: tuple[str, ...]) -> None:
        if (groups, notes) != (self._groups, self._notes):
            self.beginResetModel()
            self._groups, self._notes = groups, notes
            self.endResetModel()

    def row_of(self, finding: Finding | None) -> int | None:
        return next((row for row, group in enumerate(self._groups) if finding in group.findings), None)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 (Qt's own signature)
        return 0 if parent.isValid() else len(self._groups)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        group = self._groups[index.row()]
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.ToolTipRole:
                return group.sentence
            case Qt.ItemDataRole.AccessibleTextRole:
                said = f"{TITLES[group.kind]}. {group.sentence}"
                return said if group.accepted is None else f"Accepted. {said}"
            case role if role == GROUP_ROLE:
                return group
            case role if role == NOTE_ROLE:
                return self._notes[index.row()]
        return None


class FindingDelegate(QStyledItemDelegate):
    """Rows are as high as their sentence is long at the list's width."""

    def __init__(self, theme: Theme, view: QListView) -> None:
        super().__init__(view)
        self._view = view
        self.theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        width = self._view.viewport().width()
        metrics = QFontMetrics(self._view.font())
        height = ABOVE + metrics.height() + BETWEEN + self._sentence_height(index, width) + ABOVE
        if index.data(NOTE_ROLE):
            height += BETWEEN + QFontMetrics(_small(self._view)).height()
        return QSize(width, height)

    def _sentence_height(self, index: Index, width: int) -> int:
        box = QRect(0, 0, max(40, width - TEXT_LEFT - SIDE_MARGIN), 4000)
        flags = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)
        sentence = kept_together(index.data(Qt.ItemDataRole.DisplayRole))
        return QFontMetrics(self._view.font()).boundingRect(box, flags, sentence).height()

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        group: Group = index.data(GROUP_ROLE)
        finding = group.findings[0]
        painter.save()
        if not self._view.isEnabled():
            painter.setOpacity(STALE_OPACITY)
        self._paint_ground(painter, option)
        ink = QColor(self.theme.tight if finding.kind in MILD else self.theme.clash)
        if group.accepted is not None:
            ink = QColor(self.theme.text_soft)
        top = option.rect.top() + ABOVE
        mark = QRectF(option.rect.left() + SIDE_MARGIN, top - 1, MARK_SIDE, MARK_SIDE)
        paint_mark(painter, finding.kind, mark, ink)
        self._paint_text(painter, option.rect, top, index, finding, ink)
        painter.restore()

    def _paint_ground(self, painter: QPainter, option: QStyleOptionViewItem) -> None:
        state = option.state
        if state & QStyle.StateFlag.State_Selected:
            edge = QRect(option.rect.left(), option.rect.top(), 3, option.rect.height())
            painter.fillRect(option.rect, QColor(self.theme.accent_soft))
            painter.fillRect(edge, QColor(self.theme.accent))
        elif state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(option.rect, QColor(self.theme.panel_stripe))
        painter.setPen(QPen(QColor(self.theme.border), 1))
        bottom = option.rect.bottom()
        painter.drawLine(option.rect.left() + TEXT_LEFT, bottom, option.rect.right() - SIDE_MARGIN, bottom)

    def _paint_text(
        self, painter: QPainter, rect: QRect, top: int, index: Index, finding: Finding, ink: QColor
    ) -> None:
        left, width = rect.left() + TEXT_LEFT, rect.width() - TEXT_LEFT - SIDE_MARGIN
        metrics = QFontMetrics(self._view.font())
        bold = QFont(self._view.font())
        bold.setBold(True)
        painter.setPen(ink)
        painter.setFont(bold)
        title = TITLES[finding.kind] if finding.accepted is None else f"{TITLES[finding.kind]}, accepted"
        painter.drawText(QRect(left, top, width, metrics.height()), Qt.AlignmentFlag.AlignLeft, title)
        painter.setFont(self._view.font())
        painter.drawText(QRect(left, top, width, metrics.height()), Qt.AlignmentFlag.AlignRight, amount_of(finding))
        text = self._view.palette().color(QPalette.ColorRole.Text)
        painter.setPen(text if finding.accepted is None else QColor(self.theme.text_soft))
        height = self._sentence_height(index, rect.width())
        box = QRect(left, top + metrics.height() + BETWEEN, width, height + 2)
        painter.drawText(
            box, int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft), kept_together(finding.sentence)
        )
        note = index.data(NOTE_ROLE)
        if note:
            painter.setFont(_small(self._view))
            painter.setPen(QColor(self.theme.text_soft))
            small = QFontMetrics(painter.font())
            box = QRect(left, box.top() + height + BETWEEN, width, small.height())
            shown = small.elidedText(note, Qt.TextElideMode.ElideRight, width)
            painter.drawText(box, Qt.AlignmentFlag.AlignLeft, shown)


def _small(widget: QWidget) -> QFont:
    font = QFont(widget.font())
    font.setPointSizeF(font.pointSizeF() * 0.88)
    return font
