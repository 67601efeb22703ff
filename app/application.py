"""Starting the window: the typeface, Ctrl-C, and what happens to an error that nobody caught."""

from __future__ import annotations

import gc
import signal
import sys
import traceback
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QTimer
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication

from app.aside import Aside, unforeseen
from app.fonts import register_fonts
from app.main_window import MainWindow
from app.settings import Settings
from app.study_process import StudyProcess
from core.sketch.solvers import load_solvers

Hook = Callable[[type[BaseException], BaseException, TracebackType | None], None]

POINTS = 10
LOOKED_AT_MS = 200
"""How long a window has to be there before anything is loaded that it can do without."""
SWITCH_SECONDS = 0.002
"""How long a study may keep the interpreter from the window: less than a repaint is allowed to take."""


def run_window(project: Path | None) -> int:
    """Open the window, on a project or on the start page, and stay until it is closed; the exit status."""
    application = make_application()
    studies = StudyProcess()
    window = MainWindow(Settings(), work=studies)
    aside = Aside(window)
    aside.done.connect(settle)
    sys.excepthook = error_teller(window)
    if project is not None:
        window.keeping.open(project)
    window.show()
    QTimer.singleShot(LOOKED_AT_MS, load_plot)
    QTimer.singleShot(2 * LOOKED_AT_MS, partial(load_rest, aside))
    status = int(application.exec())
    aside.shut_down()
    studies.shut_down()
    return status


def load_plot() -> None:
    """Load what draws curves, which takes half a second: at once, and not when something is chosen. By the window's own
    thread, since it makes enumerations of Qt's while it is loaded, which no other thread may do."""
    import app.sequence.plot  # noqa: F401 - only to have it there

    settle()


def load_rest(aside: Aside) -> None:
    """Load what the hand on the sheet will need, before it does: aside, so that it holds no hand up that is there
    already."""
    aside.ask("solvers", load_solvers)


def settle(*_: object) -> None:
    """Have Python's collector pass over what is there by now, which stays as long as the window does: looking through
    it all holds the hand up for 70 ms each time."""
    gc.collect()
    gc.freeze()


def make_application() -> QApplication:
    """The one QApplication, with its typeface, its style and its manners."""
    existing = QApplication.instance()
    application = existing if isinstance(existing, QApplication) else QApplication(["bayfold"])
    application.setApplicationName("Bayfold")
    application.setDesktopFileName("bayfold")
    application.setStyle("Fusion")
    application.setFont(QFont(register_fonts(), POINTS))
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    sys.setswitchinterval(SWITCH_SECONDS)
    return application


def error_teller(window: MainWindow) -> Hook:
    """An error that nobody caught is said in the window in one line, and told in full on the terminal."""

    def say(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        traceback.print_exception(kind, error, trace)
        window.session.trouble.emit(f"Something went wrong: {unforeseen(error)}. The aircraft is as it was.")

    return say
