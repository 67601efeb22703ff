"""How the lanes are painted: rows, bars with how they move, what each waits for, and what the hand is about."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen

from app.sequence.bars import BAR, LANE, Bars, Part
from app.sequence.inks import Inks
from app.sequence.time_scale import NAMES_WIDTH
from app.sequence.track import put_text, with_alpha
from app.widgets.finding_mark import paint_mark
from core.document.lengths import shown_amount
from core.document.project import Pivot, Project, Sequence, Step
from core.document.sequence_checks import partner
from core.findings.sentences import Names
from core.motion.schedule import ScheduledStep

TELLS_OF_ROOM = "Drag here to make a step"
NO_STEPS = "No steps: everything stands in its drawn position."
DASHES = (3, 3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What of the lanes is chosen, under the hand, or told of."""

    chosen: tuple[str, ...] = ()
    hovered: str | None = None
    held: str = ""
    """The step that the hand holds."""
    says: str = ""
    refused: bool = False
    chain: Part | None = None
    """The handle of the held step from which the hand draws a line."""
    target: str | None = None
    """The step that would wait for the held one."""
    hand: QPointF | None = None
    early: frozenset[str] = frozenset()
    """Steps that begin too soon."""
    stale: bool = False


class LanePainter:
    def __init__(self, painter: QPainter, bars: Bars, inks: Inks, look: Look, *, small: QFont, width: float) -> None:
        self._painter, self._bars, self._inks, self._look = painter, bars, inks, look
        self._font, self._small, self._width = painter.font(), small, width

    def paint(self, project: Project, sequence: Sequence) -> None:
        names = Names(project)
        written = {step.id: (number, step) for number, step in enumerate(sequence.steps)}
        steps = self._bars.schedule.steps
        for row, step in enumerate(steps):
            self._row(row, step, what_moves(project, step, names))
        if self._bars.free:
            self._free_row(len(steps))
        for step in steps:
            if step.id in written:
                number, one = written[step.id]
                self._chain(one, partner(sequence, number))
        for step in steps:
            self._bar(step)
        if self._look.chain is not None:
            self._line_to_hand(self._look.chain)

    # ---- rows ----------------------------------------------------------------------------------------------------

    def _row(self, row: int, step: ScheduledStep, what: str) -> None:
        box = self._bars.row_box(row, self._width)
        if step.id in self._look.chosen:
            self._painter.fillRect(box, with_alpha(self._inks.chosen_ground, 0.55))
        self._rule_below(box)
        self._painter.setFont(self._small)
        put_text(self._painter, _name_box(box), what, self._inks.soft, Qt.AlignmentFlag.AlignRight)

    def _rule_below(self, box: QRectF) -> None:
        self._painter.setPen(QPen(self._inks.line, 1))
        y = box.bottom() - 0.5
        self._painter.drawLine(QPointF(14, y), QPointF(self._width - 8, y))

    def _free_row(self, row: int) -> None:
        """An empty stretch between dashes, and what it is for."""
        box = self._bars.row_box(row, self._width)
        scale = self._bars.scale
        stretch = QRectF(scale.left, box.top() + (LANE - BAR) / 2, scale.width, BAR)
        self._painter.setPen(_dashed(self._inks.line))
        self._painter.drawRect(stretch)
        self._painter.setFont(self._small)
        put_text(self._painter, _name_box(box), TELLS_OF_ROOM, self._inks.soft, Qt.AlignmentFlag.AlignRight)
        if row == 0:
            put_text(self._painter, stretch.adjusted(9, 0, -9, 0), NO_STEPS, self._inks.soft)

    # ---- what a step waits for -----------------------------------------------------------------------------------

    def _chain(self, step: Step, waits_for: str | None) -> None:
        """From what the step waits for down to its lane, and along its delay; wide where either is chosen."""
        told = {step.id, waits_for or ""} & {*self._look.chosen, self._look.target or ""}
        ink, width = (self._inks.chosen, 1.6) if told else (self._inks.soft, 1.0)
        box = self._bars.box(step.id)
        y, base = box.center().y(), self._bars.scale.x(0.0)
        self._painter.setPen(QPen(ink, width))
        if waits_for is not None:
            other = self._bars.box(waits_for)
            base = other.left() if step.together_with else other.right()
            from_y = other.bottom() if other.center().y() < y else other.top()
            self._painter.drawLine(QPointF(base, from_y), QPointF(base, y))
        if abs(box.left() - base) > 1:
            self._painter.setPen(_dashed(ink, width))
            self._painter.drawLine(QPointF(base, y), QPointF(box.left(), y))

    def _line_to_hand(self, part: Part) -> None:
        """From the handle to the hand, with what would come of it beside that."""
        look, start = self._look, self._bars.handle(self._look.held, part).center()
        if look.hand is None:
            return
        ink = self._inks.grave if look.refused else self._inks.chosen
        if look.target is not None:
            self._painter.setPen(QPen(ink, 2, Qt.PenStyle.DashLine if look.refused else Qt.PenStyle.SolidLine))
            self._painter.drawRect(self._bars.box(look.target).adjusted(-3, -3, 3, 3))
        self._painter.setPen(QPen(ink, 1.6))
        self._painter.drawLine(start, look.hand)
        self._painter.drawEllipse(look.hand, 3, 3)
        self._note(look.hand + QPointF(12, -4), look.says, ink)

    def _note(self, at: QPointF, text: str, ink: QColor) -> None:
        """A line of text on its own ground, kept within the lanes."""
        self._painter.setFont(self._font)
        width = QFontMetricsF(self._font).horizontalAdvance(text) + 12
        left = max(NAMES_WIDTH, min(at.x(), self._width - width - 4))
        top = min(max(0.0, at.y() - BAR / 2), self._bars.height - BAR)
        box = QRectF(left, top, min(width, self._width - left), BAR)
        self._painter.fillRect(box, self._inks.ground)
        self._painter.setPen(QPen(ink, 1))
        self._painter.drawRect(box)
        put_text(self._painter, box.adjusted(6, 0, -4, 0), text, self._inks.text)

    # ---- bars ----------------------------------------------------------------------------------------------------

    def _bar(self, step: ScheduledStep) -> None:
        box, look = self._bars.box(step.id), self._look
        chosen, held = step.id in look.chosen, step.id == look.held
        edge = self._inks.chosen if chosen else self._inks.bar_edge
        pen = QPen(edge, 1.6 if chosen else 1)
        if held and look.refused and look.chain is None:
            pen = _dashed(self._inks.grave, 2)
        self._painter.setPen(pen)
        self._painter.setBrush(self._inks.chosen_ground if chosen else self._inks.bar)
        self._painter.drawRect(box)
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._rates(step, box)
        self._grips(box)
        self._latches(step, box)
        if step.id in look.early:
            self._early(step.id)
        self._name(step, box)
        if step.id == look.hovered or (held and look.chain is not None):
            self._handles(step.id)

    def _rates(self, step: ScheduledStep, box: QRectF) -> None:
        """How the step gets there: a straight line at a constant rate, a swung one where it starts and ends at rest."""
        if box.width() < 16 or not step.moves:
            return
        inner = box.adjusted(1, 3, -1, -3)
        path = QPainterPath(inner.bottomLeft())
        if any(move.profile == "eased" for move in step.moves):
            middle = inner.center().x()
            path.cubicTo(QPointF(middle, inner.bottom()), QPointF(middle, inner.top()), inner.topRight())
        else:
            path.lineTo(inner.topRight())
        self._painter.setPen(QPen(with_alpha(self._inks.bar_edge, 0.6), 1))
        self._painter.drawPath(path)

    def _grips(self, box: QRectF) -> None:
        """Two short lines within the right end, one within the left: the end is stretched, the begin delayed."""
        if box.width() < 30:
            return
        self._painter.setPen(QPen(self._inks.bar_edge, 1))
        for x in (box.left() + 4, box.right() - 4, box.right() - 6.5):
            self._painter.drawLine(QPointF(x, box.top() + 7), QPointF(x, box.bottom() - 7))

    def _latches(self, step: ScheduledStep, box: QRectF) -> None:
        """A filled dot at the end where latches take hold, an open one at the start where they let go."""
        self._painter.setPen(QPen(self._inks.text, 1.2))
        if step.engage:
            self._painter.setBrush(self._inks.text)
            self._painter.drawEllipse(QPointF(box.right(), box.center().y()), 3.2, 3.2)
        if step.release:
            self._painter.setBrush(self._inks.ground)
            self._painter.drawEllipse(QPointF(box.left(), box.center().y()), 3.2, 3.2)
        self._painter.setBrush(Qt.BrushStyle.NoBrush)

    def _early(self, step_id: str) -> None:
        """The sign of a step that begins too soon, on a ground of its own before the bar."""
        box = self._bars.mark(step_id)
        self._painter.fillRect(box.adjusted(-1, -1, 1, 1), self._inks.ground)
        paint_mark(self._painter, "early", box, self._inks.stale if self._look.stale else self._inks.grave)

    def _handles(self, step_id: str) -> None:
        """Squares at the lower corners, that of the end filled: what another step waits for."""
        for part in (Part.BEGIN, Part.END):
            if self._look.chain in (None, part):
                self._painter.setPen(QPen(self._inks.chosen, 1.4))
                self._painter.setBrush(self._inks.chosen if part is Part.END else self._inks.ground)
                self._painter.drawRect(self._bars.handle(step_id, part).adjusted(1, 1, -1, -1))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)

    def _name(self, step: ScheduledStep, box: QRectF) -> None:
        """Inside the bar where it fits, otherwise beside it, with what the hand is about."""
        painter, text = self._painter, step.name
        painter.setFont(self._font)
        if self._look.held == step.id and self._look.says and self._look.chain is None:
            text = f"{step.name}   {self._look.says}"
        width = QFontMetricsF(self._font).horizontalAdvance(text)
        room = self._width - 8 - box.right() - 10
        if width <= box.width() - 22 or (width > room and box.left() - NAMES_WIDTH - 12 < width):
            put_text(painter, box.adjusted(9, 0, -12, 0), text, self._inks.text)
        elif width <= room:
            beside = QRectF(box.right() + 10, box.top(), width + 4, BAR)
            self._clear(step.id, beside)
            put_text(painter, beside, text, self._inks.text)
        else:
            left = QRectF(box.left() - 10 - width - 4, box.top(), width + 4, BAR)
            self._clear(step.id, left)
            put_text(painter, left, text, self._inks.text, Qt.AlignmentFlag.AlignRight)

    def _clear(self, step_id: str, box: QRectF) -> None:
        """The row's own ground under a name beside its bar, where a chain would else strike it through."""
        self._painter.fillRect(box, self._inks.ground)
        if step_id in self._look.chosen:
            self._painter.fillRect(box, with_alpha(self._inks.chosen_ground, 0.55))


def _name_box(row: QRectF) -> QRectF:
    return QRectF(14, row.top(), NAMES_WIDTH - 28, row.height())


def _dashed(ink: QColor, width: float = 1.0) -> QPen:
    pen = QPen(ink, width, Qt.PenStyle.CustomDashLine)
    pen.setDashPattern(list(DASHES))
    return pen


def drives_in_degrees(project: Project) -> frozenset[str]:
    """Drives on pivots; the others count in millimetres."""
    pivots = {one.id for one in project.connections if isinstance(one, Pivot)}
    return frozenset(drive.id for drive in project.drives if drive.on in pivots)


def what_moves(project: Project, step: ScheduledStep, names: Names) -> str:
    """Which drives the step moves, and where to; which latches it works when it moves none."""
    if step.moves:
        degrees = drives_in_degrees(project)
        targets = (shown_amount(project, m.to, "deg" if m.drive in degrees else "mm") for m in step.moves)
        return ", ".join(f"{names(m.drive)} to {to}" for m, to in zip(step.moves, targets, strict=True))
    if step.engage:
        return f"engages {names.listed(step.engage)}"
    if step.release:
        return f"releases {names.listed(step.release)}"
    return "a wait"
