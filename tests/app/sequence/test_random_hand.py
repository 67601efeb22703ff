"""Steps, corners and joints edited at random by mouse and key in a window, at any moment and amid trials: nothing
breaks, nothing unchecked looks checked, and undoing all of it brings the file back byte for byte."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.main_window import MainWindow
from app.sequence.bars import Part
from app.sequence.time_scale import NAMES_WIDTH
from core.document.checks import problems
from core.document.project import Pivot, Point, Polygon
from core.document.project_file import encode
from core.study import run
from core.trials.every import every_fault
from core.trials.fault import together
from core.trials.trial import Trial
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
MOST_STEPS = 9
COMMANDS = (
    "step-split", "step-join", "step-copy", "step-up", "step-down", "step-sooner", "step-later", "step-shorter",
    "step-longer", "remove", "undo", "undo", "redo", "sequence-copy", "sequence-back", "sequence-later",
    "sequence-remove", "add-step",
)  # fmt: skip


class RandomHand:
    """A hand that knows where things are on the lanes, and not what comes of it."""

    def __init__(self, window: MainWindow, seed: int, look: Callable[[], None]) -> None:
        """`look` waits until what is shown has been checked."""
        self.look = look
        self.window, self.lanes, self.session = window, window.sequence.lanes, window.session
        self.choice = random.Random(seed)
        self.done: dict[str, int] = {}
        self.pushes = 0
        self.session.pushed.connect(self._count)

    def act(self) -> None:
        acts: tuple[Callable[[], None], ...] = (
            self.stretch, self.begin, self.shift, self.order, self.chain, self.draw, self.choose, self.rename,
            self.command, self.command, self.scrub, self.drag_anything, self.order_several, self.reshape, self.reshape,
            self.set_by_pull, self.try_out,
        )  # fmt: skip
        if len(self.lanes.bars.schedule.steps) > MOST_STEPS:
            acts = (self.choose, self.remove)
        if self.session.project.sequences[3:]:
            self.window.commands["sequence-remove"].trigger()
        act = self.choice.choice(acts)
        before = self.pushes
        act()
        self.done[act.__name__] = self.done.get(act.__name__, 0) + (self.pushes > before)

    def _count(self, _label: str) -> None:
        self.pushes += 1

    # ---- the mouse -----------------------------------------------------------------------------------------------

    def drag(self, start: QPointF, end: QPointF) -> None:
        """Press, a few moves, and release; now and then Escape before that."""
        keys = self.choice.choice((NONE, NONE, Qt.KeyboardModifier.AltModifier))
        QTest.mousePress(self.lanes, LEFT, NONE, start.toPoint())
        for part in (0.4, 1.0):
            QTest.mouseMove(self.lanes, (start + (end - start) * part).toPoint())
            never_looks_checked_unchecked(self.window)
        if self.choice.random() < 0.15:
            QTest.keyClick(self.lanes, Qt.Key.Key_Escape)
            assert not self.session.drafting
        QTest.mouseRelease(self.lanes, LEFT, keys, end.toPoint())
        gesture = self.lanes.gesture
        if gesture is not None:  # it asks for a drive
            rows = [one for one in self.lanes.menu.actions() if one.text()]
            self.choice.choice(rows).trigger() if self.choice.random() < 0.8 else self.lanes.let_go()
            self.lanes.menu.close()
        assert self.lanes.gesture is None
        assert not self.session.drafting

    def somewhere(self) -> QPointF:
        width, height = self.lanes.width(), self.lanes.bars.height
        return QPointF(self.choice.uniform(NAMES_WIDTH, width + 30), self.choice.uniform(-5, height + 20))

    def step(self) -> str | None:
        steps = self.lanes.bars.schedule.steps
        return self.choice.choice(steps).id if steps else None

    def by(self) -> QPointF:
        return QPointF(self.choice.gauss(0, 90), self.choice.gauss(0, 4))

    def stretch(self) -> None:
        if (step := self.step()) is not None:
            box = self.lanes.bars.box(step)
            start = QPointF(box.right() - 1, box.top() + 5)
            self.drag(start, start + self.by())

    def begin(self) -> None:
        if (step := self.step()) is not None:
            start = self.lanes.bars.box(step).topLeft() + QPointF(1, 5)
            self.drag(start, start + self.by())

    def shift(self) -> None:
        if (step := self.step()) is not None:
            start = self.lanes.bars.box(step).center()
            self.drag(start, start + self.by())

    def order(self) -> None:
        if (step := self.step()) is not None:
            start = QPointF(80, self.lanes.bars.box(step).center().y())
            self.drag(start, QPointF(90, self.somewhere().y()))

    def order_several(self) -> None:
        steps = [one.id for one in self.lanes.bars.schedule.steps]
        if len(steps) > 1:
            self.session.choose_several(self.choice.sample(steps, 2))
            self.order()

    def chain(self) -> None:
        if (step := self.step()) is not None:
            part = self.choice.choice((Part.BEGIN, Part.END))
            onto = self.lanes.bars.box(self.step() or step).center()
            self.drag(self.lanes.bars.handle(step, part).center(), onto)

    def draw(self) -> None:
        row = self.lanes.bars.row_box(len(self.lanes.bars.schedule.steps), self.lanes.width())
        start = QPointF(self.somewhere().x(), row.center().y())
        if self.choice.random() < 0.5:
            self.session.choose(self.choice.choice(self.session.project.drives).id)
        self.drag(start, start + self.by())

    def drag_anything(self) -> None:
        self.drag(self.somewhere(), self.somewhere())

    def choose(self) -> None:
        if (step := self.step()) is not None:
            keys = self.choice.choice((NONE, Qt.KeyboardModifier.ShiftModifier))
            QTest.mouseClick(self.lanes, LEFT, keys, self.lanes.bars.box(step).center().toPoint())

    def rename(self) -> None:
        if (step := self.step()) is not None:
            place = self.lanes.bars.box(step).center().toPoint()
            QTest.mouseDClick(self.lanes, LEFT, NONE, place)
            QTest.mouseRelease(self.lanes, LEFT, NONE, place)
            if self.lanes.name_line.asking:
                QTest.keyClicks(self.lanes.name_line, self.choice.choice(("Lock & go", "Leg", "")))
                QTest.keyClick(self.lanes.name_line, self.choice.choice((Qt.Key.Key_Return, Qt.Key.Key_Escape)))

    # ---- the sheet -----------------------------------------------------------------------------------------------

    def drag_on_sheet(self, start: Point, by: Point, keys: Qt.KeyboardModifier = NONE) -> None:
        """From a place of the view, in a few moves; now and then Escape before it is let go."""
        canvas = self.window.sheet.canvases[0]
        places = [canvas.placement.to_device(start[0] + x * by[0], start[1] + x * by[1]) for x in (0.0, 0.4, 1.0)]
        if not all(canvas.rect().adjusted(4, 4, -4, -4).contains(place.toPoint()) for place in places):
            return
        QTest.mouseMove(canvas, places[0].toPoint())
        QTest.mousePress(canvas, LEFT, keys, places[0].toPoint())
        for place in places[1:]:
            QTest.mouseMove(canvas, place.toPoint())
            never_looks_checked_unchecked(self.window)
        if self.choice.random() < 0.15:
            QTest.keyClick(canvas, Qt.Key.Key_Escape)
            assert not self.session.drafting
        QTest.mouseRelease(canvas, LEFT, keys, places[-1].toPoint())

    def take_up(self, tool: str) -> None:
        """The line of its words comes, and the sheet is less high; more often than not one looks before one drags."""
        self.window.sheet.take_up(tool)
        QApplication.processEvents()
        if self.choice.random() < 0.6:
            self.look()

    def little(self) -> Point:
        return (self.choice.gauss(0, 3), self.choice.gauss(0, 3))

    def reshape(self) -> None:
        """A corner or a connection's point, where it stands at the moment."""
        project, body = self.session.project, self.choice.choice(self.session.project.bodies)
        joints = [one.at for one in project.connections if isinstance(one, Pivot) and body.id in one.bodies]
        corners = [corner[:2] for shape in body.shapes if isinstance(shape, Polygon) for corner in shape.points]
        self.session.choose(body.id)
        self.take_up("reshape")
        stand = self.window.sheet.shown.stand
        self.drag_on_sheet(stand.placed(body.id, self.choice.choice([*joints, *corners])), self.little())
        self.window.sheet.take_up("")
        assert not self.session.drafting

    def set_by_pull(self) -> None:
        """The step under the rule follows a leg that is pulled."""
        self.take_up("pull")
        place = self.window.sheet.shown.stand.placed("leg", (0.0, -40.0))
        self.drag_on_sheet(place, self.little(), Qt.KeyboardModifier.ShiftModifier)
        self.window.sheet.take_up("")
        assert not self.session.drafting

    # ---- trials --------------------------------------------------------------------------------------------------

    def try_out(self) -> None:
        """One fault or two, something dragged meanwhile, and back; or kept as a sequence."""
        sequence, trying = self.session.sequence, self.window.trials.trying
        faults = list(every_fault(self.session.project, sequence.id)) if sequence.steps else []
        if not faults:
            return
        some = self.choice.sample(faults, min(len(faults), self.choice.choice((1, 2))))
        trying.show(Trial(sequence.id, together(some)))
        self.choice.choice((self.reshape, self.shift, self.scrub))()
        never_looks_checked_unchecked(self.window)
        if self.choice.random() < 0.2:
            trying.keep()
        trying.leave()
        assert self.session.trial is None

    # ---- keys and menus ------------------------------------------------------------------------------------------

    def command(self) -> None:
        if (step := self.step()) is not None and self.choice.random() < 0.7:
            self.session.choose(step)
        self.window.commands[self.choice.choice(COMMANDS)].trigger()

    def remove(self) -> None:
        self.window.commands["remove"].trigger()

    def scrub(self) -> None:
        self.session.set_moment(self.choice.uniform(0.0, 9.0))


