"""How long it takes to move the rule through curves, and to draw them anew.

    python tests/benchmarks/benchmark_curves.py

Eight curves of the Merrow, gaps among them, at 600 and at 6,000 frames, in a plot as it stands in a window of 1440 x
900, drawn offscreen. A scrub moves the rule from one moment to another and paints what that changes; drawing anew is
what a new check costs, and measuring what core takes for the values. The goal is a scrub within 4 ms, of the 16 that a
repaint of the whole window may take.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]
os.environ["QT_QPA_PLATFORM"] = "offscreen"

SCRUBS, ANEW = 400, 30
GOAL_MS = 4.0
SIZE = (1180, 150)
SAMPLE = ROOT / "sample_projects" / "merrow-t2"


def main() -> None:
    from app.application import make_application
    from app.painting.theme import LIGHT
    from app.sequence.chart import LEAD, Chart
    from app.sequence.inks import inks_of
    from app.sequence.time_scale import MARGIN, TimeScale
    from core.curves.quantities import Quantity, Sort, all_series, quantities
    from core.document.project_file import read_project
    from core.study import run

    application = make_application()
    project = read_project(SAMPLE)
    chart = Chart(inks_of(LIGHT))
    chart.resize(*SIZE)
    chart.show()
    for frames in (600, 6000):
        study = run(project, sequence="retract", frames=frames)
        (sequence,) = study.sequences
        offered = quantities(study, sequence)
        wanted = [one for sort in (Sort.GAP, Sort.VALUE, Sort.TRANSMISSION) for one in offered if one.sort is sort][:4]
        wanted += [Quantity(Sort.VALUE, (one,)) for one in ("leg-pivot", "brace-jack")]
        wanted += [Quantity(Sort.TURN, ("leg",)), Quantity(Sort.WAY, ("leg",))]
        begin = time.perf_counter()
        curves = tuple(series for _, series in all_series(study, sequence, wanted))
        measured = 1e3 * (time.perf_counter() - begin)
        seconds = sequence.schedule.seconds
        moments = iter(np.random.default_rng(4).uniform(0.0, seconds, SCRUBS + 1).tolist())

        def draw(curves=curves, seconds=seconds) -> None:
            chart.show_curves(curves, None)
            chart.set_scale(TimeScale(LEAD, chart.plot.width() - LEAD - MARGIN, seconds))
            chart.plot.repaint()

        def scrub(moments=moments) -> None:
            chart.plot.set_moment(next(moments))
            application.processEvents()

        draw()
        application.processEvents()
        tell(f"{len(curves)} curves, {frames} frames: drawn anew", timed(draw, ANEW))
        scrubs = timed(scrub, SCRUBS)
        tell(f"{len(curves)} curves, {frames} frames: scrubbed", scrubs)
        print(f"    values measured in {measured:.0f} ms; goal of a scrub {GOAL_MS} ms:", end=" ")
        print("met" if np.percentile(scrubs, 95) <= GOAL_MS else "missed")


def timed(use: Callable[[], None], times: int) -> list[float]:
    """Milliseconds of each."""
    found = []
    for _ in range(times):
        begin = time.perf_counter()
        use()
        found.append(1e3 * (time.perf_counter() - begin))
    return found


def tell(what: str, found: list[float]) -> None:
    print(f"{what}: median {np.median(found):.2f} ms, 95th percentile {np.percentile(found, 95):.2f} ms")


if __name__ == "__main__":
    main()
