"""Round the window by the Tab key: wherever the keyboard is can be seen, and is called by a name."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget

from app.main_window import MainWindow
from app.settings import Look
from core.document.project_file import write_project
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check

MOST_STOPS = 100


@pytest.fixture(params=[Look.LIGHT, Look.DARK])
def empty(request, qtbot, tmp_path: Path):
    """A window that nothing is open in, and where two aircraft were open before."""
    with opened_window(qtbot, tmp_path) as window:
        for name in ("one", "other"):
            write_project(small_aircraft(), tmp_path / name)
            window.settings.remember(tmp_path / name)
        window.set_look(request.param)
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        yield window


@pytest.fixture
def window(empty: MainWindow, qtbot, tmp_path: Path) -> MainWindow:
    write_project(small_aircraft(), tmp_path / "aircraft")
    assert empty.keeping.open(tmp_path / "aircraft")
    wait_for_check(qtbot, empty)
    return empty


def seen(window: MainWindow, stop: QWidget) -> QImage:
    return window.grab(QRect(stop.mapTo(window, QPoint(0, 0)), stop.size())).toImage()


def stops_of(window: MainWindow) -> list[QWidget]:
    """Where the Tab key leads, once round; each is seen to have the keyboard, and called by a name."""
    stops: list[QWidget] = []
    while len(stops) < MOST_STOPS:
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        stop = QApplication.focusWidget()
        if stop in stops:
            break
        stops.append(stop)
        focused = seen(window, stop)
        stop.clearFocus()
        assert seen(window, stop) != focused, f"{stop} {stop.accessibleName()}"
        stop.setFocus(Qt.FocusReason.TabFocusReason)
        assert stop.accessibleName() or stop.text(), stop
    return stops


def test_every_stop_of_the_window_is_seen_and_named(window: MainWindow):
    window.sequence.lanes.setFocus()
    stops = stops_of(window)
    for part in (window.sequence.lanes, window.sheet.panes.canvas, window.findings.list, window.details.lists.view):
        assert part in stops
    assert len(stops) > 30


def test_every_stop_of_the_start_page_is_seen_and_named(empty: MainWindow, qtbot):
    assert empty.recent_pictures.shut_down()
    QApplication.processEvents()  # no picture comes, and with it another row, meanwhile
    qtbot.waitUntil(lambda: all(row.isVisible() for row in empty.start.rows))
    first = next(one for one in empty.start.findChildren(QPushButton) if one.isDefault())
    first.setFocus()
    stops = stops_of(empty)
    assert first in stops
    assert set(empty.start.rows) <= set(stops)
    assert len(empty.start.rows) == 2


def test_a_row_that_gets_its_picture_keeps_the_keyboard(empty: MainWindow, qtbot):
    assert empty.recent_pictures.shut_down()
    QApplication.processEvents()
    qtbot.waitUntil(lambda: all(row.isVisible() for row in empty.start.rows))
    empty.start.rows[1].setFocus()
    before = empty.start.rows[1]
    empty.recent_pictures.made.emit()
    assert empty.start.rows[1] is not before
    assert empty.start.rows[1].hasFocus()
