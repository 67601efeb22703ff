"""The sample aircraft as they are solved: wherever their bodies count as assembled, every connection is met."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from core.document.project import Project, Sequence
from core.document.project_file import read_project
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import frame_times, lay_out
from core.motion.solve import solve_motion
from tests.properties.test_invariants import gaps

SAMPLES = Path(__file__).parents[2] / "sample_projects"
PIN = 1e-6  # mm, and for turns a millionth of a degree


def every_sequence() -> list[tuple[str, str]]:
    folders = sorted(path.parent for path in SAMPLES.glob("*/project.json"))
    return [(folder.name, run.id) for folder in folders for run in read_project(folder).sequences]


def assembled(project: Project, motion: Motion) -> dict[str, np.ndarray]:
    """For every connection, the frames at which all bodies that it joins are assembled."""
    bodies = {one.id: one.bodies for one in project.connections if hasattr(one, "bodies")}
    joined = {
        one.id: one.bodies if hasattr(one, "bodies") else (*bodies[one.pivots[0]], *bodies[one.pivots[1]])
        for one in project.connections
    }
    return {
        name: motion.assembled[:, [motion.bodies.index(body) for body in names]].all(axis=1)
        for name, names in joined.items()
    }


@pytest.mark.parametrize(("aircraft", "run"), every_sequence())
def test_what_is_assembled_is_met(aircraft: str, run: str) -> None:
    project = read_project(SAMPLES / aircraft)
    sequence: Sequence = next(one for one in project.sequences if one.id == run)
    schedule = lay_out(sequence)
    motion = solve_motion(build(project), schedule, frame_times(schedule, 120))
    assert np.isfinite(motion.poses).all()
    whole = assembled(project, motion)
    for name, gap in gaps(project, motion).items():
        assert np.max(gap[whole[name]], initial=0.0) <= PIN, name


@pytest.mark.parametrize(("aircraft", "run"), [pair for pair in every_sequence() if "flawed" not in pair[0]])
def test_a_clean_aircraft_is_assembled_throughout(aircraft: str, run: str) -> None:
    project = read_project(SAMPLES / aircraft)
    schedule = lay_out(next(one for one in project.sequences if one.id == run))
    motion = solve_motion(build(project), schedule, frame_times(schedule, 120))
    assert motion.assembled.all()
