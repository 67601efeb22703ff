"""How long the window takes to be usable, and to repaint while its sample aircraft is scrubbed.

    python tests/benchmarks/benchmark_window.py

Usable means shown and painted, with every menu and key at work, from the start of a new Python; checked means that the
findings are there too. The goals are 2 s to a usable window and a repaint within 16 ms, at 1440 x 900. What is timed is
everything that follows a moved rule: sheet, ruler, lanes, ribbons, read-outs and details.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]
os.environ["QT_QPA_PLATFORM"] = "offscreen"

STARTS = 5
SCRUBS = 300
START_GOAL_S = 2.0
REPAINT_GOAL_MS = 16.0
SAMPLE = ROOT / "sample_projects" / "merrow-t2"

STARTED = """
import sys, time
begin = float(sys.argv[1])
from pathlib import Path
from tests.benchmarks.benchmark_window import sample_window
application, window = sample_window(Path(sys.argv[2]))
window.sheet.grab()
usable = time.time() - begin
while window.runner.working:
    application.processEvents()
sys.stdout.write(f"{usable} {time.time() - begin}")
window.close()
"""


def sample_window(kept: Path):
    """The application and its window on the sample aircraft, shown."""
    from PySide6.QtCore import QSettings

    from app.application import make_application
    from app.main_window import MainWindow
    from app.settings import Settings

    application = make_application()
    window = MainWindow(Settings(QSettings(str(kept / "settings.ini"), QSettings.Format.IniFormat)))
    window.resize(1440, 900)
    window.keeping.open(SAMPLE)
    window.show()
    application.processEvents()
    return application, window


def starts(kept: Path) -> np.ndarray:
    """(STARTS, 2) seconds to a usable and to a checked window, each in a Python of its own."""
    taken = []
    for _ in range(STARTS):
        command = [sys.executable, "-c", STARTED, str(time.time()), str(kept)]
        ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
        taken.append([float(word) for word in ended.stdout.split()])
    return np.array(taken)


def scrubs(kept: Path) -> np.ndarray:
    """(SCRUBS,) milliseconds from a moved rule to the painted window."""
    application, window = sample_window(kept)
    while window.runner.working:
        application.processEvents()
    window.session.choose("leg")
    seconds = window.session.schedule.seconds
    taken = []
    for number in range(SCRUBS):
        begin = time.perf_counter()
        window.session.set_moment(seconds * (number + 0.5) / SCRUBS)
        application.processEvents()
        taken.append((time.perf_counter() - begin) * 1000.0)
    window.close()
    return np.array(taken)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        usable, checked = np.median(starts(Path(folder)), axis=0)
        middle, high = np.percentile(scrubs(Path(folder)), [50, 95])
    verdict = "met" if usable <= START_GOAL_S else "missed"
    sys.stdout.write(f"start  usable {usable:.2f} s, checked {checked:.2f} s; goal {START_GOAL_S:g} s: {verdict}\n")
    verdict = "met" if middle <= REPAINT_GOAL_MS else "missed"
    sys.stdout.write(
        f"scrub  median {middle:.1f} ms, 95th percentile {high:.1f} ms; goal {REPAINT_GOAL_MS:g} ms: {verdict}\n"
    )


if __name__ == "__main__":
    main()
