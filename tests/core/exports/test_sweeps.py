"""Sweeps as corners to cut by."""

from __future__ import annotations

import csv
import io

import pytest
import shapely
from msgspec.structs import replace

from core.document.project import Polygon
from core.exports.sweeps import sweep_table
from core.interference.placement import parts_of
from core.interference.sweeps import sweep_of
from core.interference.track import track_of
from tests.core.interference.scenes import body, motion_of, project_of

RING = Polygon(points=((-10, -10), (10, -10), (10, 10), (-10, 10)), holes=(((-6, -6), (6, -6), (6, 6), (-6, 6)),))


def test_a_table_of_corners_makes_the_sweep_again():
    project = project_of(body("door", RING))
    track = track_of(parts_of(project), motion_of({"door": lambda t: (2.0 * t, 0.0, 0.0)}))
    sweep = sweep_of(track, "door", tolerance=0.01)
    rows = list(csv.DictReader(io.StringIO(sweep_table(project, [sweep]))))
    assert {row["part"] for row in rows} == {"door"}
    rings = [[(float(row["x mm"]), float(row["y mm"])) for row in rows if row["ring"] == ring] for ring in ("1", "2")]
    again = shapely.Polygon(rings[0], [rings[1]])
    assert again.symmetric_difference(sweep.area).area < 1e-2


def test_an_aircraft_in_inches_has_a_table_in_inches():
    project = replace(project_of(body("door", RING)), length_unit="in")
    track = track_of(parts_of(project), motion_of({"door": lambda t: (2.0 * t, 0.0, 0.0)}))
    rows = list(csv.DictReader(io.StringIO(sweep_table(project, [sweep_of(track, "door", tolerance=0.01)]))))
    assert max(float(row["x in"]) for row in rows) == pytest.approx(12.0 / 25.4, abs=0.001)
