"""Paths of points as marks and signs, on a strip, and as a table."""

from __future__ import annotations

import csv
import io

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.path_edits import AddPath
from core.document.project import PointPath, Project
from core.drawing.drawing import Drawing, Line, Symbol
from core.drawing.paths import TracedPath, path_bounds, traced_paths, with_paths
from core.drawing.situation import poses_between
from core.drawing.strip import lay_out_strip
from core.exports.paths import paths_table
from core.geometry.planar import point_at
from core.motion.tracing import TOLERANCE
from core.study import Study, run
from tests.app.small_aircraft import small_aircraft

TIP = PointPath(id="tip", name="Path of the tip", body="leg", point=(0.0, -95.0))
"""Beyond the leg's end, where no body reaches."""
DOOR = PointPath(id="edge", name="", body="door", point=(86.0, -0.5))


@pytest.fixture(scope="module")
def project() -> Project:
    return AddPath(DOOR).apply(AddPath(TIP).apply(small_aircraft()))


@pytest.fixture(scope="module")
def study(project: Project) -> Study:
    return run(project)


@pytest.fixture(scope="module")
def traced(project: Project, study: Study) -> dict[str, TracedPath]:
    return {one.path.id: one for one in traced_paths(project, study.sequence("retract").motion)}


def drawn(project: Project, study: Study, traced: dict[str, TracedPath], time: float, **options) -> Drawing:
    poses = poses_between(study.sequence("retract").motion, time)
    return with_paths(Drawing(), project, traced, poses, "side", **options)


def test_a_path_is_a_narrow_line_with_ticks_an_arrow_and_its_point(project, study, traced):
    drawing = drawn(project, study, traced, 3.0)
    assert [(mark.line, mark.owner) for mark in drawing.marks] == [(Line.THIN, "tip"), (Line.THIN, "edge")]
    symbols = [sign.symbol for sign in drawing.signs]
    assert symbols.count(Symbol.PATH_ARROW) == symbols.count(Symbol.PATH_POINT) == 2
    assert symbols.count(Symbol.PATH_TICK) > 10
    assert [label.text for label in drawing.labels] == ["Path of the tip", "edge"]


def test_the_point_stands_on_its_path_wherever_the_moment_is(project, study, traced):
    motion = study.sequence("retract").motion
    number = motion.bodies.index("leg")
    for time in (0.0, 2.3456, 5.0):
        sign = next(s for s in drawn(project, study, traced, time).signs if s.symbol is Symbol.PATH_POINT)
        true = complex(point_at(poses_between(motion, time)[number], complex(*TIP.point)))
        assert complex(*sign.at) == pytest.approx(true, abs=1e-9)
        (line,) = traced["tip"].geometry.lines
        there = line[:, 0] + 1j * line[:, 1]
        way = np.diff(there)
        share = np.clip(((true - there[:-1]) * way.conj()).real / np.abs(way) ** 2, 0.0, 1.0)
        assert np.abs(there[:-1] + share * way - true).min() <= TOLERANCE


def test_the_chosen_one_says_what_a_tick_is(project, study, traced):
    drawing = drawn(project, study, traced, 3.0, chosen="tip")
    assert drawing.labels[0].text == "Path of the tip, a tick every 0.2 s"
    assert [mark.chosen for mark in drawing.marks] == [True, False]


def test_before_it_is_traced_the_point_alone_is_shown(project, study):
    drawing = drawn(project, study, {}, 3.0)
    assert drawing.marks == ()
    assert [sign.symbol for sign in drawing.signs] == [Symbol.PATH_POINT] * 2


def test_other_views_and_hidden_bodies_show_no_path(project, study, traced):
    poses = poses_between(study.sequence("retract").motion, 0.0)
    assert with_paths(Drawing(), project, traced, poses, "plan") == Drawing()
    bodies = tuple(replace(one, hidden=True) if one.id == "leg" else one for one in project.bodies)
    hidden = replace(project, bodies=bodies)
    assert {mark.owner for mark in drawn(hidden, study, traced, 0.0).marks} == {"edge"}
    assert [one.path.id for one in traced_paths(hidden, study.sequence("retract").motion)] == ["edge"]


def test_a_strip_shows_the_paths_and_has_room_for_them(study):
    bare = run(small_aircraft())
    sequence, bare_sequence = study.sequence("retract"), bare.sequence("retract")
    strip = lay_out_strip(study, sequence, times=[0.0, 3.0])
    without = lay_out_strip(bare, bare_sequence, times=[0.0, 3.0])
    for frame in strip.frames:
        (view,) = frame.views
        assert {mark.owner for mark in view.drawing.marks} >= {"tip", "edge"}
        assert "Path of the tip, a tick every 0.2 s" in [label.text for label in view.drawing.labels]
        assert view.drawing.bounds[1] <= -95.0 < without.frames[0].views[0].drawing.bounds[1]


def test_what_does_not_move_needs_no_room(project, study):
    still = {one.path.id: one for one in traced_paths(project, study.sequence("hold").motion)}
    assert still["tip"].geometry.lines == ()
    assert path_bounds(project, still, "side") is None


def test_the_table_has_every_moment_at_model_size(project, study, traced):
    rows = list(csv.reader(io.StringIO(paths_table(project, traced.values()))))
    assert rows[0] == ["path", "seconds", "x mm", "y mm"]
    assert {row[0] for row in rows[1:]} == {"Path of the tip", "edge"}
    tip = np.array([[float(value) for value in row[1:]] for row in rows[1:] if row[0] == "Path of the tip"])
    assert len(tip) == len(traced["tip"].trace.times)
    hub = complex(*next(one.at for one in project.connections if one.id == "leg-pivot"))
    reach = abs(complex(*TIP.point) - hub)
    assert np.abs(np.abs(tip[:, 1] + 1j * tip[:, 2] - hub) - reach).max() < 1e-4
    inches = list(csv.reader(io.StringIO(paths_table(replace(project, length_unit="in"), traced.values()))))
    assert inches[0][2:] == ["x in", "y in"]
    assert float(inches[1][2]) == pytest.approx(float(rows[1][2]) / 25.4, abs=1e-5)
