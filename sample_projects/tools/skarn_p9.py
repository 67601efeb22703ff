"""The Skarn P.9's project: a main leg that folds inboard on a side brace locked past straight."""

from __future__ import annotations

from core.document.project import (
    Aircraft,
    Connection,
    Drive,
    Figure,
    Jack,
    Latch,
    Moment,
    Move,
    PairRule,
    Pivot,
    Project,
    Rod,
    Sequence,
    Slide,
    Step,
    Target,
    View,
)
from sample_projects.tools import skarn_layout as at
from sample_projects.tools.shapes import neat, spot
from sample_projects.tools.skarn_parts import bodies


def skarn_p9(views: tuple[View, ...]) -> Project:
    return Project(
        aircraft=Aircraft(
            name="Skarn P.9", scale=at.SCALE,
            note="Port main undercarriage from ahead. Origin at the leg pivot: buttock line 2400, waterline -300.",
        ),
        length_unit="mm", least_clearance=0.8, views=views, bodies=bodies(),
        connections=(*_leg(), *_brace(), *_doors()),
        drives=(
            Drive(id="gear", name="Brace jack", on="brace-jack"),
            Drive(id="strut", name="Oleo travel from static", on="oleo"),
            Drive(id="door", name="Inner door jack", on="door-jack"),
        ),
        sequences=(_retract(), _lower()), pairs=_pairs(), targets=_targets(), figures=_figures(),
    )  # fmt: skip


def _leg() -> tuple[Connection, ...]:
    return (
        Pivot(id="leg-pivot", name="Leg pivot", bodies=("airframe", "leg"), at=at.LEG_PIVOT, pin=10.0,
              limits=(-89.0, 0.5)),
        Slide(id="oleo", name="Oleo", bodies=("leg", "wheel"), at=(0.0, -117.0), along=(0.0, -1.0),
              limits=(at.STATIC - at.FULL_STROKE, at.STATIC)),
        Latch(id="uplock", name="Uplock catch", bodies=("airframe", "leg"),
              ends=(spot(at.STOWED_ROLLER), at.ROLLER), reach=0.5),
    )  # fmt: skip


def _brace() -> tuple[Connection, ...]:
    return (
        Pivot(id="brace-top", name="Brace anchor", bodies=("airframe", "brace-upper"), at=at.BRACE_ANCHOR, pin=6.0),
        Pivot(id="brace-elbow", name="Brace elbow", bodies=("brace-upper", "brace-lower"), at=spot(at.ELBOW), pin=5.0),
        Pivot(id="brace-foot", name="Brace lug", bodies=("leg", "brace-lower"), at=at.BRACE_LUG, pin=5.0),
        Jack(id="brace-jack", name="Brace jack", bodies=("airframe", "brace-upper"),
             ends=(at.JACK_ANCHOR, spot(at.JACK_ARM)), closed=at.JACK_CLOSED, stroke=at.JACK_STROKE,
             barrel=9.0, rod=4.5, depth=(-4.5, 4.5), pin=4.0),
    )  # fmt: skip


def _doors() -> tuple[Connection, ...]:
    return (
        Pivot(id="door-hinge", name="Wheel door hinge", bodies=("leg", "wheel-door"), at=at.DOOR_HINGE, pin=2.0),
        Rod(id="door-trim", name="Wheel door trim link", bodies=("leg", "wheel-door"),
            ends=(at.TRIM_ON_LEG, at.TRIM_ON_DOOR), width=3.0, depth=(10.0, 13.0), pin=2.0),
        Pivot(id="inner-hinge", name="Inner door hinge", bodies=("airframe", "inner-door"), at=at.INNER_HINGE, pin=2.5,
              limits=(at.INNER_OPEN - 1.0, 0.2)),
        Jack(id="door-jack", name="Inner door jack", bodies=("airframe", "inner-door"),
             ends=(at.INNER_JACK_ANCHOR, spot(at.INNER_JACK_ARM)), closed=at.INNER_JACK_CLOSED,
             stroke=at.INNER_JACK_STROKE, barrel=8.0, rod=4.0, depth=(-6.0, 6.0), pin=3.0),
    )  # fmt: skip


