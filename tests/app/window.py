"""A window for tests: settings in a folder of their own, a small aircraft on disk, and a wait for its check."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtCore import QSettings
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog

from app.main_window import MainWindow
from app.settings import Settings
from app.study_runner import run_here
from core.document.project import Project
from core.document.project_file import write_project

TURNS = 20
"""More than any chain of work is long that a window puts off, each piece for a turn of its own."""


def settings_in(folder: Path) -> Settings:
    settings = Settings(QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat))
    settings.home = folder / "home"
    return settings


@contextmanager
def opened_window(
    qtbot, folder: Path, project: Project | None = None, *, work: Callable[..., object] = run_here
) -> Iterator[MainWindow]:
    """A shown window; with a project, opened on its folder and checked. Closed without questions at the end."""
    window = MainWindow(settings_in(folder), work=work)
    window.resize(1440, 900)
    window.show()
    qtbot.waitExposed(window)
    if project is not None:
        write_project(project, folder / "aircraft")
        assert window.keeping.open(folder / "aircraft")
        wait_for_check(qtbot, window)
    try:
        yield window
    finally:
        if window.session.folder is not None:
            window.session.mark_saved(window.session.folder)
        window.close()
        window.deleteLater()


def wait_for_check(qtbot, window: MainWindow) -> None:
    qtbot.waitUntil(lambda: not (window.runner.working or window.session.moving))
    assert window.session.failure is None, window.session.failure
    assert window.session.study_current


def settle() -> None:
    """Have everything done that is only put off until there is time for it: layouts, and whatever follows from them.

    By turns and not for a while: in a while on the clock a busy machine may have done none of it.
    """
    for _ in range(TURNS):
        QTest.qWait(0)


def dialog_of(window: MainWindow, kind: type) -> QDialog:
    """The one open dialog of a kind."""
    found = [one for one in window.findChildren(kind) if one.isVisible()]
    assert len(found) == 1
    return found[0]
