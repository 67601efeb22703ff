"""A section across the view: what stands how deep, from the near side on the left to the far one on the right.

The chosen body, rod or jack is the slab on top, and is dragged by an end or as a whole; below lie the others of its
view.
"""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app.painting.theme import Theme
from app.panels.readings import write_length, write_span
from app.session import Session
from app.widgets.value_field import Writing
from core.document.edits import Edit
from core.document.joint_edits import ReplaceConnection
from core.document.lengths import step_length
from core.document.names import by_id, name_of
from core.document.project import Body, Jack, Project, Rod, Span
from core.sketch.body_edits import ReplaceBody

SLAB = 16.0
ROW = 9.0
GRIP = 6.0
"""How near an end is taken hold of, in pixels."""
THINNEST = 0.5
MARGIN = 10.0
LISTED = 24
"""Others that are told of beside the pointer at the most, so that all of it is on the screen."""
Thing = Body | Rod | Jack


@dataclass(frozen=True, slots=True)
class Slab:
    name: str
    depth: Span


class Section(QWidget):
    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self._session = session
        self.theme = theme
        self._of: Project | None = None
        self._thing: Thing | None = None
        self._others: tuple[Slab, ...] = ()
        self._rows: tuple[tuple[Slab, ...], ...] = ()
        self._over: Span = (-10.0, 10.0)
        self._held: tuple[int, float] | None = None
        self._drawn: Span | None = None
        self.setAccessibleName("Section across the view")
        self.setStatusTip("Drag the slab or an end of it; arrow keys move it, with Shift its far end")
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    # ---- what is shown -------------------------------------------------------------------------------------------

    @property
    def slab(self) -> Span | None:
        """The slab as it is drawn, also while it is dragged; the whole depth shown where there is none."""
        if self._drawn is not None:
            return self._drawn
        return self._thing.depth if self._thing is not None else None

    def refresh(self) -> None:
        project, chosen = self._session.project, self._session.selection
        before, self._of = (self._of, self._thing), project
        self._thing = None if project is None or chosen is None else _thing(project, chosen)
        self.setVisible(self._thing is not None)
        if project is None or self._thing is None:
            return
        if before[0] is not project or before[1] is not self._thing:
            self._others = slabs_beside(project, self._thing)
            self._rows = packed(self._others)
            self.updateGeometry()
        if self._held is None:
            self._drawn = None
            self._over = _about([one.depth for one in self._others], self._thing.depth)
        now = self.slab
        self.setAccessibleDescription("the whole depth" if now is None else self._said(now))
        self.update()

    @property
    def _said(self) -> Writing:
        assert self._of is not None
        return write_span(write_length(self._of))

    @property
    def told(self) -> str:
        """The others and how deep they stand, as many as there is room to tell of beside the pointer."""
        lines = [f"{one.name}: {self._said(one.depth)}" for one in self._others[:LISTED]]
        more = len(self._others) - len(lines)
        return "\n".join([*lines, f"and {more} more"] if more else lines)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            QToolTip.showText(event.globalPos(), self.told, self)
            return True
        return super().event(event)

    def sizeHint(self) -> QSize:
        return QSize(200, round(SLAB + 14.0 + ROW * max(1, len(self._rows)) + 16.0))

    def minimumSizeHint(self) -> QSize:
        return QSize(120, self.sizeHint().height())

    def _x(self, depth: float) -> float:
        low, high = self._over
        return MARGIN + (depth - low) / (high - low) * (self.width() - 2.0 * MARGIN)

    def _depth(self, x: float) -> float:
        low, high = self._over
        return low + (x - MARGIN) / max(1.0, self.width() - 2.0 * MARGIN) * (high - low)

    def _shown(self) -> Span:
        return self.slab or self._over

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme = self.theme
        middle = self._x(0.0)
        painter.setPen(QPen(QColor(theme.ink_soft), 1.0, Qt.PenStyle.DashDotLine))
        painter.drawLine(QPointF(middle, 0.0), QPointF(middle, self.height()))
        near, far = self._shown()
        slab = QRectF(self._x(near), 4.0, self._x(far) - self._x(near), SLAB)
        painter.setPen(QPen(QColor(theme.accent), 2.0, Qt.PenStyle.SolidLine if self.slab else Qt.PenStyle.DashLine))
        painter.setBrush(QColor(theme.accent_soft))
        painter.drawRect(slab)
        painter.setPen(QPen(QColor(theme.ink), 1.0))
        painter.setBrush(QColor(theme.structure))
        for number, row in enumerate(self._rows):
            for one in row:
                left, right = self._x(one.depth[0]), self._x(one.depth[1])
                painter.drawRect(QRectF(left, SLAB + 14.0 + ROW * number, right - left, ROW - 3.0))
        painter.setPen(QColor(theme.text_soft))
        foot = QRectF(MARGIN, self.height() - 15.0, self.width() - 2.0 * MARGIN, 14.0)
        painter.drawText(foot, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, "near")
        painter.drawText(foot, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, "far")
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.accent), 1.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))

    # ---- what is done with it ------------------------------------------------------------------------------------

    def _grip(self, x: float) -> int | None:
        """0 the near end, 1 the far one, 2 the whole slab."""
        near, far = (self._x(one) for one in self._shown())
        reach = {0: abs(x - near), 1: abs(x - far)}
        nearest = min(reach, key=lambda end: reach[end])
        if reach[nearest] <= GRIP:
            return nearest
        return 2 if near < x < far and self.slab is not None else None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        grip = self._grip(event.position().x())
        if event.button() != Qt.MouseButton.LeftButton or grip is None or self._session.looked_at_only:
            return
        self._drawn = self._shown()
        self._held = (grip, self._depth(event.position().x()) - self._drawn[0])

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        x = event.position().x()
        if self._held is None or self._drawn is None:
            grip = self._grip(x) if event.position().y() <= SLAB + 8.0 else None
            shape = {None: Qt.CursorShape.ArrowCursor, 2: Qt.CursorShape.OpenHandCursor}
            self.setCursor(shape.get(grip, Qt.CursorShape.SizeHorCursor))
            return
        grip, from_near = self._held
        free = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        near, far = self._drawn
        low, high = self._over
        at = min(high, max(low, self._depth(x)))
        if grip == 2:
            moved = self._rest(at - from_near, free=free)
            self._drawn = (moved, moved + far - near)
        elif grip == 0:
            self._drawn = (min(self._rest(at, free=free), far - THINNEST), far)
        else:
            self._drawn = (near, max(self._rest(at, free=free), near + THINNEST))
        if self._thing is not None:
            self._session.propose(_edit(self._thing, self._drawn))
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        drawn, self._held, self._drawn = self._drawn, None, None
        if drawn is not None and self._thing is not None:
            self._push(drawn)
        self.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Left: -self._step, Qt.Key.Key_Right: self._step}.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_Escape and self._held is not None:
            self._held = self._drawn = None
            self._session.withdraw()
            self.refresh()
        elif step is not None and self.slab is not None:
            near, far = self.slab
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                self._push((near, max(far + step, near + THINNEST)))
            else:
                self._push((near + step, far + step))
        else:
            super().keyPressEvent(event)

    @property
    def _step(self) -> float:
        """Ends come to rest at halves of a millimetre or small parts of an inch, or at another slab's end nearer by."""
        project = self._session.project
        return 0.5 if project is None else 0.5 * step_length(project)

    def _rest(self, depth: float, *, free: bool) -> float:
        if free:
            return round(depth, 3)
        rest = round(depth / self._step) * self._step
        ends = [end for row in self._rows for one in row for end in one.depth]
        return min((rest, *ends), key=lambda one: (abs(one - depth), one != rest))

    def _push(self, depth: Span) -> None:
        if self._thing is not None:
            self._session.push(_edit(self._thing, depth))


