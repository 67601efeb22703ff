"""How long the sheet takes to repaint while it is scrubbed, panned and zoomed: 40 bodies over a 4000 x 3000 drawing.

    python tests/benchmarks/benchmark_sheet.py

The goal is a repaint within 16 ms, at 1600 x 1000. Bodies stand in rows and swing about their own pivots, a few clash
with their neighbours at any moment. Their motion costs next to nothing here, so that what is timed is the sheet's own
work: overlaps and their depths, the drawing, and its painting.
"""

from __future__ import annotations

import math
import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[2])]
os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtCore import QPointF  # noqa: E402
from PySide6.QtGui import QFont, QImage  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from app.fonts import register_fonts  # noqa: E402
from app.painting.theme import LIGHT  # noqa: E402
from app.session import Session  # noqa: E402
from app.sheet.sheet import Sheet  # noqa: E402
from core.document.project import (  # noqa: E402
    Aircraft,
    Body,
    Circle,
    Drive,
    Move,
    Pivot,
    Polygon,
    Project,
    Rod,
    Sequence,
    Step,
    TracedDrawing,
    View,
    Wall,
)
from core.interference.check import interfere  # noqa: E402
from core.interference.pairs import checked_pairs  # noqa: E402
from core.interference.placement import parts_of  # noqa: E402
from core.motion.motion import Motion  # noqa: E402
from core.motion.schedule import frame_times, lay_out  # noqa: E402
from core.study import SequenceStudy, Study  # noqa: E402
from tests.benchmarks.measuring import Taken  # noqa: E402
from tests.benchmarks.scan import draw_scan  # noqa: E402

BODIES = 40
ACROSS = 8
STEP = 30.0
SECONDS = 6.0
REPAINTS = 150
GOAL_MS = 16.0
WIDTH, HEIGHT = 1600, 1000


def main() -> None:
    """Print the median and the 95th percentile of each kind of repaint, by the clock on the wall and as processor
    time."""
    application = QApplication([])
    application.setFont(QFont(register_fonts(), 10))
    with tempfile.TemporaryDirectory() as folder:
        draw_scan(Path(folder) / "side.png", 4000, 3000)
        project = aircraft()
        session = Session()
        sheet = Sheet(session, theme=LIGHT)
        sheet.resize(WIDTH + 22, HEIGHT + 60)
        sheet.show()
        session.open(project, Path(folder))
        session.put_study(study(project))
        sheet.set_ghosts(True, False)
        (canvas,) = sheet.canvases
        application.processEvents()
        image = QImage(canvas.size(), QImage.Format.Format_ARGB32_Premultiplied)

        def repaint() -> None:
            canvas.render(image)

        def scrub(number: int) -> None:
            session.set_moment(SECONDS * (number + 0.5) / REPAINTS)

        def pan(number: int) -> None:
            canvas.set_placement(canvas.placement.moved(3.0 if number % 40 < 20 else -3.0, 1.0))

        def zoom(number: int) -> None:
            canvas.zoom(1.02 if number % 60 < 30 else 1 / 1.02, QPointF(700.0, 400.0))

        report("scrub", scrub, repaint)
        report("pan", pan, repaint)
        report("zoom", zoom, repaint)


def report(name: str, change: Callable[[int], None], repaint: Callable[[], None]) -> None:
    """Time `REPAINTS` changes, each with the repaint after it."""
    for number in range(3):
        change(number)
        repaint()
    taken = Taken()
    for number in range(REPAINTS):
        taken.time(lambda number=number: (change(number), repaint()))
    sys.stdout.write(f"{name:6s} {taken.told()}; goal {GOAL_MS:g} ms\n")


