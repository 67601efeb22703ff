"""One lane a step, under the hand: pressed, dragged, named in place and asked what can be done with it."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QEvent, QPoint, QPointF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QContextMenuEvent, QHelpEvent, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import QMenu, QToolTip, QWidget

from app.sequence.bars import Bars, Part
from app.sequence.gestures import BeginStep, Hand, LaneGesture, OrderRow, ShiftStep, StretchStep
from app.sequence.inks import Inks
from app.sequence.lane_painting import LanePainter, Look
from app.sequence.making import Chain, DrawStep
from app.sequence.naming import NameLine
from app.sequence.playback import Playback
from app.sequence.step_commands import StepCommands
from app.sequence.time_scale import MARGIN, NAMES_WIDTH
from app.sequence.track import Track
from app.session import IN_TRIAL, Session
from app.widgets.focus_edge import FocusEdge
from app.widgets.plain import plain
from core.document.names import name_of
from core.document.project import Drive
from core.findings.finding import Finding
from core.motion.schedule import Schedule, ScheduledStep

DRAG_STARTS = 3
ROW_STARTS = 10
"""Pixels up or down from which a bar that is dragged means its row."""
ROOM = 5.0
"""Seconds that the ruler shows while the first step is drawn."""
GROWS_EVERY_MS = 40
GROWTH = 1.02
"""By how much the ruler's time grows each time while the hand is beyond its right end."""
CURSORS = {
    Part.LEFT: Qt.CursorShape.SizeHorCursor,
    Part.RIGHT: Qt.CursorShape.SizeHorCursor,
    Part.BODY: Qt.CursorShape.OpenHandCursor,
    Part.BEGIN: Qt.CursorShape.CrossCursor,
    Part.END: Qt.CursorShape.CrossCursor,
    Part.FREE: Qt.CursorShape.CrossCursor,
    Part.MARK: Qt.CursorShape.PointingHandCursor,
}


