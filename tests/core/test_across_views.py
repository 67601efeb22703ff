"""From a project with a side and a front view to what is told of its clash, and where it is shown."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Drive, Move, Pivot, Sequence, Step, View
from core.drawing.drawing import Line, Symbol
from core.drawing.scene import Scene
from core.drawing.situation import poses_between, situation_at
from core.findings.finding import Kind
from core.interference.check import gap_curve
from core.report import to_json, to_text
from core.study import run
from tests.core.interference.aircraft import aircraft, drawn
from tests.core.interference.scenes import box

VIEWS = (View(id="side", name="Side elevation", plane="side"), View(id="front", name="Front elevation", plane="front"))


def project_with(door_waterline: float, **leg: object):
    """A leg that swings up in the side view over a door that lies still in the front view, 10 to 30 mm aft."""
    low = door_waterline
    made = aircraft(
        drawn("airframe", "side", box(-1, 1, 1, 3), fixed=True, depth=(100, 101)),
        drawn("leg", "side", box(-2, -40, 2, 0), name="Nose leg", **{"depth": (-3, 3), **leg}),
        drawn("door", "front", box(-20, low - 1.0, 10, low), name="Main door", depth=(10, 30), fixed=True),
        connections=(Pivot(id="leg-pivot", bodies=("airframe", "leg"), at=(0.0, 0.0)),),
        least_clearance=0.5,
    )
    return replace(
        made,
        views=VIEWS,
        drives=(Drive(id="gear", on="leg-pivot"),),
        sequences=(
            Sequence(id="retract", steps=(Step(id="leg-up", duration=2.0, moves=(Move(drive="gear", to=90.0),)),)),
        ),
    )


def test_a_clash_is_told_with_both_views():
    study = run(project_with(-8.0))
    (finding,) = study.sequences[0].findings
    assert finding.kind is Kind.CLASH
    assert "Nose leg in Side elevation and Main door in Front elevation overlap" in finding.sentence
    told = json.loads(json.dumps(to_json(study)))["sequences"][0]["findings"][0]
    assert told["bodies"] == ["leg", "door"]
    assert told["views"] == ["side", "front"]
    assert -20.0 <= told["other_at"][0] <= 10.0
    assert 10.0 <= told["at"][0] <= 30.0


def test_it_is_drawn_in_both_views_with_its_place():
    study = run(project_with(-8.0))
    sequence = study.sequences[0]
    (finding,) = sequence.findings
    poses = poses_between(sequence.motion, finding.time)
    told = situation_at(sequence, study.parts, study.pairs, poses, finding.time, finding=finding)
    scene = Scene(study.project, study.parts)
    for view, at in (("side", finding.at), ("front", finding.other_at)):
        drawing = scene.drawing(poses, view=view, situation=told)
        assert sum(mark.line is Line.CLASH for mark in drawing.marks) == 1
        assert [sign.at for sign in drawing.signs if sign.symbol is Symbol.PLACE] == [at]


def test_a_narrow_place_is_dimensioned_in_both_views():
    """The leg's corner passes hypot(2, 40) mm from its pivot, the door's near edge is 0.3 mm farther."""
    reach = math.hypot(2.0, 40.0) + 0.3
    study = run(project_with(-math.sqrt(reach**2 - 10.0**2)), frames=9)
    sequence = study.sequences[0]
    (finding,) = sequence.findings
    assert finding.kind is Kind.TIGHT
    assert finding.amount == pytest.approx(0.3, abs=1e-4)
    assert "Nose leg in Side elevation comes within" in finding.sentence
    poses = poses_between(sequence.motion, finding.time)
    told = situation_at(sequence, study.parts, study.pairs, poses, finding.time, finding=finding)
    scene = Scene(study.project, study.parts)
    for view in ("side", "front"):
        marks = scene.drawing(poses, view=view, situation=told).marks
        assert sum(mark.line is Line.DIMENSION for mark in marks) == 1


def test_the_gap_of_a_pair_across_views_can_be_followed():
    study = run(project_with(-8.0), frames=21)
    sequence = study.sequences[0]
    gaps = gap_curve(study.parts, study.pairs, sequence.motion, ("leg", "door"))
    row = sequence.interference.pairs.index(("leg", "door"))
    assert gaps[0] == pytest.approx(8.0)  # from the leg's front face, upright, to where the door begins
    assert ((gaps == 0.0) == sequence.interference.touching[row]).all()
    measured = ~np.isnan(sequence.interference.gaps[row])
    assert gaps[measured] == pytest.approx(sequence.interference.gaps[row][measured], abs=1e-9)


def test_what_is_left_unchecked_for_want_of_a_depth_is_told():
    study = run(project_with(-8.0, depth=None))
    assert not study.sequences[0].findings
    assert to_json(study)["sequences"][0]["without_depth"] == ["leg"]
    assert "no depth is given: Nose leg" in to_text(study)
