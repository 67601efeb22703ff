"""What every test runs under: no window, the shipped typeface, no modal dialog, no settings of the user's."""

from __future__ import annotations

import gc
import os
import shutil
import tempfile
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, NoReturn

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot

PATIENCE_MS = 60_000
"""How long is waited for what has to come, at the most: a machine that is busy or halts for seconds is no failure."""

CI = bool(os.environ.get("CI"))
for name in [name for name in os.environ if name.startswith("QT_")]:
    del os.environ[name]  # whoever has a fine screen may have made everything larger, or of another style
os.environ["QT_QPA_PLATFORM"] = "offscreen"

UNTIMED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None)
settings.register_profile("quick", UNTIMED, derandomize=CI, max_examples=50)
settings.register_profile("long", UNTIMED, max_examples=1000)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="also the longer runs, and more examples of each property")


def pytest_configure(config: pytest.Config) -> None:
    settings.load_profile("long" if config.getoption("--long") else "quick")
    folder = tempfile.mkdtemp(prefix="bayfold-settings-")
    os.environ["XDG_CONFIG_HOME"] = folder
    config.add_cleanup(partial(shutil.rmtree, folder, ignore_errors=True))


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if not config.getoption("--long"):
        for item in items:
            if item.get_closest_marker("long"):
                item.add_marker(pytest.mark.skip(reason="taken with --long"))


@pytest.fixture(scope="session")
def qapp(qapp) -> Iterator[QApplication]:
    """pytest-qt's application, with the typeface that the program has: without one every letter is the same box."""
    from PySide6.QtGui import QFont

    from app.fonts import register_fonts

    qapp.setFont(QFont(register_fonts(), 10))
    yield qapp
    qapp.clipboard().clear()  # offscreen, Qt would delete what lies there after Python has gone, and crash


@pytest.fixture
def qtbot(qtbot: QtBot) -> QtBot:
    """pytest-qt's hand, that waits as long as it takes."""
    for wait in ("waitUntil", "waitSignal", "waitExposed"):
        setattr(qtbot, wait, partial(getattr(qtbot, wait), timeout=PATIENCE_MS))
    return qtbot


@pytest.fixture(autouse=True)
def no_modal_dialogs(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A modal dialog would wait for ever for a hand that is not there."""
    if "qapp" not in request.fixturenames:
        return
    from PySide6.QtWidgets import QColorDialog, QDialog, QFileDialog, QInputDialog, QMenu, QMessageBox

    statics = {
        QFileDialog: ("getOpenFileName", "getOpenFileNames", "getSaveFileName", "getExistingDirectory"),
        QInputDialog: ("getText", "getInt", "getDouble", "getItem", "getMultiLineText"),
        QColorDialog: ("getColor",),
        QDialog: ("exec",),
        QMessageBox: ("exec", "information", "warning", "critical", "question", "about"),
        QMenu: ("exec",),
    }
    for owner, names in statics.items():
        for name in names:
            monkeypatch.setattr(owner, name, _refusal(f"{owner.__name__}.{name}"))


def _refusal(name: str):
    def refuse(*_arguments: object, **_options: object) -> NoReturn:
        pytest.fail(f"{name} blocks the window; use open() and a signal", pytrace=True)

    return refuse


@pytest.fixture(autouse=True)
def drained_thread_pool(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A thread still running at exit aborts the process, so each test must leave none."""
    if "qapp" not in request.fixturenames:
        yield
        return
    from PySide6.QtCore import QThreadPool

    from app import aside

    monkeypatch.setattr(aside, "PATIENCE_MS", PATIENCE_MS)
    yield
    assert QThreadPool.globalInstance().waitForDone(PATIENCE_MS), "a worker thread was still running after the test"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Qt's objects have to end on the thread that made them, and Python clears rings of dead ones away on whichever
    thread asks for room next, a worker's too. So nothing is cleared while a test runs that Qt takes part in, and all
    of it once the test is over and nobody holds its window any more."""
    if "qapp" not in getattr(item, "fixturenames", ()):
        return (yield)
    from PySide6.QtCore import QCoreApplication, QEvent

    gc.disable()
    try:
        return (yield)
    finally:
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        gc.enable()
        gc.collect(1)