class Lanes(Track):
    held = Signal(object)
    """How many seconds the ruler is to show while a step is dragged; None when it is let go."""
    menu_wanted = Signal(QPoint)
    """What can be done with the chosen step, at a place of the screen."""

    _edge: FocusEdge | None = None
    """None while it is made, which has events already."""

    def __init__(self, session: Session, playback: Playback, inks: Inks, parent: QWidget | None = None) -> None:
        super().__init__(session, playback, inks, parent)
        self.gesture: LaneGesture | None = None
        self._pressed = QPointF()
        self._at = QPointF()
        self._moved = self._free = False
        self._barred = False
        """Whether a bar was pressed that cannot be dragged."""
        self._hovered: str | None = None
        self._twice: str | None = None
        """The step that was pressed twice, quickly."""
        self.menu: QMenu | None = None
        self.name_line = NameLine(self, "Name of the step")
        self.commands = StepCommands(session, self.ask_for_name)
        self._edge = FocusEdge(self)
        self._growing = QTimer(self)
        self._growing.setInterval(GROWS_EVERY_MS)
        self._growing.timeout.connect(self._grow)
        self.held.connect(self.hold)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Steps")
        session.project_changed.connect(self._on_changed)
        session.sequence_changed.connect(self._on_sequence)
        for signal in (session.shown_changed, session.study_changed):
            signal.connect(self._on_draft)
        session.selection_changed.connect(self._on_shown)

    def _on_changed(self) -> None:
        """Whatever the hand was about is of another project now."""
        self._forget()
        self.name_line.give_up()
        self._on_shown()

    def _on_sequence(self) -> None:
        """A step that the hand holds is not of the sequence that is looked at now."""
        if self.gesture is not None:
            self.gesture.cancel()
        self._on_changed()

    def _on_draft(self) -> None:
        self.keep_height()
        self.look_again()

    def _on_shown(self) -> None:
        self.keep_height()
        self.renew()

    def sizeHint(self) -> QSize:
        return QSize(600, self.bars.height)

    # ---- where things are ----------------------------------------------------------------------------------------

    @property
    def bars(self) -> Bars:
        """As they would be while a gesture goes on; otherwise as they are."""
        schedule = self.gesture.preview if self.gesture is not None else None
        shown = schedule or self.session.schedule or Schedule("", (), 0.0, {})
        return Bars(shown, self.scale, free=self.session.trial is None)

    @property
    def early(self) -> dict[str, Finding]:
        """What was found of steps that begin too soon, by their ids; the first of each."""
        study = self.session.sequence_study
        found: dict[str, Finding] = {}
        for finding in study.findings if study is not None else ():
            if finding.begun is not None:
                found.setdefault(finding.begun, finding)
        return found

    def _part_at(self, point: QPointF) -> tuple[Part, ScheduledStep | None]:
        return self.bars.part_at(point, frozenset(self.early))

    def _hand(self) -> Hand:
        step = self.bars.step_at(self._at.y())
        on = step is not None and self._at.x() >= NAMES_WIDTH
        return Hand(
            time=self.scale.time(self._at.x()), row=self.bars.row_at(self._at.y()),
            step=step.id if on and step is not None else None, free=self._free,
        )  # fmt: skip

    # ---- the mouse -----------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._pressed = self._at = event.position()
        self._twice = None
        part, step = self._part_at(event.position())
        if step is not None and part is Part.MARK and not self.stale:
            self.playback.pause()
            self.session.show_finding(self.early[step.id])
        elif step is not None and part is not Part.NOTHING:
            self._choose(step.id, event.modifiers())
            self._take_hold(part, step)
        elif part is Part.FREE:
            self._take_hold(part, None)
        else:
            super().mousePressEvent(event)

    def _choose(self, step: str, keys: Qt.KeyboardModifier) -> None:
        """With Shift or Ctrl one more, or one less; a press on one of several keeps them, to be dragged together."""
        several = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.ControlModifier
        if keys & several:
            self.session.choose_also(step)
        elif step in self.commands.chosen:
            self.session.choose_several((*(one for one in self.session.chosen if one != step), step))
        else:
            self.session.choose(step)

    def _take_hold(self, part: Part, step: ScheduledStep | None) -> None:
        self.session.ask_anew()
        self._barred = self.session.trial is not None
        if self._barred:
            return  # the bars are those of the trial, and not of the sequence as drawn
        schedule = self.session.schedule
        self.held.emit(max(schedule.seconds if schedule is not None else 0.0, 0.0) or ROOM)
        begun, session = self._hand(), self.session
        match part, step:
            case (Part.FREE, _):
                self.gesture = DrawStep(session, begun, seconds_per_pixel=self.scale.seconds_per_pixel)
            case (Part.RIGHT, ScheduledStep()):
                self.gesture = StretchStep(session, begun, step.id)
            case (Part.LEFT, ScheduledStep()):
                self.gesture = BeginStep(session, begun, step.id)
            case (Part.BEGIN | Part.END, ScheduledStep()):
                self.gesture = Chain(session, begun, step.id, part)
            case (Part.NAME, ScheduledStep()):
                self.gesture = OrderRow(session, begun, step.id)
            case (_, ScheduledStep()):
                self.gesture = ShiftStep(session, begun, step.id)
        self._moved, self._hovered = False, None

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._at, self._free = event.position(), bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        way = self._at - self._pressed
        if self.gesture is None:
            self._hover(event.position())
            self._say_barred(way)
            super().mouseMoveEvent(event)
            return
        if not self._moved and isinstance(self.gesture, ShiftStep) and abs(way.y()) > max(ROW_STARTS, abs(way.x())):
            self.gesture.cancel()
            self.gesture = OrderRow(self.session, self._hand(), self.gesture.step)
        if abs(way.x()) >= DRAG_STARTS or (not self.gesture.in_time and abs(way.y()) >= DRAG_STARTS):
            self._moved = True
        if self._moved:
            self._go_on()

    def _say_barred(self, way: QPointF) -> None:
        """Once a drag, why a bar does not come along."""
        if self._barred and max(abs(way.x()), abs(way.y())) >= DRAG_STARTS:
            self._barred = False
            self.session.turn_down(IN_TRIAL)

    def _go_on(self) -> None:
        """What the gesture makes of where the hand is."""
        gesture = self.gesture
        if gesture is None:
            return
        gesture.move(self._hand())
        beyond = gesture.in_time and self._at.x() > self.scale.left + self.scale.width + MARGIN / 2
        if beyond != self._growing.isActive():
            self._growing.start() if beyond else self._growing.stop()
        self._on_shown()

    def _grow(self) -> None:
        """More time comes in at the right while the hand waits there."""
        self.held.emit(self.scale.seconds * GROWTH)
        self._go_on()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        gesture, moved, twice = self.gesture, self._moved, self._twice
        self._barred, self._twice = False, None
        self._growing.stop()
        if gesture is not None and not moved:
            self.let_go()
            if isinstance(gesture, DrawStep):
                self.scrub_to(self._pressed.x())
        elif isinstance(gesture, DrawStep) and gesture.asks:
            self._ask_for_drive(gesture, gesture.asks)
        elif gesture is not None:
            self._forget()
            gesture.end()
            self._on_shown()
        if twice is not None and (event.position() - self._pressed).manhattanLength() < DRAG_STARTS:
            self.session.choose(twice)
            self.ask_for_name()
        super().mouseReleaseEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """A press like any other: who chooses a bar and drags it at once presses twice quickly as well. Let go where it
        was pressed, it asks for the name."""
        part, step = self._part_at(event.position())
        self.mousePressEvent(event)
        self._twice = step.id if step is not None and part in (Part.BODY, Part.NAME) else None

    def let_go(self) -> None:
        """Give up what the hand is about, without a trace."""
        gesture = self.gesture
        self._forget()
        if gesture is not None:
            gesture.cancel()
        self._on_shown()

    def _forget(self) -> None:
        self.gesture, self._moved, self._twice = None, False, None
        self._growing.stop()
        self.held.emit(None)

    def _hover(self, point: QPointF) -> None:
        part, step = self._part_at(point)
        shape = CURSORS.get(part, Qt.CursorShape.ArrowCursor)
        if self.cursor().shape() != shape:
            self.setCursor(shape)
        hovered = step.id if step is not None and part is not Part.NAME else None
        if hovered != self._hovered:
            self._hovered = hovered
            self.renew()

    def leaveEvent(self, event: QEvent) -> None:
        if self._hovered is not None:
            self._hovered = None
            self.renew()
        super().leaveEvent(event)

    # ---- what is asked -------------------------------------------------------------------------------------------

    def ask_for_name(self) -> None:
        """The chosen step's name, typed over its bar."""
        step = self.session.selection
        if step in self.commands.chosen and step is not None:
            box = self.bars.box(step).toAlignedRect()
            box.moveLeft(max(NAMES_WIDTH, min(box.left(), self.width() - 180)))
            self.name_line.ask(self.bars.schedule.step(step).name, box.adjusted(0, -2, 0, 2), self.commands.rename)

    def _ask_for_drive(self, gesture: DrawStep, drives: tuple[Drive, ...]) -> None:
        """Which drive a new step moves; it is no step when the menu is left."""
        self.menu = QMenu(self)
        self.menu.setAccessibleName("Which drive the step moves")
        for drive in drives:
            words = plain(name_of(drive))
            self.menu.addAction(words).triggered.connect(partial(self._take_drive, gesture, drive.id))
        self.menu.addSeparator()
        self.menu.addAction("None: a wait").triggered.connect(partial(self._take_drive, gesture, None))
        self.menu.aboutToHide.connect(lambda: QTimer.singleShot(0, self, partial(self._leave_drive, gesture)))
        self.menu.popup(self.mapToGlobal(self._at.toPoint()))

    def _take_drive(self, gesture: DrawStep, drive: str | None, _on: bool = False) -> None:
        if self.gesture is gesture:
            self._forget()
            gesture.take(drive)
            self._on_shown()

    def _leave_drive(self, gesture: DrawStep) -> None:
        if self.gesture is gesture:
            self.let_go()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Under the mouse for the step there, which is chosen; by key for the chosen one."""
        at = event.globalPos()
        if event.reason() is QContextMenuEvent.Reason.Mouse:
            step = self.bars.step_at(event.pos().y())
            if step is not None and step.id not in self.commands.chosen:
                self.session.choose(step.id)
        elif self.commands.chosen:
            at = self.mapToGlobal(self.bars.box(self.commands.chosen[-1]).bottomLeft().toPoint())
        self.menu_wanted.emit(at)

    # ---- the keys ------------------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Escape lets a bar go before it means anything to the window; the pointer on a mark is told its finding."""
        if self._edge is not None:
            self._edge.follow(event)
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and self._takes(event):
            event.accept()
            return True
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            part, step = self._part_at(QPointF(event.pos()))
            told = self.early[step.id].sentence if step is not None and part is Part.MARK else ""
            QToolTip.showText(event.globalPos(), told, self)
            return True
        return super().event(event)

    def _takes(self, event: QKeyEvent) -> bool:
        return event.key() == Qt.Key.Key_Escape and self.gesture is not None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        also = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if self._takes(event):
            self.let_go()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.choose_next(1 if event.key() == Qt.Key.Key_Down else -1, also=also)
        else:
            super().keyPressEvent(event)

    def choose_next(self, way: int, *, also: bool = False) -> None:
        """The step below or above the chosen one, alone or with those that are chosen."""
        ids = [step.id for step in self.bars.schedule.steps]
        if not ids:
            return
        chosen = self.session.selection
        row = ids.index(chosen) + way if chosen in ids else (0 if way > 0 else len(ids) - 1)
        step = ids[min(max(0, row), len(ids) - 1)]
        others = tuple(one for one in self.commands.chosen if one != step) if also else ()
        self.session.choose_several((*others, step))

    # ---- painting ------------------------------------------------------------------------------------------------

    def _seen(self) -> tuple[object, ...]:
        """Steps, what they and what they move are called, and which of them begin too soon."""
        session, project, early = self.session, self.session.shown, tuple(self.early)
        things = () if project is None else (*project.bodies, *project.connections, *project.drives)
        called = tuple((type(one), one.id, one.name) for one in things)
        return (session.sequence, session.schedule, called, (early, self.stale and bool(early)))

    def paint_content(self, painter: QPainter) -> None:
        sequence, project = self.session.sequence, self.session.shown
        if sequence is None or project is None:
            return
        lanes = LanePainter(
            painter, self.bars, self.inks, self._look(), small=self.small_font(), width=self.width()
        )  # fmt: skip
        lanes.paint(project, sequence)

    def _look(self) -> Look:
        gesture = self.gesture if self._moved else None
        chain = gesture if isinstance(gesture, Chain) else None
        return Look(
            chosen=self.session.chosen, hovered=self._hovered, early=frozenset(self.early), stale=self.stale,
            held=gesture.step if gesture is not None else "",
            says=(gesture.refused or gesture.says) if gesture is not None else "",
            refused=bool(gesture is not None and gesture.refused),
            chain=chain.part if chain is not None else None, target=chain.target if chain is not None else None,
            hand=self._at if chain is not None else None,
        )  # fmt: skip
