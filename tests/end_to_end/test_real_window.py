"""A real window on a virtual screen: started as a user starts it, driven through the screen's own pointer and keys."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.panels.finding_groups import groups_of
from core.document.project_file import write_project
from core.study import run
from tests.app.small_aircraft import small_aircraft

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.skipif(shutil.which("Xvfb") is None, reason="there is no Xvfb to show a window on")

DRIVER = """
import sys
from pathlib import Path
from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from app import application
from app.main_window import MainWindow

def until(true):
    while not true():
        QTest.qWait(20)
    return True

def drive():
    window = next(one for one in QGuiApplication.instance().topLevelWidgets() if isinstance(one, MainWindow))
    window.activateWindow()
    QTest.qWaitForWindowActive(window)
    until(lambda: not window.runner.working)
    print("platform", QGuiApplication.platformName())
    print("title", window.windowTitle())
    ruler = window.sequence.ruler
    left = Qt.MouseButton.LeftButton
    QTest.mousePress(ruler, left, pos=QPoint(int(ruler.scale.x(0.5)), 26))
    for time in (1.0, 2.0, 3.0):
        QTest.mouseMove(ruler, QPoint(int(ruler.scale.x(time)), 26))
    QTest.mouseRelease(ruler, left, pos=QPoint(int(ruler.scale.x(3.0)), 26))
    print("moment", round(window.session.moment, 1))
    QTest.keyClick(window.sequence.lanes, Qt.Key.Key_Space)
    print("playing", window.playback.playing, until(lambda: window.session.moment > 3.2))
    if window.playback.playing:  # a machine that halted meanwhile has come to the end at once
        QTest.keyClick(window.sequence.lanes, Qt.Key.Key_Space)
    print("standing", window.standing)
    picture = window.screen().grabWindow(window.winId()).toImage()
    colours = {picture.pixel(x, y) for x in range(0, picture.width(), 7) for y in range(0, picture.height(), 7)}
    print("painted", picture.width() >= 900, len(colours) > 30)
    window.close()

application.make_application()
QTimer.singleShot(200, drive)
sys.exit(application.run_window(Path(sys.argv[1])))
"""


@pytest.fixture
def screen() -> Iterator[str]:
    """A virtual screen of its own; the server finds a free number and tells it."""
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1500x950x24", "-nolisten", "tcp"]
    server = subprocess.Popen(command, pass_fds=[write], stderr=subprocess.DEVNULL)
    os.close(write)
    with os.fdopen(read) as answer:
        number = answer.readline().strip()
    if not number:
        server.kill()
        pytest.skip("Xvfb is here and does not start")
    yield f":{number}"
    server.terminate()
    server.wait(60)


def test_a_real_window_is_scrubbed_and_played_and_closes_cleanly(screen: str, tmp_path: Path):
    write_project(small_aircraft(), tmp_path / "aircraft")
    found = len(groups_of(run(small_aircraft())))
    environment = {
        **os.environ, "DISPLAY": screen, "QT_QPA_PLATFORM": "xcb", "XDG_CONFIG_HOME": str(tmp_path),
        "PYTHONPATH": str(ROOT), "HOME": str(tmp_path), "LC_ALL": "C.UTF-8",
    }  # fmt: skip
    environment.pop("WAYLAND_DISPLAY", None)
    ended = subprocess.run(
        [sys.executable, "-W", "error", "-c", DRIVER, str(tmp_path / "aircraft")],
        env=environment, cwd=tmp_path, capture_output=True, text=True, timeout=240,
    )  # fmt: skip
    assert ended.stdout.splitlines() == [
        "platform xcb",
        "title Merrow T.2 (aircraft)[*] – Bayfold",
        "moment 3.0",
        "playing True True",
        f"standing {found} finding" if found == 1 else f"standing {found} findings",
        "painted True True",
    ], ended.stderr
    assert ended.returncode == 0, ended.stderr
    assert ended.stderr == ""
