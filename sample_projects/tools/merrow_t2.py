"""The Merrow T.2's project: what joins its parts, what drives them, in what order, and what is asked of them."""

from __future__ import annotations

from core.document.project import (
    Aircraft,
    Connection,
    Drive,
    Figure,
    Gearing,
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
from sample_projects.tools import merrow_layout as at
from sample_projects.tools.merrow_parts import hook_throat, plan_bodies, side_bodies
from sample_projects.tools.plane import turned
from sample_projects.tools.shapes import neat, spot


def merrow_t2(views: tuple[View, ...]) -> Project:
    return Project(
        aircraft=Aircraft(
            name="Merrow T.2", scale=at.SCALE,
            note="Nose undercarriage. Origin at the leg pivot: station 2520, waterline -120. "
            "Drawn on the ground: leg down, oleo at static length, main door shut.",
        ),
        length_unit="mm", least_clearance=0.5, views=views, bodies=(*side_bodies(), *plan_bodies()),
        connections=(*_leg(), *_brace(), *_doors(), *_valve(), *_uplock(), *_steering()), drives=_drives(),
        sequences=(_retract(), _oleo_stroke(), _steer()), pairs=_pairs(), targets=_targets(), figures=_figures(),
    )  # fmt: skip


# ---- connections -------------------------------------------------------------------------------------------------


def _leg() -> tuple[Connection, ...]:
    return (
        Pivot(id="leg-pivot", name="Leg pivot", bodies=("airframe", "leg"), at=at.LEG_PIVOT, pin=5.0,
              limits=(-99.0, 0.5)),
        Slide(id="oleo", name="Oleo", bodies=("leg", "piston"), at=(0.0, -46.0), along=(0.0, -1.0),
              limits=(at.STATIC - at.FULL_STROKE, at.STATIC)),
        Pivot(id="torque-top", name="Upper torque pin", bodies=("leg", "torque-upper"), at=at.LEG_TORQUE_PIN, pin=1.5),
        Pivot(id="torque-apex", name="Torque link apex", bodies=("torque-upper", "torque-lower"),
              at=spot(at.TORQUE_APEX), pin=1.2),
        Pivot(id="torque-foot", name="Lower torque pin", bodies=("piston", "torque-lower"),
              at=at.FORK_TORQUE_PIN, pin=1.5),
        Pivot(id="axle", name="Axle", bodies=("piston", "wheel"), at=at.AXLE, pin=3.0),
    )  # fmt: skip


def _brace() -> tuple[Connection, ...]:
    return (
        Pivot(id="brace-top", name="Brace anchor", bodies=("airframe", "brace-upper"), at=at.BRACE_ANCHOR, pin=3.0),
        Pivot(id="brace-elbow", name="Brace elbow", bodies=("brace-upper", "brace-lower"), at=spot(at.ELBOW), pin=2.5),
        Pivot(id="brace-foot", name="Brace lug", bodies=("leg", "brace-lower"), at=at.BRACE_LUG, pin=2.5),
        Jack(id="brace-jack", name="Brace jack", bodies=("airframe", "brace-upper"),
             ends=(at.JACK_ANCHOR, spot(at.JACK_ARM)), closed=at.JACK_CLOSED, stroke=at.JACK_STROKE,
             barrel=5.5, rod=2.5, depth=(-2.8, 2.8), pin=2.0),
    )  # fmt: skip


def _doors() -> tuple[Connection, ...]:
    return (
        Pivot(id="main-hinge", name="Main door hinge", bodies=("airframe", "main-door"), at=at.MAIN_HINGE, pin=1.0,
              limits=(at.MAIN_OPEN - 1.0, 0.2)),
        Jack(id="door-jack", name="Door jack", bodies=("airframe", "main-door"),
             ends=(at.DOOR_JACK_ANCHOR, spot(at.DOOR_JACK_ARM)), closed=at.DOOR_JACK_CLOSED, stroke=at.DOOR_JACK_STROKE,
             barrel=4.5, rod=2.0, depth=(-11.8, -7.3), pin=1.5),
        Pivot(id="small-hinge", name="Small door hinge", bodies=("airframe", "small-door"), at=at.SMALL_HINGE, pin=1.0,
              limits=(-at.SMALL_OPEN - 0.5, 0.5)),
        Rod(id="door-rod", name="Small door rod", bodies=("leg", "small-door"),
            ends=(spot(at.ROD_ON_LEG), spot(at.SMALL_HORN)), width=1.8, depth=(-9.4, -7.8), pin=1.2),
    )  # fmt: skip


def _valve() -> tuple[Connection, ...]:
    return (
        Pivot(id="valve-pivot", name="Sequence valve", bodies=("airframe", "valve-lever"), at=spot(at.VALVE_PIVOT),
              pin=1.5),
        valve_rod(),
    )  # fmt: skip


def valve_rod(length: float = at.VALVE_ROD) -> Rod:
    return Rod(
        id="valve-rod", name="Sequence valve rod", bodies=("leg", "valve-lever"),
        ends=(spot(at.VALVE_ON_LEG), spot(at.valve_pin(length))), width=1.5, depth=(9.2, 10.6), pin=1.2,
    )  # fmt: skip


def _uplock() -> tuple[Connection, ...]:
    return (
        Pivot(id="hook-pivot", name="Uplock pivot", bodies=("airframe", "hook"), at=at.HOOK_PIVOT, pin=2.0,
              limits=(-0.5, 0.5 - at.HOOK_OPEN)),
        Latch(id="uplock", name="Uplock", bodies=("hook", "leg"), ends=(spot(hook_throat()), at.ROLLER), reach=0.3),
    )  # fmt: skip


def _steering() -> tuple[Connection, ...]:
    return (
        Pivot(id="collar-pivot", name="Steering collar", bodies=("steer-casing", "collar"), at=(0.0, 0.0), pin=9.6,
              limits=(-31.0, 31.0)),
        Jack(id="steer-jack", name="Steering jack", bodies=("steer-casing", "collar"),
             ends=(at.STEER_ANCHOR, at.STEER_ARM), closed=at.STEER_CLOSED, stroke=at.STEER_STROKE, barrel=4.0, rod=1.8,
             depth=(-44.0, -40.0), pin=1.5),
        Pivot(id="fork-turn", name="Fork in plan", bodies=("steer-casing", "fork-plan"), at=(0.0, 0.0)),
        Pivot(id="wheel-turn", name="Wheel in plan", bodies=("steer-casing", "wheel-plan"), at=(0.0, 0.0)),
        Gearing(id="torque-links", name="Torque links turn the fork", pivots=("collar-pivot", "fork-turn"), ratio=1.0),
        Gearing(id="fork-holds-wheel", name="Axle turns with the fork", pivots=("fork-turn", "wheel-turn"), ratio=1.0),
    )  # fmt: skip


def _drives() -> tuple[Drive, ...]:
    return (
        Drive(id="gear", name="Brace jack", on="brace-jack"),
        Drive(id="strut", name="Oleo travel from static", on="oleo"),
        Drive(id="doors", name="Door jack", on="door-jack"),
        Drive(id="lock", name="Uplock hook", on="hook-pivot"),
        Drive(id="roll", name="Wheel roll", on="axle"),
        Drive(id="steering", name="Steering jack", on="steer-jack"),
    )


# ---- sequences ---------------------------------------------------------------------------------------------------


def _eased(drive: str, to: float) -> Move:
    return Move(drive=drive, to=neat(to), profile="eased")


def _retract() -> Sequence:
    return Sequence(
        id="retract", name="Retract",
        steps=(
            Step(id="weight-off", name="Weight off", duration=0.8, moves=(_eased("strut", at.STATIC),)),
            Step(id="doors-open", name="Doors open", duration=1.0, moves=(_eased("doors", at.DOOR_JACK_OPEN),)),
            Step(id="leg-up", name="Leg up", delay=0.2, duration=4.0, moves=(_eased("gear", at.JACK_UP),)),
            Step(id="lock-up", name="Lock", duration=0.4, moves=(_eased("lock", -at.HOOK_OPEN),), engage=("uplock",)),
            Step(id="doors-close", name="Doors close", delay=0.1, duration=1.0,
                 moves=(_eased("doors", at.DOOR_JACK_SHUT),)),
        ),
    )  # fmt: skip


def _oleo_stroke() -> Sequence:
    return Sequence(
        id="oleo-stroke", name="Oleo stroke", start={"strut": at.STATIC},
        steps=(
            Step(id="touchdown", name="Touchdown", duration=0.8, moves=(_eased("strut", at.STATIC - at.FULL_STROKE),)),
            Step(id="rebound", name="Rebound", duration=1.0, moves=(_eased("strut", 4.0),)),
            Step(id="settle", name="Settle", duration=0.8, moves=(_eased("strut", 0.0),)),
        ),
    )  # fmt: skip


def _steer() -> Sequence:
    return Sequence(
        id="steer", name="Steer",
        steps=(
            Step(id="to-left", name="Left lock", duration=1.2, moves=(_eased("steering", at.STEER_LEFT),)),
            Step(id="to-right", name="Right lock", duration=2.0, moves=(_eased("steering", at.STEER_RIGHT),)),
            Step(id="ahead", name="Straight ahead", duration=1.2, moves=(_eased("steering", at.STEER_AHEAD),)),
            Step(id="taxi", name="Taxiing", together_with="to-left", duration=4.4,
                 moves=(Move(drive="roll", to=720.0),)),
        ),
    )  # fmt: skip


# ---- what is asked -----------------------------------------------------------------------------------------------


def _pairs() -> tuple[PairRule, ...]:
    tyre = "a worn tyre runs out of round, and a soft one bulges"
    return (
        PairRule(bodies=("wheel", "airframe"), rule="check", clearance=2.0, why=tyre),
        PairRule(bodies=("wheel", "main-door"), rule="check", clearance=2.0, why=tyre),
        PairRule(bodies=("main-door", "small-door"), rule="check", clearance=0.6, why="shut line, trimmed on assembly"),
        PairRule(bodies=("main-door", "airframe"), rule="check", why="hinged inside the skin: its front edge tucks in"),
        PairRule(bodies=("small-door", "airframe"), rule="check", why="hinged inside the skin: its aft edge tucks in"),
        PairRule(bodies=("hook", "leg"), rule="check", beyond=6.6, why="the roller lies in the hook's throat"),
        PairRule(bodies=("hook", "airframe"), rule="check", why="hangs close under the bay roof"),
        PairRule(bodies=("leg", "airframe"), rule="check", clearance=1.0, why="leg and brace give under load"),
        PairRule(bodies=("brace-upper", "airframe"), rule="check", why="pinned to brackets, clear of the roof"),
        PairRule(bodies=("brace-jack", "airframe"), rule="check", why="pinned to brackets, clear of roof and frame"),
        PairRule(bodies=("door-jack", "airframe"), rule="check", why="pinned to brackets, clear of the front wall"),
        PairRule(bodies=("valve-lever", "airframe"), rule="check", why="pinned to brackets, clear of the walls"),
        PairRule(bodies=("door-rod", "small-door"), rule="check", beyond=3.0, why="forked about the horn"),
        PairRule(bodies=("door-jack", "main-door"), rule="check", beyond=6.0, why="forked about the horn"),
        PairRule(bodies=("torque-lower", "piston"), rule="check", beyond=4.0, why="forked about its lug"),
        PairRule(bodies=("torque-upper", "leg"), rule="check", beyond=4.0, why="forked about its lug"),
    )


def _targets() -> tuple[Target, ...]:
    up, shut = Moment(sequence="retract", after="leg-up"), Moment(sequence="retract", at="end")
    small_shut = turned((0.0, 0.0), -at.SMALL_OPEN, at.SMALL_HINGE)
    return (
        Target(id="leg-stowed", body="leg", at=up, x=0.0, y=0.0, turn=at.RETRACTION, within=0.3),
        Target(id="small-door-shut", body="small-door", at=up, x=neat(small_shut[0]), y=neat(small_shut[1]),
               turn=-at.SMALL_OPEN, within=0.2),
        Target(id="main-door-shut", body="main-door", at=shut, x=0.0, y=0.0, turn=0.0, within=0.2),
    )  # fmt: skip


def _figures() -> tuple[Figure, ...]:
    sheet = "sheet 1, side elevation"
    retract = ({"sequence": "retract", "at": "start"}, {"sequence": "retract", "at": "end"})
    return (
        Figure(id="brace-stroke", name="Brace jack stroke", quantity="travel", of="brace-jack",
               between=({"sequence": "retract", "at": "start"}, {"sequence": "retract", "after": "leg-up"}),
               published="231 mm", plus_minus="1.5 mm", full_size=True, shop="0.1 mm",
               source=sheet, confidence="quoted"),
        Figure(id="oleo-travel", name="Oleo stroke", quantity="travel", of="oleo",
               between=({"sequence": "oleo-stroke", "at": "start"}, {"sequence": "oleo-stroke", "after": "touchdown"}),
               published="180 mm", plus_minus="2 mm", full_size=True, shop="0.1 mm", source=sheet, confidence="quoted"),
        Figure(id="brace-has", name="Brace jack stroke available", quantity="stroke", of="brace-jack",
               between=retract, compared="available",
               published="246 mm", plus_minus="1 mm", full_size=True, shop="0.1 mm", source=sheet, confidence="quoted"),
        Figure(id="wheel-across", name="Nosewheel diameter", quantity="diameter", of="wheel",
               published="360 mm", plus_minus="3 mm", full_size=True, shop="0.1 mm", source=sheet, confidence="quoted"),
        Figure(id="valve-rod-length", name="Sequence valve rod, pin to pin", quantity="length", of="valve-rod",
               published="198 mm", plus_minus="1 mm", full_size=True, shop="0.1 mm", source=sheet, confidence="quoted"),
        Figure(id="axle-drop", name="Leg pivot to axle, at static length", quantity="distance",
               between=({"pivot": "leg-pivot"}, {"pivot": "axle"}),
               published="890 mm", plus_minus="3 mm", full_size=True, shop="0.2 mm",
               source=sheet, confidence="measured"),
        Figure(id="steer-stroke", name="Steering jack stroke", quantity="travel", of="steer-jack",
               between=({"sequence": "steer", "after": "to-left"}, {"sequence": "steer", "after": "to-right"}),
               published="108 mm", plus_minus="1 mm", full_size=True, shop="0.1 mm",
               source="sheet 2, plan", confidence="quoted"),
    )  # fmt: skip
