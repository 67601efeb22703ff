"""Accepted findings are set aside with their reason, until they get worse."""

from __future__ import annotations

import json

import pytest
from msgspec.structs import replace

from core.document.acceptance_checks import KINDS
from core.document.finding_edits import Accept, RemovePairRule, SetPairRule, TakeBack, rule_of
from core.document.project import (
    Acceptance,
    Aircraft,
    Body,
    Drive,
    Move,
    PairRule,
    Pivot,
    Polygon,
    Project,
    Sequence,
    Step,
    View,
)
from core.document.project_file import decode, encode
from core.document.sequence_edits import RemoveSequence
from core.findings.acceptance import acceptance_of
from core.findings.finding import Kind
from core.findings.sentences import joined
from core.report import to_json, to_text
from core.sketch.body_edits import RemoveThings
from core.study import run


def box(x1, y1, x2, y2):
    return Polygon(points=((x1, y1), (x2, y1), (x2, y2), (x1, y2)))


def project(*, post: float = 20.0) -> Project:
    """An arm of 2 mm sweeps through a post; both sequences do."""
    up = Step(id="lift", duration=2.0, moves=(Move(drive="turn", to=90.0),))
    down = Step(id="drop", duration=1.0, moves=(Move(drive="turn", to=0.0),))
    return Project(
        aircraft=Aircraft(name="Merrow T.2"),
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="frame", name="Keel", view="side", fixed=True, shapes=(box(post, 20.0, 22.0, 22.0),)),
            Body(id="arm", name="Leg", view="side", shapes=(box(-1.0, -1.0, 40.0, 1.0),)),
        ),
        connections=(Pivot(id="hinge", bodies=("frame", "arm"), at=(0.0, 0.0)),),
        drives=(Drive(id="turn", on="hinge"),),
        sequences=(
            Sequence(id="up", name="Up", steps=(up,)),
            Sequence(id="down", name="Down", start={"turn": 90.0}, steps=(down,)),
        ),
        pairs=(PairRule(bodies=("frame", "arm"), rule="check"),),
    )


@pytest.fixture(scope="module")
def study():
    return run(project())


def test_every_kind_of_finding_can_be_accepted():
    assert set(KINDS) == {str(kind) for kind in Kind}


def test_an_accepted_finding_is_set_aside_and_nothing_is_solved_for_it(study):
    (clash,) = study.sequences[0].findings
    edit = Accept(acceptance_of(clash, "it is cut away"))
    after = run(edit.apply(project()), previous=study)
    assert after.sequences[0].findings == ()
    assert after.sequences[0].accepted[0].accepted.why == "it is cut away"
    assert len(after.sequences[1].findings) == 1, "the other sequence is another matter"
    for before, now in zip(study.sequences, after.sequences, strict=True):
        assert now.motion is before.motion
        assert now.interference is before.interference


def test_everywhere_means_every_sequence(study):
    (clash,) = study.sequences[0].findings
    after = run(Accept(acceptance_of(clash, "cut away", everywhere=True)).apply(project()), previous=study)
    assert [one.findings for one in after.sequences] == [(), ()]


def test_what_gets_worse_is_told_again(study):
    (clash,) = study.sequences[0].findings
    accepted = Accept(acceptance_of(clash, "it is cut away")).apply(project(post=19.0))
    (again,) = run(accepted, sequence="up").sequences[0].findings
    assert again.amount > clash.amount
    worse = again.amount - clash.amount
    assert again.sentence.endswith(f"It was accepted at {clash.amount:.2f} mm, and is worse by {worse:.2f} mm now.")


def test_what_gets_a_little_worse_is_not(study):
    (clash,) = study.sequences[0].findings
    accepted = Accept(acceptance_of(clash, "it is cut away")).apply(project(post=19.999))
    assert run(accepted, sequence="up").sequences[0].findings == ()


def test_a_tight_pair_gets_worse_as_it_gets_nearer():
    def near(gap):
        base = project(post=20.0)
        frame = replace(base.bodies[0], shapes=(box(0.0, 40.0 + gap, 2.0, 45.0),))
        arm = replace(base.bodies[1], shapes=(box(-1.0, -1.0, 1.0, 40.0),))
        still = Sequence(id="up", steps=(Step(id="rest", duration=1.0),))
        return replace(base, bodies=(frame, arm), least_clearance=1.0, sequences=(still,))

    (tight,) = (one for one in run(near(0.5)).sequences[0].findings if one.kind is Kind.TIGHT)
    edit = Accept(acceptance_of(tight, "felt between them"))
    kinds = [[one.kind for one in run(edit.apply(near(gap))).sequences[0].findings] for gap in (0.6, 0.5, 0.3)]
    assert [Kind.TIGHT in found for found in kinds] == [False, False, True]


