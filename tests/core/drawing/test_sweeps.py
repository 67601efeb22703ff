"""Sweeps as marks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from msgspec import structs

from core.document.project import Polygon
from core.drawing.drawing import Drawing, Line, Tint
from core.drawing.sweep_sheet import MOST_WALLS, Swept, with_sweeps
from core.drawing.sweeps import room_labels, room_marks, sweep_marks
from core.interference.placement import parts_of
from core.interference.sweeps import room_left, sweep_of
from core.interference.track import track_of
from tests.core.interference.scenes import body, motion_of, project_of

RING = Polygon(points=((-10, -10), (10, -10), (10, 10), (-10, 10)), holes=(((-6, -6), (6, -6), (6, 6), (-6, 6)),))


@pytest.fixture
def swept():
    project = project_of(body("door", RING, role="door"))
    track = track_of(parts_of(project), motion_of({"door": lambda t: (2.0 * t, 0.0, 0.0)}))
    return project, sweep_of(track, "door", tolerance=0.01)


def test_a_sweep_is_a_faint_tint_within_a_ghosts_line(swept):
    project, sweep = swept
    (mark,) = sweep_marks(sweep, project)
    assert (mark.line, mark.tint, mark.faint, mark.hatched) == (Line.GHOST, Tint.DOOR, True, False)
    assert len(mark.geometry.rings) == 2


def test_a_stale_sweep_is_a_dashed_rim_alone(swept):
    project, sweep = swept
    (mark,) = sweep_marks(sweep, project, stale=True)
    assert (mark.line, mark.tint, mark.faint) == (Line.HIDDEN, None, True)


def test_one_sweep_is_measured_to_each_wall_several_to_the_nearest_and_a_stale_one_to_none(swept):
    project, sweep = swept
    rooms = {f"wall-{n}": room_left(sweep, shapely.box(15 + n, -5, 16 + n, 5)) for n in range(MOST_WALLS + 2)}
    one = Swept(sweep=sweep, rooms=rooms)

    def dimensions(*shown: Swept) -> int:
        drawing = with_sweeps(Drawing(), shown, project, sweep.view)
        assert len(drawing.labels) == sum(mark.line is Line.DIMENSION for mark in drawing.marks)
        return len(drawing.labels)

    assert dimensions(one) == MOST_WALLS
    assert dimensions(one, one) == 2
    assert dimensions(replace(one, stale=True)) == 0


def test_the_room_left_is_a_dimension_in_the_projects_unit(swept):
    project, sweep = swept
    room = room_left(sweep, shapely.box(15, -5, 16, 5))
    (mark,), (label,) = room_marks(room), room_labels(project, room)
    assert mark.line is Line.DIMENSION
    (line,) = mark.geometry.lines
    assert np.hypot(*(line[1] - line[0])) == pytest.approx(room.left)
    assert float(label.text.removesuffix(" mm")) == pytest.approx(room.left, abs=0.005)
    assert 12.0 < label.at[0] < 15.0
    (inches,) = room_labels(structs.replace(project, length_unit="in"), room)
    assert float(inches.text.removesuffix(" in")) == pytest.approx(room.left / 25.4, abs=0.0005)


def test_where_no_room_is_left_there_is_nothing_to_measure(swept):
    project, sweep = swept
    room = room_left(sweep, shapely.box(11, -5, 16, 5))
    assert room_marks(room) == room_labels(project, room) == ()
