"""Round the window by the Tab key: wherever the keyboard is can be seen, and is called by a name."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.main_window import MainWindow
from app.settings import Look
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window

MOST_STOPS = 100


@pytest.fixture(params=[Look.LIGHT, Look.DARK])
def window(request, qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.set_look(request.param)
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        yield window


def seen(window: MainWindow, stop: QWidget) -> QImage:
    return window.grab(QRect(stop.mapTo(window, QPoint(0, 0)), stop.size())).toImage()


def test_every_stop_is_seen_and_named(window: MainWindow):
    window.sequence.lanes.setFocus()
    stops: list[QWidget] = []
    for _ in range(MOST_STOPS):
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
    assert window.sequence.lanes in stops, "the keyboard comes round"
    assert window.sheet.panes.canvas in stops
    assert window.findings.list in stops
    assert window.details.lists.view in stops
    assert len(stops) > 30
