"""How long it takes to try every fault of the sample aircraft, beside a study of the same sequence without one.

    python tests/benchmarks/benchmark_trials.py

Each trial is studied whole; it has the mechanism, the outlines and the pairs from the sound study. Beside it stands
the same without that: what is lent saves little where the motion is another, and most where only a latch fails.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2])]

from core.document.project import Project  # noqa: E402
from core.document.project_file import read_project  # noqa: E402
from core.study import Study, run  # noqa: E402
from core.trials.every import trials_of  # noqa: E402
from core.trials.trial import trial_project  # noqa: E402
from core.trials.trying import try_all  # noqa: E402
from tests.benchmarks.measuring import milliseconds  # noqa: E402

SAMPLES = Path(__file__).parents[2] / "sample_projects"
AIRCRAFT = ("merrow-t2", "merrow-t2-flawed", "skarn-p9", "skarn-p9-flawed", "pellow-3", "pellow-3-flawed")
GOAL = 1.5
"""A trial is a sequence of about the same length: it should take no more than this of a sound study."""


def measured(project: Project, sequence: str) -> tuple[int, float, float, float]:
    """How many faults there are, and the milliseconds of a sound study, of all trials, and of all without a start."""
    sound: Study = run(project, sequence=sequence)
    trials = trials_of(project, sequence)
    alone, lent, bare = milliseconds(
        lambda: run(project, sequence=sequence),
        lambda: try_all(sound, trials),
        lambda: [run(trial_project(project, trial)) for trial in trials],
        repeats=3,
    )
    return len(trials), alone, lent, bare


def main() -> int:
    worst = 0.0
    for name in AIRCRAFT:
        project = read_project(SAMPLES / name)
        for sequence in project.sequences:
            count, alone, lent, bare = measured(project, sequence.id)
            ratio = lent / count / alone
            worst = max(worst, ratio)
            print(
                f"{name} {sequence.id}: {count} faults in {lent / 1000:.1f} s, each {ratio:.2f} of a sound study "
                f"({alone:.0f} ms); {bare / lent:.2f} times as long without a start"
            )
    print(f"{worst:.2f} of a sound study at the worst; {GOAL} is the goal")
    return int(worst > GOAL)


if __name__ == "__main__":
    sys.exit(main())