def never_looks_checked_unchecked(window: MainWindow) -> None:
    """Whatever shows a verdict shows it as current only where it is of what is shown."""
    session, parts = window.session, window.sequence
    study = session.study
    current = study is not None and study.project == session.shown and not study.behind and not session.senseless
    if not current:
        assert parts.ribbons.stale
        assert parts.ruler.stale
        assert parts.lanes.stale
        assert window.findings.standing.count in ("checking…", "not checked")
        assert window.standing in ("checking…", "not checked")


def agrees_with_a_fresh_check(window: MainWindow) -> None:
    study, fresh = window.session.study, run(window.session.project)
    for one, other in zip(study.sequences, fresh.sequences, strict=True):
        assert [finding.sentence for finding in one.findings] == [finding.sentence for finding in other.findings]


@pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")
@pytest.mark.parametrize(
    ("seed", "acts"), [(1, 60), (2, 60), pytest.param(3, 1000, marks=[pytest.mark.long, pytest.mark.timeout(1200)])]
)
def test_a_random_hand_breaks_nothing(qtbot, tmp_path, seed: int, acts: int):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        file = tmp_path / "aircraft" / "project.json"
        written, opened = file.read_bytes(), window.session.project
        hand = RandomHand(window, seed, lambda: wait_for_check(qtbot, window))
        for number in range(acts):
            hand.act()
            assert problems(window.session.project) == ()
            never_looks_checked_unchecked(window)
            if number % 40 == 39:
                wait_for_check(qtbot, window)
                agrees_with_a_fresh_check(window)
        assert window.session.undo_label is not None
        assert sum(count > 0 for count in hand.done.values()) >= 6, hand.done
        assert acts < 1000 or min(hand.done[one] for one in ("reshape", "set_by_pull", "order_several")) > 0, hand.done
        while window.session.undo_label is not None:
            window.session.undo()
        assert window.session.project == opened
        assert encode(window.session.project) == written
        wait_for_check(qtbot, window)
        agrees_with_a_fresh_check(window)
        assert window.keeping.keeper.flush()
        assert file.read_bytes() == written
