"""How a finding's row is painted: a mark, a sentence, and when, where and by how much."""

from __future__ import annotations

import re

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPalette, QPen, QPolygonF
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app.painting.theme import Theme
from app.panels.finding_groups import Group
from app.panels.finding_model import AMOUNT_ROLE, FOLDED_ROLE, GROUP_ROLE, NOTE_ROLE, TITLES, Index
from app.widgets.finding_mark import MILD, paint_mark
from app.widgets.sizes import small
from core.document.lengths import fixed_length, shown_point
from core.document.names import by_id, name_of
from core.document.project import Project
from core.findings.finding import Finding, Kind
from core.findings.sentences import seconds
from core.units import format_angle

SIDE_MARGIN = 14
MARK_SIDE = 18
TEXT_LEFT = SIDE_MARGIN + MARK_SIDE + 12
ABOVE = 10
BETWEEN = 4
STALE_OPACITY = 0.4
MOST_HEIGHTS = 2000

UNBROKEN = "\N{NO-BREAK SPACE}"
"""What keeps a number and its unit on one line."""


def note_of(group: Group, project: Project, shown: str | None) -> str:
    """Which step it is in and where, in one short line; the sequences where there are several, or another is shown."""
    if group.accepted is not None:
        return f"accepted: {group.accepted}"
    if len(group.findings) > 1:
        names = {one.id: name_of(one) for one in project.sequences}
        return "in " + ", ".join(names.get(one.sequence, one.sequence) for one in group.findings)
    finding = group.findings[0]
    parts = []
    sequence = by_id(project.sequences, finding.sequence)
    if sequence is not None and sequence.id != shown:
        parts.append(name_of(sequence))
    step = by_id(sequence.steps, finding.step) if sequence is not None else None
    if step is not None and finding.begun is None:
        parts.append(f"during {name_of(step)}")
    if finding.at is not None:
        parts.append(f"at {shown_point(project, finding.at, -1)}".replace(" ", UNBROKEN))
    return "  ·  ".join(parts)


def amount_of(finding: Finding, project: Project) -> str:
    """By how much, in a word or two, for the corner of the row."""
    match finding.kind:
        case Kind.CLASH:
            return f"{fixed_length(project, finding.amount)} deep"
        case Kind.TIGHT | Kind.DEAD_CENTRE:
            return fixed_length(project, finding.amount)
        case Kind.LATCH | Kind.TARGET:
            return f"{fixed_length(project, finding.amount)} off"
        case Kind.EARLY:
            return f"{_told(finding, project)} {'too soon' if finding.unit == 's' else 'off'}"
        case Kind.JAMMED:
            return "" if finding.time is None else f"{finding.time:.2f} s"
    return ""


def _told(finding: Finding, project: Project) -> str:
    if finding.unit == "mm":
        return fixed_length(project, finding.amount)
    return format_angle(finding.amount) if finding.unit == "deg" else seconds(finding.amount)


def kept_together(text: str) -> str:
    """A number never stands at the end of a line with its unit on the next."""
    return re.sub(r"(?<=\d) (?=(mm|cm|m|in|ft|s)\b)", "\N{NO-BREAK SPACE}", text)