def _edit(thing: Thing, depth: Span) -> Edit:
    change = replace(thing, depth=depth)
    if isinstance(change, Body):
        return ReplaceBody(change, "Change depth")
    return ReplaceConnection(change, "Change depth of")


def _thing(project: Project, thing_id: str) -> Thing | None:
    every = (*project.bodies, *(one for one in project.connections if isinstance(one, Rod | Jack)))
    return by_id(every, thing_id)


def slabs_beside(project: Project, thing: Thing) -> tuple[Slab, ...]:
    """The other bodies, rods and jacks of a thing's view that do not fill the whole depth."""
    views = {body.id: body.view for body in project.bodies}
    view = thing.view if isinstance(thing, Body) else views[thing.bodies[0]]
    bodies = [one for one in project.bodies if one.view == view]
    rods = [one for one in project.connections if isinstance(one, Rod | Jack) and views[one.bodies[0]] == view]
    return tuple(
        Slab(name_of(one), one.depth) for one in (*bodies, *rods) if one.depth is not None and one.id != thing.id
    )


def packed(slabs: tuple[Slab, ...]) -> tuple[tuple[Slab, ...], ...]:
    """In as few rows as may be, so that none lies over another in its row."""
    rows: list[list[Slab]] = []
    for slab in sorted(slabs, key=lambda one: one.depth):
        free = next((row for row in rows if row[-1].depth[1] <= slab.depth[0]), None)
        if free is None:
            rows.append([slab])
        else:
            free.append(slab)
    return tuple(map(tuple, rows))


def _about(others: list[Span], own: Span | None) -> Span:
    """What the section reaches over: all there is and a quarter more to drag in."""
    ends = [end for span in (*others, *([own] if own else [])) for end in span] or [-10.0, 10.0]
    low, high = min(*ends, 0.0), max(*ends, 0.0)
    more = max(2.0, 0.125 * (high - low))
    return low - more, high + more