def test_taking_back_and_accepting_anew(study):
    (clash,) = study.sequences[0].findings
    once = acceptance_of(clash, "it is cut away")
    other = replace(once, why="it is filed away")
    accepted = Accept(once).apply(project())
    assert Accept(once).apply(accepted) is accepted
    assert Accept(other).apply(accepted).accepted == (other,)
    assert TakeBack((other,)).apply(accepted) == project()
    bare = project()
    assert TakeBack((once,)).apply(bare) is bare


def test_the_file_keeps_them(tmp_path, study):
    (clash,) = study.sequences[0].findings
    accepted = Accept(acceptance_of(clash, "it is cut away")).apply(project())
    data = encode(accepted)
    assert json.loads(data)["accepted"][0]["why"] == "it is cut away"
    assert decode(data, tmp_path / "project.json") == accepted


def test_the_report_sets_them_apart_and_tells_of_those_in_vain(study):
    (clash,) = study.sequences[0].findings
    gone = replace(acceptance_of(clash, "gone"), kind="loose")
    accepted = Accept(gone).apply(Accept(acceptance_of(clash, "it is cut away")).apply(project()))
    after = run(accepted, previous=study)
    told = to_json(after)
    assert told["sequences"][0]["findings"] == []
    assert told["sequences"][0]["accepted"][0]["why"] == "it is cut away"
    assert told["accepted_in_vain"] == [
        {"kind": "loose", "bodies": list(clash.bodies), "sequence": "up", "why": "gone"}
    ]
    words = to_text(after)
    assert "Accepted: it is cut away" in words
    assert "found no longer" in words


def test_a_rule_is_set_whichever_way_about_and_keeps_what_the_file_said_besides():
    old = PairRule(bodies=("arm", "frame"), rule="check", beyond=4.0, extra={"colour": 3})
    base = replace(project(), pairs=(old,))
    set_rule = SetPairRule(replace(rule_of(base, ("frame", "arm")), bodies=("frame", "arm"), clearance=1.5))
    changed = set_rule.apply(base)
    assert changed.pairs == (replace(old, clearance=1.5),)
    assert set_rule.apply(changed) is changed
    ignored = SetPairRule(PairRule(bodies=("frame", "arm"), rule="ignore", why="hinge"))
    assert ignored.label == "Excuse pair"
    assert RemovePairRule(("frame", "arm")).apply(ignored.apply(base)).pairs == ()
    assert RemovePairRule(("frame", "leg")).apply(base) is base
    assert SetPairRule(PairRule(bodies=("frame", "leg"), rule="check")).apply(base).pairs[0] is old


def test_what_was_accepted_goes_with_its_sequence_and_its_drive(study):
    """A file that names what is gone would be refused when it is next opened."""
    (clash,) = study.sequences[0].findings
    here = acceptance_of(clash, "it is cut away")
    drive = Acceptance(kind="dead-centre", drive="turn", why="it is pushed by hand")
    everywhere = replace(here, sequence=None)
    accepted = replace(project(), accepted=(here, drive, everywhere))
    assert RemoveSequence("up").apply(accepted).accepted == (drive, everywhere)
    assert RemoveThings(("turn",)).apply(accepted).accepted == (here, everywhere)


def test_a_travel_that_gets_worse_is_told_in_its_own_unit():
    def limited(most: float):
        base = project()
        return replace(
            base, connections=(replace(base.connections[0], limits=(0.0, most)),), sequences=base.sequences[:1]
        )

    (passed,) = (one for one in run(limited(80.0)).sequences[0].findings if one.kind is Kind.TRAVEL)
    edit = Accept(acceptance_of(passed, "the stop is filed"))
    (again,) = (one for one in run(edit.apply(limited(78.0))).sequences[0].findings if one.kind is Kind.TRAVEL)
    assert again.sentence.endswith("It was accepted at 10°, and is worse by 2° now.")
    assert not [one for one in run(edit.apply(limited(81.0))).sequences[0].findings if one.kind is Kind.TRAVEL]


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (["Leg"], "Leg"),
        (["Leg", "Door"], "Leg and Door"),
        (["Leg", "Door", "Rod"], "Leg, Door and Rod"),
        (["Keel and bay walls", "Door"], "Keel and bay walls – Door"),
        (["Door, left", "Leg", "Rod"], "Door, left – Leg – Rod"),
    ],
)
def test_names_in_a_row_cannot_be_read_as_more_than_they_are(names, told):
    assert joined(names) == told