class FindingDelegate(QStyledItemDelegate):
    """Rows are as high as their sentence is long at the list's width."""

    def __init__(self, theme: Theme, view: QListView) -> None:
        super().__init__(view)
        self._view = view
        self.theme = theme
        self._heights: dict[tuple[str, str, int], int] = {}
        """Of texts, by font and width: each row's is asked for at every layout and paint."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        width = self._view.viewport().width()
        height = ABOVE + QFontMetrics(self._view.font()).height() + ABOVE
        if index.data(GROUP_ROLE) is not None:
            height += BETWEEN + self._sentence_height(index, width)
        if index.data(NOTE_ROLE):
            height += BETWEEN + self._height(small(self._view.font()), index.data(NOTE_ROLE), width)
        return QSize(width, height)

    def _sentence_height(self, index: Index, width: int) -> int:
        return self._height(self._view.font(), kept_together(index.data(Qt.ItemDataRole.DisplayRole)), width)

    def _height(self, font: QFont, text: str, width: int) -> int:
        key = (font.key(), text, width)
        if key not in self._heights:
            if len(self._heights) >= MOST_HEIGHTS:
                self._heights.clear()
            self._heights[key] = _wrapped(font, text, width)
        return self._heights[key]

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        painter.save()
        if not self._view.isEnabled():
            painter.setOpacity(STALE_OPACITY)
        self._paint_ground(painter, option)
        group: Group | None = index.data(GROUP_ROLE)
        if group is None:
            self._paint_heading(painter, option.rect, index)
        else:
            self._paint_group(painter, option, index, group)
        painter.restore()

    def _paint_heading(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """A triangle that points to where the rows are, and how many there are."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = QColor(self.theme.text_soft)
        middle = QPointF(rect.left() + SIDE_MARGIN + MARK_SIDE / 2, rect.center().y())
        right = ((-2.5, -4.5), (2.5, 0.0), (-2.5, 4.5))
        corners = right if index.data(FOLDED_ROLE) else tuple((y, x) for x, y in right)
        painter.setBrush(ink)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawPolygon(QPolygonF([middle + QPointF(x, y) for x, y in corners]))
        painter.setPen(ink)
        painter.setFont(self._view.font())
        box = rect.adjusted(TEXT_LEFT, 0, -SIDE_MARGIN, 0)
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, index.data())

    def _paint_group(self, painter: QPainter, option: QStyleOptionViewItem, index: Index, group: Group) -> None:
        finding = group.findings[0]
        ink = QColor(self.theme.tight if finding.kind in MILD else self.theme.clash)
        if group.accepted is not None:
            ink = self._soft(option)
        top = option.rect.top() + ABOVE
        mark = QRectF(option.rect.left() + SIDE_MARGIN, top - 1, MARK_SIDE, MARK_SIDE)
        paint_mark(painter, finding.kind, mark, ink)
        self._paint_text(painter, option, top, index, finding, ink)

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

    def _soft(self, option: QStyleOptionViewItem) -> QColor:
        """What is said more quietly; full ink on the ground of the chosen row, where soft ink is too faint to read."""
        chosen = option.state & QStyle.StateFlag.State_Selected
        return QColor(self.theme.text if chosen else self.theme.text_soft)

    def _paint_text(
        self, painter: QPainter, option: QStyleOptionViewItem, top: int, index: Index, finding: Finding, ink: QColor
    ) -> None:
        rect = option.rect
        left, width = rect.left() + TEXT_LEFT, rect.width() - TEXT_LEFT - SIDE_MARGIN
        metrics = QFontMetrics(self._view.font())
        bold = QFont(self._view.font())
        bold.setBold(True)
        painter.setPen(ink)
        painter.setFont(bold)
        painter.drawText(QRect(left, top, width, metrics.height()), Qt.AlignmentFlag.AlignLeft, TITLES[finding.kind])
        painter.setFont(self._view.font())
        amount = index.data(AMOUNT_ROLE)
        painter.drawText(QRect(left, top, width, metrics.height()), Qt.AlignmentFlag.AlignRight, amount)
        text = self._view.palette().color(QPalette.ColorRole.Text)
        painter.setPen(text if finding.accepted is None else self._soft(option))
        height = self._sentence_height(index, rect.width())
        box = QRect(left, top + metrics.height() + BETWEEN, width, height + 2)
        painter.drawText(
            box, int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft), kept_together(finding.sentence)
        )
        note = index.data(NOTE_ROLE)
        if note:
            painter.setFont(small(self._view.font()))
            painter.setPen(self._soft(option))
            below = self._height(painter.font(), note, rect.width())
            box = QRect(left, box.top() + height + BETWEEN, width, below + 2)
            painter.drawText(box, int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft), note)


def _wrapped(font: QFont, text: str, width: int) -> int:
    """The height of a text in a row that is `width` wide."""
    box = QRect(0, 0, max(40, width - TEXT_LEFT - SIDE_MARGIN), 4000)
    return (
        QFontMetrics(font).boundingRect(box, int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft), text).height()
    )
