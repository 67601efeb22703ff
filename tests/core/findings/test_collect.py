"""Findings: order, sentences, JSON keys of the file format's contract, and targets."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import (
    Aircraft,
    Body,
    Circle,
    Drive,
    Latch,
    Moment,
    Move,
    Need,
    Pivot,
    Polygon,
    Project,
    Sequence,
    Step,
    Target,
    View,
)
from core.findings.collect import collect
from core.findings.finding import Kind
from core.interference.interference import Clearance, Contact, Interference
from core.motion.motion import Motion
from core.motion.schedule import lay_out
from core.motion.trouble import DeadCentre, Jam, LatchMiss, Loose, Redundant, TravelPassed
from core.report import finding_to_json

SQUARE = Polygon(points=((0.0, 0.0), (30.0, 0.0), (30.0, 40.0), (0.0, 40.0)))
SEQUENCE = Sequence(
    id="retract",
    steps=(Step(id="leg-up", name="Leg up", duration=4.0, moves=(Move(drive="gear", to=90.0),), engage=("uplock",)),),
)
HASTY = replace(SEQUENCE, steps=(replace(SEQUENCE.steps[0], needs=(Need(drive="gear", at_least=9.0),)),))


def project(*, within: float = 0.3, turn: float = 90.0, shapes=(SQUARE,)) -> Project:
    return Project(
        aircraft=Aircraft(name="Merrow T.2", scale=12),
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="airframe", name="Keel", view="side", fixed=True, shapes=(SQUARE,)),
            Body(id="leg", name="Nose leg", view="side", shapes=shapes),
        ),
        connections=(
            Pivot(id="leg-pivot", name="Leg pivot", bodies=("airframe", "leg"), at=(0.0, 0.0), limits=(0.0, 80.0)),
            Latch(id="uplock", name="Uplock", bodies=("airframe", "leg"), ends=((40.0, 6.0), (2.0, -52.0)), reach=0.5),
        ),
        drives=(Drive(id="gear", name="Leg angle", on="leg-pivot"),),
        sequences=(SEQUENCE,),
        targets=(
            Target(
                id="stowed",
                body="leg",
                at=Moment(sequence="retract", after="leg-up"),
                x=0.0,
                y=0.0,
                turn=turn,
                within=within,
            ),
        ),
    )


def turning_leg(troubles=()) -> Motion:
    """The leg turns about the origin from 0 to 90 degrees in 4 s."""
    times = np.linspace(0.0, 4.0, 161)

    def poses_at(at: np.ndarray) -> np.ndarray:
        poses = np.zeros((len(at), 2, 3))
        poses[:, 1, 2] = np.radians(22.5 * np.asarray(at))
        return poses

    return Motion(
        schedule=lay_out(SEQUENCE), drive_ids=("gear",), bodies=("airframe", "leg"),
        connections=("leg-pivot", "uplock"),
        times=times, poses=poses_at(times), drives=22.5 * times[:, None], values=np.full((161, 2), np.nan),
        assembled=np.ones((161, 2), bool), troubles=tuple(troubles), poses_at=poses_at,
        assembled_at=lambda at: np.ones((len(at), 2), bool),
    )  # fmt: skip


def nothing(contacts=(), clearances=()) -> Interference:
    empty = np.zeros((0, 161))
    return Interference(
        pairs=(), touching=empty.astype(bool), gaps=empty, contacts=tuple(contacts), clearances=tuple(clearances)
    )


def contact(depth: float = 0.8) -> Contact:
    return Contact(
        parts=("leg", "airframe"),
        view="side",
        begin=2.113,
        end=3.04,
        worst=2.61,
        area=3.2,
        depth=depth,
        at=(12.1, -8.4),
    )


def clearance(least: float, wanted: float = 0.5) -> Clearance:
    return Clearance(
        parts=("leg", "airframe"),
        view="side",
        least=least,
        time=1.0,
        points=((3.0, 8.0), (3.0, 8.2)),
        wanted=wanted,
        proved=True,
    )


TROUBLES = (
    Redundant(connections=("leg-pivot", "uplock"), count=1),
    DeadCentre(drive="gear", connections=("leg-pivot",), time=3.0, distance=0.004),
    LatchMiss(connection="uplock", miss=0.8, time=4.0),
    TravelPassed(connection="leg-pivot", value=90.0, limits=(0.0, 80.0), time=4.0),
    Loose(bodies=("leg",), freedoms=1, begin=0.0, end=4.0),
    Jam(connections=("leg-pivot",), bodies=("leg",), begin=3.0, end=4.0, time=3.0, short_by=1.7),
)


def all_kinds():
    return collect(
        project(turn=91.0),
        HASTY,
        turning_leg(TROUBLES),
        nothing([contact()], [clearance(0.21).__class__(**{**_fields(clearance(0.21)), "parts": ("leg", "door")})]),
    )


def _fields(value) -> dict:
    return {name: getattr(value, name) for name in value.__dataclass_fields__}


def test_every_kind_is_told_worst_first():
    assert [finding.kind for finding in all_kinds()] == list(Kind)


def test_of_one_kind_the_deeper_comes_first():
    found = collect(project(), SEQUENCE, turning_leg(), nothing([contact(0.2), contact(1.4), contact(0.9)]))
    assert [finding.amount for finding in found] == [1.4, 0.9, 0.2]


@pytest.mark.parametrize("finding", all_kinds(), ids=lambda finding: str(finding.kind))
def test_sentence_names_things_as_people_do(finding):
    assert finding.sentence.endswith(".")
    assert "leg-pivot" not in finding.sentence
    assert "uplock" not in finding.sentence
    assert finding.sentence[0].isupper()


# The keys that the contract prints for each kind; more may stand beside them.
CONTRACT = {
    "clash": {"kind", "bodies", "from", "to", "worst", "overlap", "depth", "at", "step"},
    "tight": {"kind", "bodies", "clearance", "wanted", "time", "at"},
    "loose": {"kind", "bodies", "freedoms", "from", "to"},
    "jammed": {"kind", "connections", "time", "short_by"},
    "dead-centre": {"kind", "drive", "time"},
    "travel": {"kind", "connection", "value", "limits", "time"},
    "redundant": {"kind", "connections", "count"},
    "latch": {"kind", "connection", "miss", "time"},
    "early": {"kind", "step", "needs", "value", "short_by", "time", "holds_at"},
    "target": {"kind", "target", "body", "miss", "time"},
}


@pytest.mark.parametrize("finding", all_kinds(), ids=lambda finding: str(finding.kind))
def test_json_has_the_contract_keys(finding):
    told = finding_to_json(finding)
    assert CONTRACT[told["kind"]] <= set(told)
    assert None not in [told[key] for key in CONTRACT[told["kind"]]]


def test_clash_is_told_with_its_numbers():
    (found,) = collect(project(), SEQUENCE, turning_leg(), nothing([contact()], [clearance(0.0)]))
    assert finding_to_json(found) == {
        "kind": "clash", "bodies": ["leg", "airframe"], "from": 2.113, "to": 3.04, "worst": 2.61,
        "overlap": 3.2, "depth": 0.8, "at": [12.1, -8.4], "step": "leg-up",
    }  # fmt: skip


def test_clearance_as_wanted_is_no_finding():
    assert collect(project(), SEQUENCE, turning_leg(), nothing([], [clearance(0.5)])) == ()


def test_target_met_is_no_finding():
    assert collect(project(turn=90.0), SEQUENCE, turning_leg(), nothing()) == ()


def test_target_miss_is_the_farthest_corner():
    # One degree off: the square's far corner (30, 40), 50 mm from the pivot, is off by the chord 2 * 50 * sin(0.5°).
    (found,) = collect(project(turn=91.0), SEQUENCE, turning_leg(), nothing())
    assert found.kind is Kind.TARGET
    assert found.amount == pytest.approx(2 * 50 * math.sin(math.radians(0.5)), abs=1e-9)
    assert found.at == pytest.approx((-40.0, 30.0), abs=1e-9)
    assert found.step == "leg-up"


def test_a_target_after_a_step_belongs_to_it_and_not_to_the_next():
    longer = replace(SEQUENCE, steps=(*SEQUENCE.steps, Step(id="lock", duration=1.0)))
    motion = dataclasses.replace(turning_leg(), schedule=lay_out(longer))
    (found,) = collect(project(turn=91.0), longer, motion, nothing())
    assert found.step == "leg-up"


@pytest.mark.parametrize("trouble", [one for one in TROUBLES if isinstance(one, DeadCentre | LatchMiss | TravelPassed)])
def test_what_a_step_works_is_told_of_it_and_not_of_one_that_has_begun_meanwhile(trouble):
    longer = replace(SEQUENCE, steps=(*SEQUENCE.steps, Step(id="doors-close", delay=-2.0, duration=4.0)))
    motion = dataclasses.replace(turning_leg((trouble,)), schedule=lay_out(longer))
    assert collect(project(), longer, motion, nothing())[0].step == "leg-up"


def test_target_of_a_round_body_counts_its_rim():
    wheel = Circle(centre=(0.0, -50.0), radius=10.0)
    (found,) = collect(project(turn=91.0, shapes=(wheel,)), SEQUENCE, turning_leg(), nothing())
    assert found.amount == pytest.approx(2 * 60 * math.sin(math.radians(0.5)), abs=2e-4)


def test_place_of_a_jam_is_its_pivot():
    (found,) = collect(project(), SEQUENCE, turning_leg(TROUBLES[-1:]), nothing())
    assert found.at == pytest.approx((0.0, 0.0), abs=1e-12)
    assert found.view == "side"
    assert found.step == "leg-up"
