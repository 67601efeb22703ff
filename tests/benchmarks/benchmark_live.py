"""How soon the window follows a hand that drags a rod's end or a pivot: the thing itself, and the whole verdict.

    python -m tests.benchmarks.benchmark_live [--thread] [bodies ...]

With --thread studies are made by a thread of the window's own process, and not by one of their own.

The window is the real one, offscreen, at 1600 x 1000, driven by mouse events. The aircraft is the row of units of
`benchmark_edit`, clean, and with flaps so long that some clash with the next unit's door and some come too near. All
sequences have 600 frames. Each figure stands twice: by the clock on the wall, and as processor time spent on the way
(the window's thread and, for a verdict, the studies' process), which other work on the machine does not lengthen. In
one kind of drag the hand waits after each move until the ribbons are painted for it; in the other it goes on at 60
moves a second, and a verdict counts for a move when it is of that move or a later one.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from msgspec.structs import replace

sys.path[:0] = [str(Path(__file__).parents[2])]
os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtCore import QSettings  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from app.application import make_application, settle  # noqa: E402
from app.settings import Settings  # noqa: E402
from app.study_process import StudyProcess  # noqa: E402
from app.study_runner import Work, run_here  # noqa: E402
from core.document.project import Project  # noqa: E402
from core.document.project_file import write_project  # noqa: E402
from tests.benchmarks.benchmark_edit import UNIT, doors  # noqa: E402
from tests.benchmarks.benchmark_edit import flawed as flawed_doors  # noqa: E402
from tests.benchmarks.hand import Figures, Hand, Window  # noqa: E402

SECONDS = 14.975
"""Which at forty frames a second, and both ends, gives 600 of them."""
GOAL_VERDICT, GOAL_REPAINT = 100.0, 16.0


def scene(bodies: int, *, flawed: bool) -> Project:
    make = flawed_doors if flawed else doors
    project = make(round((bodies - 1) / 3))
    (sequence,) = project.sequences
    step = replace(sequence.steps[0], id="opening", duration=SECONDS)
    return replace(project, sequences=(replace(sequence, steps=(step,)),))


def opened(project: Project, folder: Path, work: Work) -> Window:
    settings = Settings(QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat))
    settings.home = folder / "home"
    window = Window(settings, work=work)
    window.resize(1600, 1000)
    window.show()
    write_project(project, folder / "aircraft")
    assert window.keeping.open(folder / "aircraft")
    while not window.session.study_current:
        QApplication.processEvents()
    settle()
    window.regions.setSizes([560, 440])  # so that the ribbons are in sight beside a curve
    return window


def report(bodies: int, flawed: bool, what: str, work: Work, spent: Callable[[], float]) -> None:
    project = scene(bodies, flawed=flawed)
    middle = (len(project.bodies) - 1) // 6
    at = (UNIT * middle + 18.0, 0.5) if what == "rod's end" else (UNIT * middle, 30.0)
    with tempfile.TemporaryDirectory() as folder:
        window = opened(project, Path(folder), work)
        window.session.choose(f"rod-{middle}" if what == "rod's end" else f"crank-pivot-{middle}")
        window.sheet.take_up("reshape")
        QApplication.processEvents()
        for name in ("waits", "goes on"):
            hand = Hand(window, at, spent)
            hand.waits() if name == "waits" else hand.goes_on()
            told(f"{len(project.bodies):3} {'flawed' if flawed else 'clean':6} {what:9} {name:7}", hand.figures)
        window.sheet.take_up("")
        playing = Hand(window, at, spent)
        playing.plays()
        told(f"{len(project.bodies):3} {'flawed' if flawed else 'clean':6} {'':9} plays  ", playing.figures)
        window.session.mark_saved(Path(folder) / "aircraft")
        window.close()


def told(name: str, figures: Figures) -> None:
    alike = f"{figures.alike}/{figures.compared}" if figures.compared else "-"
    both = (
        f"{kind} {_two(clock)} wall, {_two(spent)} spent"
        for kind, clock, spent in (
            ("verdict", figures.verdict, figures.verdict_spent),
            ("repaint", figures.repaint, figures.repaint_spent),
        )
    )
    turn = "turn {:3.0f} {:3.0f} spent".format(*np.percentile(figures.turn_spent, [95, 100]))
    sys.stdout.write(f"{name}  {'  '.join(both)}  {turn}  as the full check: {alike}\n")
    sys.stdout.flush()


def _two(milliseconds: list[float]) -> str:
    if not milliseconds:
        return "    -     -"
    return "{:5.0f} {:5.0f}".format(*np.percentile(milliseconds, [50, 95]))


def _spent_by(studies: StudyProcess | None) -> Callable[[], float]:
    """Seconds of processor time: of the window's thread and the studies' process, or of all threads of this one."""
    pid = studies.pid if studies is not None else None
    if pid is None:
        return time.process_time
    clock = (~pid << 3) | 2  # Linux's clock of another process
    return lambda: time.thread_time() + time.clock_gettime(clock)


def main() -> None:
    make_application()
    sys.stdout.write(
        f"goals at 20 bodies: verdict {GOAL_VERDICT:g} ms, repaint of the dragged thing {GOAL_REPAINT:g} ms, "
        "at the 95th percentile; each figure is the median and the 95th percentile, of turns the 95th and the longest\n"
    )
    studies = StudyProcess()
    while not studies.ready:
        time.sleep(0.05)
    threaded = "--thread" in sys.argv
    work: Work = run_here if threaded else studies
    spent = _spent_by(None if threaded else studies)
    for bodies in [int(one) for one in sys.argv[1:] if one.isdecimal()] or [10, 20, 40]:
        for flawed in (False, True):
            for what in ("rod's end", "pivot"):
                report(bodies, flawed, what, work, spent)
    studies.shut_down()


if __name__ == "__main__":
    main()
