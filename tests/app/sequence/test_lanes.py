"""The lanes under mouse and keyboard, in a window: every gesture, what it asks, and what a mark tells."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QFontMetricsF
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.main_window import MainWindow
from app.sequence.bars import Part
from app.sequence.lanes import ROOM, Lanes
from app.session import IN_TRIAL
from core.document.project import Need
from core.document.sequence_edits import AddSequence
from core.document.step_edits import ReplaceStep
from core.findings.finding import Kind
from core.motion.schedule import lay_out
from core.trials.fault import Late
from core.trials.trial import Trial
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check

OFFSCREEN_MENU = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")
LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


@pytest.fixture
def window(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


@pytest.fixture
def lanes(window: MainWindow) -> Lanes:
    return window.sequence.lanes


def hold(lanes: Lanes, start: QPointF, *way: QPointF, twice: bool = False) -> None:
    """Press, or press twice quickly, and go along a way; the button stays down."""
    (QTest.mouseDClick if twice else QTest.mousePress)(lanes, LEFT, NONE, start.toPoint())
    for at in way:
        for part in (0.3, 0.7, 1.0):
            QTest.mouseMove(lanes, (start + (at - start) * part).toPoint())
        start = at


def let_go(lanes: Lanes, at: QPointF) -> None:
    QTest.mouseRelease(lanes, LEFT, NONE, at.toPoint())


def middle(lanes: Lanes, step: str) -> QPointF:
    return lanes.bars.box(step).center()


def free_row(lanes: Lanes, time: float) -> QPointF:
    bars = lanes.bars
    return QPointF(lanes.scale.x(time), bars.row_box(len(bars.schedule.steps), lanes.width()).center().y())


def ids(window: MainWindow) -> list[str]:
    return [one.id for one in window.session.project.sequences[0].steps]


def spans(window: MainWindow) -> dict[str, tuple[float, float]]:
    return {one.id: (one.begin, one.end) for one in window.session.schedule.steps}


@OFFSCREEN_MENU
def test_a_stretch_of_the_free_row_is_a_step_for_the_drive_that_is_named(window: MainWindow, lanes: Lanes):
    before = ids(window)
    hold(lanes, free_row(lanes, 2.0), free_row(lanes, 3.0))
    assert len(lanes.bars.schedule.steps) == 4, "it is seen as it is drawn"
    assert ids(window) == before
    let_go(lanes, free_row(lanes, 3.0))
    assert [one.text() for one in lanes.menu.actions() if one.text()] == ["Leg angle", "Main door", "None: a wait"]
    lanes.menu.actions()[1].trigger()
    (made,) = [one for one in window.session.sequence.steps if one.id not in before]
    assert [move.drive for move in made.moves] == ["doors"]
    assert spans(window)[made.id] == pytest.approx((2.0, 3.0), abs=0.06)
    assert window.session.selection == made.id
    window.session.undo()
    assert ids(window) == before


@OFFSCREEN_MENU
def test_leaving_the_menu_of_drives_makes_no_step(window: MainWindow, lanes: Lanes, qtbot):
    before = window.session.project
    hold(lanes, free_row(lanes, 2.0), free_row(lanes, 3.0))
    let_go(lanes, free_row(lanes, 3.0))
    lanes.menu.close()
    qtbot.waitUntil(lambda: lanes.gesture is None)
    assert window.session.project is before
    assert not window.session.drafting
    assert len(lanes.bars.schedule.steps) == 3


def test_a_press_on_the_free_row_only_brings_the_rule(window: MainWindow, lanes: Lanes):
    QTest.mouseClick(lanes, LEFT, NONE, free_row(lanes, 4.0).toPoint())
    assert window.session.moment == pytest.approx(4.0, abs=0.02)
    assert window.session.undo_label is None


def test_beyond_the_rulers_end_more_time_comes_in(window: MainWindow, lanes: Lanes, qtbot):
    window.session.choose("doors")
    start, end = free_row(lanes, 7.2), QPointF(lanes.width() - 2, free_row(lanes, 7.2).y())
    hold(lanes, start, end)
    qtbot.waitUntil(lambda: lanes.scale.seconds > 10.0)
    assert window.sequence.ruler.scale == lanes.scale == window.sequence.curves.scale, "all strips go together"
    let_go(lanes, end)
    made = window.session.sequence.steps[-1]
    assert spans(window)[made.id][0] == pytest.approx(7.2)
    assert spans(window)[made.id][1] > 9.0
    assert lanes.scale.seconds == window.session.schedule.seconds


@pytest.mark.parametrize(("part", "waits"), [(Part.END, "after"), (Part.BEGIN, "together_with")])
def test_a_line_from_a_handle_to_a_step_has_that_wait(window: MainWindow, lanes: Lanes, part: Part, waits: str):
    start, end = lanes.bars.handle("doors-open", part).center(), middle(lanes, "leg-up")
    hold(lanes, start, end)
    let_go(lanes, end)
    step = window.session.sequence.steps[1]
    assert (getattr(step, waits), step.delay) == ("doors-open", 0.0)


def test_a_ring_is_refused_and_nothing_changes(window: MainWindow, lanes: Lanes):
    before = window.session.project
    start, end = lanes.bars.handle("doors-close", Part.END).center(), middle(lanes, "doors-open")
    hold(lanes, start, end)
    assert "wait for each other" in lanes.gesture.refused
    let_go(lanes, end)
    assert window.session.project is before
    assert "wait for each other" in window.notice.text


def test_a_bar_dragged_down_changes_its_row(window: MainWindow, lanes: Lanes):
    before = spans(window)
    start, end = middle(lanes, "doors-open"), middle(lanes, "doors-open") + QPointF(4, 60)
    hold(lanes, start, end)
    let_go(lanes, end)
    assert ids(window) == ["leg-up", "doors-close", "doors-open"]
    assert spans(window) == {one: pytest.approx(span) for one, span in before.items()}


def test_the_left_edge_is_dragged(window: MainWindow, lanes: Lanes):
    box = lanes.bars.box("leg-up")
    start = QPointF(box.left() + 2, box.center().y() - 4)
    end = start + QPointF(1.0 / lanes.scale.seconds_per_pixel, 0)
    hold(lanes, start, end)
    let_go(lanes, end)
    assert spans(window)["leg-up"] == pytest.approx((2.7, 5.7), abs=0.06)


def test_several_steps_are_chosen_and_shifted_together(window: MainWindow, lanes: Lanes):
    QTest.mouseClick(lanes, LEFT, NONE, middle(lanes, "leg-up").toPoint())
    QTest.mouseClick(lanes, LEFT, Qt.KeyboardModifier.ShiftModifier, middle(lanes, "doors-close").toPoint())
    assert lanes.commands.chosen == ("leg-up", "doors-close")
    start = middle(lanes, "leg-up")
    end = start + QPointF(0.5 / lanes.scale.seconds_per_pixel, 0)
    hold(lanes, start, end)
    let_go(lanes, end)
    assert window.session.undo_label == "Shift 2 steps"
    assert spans(window)["leg-up"][0] == pytest.approx(2.2, abs=0.06)


@pytest.mark.parametrize("how", ["double click", "key"])
def test_a_step_is_named_in_place(window: MainWindow, lanes: Lanes, how: str):
    if how == "key":
        window.session.choose("leg-up")
        window.commands["step-rename"].trigger()
    else:
        hold(lanes, middle(lanes, "leg-up"), twice=True)
        let_go(lanes, middle(lanes, "leg-up"))
    line = lanes.name_line
    assert (line.text(), line.selectedText()) == ("Leg up", "Leg up")
    QTest.keyClicks(line, "Up she goes")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert window.session.sequence.steps[1].name == "Up she goes"
    assert line.isHidden()
    lanes.ask_for_name()
    QTest.keyClicks(line, "Not this")
    QTest.keyClick(line, Qt.Key.Key_Escape)
    assert window.session.sequence.steps[1].name == "Up she goes"


def test_a_bar_that_is_pressed_twice_and_dragged_goes_along(window: MainWindow, lanes: Lanes):
    start = middle(lanes, "leg-up")
    end = start + QPointF(0.5 / lanes.scale.seconds_per_pixel, 0)
    hold(lanes, start, end, twice=True)
    let_go(lanes, end)
    assert window.session.undo_label == "Shift step"
    assert not lanes.name_line.asking


def test_escape_gives_up_every_gesture(window: MainWindow, lanes: Lanes):
    before = window.session.project
    bars = lanes.bars
    starts = (
        middle(lanes, "leg-up"), bars.box("leg-up").topRight() + QPointF(-2, 4),
        bars.box("leg-up").topLeft() + QPointF(2, 4), bars.handle("leg-up", Part.BEGIN).center(),
        QPointF(60, middle(lanes, "leg-up").y()), free_row(lanes, 1.0),
    )  # fmt: skip
    for start in starts:
        end = start + QPointF(60, 30) if start.x() < 100 else middle(lanes, "doors-close") + QPointF(9, 0)
        hold(lanes, start, end)
        assert lanes.gesture is not None
        QTest.keyClick(lanes, Qt.Key.Key_Escape)
        assert lanes.gesture is None
        let_go(lanes, end)
        assert window.session.project is before
        assert not window.session.drafting


def test_keys_do_what_the_hand_does(window: MainWindow, lanes: Lanes):
    window.session.choose("leg-up")
    before = spans(window)["leg-up"]
    for key, change in ((".", (0.05, 0.05)), (",", (-0.05, -0.05)), ("l", (0.0, 0.05)), ("k", (0.0, -0.05))):
        start = spans(window)["leg-up"]
        QTest.keyClicks(window, key)
        moved = [now - then for now, then in zip(spans(window)["leg-up"], start, strict=True)]
        assert moved == pytest.approx(change)
    assert spans(window)["leg-up"] == pytest.approx(before)
    QTest.keyClick(window, Qt.Key.Key_PageDown, Qt.KeyboardModifier.AltModifier)
    assert ids(window) == ["doors-open", "doors-close", "leg-up"]


def test_a_step_is_split_at_the_rule_and_joined_again(window: MainWindow):
    session, before, drawn = window.session, spans(window), window.session.project
    session.choose("doors-close")
    session.set_moment(0.5)
    window.commands["step-split"].trigger()
    assert "bring the rule between" in window.notice.text
    session.set_moment(before["doors-close"][0] + 0.5)
    window.commands["step-split"].trigger()
    assert session.selection == ids(window)[3]
    first, second = session.sequence.steps[2:]
    assert first.moves[0].to == pytest.approx(92.0 * (1.0 - 0.5 / 1.5))
    assert (first.duration, second.duration) == pytest.approx((0.5, 1.0))
    window.commands["step-join"].trigger()
    assert session.selection == "doors-close"
    assert session.project == drawn


def test_a_step_split_between_others_is_joined_with_its_own_rest_and_not_with_the_next(window: MainWindow):
    session, drawn = window.session, window.session.project
    session.choose("leg-up")
    session.set_moment(sum(spans(window)["leg-up"]) / 2.0)
    window.commands["step-split"].trigger()
    window.commands["step-split"].trigger()
    assert "bring the rule between" in window.notice.text
    session.set_moment(sum(spans(window)[session.selection]) / 2.0)
    window.commands["step-split"].trigger()
    assert len(ids(window)) == 5
    window.commands["step-join"].trigger()
    window.commands["step-join"].trigger()
    assert session.project == drawn, "name, ends, latches, needs and what follows"
    window.commands["step-join"].trigger()
    assert ids(window) == ["doors-open", "leg-up"], "what is nobody's rest is joined with the one below it"


def test_a_step_is_doubled_after_itself(window: MainWindow):
    before = spans(window)
    window.session.choose("doors-open")
    window.commands["step-copy"].trigger()
    made = window.session.selection
    assert ids(window)[1] == made
    assert spans(window)[made] == pytest.approx((1.5, 3.0))
    assert {one: spans(window)[one] for one in before} == {one: pytest.approx(span) for one, span in before.items()}


def test_all_chosen_steps_are_removed_at_once(window: MainWindow):
    window.session.choose_several(("leg-up", "doors-open"))
    window.commands["remove"].trigger()
    assert ids(window) == ["doors-close"]
    window.session.undo()
    assert ids(window) == ["doors-open", "leg-up", "doors-close"]


@OFFSCREEN_MENU
def test_the_menu_of_a_step_chains_it_and_gives_it_drives(window: MainWindow, lanes: Lanes):
    at = middle(lanes, "doors-close").toPoint()
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, lanes.mapToGlobal(at))
    QApplication.sendEvent(lanes, event)
    menu = window.sequence.step_menu.menu
    assert window.session.selection == "doors-close"
    after, along, drives = (action.menu() for action in menu.actions()[:3])
    assert [one.text() for one in after.actions() if one.text()] == ["The step above it", "Doors open", "Leg up"]
    assert after.actions()[0].isChecked()
    along.actions()[0].trigger()
    step = window.session.sequence.steps[2]
    assert step.together_with is None, "both would move the door at once"
    assert "moves drive “Main door”" in window.notice.text
    next(one for one in drives.actions() if one.text() == "Leg angle").trigger()
    assert [move.drive for move in window.session.sequence.steps[2].moves] == ["doors", "gear"]
    menu.close()


def test_a_step_that_begins_too_soon_wears_a_mark_that_goes_there(window: MainWindow, lanes: Lanes, qtbot):
    session = window.session
    step = session.sequence.steps[1]
    needs = (Need(drive="doors", at_least=95.0),)
    session.push(ReplaceStep("retract", replace(step, needs=needs), "Change what the step needs"))
    assert lanes.early == {}
    wait_for_check(qtbot, window)
    (finding,) = [one for one in session.sequence_study.findings if one.kind is Kind.EARLY]
    assert lanes.early == {"leg-up": finding}
    mark = lanes.bars.mark("leg-up")
    ink = lanes.inks.grave.name()
    image = lanes.grab(mark.toAlignedRect()).toImage()
    assert ink in {image.pixelColor(x, y).name() for x in range(image.width()) for y in range(image.height())}
    QTest.mouseClick(lanes, LEFT, NONE, mark.center().toPoint())
    assert (session.finding, session.selection) == (finding, "leg-up")
    assert session.moment == pytest.approx(finding.time)


def test_shift_and_arrows_choose_several(lanes: Lanes):
    QTest.keyClick(lanes, Qt.Key.Key_Down)
    QTest.keyClick(lanes, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert lanes.commands.chosen == ("doors-open", "leg-up")


def test_where_nothing_moves_yet_the_first_stretch_makes_the_sequence(qtbot, tmp_path):
    bare = replace(small_aircraft(), sequences=())
    with opened_window(qtbot, tmp_path, bare) as window:
        lanes = window.sequence.lanes
        window.session.choose("gear")
        start = QPointF(lanes.scale.left + 1, free_row(lanes, 0.0).y())
        end = start + QPointF(lanes.scale.width / 2, 0)
        hold(lanes, start, end)
        assert [step.name for step in lanes.bars.schedule.steps] == ["Leg angle"]
        let_go(lanes, end)
        (sequence,) = window.session.project.sequences
        assert sequence.name == "Retract"
        assert [(move.drive, move.to) for move in sequence.steps[0].moves] == [("gear", 105.0)]
        assert sequence.steps[0].duration == pytest.approx(ROOM / 2, abs=0.06)
        assert window.session.sequence == sequence
        wait_for_check(qtbot, window)


def test_another_sequence_in_the_middle_of_a_drag_leaves_nothing_proposed(window: MainWindow, lanes: Lanes):
    before, sequences = window.session.project, window.session.project.sequences
    window.session.push(AddSequence(replace(sequences[0], id="other", name="Other")))
    held = middle(lanes, "doors-close")
    hold(lanes, held, held + QPointF(-80, 0))
    assert window.session.drafting
    window.session.choose_sequence("other")
    assert not window.session.drafting, "the hand holds nothing of this sequence"
    let_go(lanes, held + QPointF(-80, 0))
    window.session.choose_sequence(sequences[0].id)
    assert spans(window)["doors-close"][0] == pytest.approx(lay_out(before.sequences[0]).step("doors-close").begin)


def test_a_chain_does_not_strike_through_what_stands_beside_a_bar(window: MainWindow, lanes: Lanes):
    held = middle(lanes, "doors-close")
    way = QPointF(lanes.scale.x(1.0) - lanes.bars.box("doors-close").left(), 0)
    hold(lanes, held, held + way)
    box, metrics = lanes.bars.box("doors-close"), QFontMetricsF(lanes.font())
    says = lanes.gesture.says
    name = lanes.bars.schedule.step("doors-close").name
    between = box.right() + 10 + metrics.horizontalAdvance(f"{name} ") + metrics.horizontalAdvance(" ") / 2
    beyond = box.right() + 10 + metrics.horizontalAdvance(f"{name}   {says}") + 4
    seen = lanes.grab().toImage()
    rows = range(int(box.top()) + 4, int(box.bottom()) - 3)
    assert len({seen.pixel(round(between), y) for y in rows}) == 1, "between the words is the row's ground alone"
    assert any(len({seen.pixel(round(beyond) + x, y) for y in rows}) > 1 for x in range(12)), "the chain goes on there"


def test_a_bar_of_a_trial_that_is_dragged_says_once_why_it_stays(window: MainWindow, lanes: Lanes):
    told: list[str] = []
    window.session.trouble.connect(told.append)
    window.session.try_out(Trial("retract", Late("doors", 0.5)))
    before, held = spans(window), middle(lanes, "leg-up")
    QTest.mouseClick(lanes, LEFT, NONE, held.toPoint())
    assert told == [], "a bar of a trial can be chosen"
    hold(lanes, held, held + QPointF(60, 0))
    let_go(lanes, held + QPointF(60, 0))
    assert told == [IN_TRIAL]
    assert spans(window) == before
    QTest.mouseMove(lanes, held.toPoint())
    assert told == [IN_TRIAL]
