"""Starting, being told off, and going on."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QUrl

from app import application
from app.application import error_teller
from app.aside import Aside
from app.drops import dropped_path
from core.document.project_file import write_project
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window

ROOT = Path(__file__).resolve().parents[2]

RUN = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from app import application

def look():
    window = next(one for one in QApplication.topLevelWidgets() if one.objectName() == "window")
    print(window.windowTitle(), "|", window.notice.text)
    window.close()

application.make_application()
QTimer.singleShot(0, look)
sys.exit(application.run_window(Path(sys.argv[1]) if len(sys.argv) > 1 else None))
"""


def started(tmp_path: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    environment = {
        **os.environ, "QT_QPA_PLATFORM": "offscreen", "XDG_CONFIG_HOME": str(tmp_path), "PYTHONPATH": str(ROOT),
    }  # fmt: skip
    return subprocess.run(
        [sys.executable, "-c", RUN, *arguments], env=environment, capture_output=True, text=True, timeout=240
    )


def test_a_window_waits_for_nothing_that_it_can_do_without():
    """What is only needed for a fit, a pull, a carry, a curve or a DXF file is loaded after it is there, or then."""
    later = ("ezdxf", "pyqtgraph", "scipy.optimize", "scipy.sparse.csgraph", "scipy.spatial")
    told = f"print(*sorted(set({later!r}) & sys.modules.keys()))"
    load = "aside = application.Aside(); application.load_rest(aside)\nwhile not aside.finish(): pass"
    look = f"import sys; from app import application; {told}; {load}\n{told}"
    ended = subprocess.run([sys.executable, "-c", look], cwd=ROOT, capture_output=True, text=True, timeout=240)
    assert ended.stdout.splitlines() == ["", "scipy.optimize scipy.sparse.csgraph scipy.spatial"], ended.stderr


def test_what_is_loaded_when_the_window_is_there_does_not_hold_it_up(qapp, monkeypatch):
    by = []
    monkeypatch.setattr(application, "load_solvers", lambda: by.append(threading.current_thread()))
    aside = Aside()
    application.load_rest(aside)
    assert aside.finish()
    assert by != [threading.main_thread()]
    assert len(by) == 1


def test_closing_while_the_check_runs_ends_cleanly(tmp_path: Path):
    write_project(small_aircraft(), tmp_path / "aircraft")
    ended = started(tmp_path, str(tmp_path / "aircraft"))
    assert (ended.returncode, ended.stdout) == (0, "Merrow T.2 (aircraft)[*] – Bayfold | \n"), ended.stderr


def test_it_starts_without_an_aircraft(tmp_path: Path):
    ended = started(tmp_path)
    assert (ended.returncode, ended.stdout) == (0, "Bayfold | \n"), ended.stderr


def test_an_aircraft_that_cannot_be_read_opens_the_window_with_the_reason(tmp_path: Path):
    (tmp_path / "project.json").write_text("[]")
    ended = started(tmp_path, str(tmp_path))
    assert ended.returncode == 0
    assert ended.stdout.startswith(f"Bayfold | {tmp_path / 'project.json'}")


def test_an_error_nobody_caught_is_one_line_and_the_window_lives(qtbot, tmp_path: Path, capsys):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        error = ZeroDivisionError("float\ndivision")
        error_teller(window)(type(error), error, None)
        assert (
            window.notice.text == "Something went wrong: ZeroDivisionError: float division. The aircraft is as it was."
        )
        assert window.isVisible()
    assert "ZeroDivisionError" in capsys.readouterr().err


@pytest.mark.parametrize(("name", "taken"), [("aircraft", True), ("aircraft/project.json", True), ("notes.txt", False)])
def test_what_may_be_dropped_on_the_window(tmp_path: Path, name: str, taken: bool):
    write_project(small_aircraft(), tmp_path / "aircraft")
    (tmp_path / "notes.txt").write_text("")
    data = QMimeData()
    data.setUrls([QUrl("https://example.org/project.json"), QUrl.fromLocalFile(str(tmp_path / name))])
    path = dropped_path(data.urls())
    assert path == (tmp_path / name if taken else None)


def test_what_draws_curves_is_loaded_by_the_windows_own_thread():
    """It makes enumerations of Qt's while it is loaded: beside a window at work another thread would crash there."""
    code = (
        "import threading, sys, app.application as application\n"
        "application.load_plot()\n"
        "print('pyqtgraph' in sys.modules, threading.active_count())"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert said.stdout.strip() == "True 1"
