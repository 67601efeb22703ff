"""What lies on the film besides the drawing: a grid, the note of the check, tips, and words where there is nothing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from app.painting.placement import Placement
from app.painting.theme import Theme
from app.sheet.moment import ShownMoment, Standing
from core.document.lengths import small_length
from core.document.looks import hidden_in, hidden_words
from core.document.names import called
from core.document.project import Project
from core.drawing.drawing import Drawing
from core.interference.interference import Overlap
from core.sketch.grids import drawn_step

GRID_APART = 14.0
"""Pixels between grid lines at the least."""
APART = 10.0
"""Pixels by which what is said on the film keeps off its edges."""
ACROSS, DOWN = 7.0, 4.0
"""Pixels of ground beside words, and above and below them."""
IN_LINES = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)


@dataclass(frozen=True, slots=True)
class Squares:
    """The grid that the hand is drawn to, mm, or None; and the kind of unit that the aircraft is measured in."""

    grid: float | None = None
    family: str = "metric"

    def drawn(self, least: float) -> tuple[float, int]:
        """How far apart the lines are that are drawn, and how many go to a stronger one; of a round size where there
        is no grid."""
        if self.grid is not None:
            return drawn_step(self.grid, least, self.family)
        step = _round_step(least)
        return step, 5 if round(step / 10.0 ** math.floor(math.log10(step) + 1e-9)) == 2 else 10


def paint_grid(painter: QPainter, rect: QRect, theme: Theme, placement: Placement, squares: Squares) -> None:
    """Lines of the grid, as many of them as can be told apart."""
    step, many = squares.drawn(GRID_APART / placement.scale)
    left, top = placement.to_drawing(0.0, 0.0)
    right, bottom = placement.to_drawing(float(rect.width()), float(rect.height()))
    for strong in (False, True):
        painter.setPen(QPen(QColor(theme.grid_strong if strong else theme.grid), 1.0))
        for n in range(math.ceil(left / step), math.floor(right / step) + 1):
            if (n % many == 0) is strong:
                x = round(placement.x + placement.scale * n * step) + 0.5
                painter.drawLine(QPointF(x, 0.0), QPointF(x, rect.height()))
        for n in range(math.ceil(bottom / step), math.floor(top / step) + 1):
            if (n % many == 0) is strong:
                y = round(placement.y - placement.scale * n * step) + 0.5
                painter.drawLine(QPointF(0.0, y), QPointF(rect.width(), y))


def note_of(shown: ShownMoment, view: str | None) -> tuple[str, str]:
    """What the check says of the moment in a few words, with how much is hidden; and the colour that it is told in."""
    if shown.standing is Standing.NOTHING or view is None or shown.scene is None:
        return ("", "text_soft")
    project = shown.scene.project
    if not any(body.view == view for body in project.bodies):
        return ("", "text_soft")
    said, colour = _check_told(shown, view, project)
    said = f"pulled by hand: {said}" if shown.pulled else said
    hidden = hidden_words(len(hidden_in(project, view)))
    return (f"{said} · {hidden}" if hidden else said), colour


def _check_told(shown: ShownMoment, view: str, project: Project) -> tuple[str, str]:
    if shown.as_drawn:
        return ("as drawn", "text_soft")
    if shown.standing is Standing.SENSELESS:
        return ("this can not be", "clash")
    if shown.standing is Standing.UNCHECKED:
        return ("could not be checked", "clash")
    if shown.standing is Standing.CHECKING:
        return ("checking…", "stale")
    overlaps = [one for one in shown.situation.overlaps if one.view == view]
    unanswered = [one for one in overlaps if frozenset(one.parts) not in shown.situation.accepted]
    wrong = [words for words in (_overlaps_told(project, unanswered), *_linkage_told(shown)) if words]
    if wrong:
        return (" · ".join(wrong), "clash")
    if overlaps:
        return (f"{_overlaps_told(project, overlaps)}, accepted", "text_soft")
    return ("nothing overlaps at this moment", "text_soft")


def _overlaps_told(project: Project, overlaps: Sequence[Overlap]) -> str:
    if not overlaps:
        return ""
    deepest = small_length(project, overlaps[0].depth)
    if len(overlaps) == 1:
        return f"1 overlap at this moment, {deepest} deep"
    return f"{len(overlaps)} overlaps at this moment, the deepest {deepest}"


def _linkage_told(shown: ShownMoment) -> list[str]:
    """What is wrong with the linkage itself, in whichever view: no sheet may look sound while it is."""
    situation = shown.situation
    jammed = "the linkage is jammed here" if situation.jammed else ""
    missed = "a latch has not taken hold" if situation.missed else ""
    return [jammed, missed]


def paint_note(painter: QPainter, rect: QRect, theme: Theme, note: tuple[str, str]) -> None:
    """At the lower left, on a little ground of its own."""
    text, colour = note
    if text:
        box = _box(painter, text, rect.width())
        box.moveBottomLeft(QPointF(APART, rect.height() - APART))
        _paint_box(painter, box, text, theme, getattr(theme, colour))


def paint_title(painter: QPainter, rect: QRect, theme: Theme, text: str) -> None:
    """At the upper left."""
    if text:
        box = _box(painter, text, rect.width())
        box.moveTopLeft(QPointF(APART, APART))
        _paint_box(painter, box, text, theme, theme.text_soft)


def paint_tip(painter: QPainter, room: QRectF, theme: Theme, pointer: QPointF, text: str) -> None:
    """A name beside the pointer, kept on the sheet."""
    box = _box(painter, text, room.width())
    box.moveTopLeft(pointer + QPointF(16.0, 18.0))
    if box.right() > room.right() - 4.0:
        box.moveRight(max(pointer.x() - 10.0, room.left() + 4.0 + box.width()))
    if box.bottom() > room.bottom() - 4.0:
        box.moveBottom(pointer.y() - 8.0)
    _paint_box(painter, box, text, theme, theme.text)


def paint_empty(painter: QPainter, rect: QRect, theme: Theme, words: tuple[str, str]) -> None:
    """What there is to do where nothing is drawn."""
    head, body = words
    if not head:
        return
    painter.save()
    painter.setPen(QColor(theme.text_soft))
    font = QFont(painter.font())
    font.setPointSizeF(font.pointSizeF() * 1.45)
    painter.setFont(font)
    area = QRectF(rect).adjusted(40.0, 0.0, -40.0, -40.0)
    painter.drawText(area, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, head)
    font.setPointSizeF(font.pointSizeF() / 1.45)
    painter.setFont(font)
    painter.drawText(area.translated(0.0, 34.0), Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, body)
    painter.restore()


def empty_words(shown: ShownMoment, view: str | None, drawing: Drawing) -> tuple[str, str]:
    """A heading and what to do; both empty where something is drawn."""
    if shown.scene is None:
        return ("No aircraft is open", "Open an aircraft's folder, or the sample, from the Aircraft menu.")
    if view is None:
        return ("This aircraft has no views yet", "Take up a tool above and draw: the first body brings a side view.")
    if not drawing.marks and not drawing.signs and not drawing.pictures:
        if hidden_in(shown.scene.project, view):
            return ("All of this view is hidden", "It is checked all the same; show everything from the Sheet menu.")
        return (
            "Nothing is drawn in this view yet",
            "Lay a drawing under it, or drop one here; or take up a tool and draw the bay first.",
        )
    return ("", "")


def name_of(shown: ShownMoment, thing: str) -> str:
    """What people read for the id of a body or connection."""
    if shown.scene is None:
        return thing
    project = shown.scene.project
    return called((*project.bodies, *project.connections), thing)


def _box(painter: QPainter, text: str, room: float) -> QRectF:
    """About a text, which goes on below where it is longer than there is room for."""
    widest = QRectF(0.0, 0.0, max(room - 2.0 * (APART + ACROSS), 1.0), 1e4)
    lines = QFontMetricsF(painter.font()).boundingRect(widest, IN_LINES, text)
    return QRectF(0.0, 0.0, math.ceil(lines.width()) + 2.0 * ACROSS, math.ceil(lines.height()) + 2.0 * DOWN)


def _paint_box(painter: QPainter, box: QRectF, text: str, theme: Theme, ink: str) -> None:
    ground = QColor(theme.field)
    ground.setAlphaF(0.94)
    painter.setPen(QPen(QColor(theme.border), 1.0))
    painter.setBrush(ground)
    painter.drawRoundedRect(box, 3.0, 3.0)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QColor(ink))
    painter.drawText(box.adjusted(ACROSS, 0.0, -ACROSS, 0.0), IN_LINES | Qt.AlignmentFlag.AlignVCenter, text)


def _round_step(least: float) -> float:
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * part for part in (1.0, 2.0, 5.0, 10.0) if power * part >= least * (1.0 - 1e-9))
