"""How long the check of a sample aircraft takes after one of its pivots or rods has moved, as a part of a whole check.

    python -m tests.benchmarks.benchmark_aircraft

Of each sample every pivot and rod is moved a little, and the aircraft checked: with nothing kept; after the check from
before, in all sequences; and in the first alone, as while the hand moves. Each figure is the median and the longest, in
processor time.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from msgspec.structs import replace

sys.path[:0] = [str(Path(__file__).parents[2])]

from core.document.project import Connection, Pivot, Project, Rod  # noqa: E402
from core.document.project_file import read_project  # noqa: E402
from core.study import Study, run  # noqa: E402

SAMPLES = Path(__file__).parents[2] / "sample_projects"
BY = 0.2
TIMES = 2
"""Each is done so often, and the quicker counts."""


def moved(connection: Connection) -> Connection:
    match connection:
        case Pivot(at=(x, y)):
            return replace(connection, at=(x + BY, y - 0.5 * BY))
        case Rod(ends=(start, (x, y))):
            return replace(connection, ends=(start, (x + BY, y)))
    return connection


def edits(project: Project) -> list[Project]:
    after = [tuple(moved(one) if one is each else one for one in project.connections) for each in project.connections]
    return [replace(project, connections=one) for one in after if one != project.connections]


def taken(study: Callable[[], Study]) -> float:
    times = []
    for _ in range(TIMES):
        begin = time.thread_time()
        study()
        times.append(1000.0 * (time.thread_time() - begin))
    return min(times)


def checked(after: Project, before: Study, looked_at: str) -> tuple[float, float, float]:
    """Milliseconds: with nothing kept, with what was found before, and in one sequence."""
    return (
        taken(lambda: run(after)),
        taken(lambda: run(after, previous=before)),
        taken(lambda: run(after, previous=before, looked_at=looked_at)),
    )


def main() -> None:
    for folder in sorted(one.parent for one in SAMPLES.glob("*/project.json")):
        project = read_project(folder)
        before = run(project)
        rows = np.array([checked(after, before, project.sequences[0].id) for after in edits(project)])
        told = "  ".join(
            f"{name} {np.median(some):4.0f} {some.max():4.0f} ms {np.median(some / rows[:, 0]):5.2f}"
            for name, some in zip(("whole", "kept", "looked at"), rows.T, strict=True)
        )
        sys.stdout.write(f"{folder.name:18} {len(project.bodies):2} bodies  {told}\n")


if __name__ == "__main__":
    main()
