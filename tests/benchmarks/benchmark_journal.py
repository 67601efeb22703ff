"""What keeping costs: an edit put into the journal, the file written, an aircraft with a full history opened."""

from __future__ import annotations

import math
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter

from msgspec.structs import replace

from core.document.history import History
from core.document.journal import Journal
from core.document.journal_records import KEPT_EDITS
from core.document.project import Body, Polygon, Project
from core.document.project_file import encode, read_project, write_project

MERROW = Path(__file__).resolve().parents[2] / "sample_projects" / "merrow-t2"
BODIES, CORNERS = 40, 200


def main() -> None:
    merrow = read_project(MERROW)
    for name, project in (("Merrow T.2", merrow), (f"with {BODIES} bodies of {CORNERS} corners", crowded(merrow))):
        with tempfile.TemporaryDirectory() as folder:
            measure(name, project, Path(folder))


def crowded(project: Project) -> Project:
    """Forty bodies more, as many as a sheet is ever asked to hold."""
    turns = [math.tau * k / CORNERS for k in range(CORNERS)]
    bodies = []
    for number in range(BODIES):
        ring = tuple((round(50 * number + 20 * math.cos(t), 4), round(20 * math.sin(t), 4)) for t in turns)
        bodies.append(Body(id=f"extra-{number}", view=project.views[0].id, shapes=(Polygon(points=ring),)))
    return replace(project, bodies=project.bodies + tuple(bodies))


def measure(name: str, project: Project, folder: Path) -> None:
    write_project(project, folder)
    journal = Journal(folder)
    journal.begin(History(project=project), "")
    states = [replace(project, aircraft=replace(project.aircraft, note=str(one))) for one in range(KEPT_EDITS)]
    pushes = [milliseconds(partial(journal.push, "Change note", state)) for state in states]
    print(f"{name}: {len(encode(project)) / 1024:.0f} KB")
    print(f"  an edit into the journal   {median(pushes):7.2f} ms")
    print(f"  project.json written       {milliseconds(lambda: write_project(project, folder)):7.2f} ms")
    print(f"  {KEPT_EDITS} edits read back        {milliseconds(journal.read):7.2f} ms")


def milliseconds(run: Callable[[], object]) -> float:
    start = perf_counter()
    run()
    return 1000.0 * (perf_counter() - start)


if __name__ == "__main__":
    main()
