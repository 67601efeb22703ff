"""The lists under the hand: several chosen as on the sheet, marks clicked, bodies dragged, a menu asked for."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QItemSelectionModel, QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.main_window import MainWindow
from app.panels.lists import ListsPanel
from app.panels.thing_delegate import look_box
from app.panels.thing_model import ID_ROLE, ROWS, THING_ROLE
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window

LEFT, PLAIN = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
OFFSCREEN_MENU = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.details.splitter.setSizes([80, 600])
        QApplication.processEvents()
        yield window


@pytest.fixture
def lists(window: MainWindow) -> ListsPanel:
    return window.details.lists


def row(lists: ListsPanel, thing: str):
    number = lists.model.row_of(thing)
    assert number is not None
    return lists.model.index(number)


def click(lists: ListsPanel, thing: str, keys: Qt.KeyboardModifier = PLAIN) -> None:
    at = lists.view.visualRect(row(lists, thing)).center() - QPoint(60, 0)
    QTest.mouseClick(lists.view.viewport(), LEFT, keys, at)


def click_mark(lists: ListsPanel, thing: str, look: str) -> None:
    QTest.mouseClick(lists.view.viewport(), LEFT, PLAIN, mark(lists, thing, look))


def mark(lists: ListsPanel, thing: str, look: str) -> QPoint:
    return look_box(lists.view.visualRect(row(lists, thing)), look).center()


def selected(lists: ListsPanel) -> set[str]:
    return {index.data(ID_ROLE) for index in lists.view.selectedIndexes()}


def order(window: MainWindow) -> list[str]:
    return [one.id for one in window.session.project.bodies]


def thing(window: MainWindow, thing_id: str):
    project = window.session.project
    return next(one for one in (*project.bodies, *project.connections) if one.id == thing_id)


# ---- several chosen --------------------------------------------------------------------------------------------------


def test_several_are_chosen_in_the_list_as_on_the_sheet(window: MainWindow, lists: ListsPanel):
    click(lists, "leg")
    click(lists, "hinge", Qt.KeyboardModifier.ControlModifier)
    assert window.session.chosen == ("leg", "hinge")
    click(lists, "leg", Qt.KeyboardModifier.ControlModifier)
    assert window.session.chosen == ("hinge",)
    click(lists, "door")
    click(lists, "airframe", Qt.KeyboardModifier.ShiftModifier)
    assert window.session.chosen == ("door", "leg", "airframe"), "the one clicked last leads"


def test_what_is_let_go_in_the_list_is_let_go_everywhere(window: MainWindow, lists: ListsPanel):
    click(lists, "leg")
    click(lists, "leg", Qt.KeyboardModifier.ControlModifier)
    assert window.session.chosen == ()
    click(lists, "leg")
    lists.search.setText("leg")
    QTest.mouseClick(lists.view.viewport(), LEFT, PLAIN, lists.view.viewport().rect().bottomLeft() - QPoint(-5, 5))
    assert window.session.chosen == ()


def test_what_the_sheet_chooses_is_chosen_in_the_list(window: MainWindow, lists: ListsPanel):
    window.session.choose_several(("door", "leg", "hinge"))
    assert selected(lists) == {"door", "leg", "hinge"}
    assert lists.view.currentIndex().data(ID_ROLE) == "hinge"
    window.session.choose(None)
    assert selected(lists) == set()
    assert window.session.chosen == ()


def test_the_keyboard_chooses_several(window: MainWindow, lists: ListsPanel):
    click(lists, "door")
    QTest.keyClick(lists.view, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert window.session.chosen == ("door", "leg")


def test_a_search_keeps_what_is_chosen_until_another_is(window: MainWindow, lists: ListsPanel):
    window.session.choose_several(("leg", "door"))
    lists.search.setText("door")
    assert window.session.chosen == ("leg", "door")
    assert selected(lists) == {"door"}
    click(lists, "aft-door")
    assert window.session.chosen == ("aft-door",)


# ---- marks -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("look", ["hidden", "locked"])
@pytest.mark.parametrize("one", ["leg", "hinge"])
def test_a_click_on_a_mark_hides_or_locks_and_chooses_nothing(window: MainWindow, lists: ListsPanel, look, one):
    click_mark(lists, one, look)
    assert getattr(thing(window, one), look)
    assert window.session.chosen == ()
    click_mark(lists, one, look)
    assert not getattr(thing(window, one), look)
    window.session.undo()
    assert getattr(thing(window, one), look)


def test_a_mark_of_one_of_several_is_meant_for_all(window: MainWindow, lists: ListsPanel):
    window.session.choose_several(("leg", "door"))
    click_mark(lists, "door", "locked")
    assert [one.locked for one in window.session.project.bodies] == [False, True, True, False]
    assert window.session.undo_label == "Lock 2 things"
    click_mark(lists, "airframe", "hidden")
    assert [one.hidden for one in window.session.project.bodies] == [True, False, False, False]


def test_drives_and_steps_have_no_marks(window: MainWindow, lists: ListsPanel):
    before = window.session.project
    for one in ("gear", "leg-up"):
        click_mark(lists, one, "hidden")
        assert window.session.chosen == (one,)
    assert window.session.project is before


def test_marks_say_what_they_are_and_rows_read_it_out(window: MainWindow, lists: ListsPanel):
    click_mark(lists, "leg", "hidden")
    assert lists.view.tip("hidden", row(lists, "leg")) == "Hidden, still checked – click to draw it again"
    assert lists.view.tip("locked", row(lists, "leg")) == "Free – click to lock it"
    assert row(lists, "leg").data(Qt.ItemDataRole.AccessibleTextRole) == "Nose leg, hidden, leg"


def test_what_is_hidden_is_counted_and_shown_again(window: MainWindow, lists: ListsPanel):
    assert lists.note == ""
    click_mark(lists, "leg", "hidden")
    click_mark(lists, "hinge", "hidden")
    assert lists.note == "2 hidden, still checked"
    lists.show_all.click()
    assert lists.note == ""
    assert window.session.undo_label == "Show everything"


def test_marks_are_painted_as_they_stand(window: MainWindow, lists: ListsPanel):
    def picture(look: str):
        box = look_box(lists.view.visualRect(row(lists, "leg")), look)
        return lists.view.viewport().grab(box).toImage()

    before = picture("hidden"), picture("locked")
    click_mark(lists, "leg", "hidden")
    click_mark(lists, "leg", "locked")
    QTest.mouseMove(lists.view.viewport(), QPoint(5, 5))
    assert picture("hidden") != before[0]
    assert picture("locked") != before[1]


def test_a_change_of_looks_leaves_the_list_where_it_is(window: MainWindow, lists: ListsPanel):
    window.details.splitter.setSizes([600, 120])
    QApplication.processEvents()
    bar = lists.view.verticalScrollBar()
    bar.setValue(bar.maximum())
    stood = bar.value()
    assert stood > 0
    window.arranging.hide(("leg",), hidden=True)
    assert bar.value() == stood


# ---- dragged ---------------------------------------------------------------------------------------------------------


def drop(lists: ListsPanel, dragged: tuple[str, ...], at: QPoint, source: object | None = None) -> None:
    data = QMimeData()
    data.setData(ROWS, lists.model.mimeData([row(lists, one) for one in dragged]).data(ROWS))
    event = _Drop(QPointF(at), data, lists.view if source is None else source)
    lists.view.dropEvent(event)


class _Drop(QDropEvent):
    """A drop whose source can be told without a drag under way."""

    def __init__(self, at: QPointF, data: QMimeData, source: object) -> None:
        super().__init__(at, Qt.DropAction.MoveAction, data, LEFT, PLAIN)
        self._source = source

    def source(self) -> object:
        return self._source


def edge(lists: ListsPanel, one: str, *, upper: bool) -> QPoint:
    box = lists.view.visualRect(row(lists, one))
    return QPoint(40, box.top() + 3 if upper else box.bottom() - 3)


@pytest.mark.parametrize(("dragged", "onto", "upper", "then"), [
    (("airframe",), "aft-door", True, ["leg", "door", "aft-door", "airframe"]),
    (("aft-door",), "leg", True, ["airframe", "leg", "aft-door", "door"]),
    (("aft-door",), "leg", False, ["airframe", "aft-door", "leg", "door"]),
    (("door", "leg"), "airframe", False, ["leg", "door", "airframe", "aft-door"]),
])  # fmt: skip
def test_bodies_dragged_in_the_list_are_drawn_as_they_stand_there(window, lists, dragged, onto, upper, then):
    drop(lists, dragged, edge(lists, onto, upper=upper))
    assert order(window) == then
    shown = [lists.model.index(n).data(ID_ROLE) for n in range(1, 5)]
    assert shown == then[::-1]
    window.session.undo()
    assert order(window) == ["airframe", "leg", "door", "aft-door"]


def test_bodies_are_not_dropped_among_connections_nor_from_elsewhere(window: MainWindow, lists: ListsPanel):
    before = window.session.project
    drop(lists, ("leg",), edge(lists, "hinge", upper=False))
    drop(lists, ("leg",), edge(lists, "airframe", upper=False), source=window.sheet)
    assert window.session.project is before


def test_only_bodies_can_be_dragged(lists: ListsPanel):
    draggable = {
        one: bool(lists.model.flags(row(lists, one)) & Qt.ItemFlag.ItemIsDragEnabled)
        for one in ("leg", "hinge", "gear")
    }
    assert draggable == {"leg": True, "hinge": False, "gear": False}


# ---- the menu --------------------------------------------------------------------------------------------------------


def words_of(menu) -> list[str]:
    return [action.text().replace("&", "") for action in menu.actions() if not action.isSeparator()]


def ask(lists: ListsPanel, at: QPoint, reason=QContextMenuEvent.Reason.Mouse) -> None:
    event = QContextMenuEvent(reason, at, lists.view.viewport().mapToGlobal(at))
    QApplication.sendEvent(lists.view.viewport(), event)


@OFFSCREEN_MENU
def test_the_menu_of_a_row_chooses_it_and_offers_what_the_menus_do(window: MainWindow, lists: ListsPanel):
    ask(lists, lists.view.visualRect(row(lists, "leg")).center())
    menu = window.sheet.things_menu.menu
    assert window.session.chosen == ("leg",)
    assert {"Move", "Copy", "Put a copy", "Rename", "Hidden", "Locked", "Lay it", "Tint of it"} <= set(words_of(menu))
    assert window.commands["hide"] in menu.actions()
    menu.close()


@OFFSCREEN_MENU
def test_the_menu_of_several_keeps_them_chosen(window: MainWindow, lists: ListsPanel):
    window.session.choose_several(("leg", "door"))
    ask(lists, lists.view.visualRect(row(lists, "leg")).center())
    menu = window.sheet.things_menu.menu
    assert window.session.chosen == ("leg", "door")
    assert words_of(menu)[:2] == ["Join bodies", "Cut away"]
    menu.close()


@OFFSCREEN_MENU
def test_the_menu_asked_for_by_a_key_is_of_what_is_chosen(window: MainWindow, lists: ListsPanel):
    window.session.choose("hinge")
    ask(lists, QPoint(1, 1), QContextMenuEvent.Reason.Keyboard)
    menu = window.sheet.things_menu.menu
    assert window.session.chosen == ("hinge",)
    assert "Drive it" in words_of(menu)
    menu.close()


@OFFSCREEN_MENU
def test_the_menu_beside_the_rows_offers_paste_fit_and_show_everything(window: MainWindow, lists: ListsPanel):
    window.session.choose("leg")
    lists.search.setText("hinge")
    ask(lists, lists.view.viewport().rect().bottomLeft() - QPoint(-5, 5))
    menu = window.sheet.things_menu.menu
    assert window.session.chosen == ()
    assert {"Paste", "Fit the view", "Show everything"} <= set(words_of(menu))
    menu.close()


def test_choosing_by_the_model_alone_says_nothing(window: MainWindow, lists: ListsPanel):
    """A list makes its first row current when the keyboard comes to it."""
    lists.view.selectionModel().setCurrentIndex(row(lists, "leg"), QItemSelectionModel.SelectionFlag.NoUpdate)
    assert window.session.chosen == ()
    assert lists.model.index(0).data(THING_ROLE).id is None