def _eased(drive: str, to: float) -> Move:
    return Move(drive=drive, to=neat(to), profile="eased")


def _retract() -> Sequence:
    return Sequence(
        id="retract", name="Retract",
        steps=(
            Step(id="weight-off", name="Weight off", duration=1.0, moves=(_eased("strut", at.STATIC),)),
            Step(id="inner-opens", name="Inner door opens", duration=1.4, moves=(_eased("door", at.INNER_OUT),)),
            Step(id="leg-up", name="Leg up", delay=0.2, duration=5.0, moves=(_eased("gear", at.JACK_UP),),
                 engage=("uplock",)),
            Step(id="inner-shuts", name="Inner door shuts", delay=0.1, duration=1.4,
                 moves=(_eased("door", at.INNER_SHUT),)),
        ),
    )  # fmt: skip


def _lower() -> Sequence:
    return Sequence(
        id="lower", name="Lower", start={"gear": neat(at.JACK_UP), "strut": at.STATIC},
        steps=(
            Step(id="inner-down", name="Inner door opens", duration=1.2, moves=(_eased("door", at.INNER_OUT),)),
            Step(id="leg-down", name="Leg down", delay=0.2, duration=4.0, moves=(_eased("gear", at.JACK_DOWN),)),
            Step(id="inner-recloses", name="Inner door shuts again", duration=1.2,
                 moves=(_eased("door", at.INNER_SHUT),)),
            Step(id="weight-on", name="Weight on", delay=0.4, duration=0.8, moves=(_eased("strut", 0.0),)),
        ),
    )  # fmt: skip


def _pairs() -> tuple[PairRule, ...]:
    return (
        PairRule(bodies=("wheel", "airframe"), rule="check", clearance=3.0, why="a soft tyre bulges"),
        PairRule(bodies=("wheel", "inner-door"), rule="check", clearance=3.0, why="a soft tyre bulges"),
        PairRule(bodies=("leg", "airframe"), rule="check", beyond=14.0, why="the roller lies in its catch"),
        PairRule(bodies=("brace-upper", "airframe"), rule="check", why="its arm swings past the catch"),
        PairRule(bodies=("brace-jack", "airframe"), rule="check", why="pinned to brackets, clear of roof and wall"),
        PairRule(bodies=("door-jack", "airframe"), rule="check", why="pinned to brackets, clear of roof and wall"),
        PairRule(bodies=("door-jack", "inner-door"), rule="check", beyond=9.0, why="forked about the horn"),
        PairRule(bodies=("brace-lower", "leg"), rule="check", beyond=12.0, why="forked about its lug"),
        PairRule(bodies=("inner-door", "airframe"), rule="check", why="hinged inside the skin: its edge tucks in"),
        PairRule(
            bodies=("inner-door", "wheel-door"), rule="check", clearance=0.6, why="shut line, trimmed on assembly"
        ),
    )


def _targets() -> tuple[Target, ...]:
    return (
        Target(id="leg-stowed", body="leg", at=Moment(sequence="retract", after="leg-up"), x=0.0, y=0.0,
               turn=at.RETRACTION, within=0.4),
        Target(id="leg-locked", body="leg", at=Moment(sequence="lower", after="leg-down"), x=0.0, y=0.0,
               turn=0.0, within=0.1),
    )  # fmt: skip


def _figures() -> tuple[Figure, ...]:
    return (
        Figure(id="brace-stroke", name="Brace jack stroke", quantity="travel", of="brace-jack",
               between=({"sequence": "retract", "at": "start"}, {"sequence": "retract", "after": "leg-up"}),
               published="225 mm", plus_minus="2 mm", full_size=True, shop="0.2 mm",
               source="sheet 1", confidence="quoted"),
        Figure(id="swing", name="Leg swing", quantity="travel", of="leg-pivot",
               between=({"sequence": "retract", "at": "start"}, {"sequence": "retract", "after": "leg-up"}),
               published="88 deg", plus_minus="0.5 deg", source="sheet 1", confidence="quoted"),
    )  # fmt: skip