def place(number: int) -> tuple[float, float]:
    return ((number % ACROSS) * STEP, (number // ACROSS) * STEP)


def aircraft() -> Project:
    """A bay, 39 swinging parts of four kinds, each on its pivot, and a rod to every fourth."""
    bodies = [Body(id="bay", view="side", role="structure", fixed=True, shapes=(bay(),))]
    connections: list[Pivot | Rod] = []
    for number in range(1, BODIES):
        x, y = place(number)
        bodies.append(Body(id=f"part-{number}", name=f"Part {number}", view="side", **part(number, x, y)))
        connections.append(Pivot(id=f"pivot-{number}", bodies=("bay", f"part-{number}"), at=(x, y), pin=2.0))
        if number % 4 == 0:
            ends = ((x + 6.0, y + 12.0), (x, y - 6.0))
            both = ("bay", f"part-{number}")
            connections.append(Rod(id=f"rod-{number}", bodies=both, ends=ends, width=1.5, depth=(60, 62)))
    matrix = ((0.07, 0.0, -30.0), (0.0, -0.07, 165.0), (0.00001, 0.0, 1.0))
    return Project(
        aircraft=Aircraft(name="Merrow T.2", scale=12),
        least_clearance=0.5,
        views=(View(id="side", name="Side elevation", drawing=TracedDrawing(file="side.png", pixel_to_mm=matrix)),),
        bodies=tuple(bodies),
        connections=tuple(connections),
        drives=(Drive(id="gear", on="pivot-1"),),
        sequences=(
            Sequence(
                id="retract",
                steps=(Step(id="up", duration=SECONDS, moves=(Move(drive="gear", to=90.0),)),),
            ),
        ),
    )


def bay() -> Wall:
    wide, tall = (ACROSS - 0.4) * STEP, BODIES / ACROSS * STEP
    return Wall(points=((-18.0, -20.0), (-18.0, tall), (wide, tall), (wide, -20.0)), thickness=1.2)


def part(number: int, x: float, y: float) -> dict[str, object]:
    """A wheel, a leg with holes, a door of arcs, or a crank; each in a depth that every fourth shares."""
    slab = ((number % 4) * 10.0, (number % 4) * 10.0 + 8.0)
    if number % 4 == 0:
        circles = tuple(Circle(centre=(x, y), radius=radius) for radius in (9.0, 4.0))
        return {"role": "wheel", "depth": slab, "shapes": circles}
    if number % 4 == 1:
        hole = ((x - 1, y - 12), (x + 1, y - 12), (x + 1, y - 9), (x - 1, y - 9))
        outer = ((x - 3, y + 3, -1.0), (x + 3, y + 3), (x + 2, y - 24), (x - 2, y - 24))
        return {"role": "leg", "depth": slab, "shapes": (Polygon(points=outer, holes=(hole,)),)}
    if number % 4 == 2:
        return {"role": "door", "depth": slab, "shapes": (Wall(points=((x, y, 0.2), (x + 26, y + 2)), thickness=1.2),)}
    shapes = (Circle(centre=(x, y), radius=4.0), Wall(points=((x, y), (x + 12, y), (x + 14, y + 9)), thickness=3.0))
    return {"role": "link", "depth": (0.0, 8.0), "shapes": shapes}


def study(project: Project) -> Study:
    """Every part swings about its pivot, to and fro."""
    sequence = project.sequences[0]
    schedule = lay_out(sequence)
    times = frame_times(schedule, 61)
    pivots = np.array([(0.0, 0.0), *(place(number) for number in range(1, BODIES))])
    reach = np.array([0.0, *(math.radians(40 + 7 * (number % 9)) for number in range(1, BODIES))])

    def poses_at(at: np.ndarray) -> np.ndarray:
        turn = reach * np.sin(2.0 * np.pi * np.asarray(at)[:, None] / SECONDS)
        cosine, sine = np.cos(turn), np.sin(turn)
        x, y = pivots[:, 0], pivots[:, 1]
        return np.stack([x - cosine * x + sine * y, y - sine * x - cosine * y, turn], axis=-1)

    ones = np.ones((len(times), BODIES), dtype=bool)
    motion = Motion(
        schedule=schedule,
        bodies=tuple(body.id for body in project.bodies),
        connections=tuple(one.id for one in project.connections),
        drive_ids=("gear",),
        times=times,
        poses=poses_at(times),
        drives=times[:, None],
        values=np.full((len(times), len(project.connections)), np.nan),
        assembled=ones,
        poses_at=poses_at,
        assembled_at=lambda at: np.ones((len(at), BODIES), dtype=bool),
    )
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    checked = interfere(parts, pairs, motion)
    one = SequenceStudy(sequence=sequence, schedule=schedule, motion=motion, interference=checked, findings=())
    return Study(project=project, mechanism=None, parts=parts, pairs=pairs, sequences=(one,))  # type: ignore[arg-type]


if __name__ == "__main__":
    main()
