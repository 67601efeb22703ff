"""A project at one moment as marks, signs and labels."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from core.document.project import Drive, Gearing, Pivot
from core.drawing.drawing import Drawing, Line, Mark, Symbol, Tint
from core.drawing.extent import extent, moving_views
from core.drawing.ghosts import Ghost, ghost_labels
from core.drawing.scene import Scene
from core.drawing.situation import Situation, poses_between, situation_at
from core.findings.finding import Finding, Kind
from core.motion.holding import held_at
from core.motion.schedule import lay_out
from tests.golden.nose_gear import nose_gear, poses_of, study_of

PROJECT = nose_gear()
STUDY = study_of(PROJECT, jammed=True)
RETRACT = STUDY.sequences[0]
SCENE = Scene(PROJECT, STUDY.parts)


def drawing_at(time: float, *, view: str = "side", finding: Finding | None = None, **options: object) -> Drawing:
    poses = poses_between(RETRACT.motion, time)
    told = situation_at(RETRACT, STUDY.parts, STUDY.pairs, poses, time, finding=finding)
    return SCENE.drawing(poses, view=view, situation=told, **options)  # type: ignore[arg-type]


def marks_of(drawing: Drawing, owner: str):
    return [mark for mark in drawing.marks if mark.owner == owner]


def symbols_of(drawing: Drawing, owner: str) -> set[Symbol]:
    return {sign.symbol for sign in drawing.signs if sign.owner == owner}


def place_of(mark, point: tuple[float, float]) -> tuple[float, float]:
    x, y, turn = mark.pose
    c, s = math.cos(turn), math.sin(turn)
    return (c * point[0] - s * point[1] + x, s * point[0] + c * point[1] + y)


@pytest.mark.parametrize(
    ("body", "tint"),
    [
        ("airframe", Tint.STRUCTURE),
        ("leg", Tint.LEG),
        ("wheel", Tint.WHEEL),
        ("hook", Tint.LOCK),
        ("door", Tint.DOOR),
    ],
)
def test_bodies_are_outlined_and_filled_by_their_role(body: str, tint: Tint):
    outline = marks_of(drawing_at(0.0), body)[0]
    assert outline.line is Line.OUTLINE
    assert outline.tint is tint


def test_a_body_stands_where_its_pose_puts_it():
    """Closed form: half way the leg has swung 45 degrees about the origin."""
    mark = marks_of(drawing_at(2.0), "leg")[0]
    turn = math.radians(45.0)
    assert place_of(mark, (0.0, -60.0)) == pytest.approx((60.0 * math.sin(turn), -60.0 * math.cos(turn)), abs=1e-9)


def test_a_wheel_has_a_centre_mark_that_turns_with_it_and_its_inner_circles():
    marks = marks_of(drawing_at(1.0), "wheel")
    assert [mark.line for mark in marks] == [Line.OUTLINE, Line.THIN, Line.CENTRE]
    assert marks[2].pose == marks[0].pose
    assert marks[2].pose[2] == pytest.approx(math.radians(22.5))


def test_draw_order_is_far_to_near():
    """The wheel (5 to 12 deep) lies beyond the leg (-4 to 4), and the door (20 to 24) beyond both."""
    order = [mark.owner for mark in drawing_at(0.0).marks if mark.line is Line.OUTLINE]
    assert order.index("door") < order.index("wheel") < order.index("leg")


def test_a_rod_with_a_width_is_a_bar_and_one_without_a_line():
    drawing = drawing_at(0.0)
    (bar,) = marks_of(drawing, "door-rod")
    (thin,) = marks_of(drawing, "thin-rod")
    assert bar.tint is Tint.LINK
    assert bar.geometry.rings
    assert thin.geometry.lines
    assert not thin.geometry.rings
    assert place_of(thin, (math.dist((50, 12), (55, -8)), 0.0)) == pytest.approx((55.0, -8.0))


def test_a_jack_is_a_barrel_and_a_piston_rod_that_look_at_each_other():
    piston, barrel = marks_of(drawing_at(0.0), "brace")
    assert place_of(barrel, (0.0, 0.0)) == pytest.approx((20.0, 12.0))
    assert place_of(piston, (0.0, 0.0)) == pytest.approx((42.0, 7.0))
    assert abs(barrel.pose[2] - piston.pose[2]) == pytest.approx(math.pi)


@pytest.mark.parametrize(
    ("connection", "symbol"),
    [
        ("leg-pivot", Symbol.FIXED_PIVOT),
        ("axle", Symbol.PIVOT),
        ("door-track", Symbol.FIXED_SLIDE),
        ("door-slot", Symbol.SLOT),
        ("uplock", Symbol.LATCH_OPEN),
        ("door-rod", Symbol.FIXED_PIVOT),
        ("brace", Symbol.PIVOT),
    ],
)
def test_connections_wear_their_signs(connection: str, symbol: Symbol):
    assert symbol in symbols_of(drawing_at(0.0), connection)


def test_a_slide_shows_the_way_it_may_go_and_a_slot_its_line():
    drawing = drawing_at(0.0)
    (track,) = marks_of(drawing, "door-track")
    assert track.line is Line.CENTRE
    assert track.geometry.lines[0].tolist() == [[30.0, -8.0], [40.0, -8.0]]
    assert [mark.line for mark in marks_of(drawing, "door-slot")] == [Line.CENTRE, Line.THIN]


def test_a_latch_closes_when_its_step_ends():
    schedule = RETRACT.schedule
    assert held_at(schedule, 3.999) == frozenset()
    assert held_at(schedule, 4.0) == {"uplock"}
    assert Symbol.LATCH_HELD in symbols_of(drawing_at(4.0), "uplock")


def test_a_latch_that_is_only_released_held_from_the_start():
    step = replace(PROJECT.sequences[0].steps[0], engage=(), release=("uplock",), delay=1.0)
    schedule = lay_out(replace(PROJECT.sequences[0], steps=(step,)))
    assert held_at(schedule, 0.5) == {"uplock"}
    assert held_at(schedule, 1.0) == frozenset()


def test_overlaps_are_hatched_outlined_and_told_in_figures():
    """Closed form: at the end the leg reaches up to y = 3, 4 mm into the hook, which begins at y = -1."""
    drawing = drawing_at(4.0)
    (clash,) = [mark for mark in drawing.marks if mark.line is Line.CLASH]
    assert clash.hatched
    area = shapely.Polygon(clash.geometry.rings[0])
    assert area.area == pytest.approx(4.0 * 4.0, abs=1e-6)
    (told,) = [label for label in drawing.labels if label.clash and label.text != "loose"]
    assert told.text == "4 mm deep"
    assert area.contains(shapely.Point(told.at))


@pytest.mark.parametrize(("allowed", "quiet"), [(4.0, True), (3.0, False)])
def test_an_accepted_overlap_is_drawn_more_quietly_until_it_is_deeper(allowed: float, quiet: bool):
    poses = poses_between(RETRACT.motion, 4.0)
    (overlap,) = situation_at(RETRACT, STUDY.parts, STUDY.pairs, poses, 4.0).overlaps
    clash = Finding(kind=Kind.CLASH, sequence="retract", sentence="", bodies=overlap.parts[::-1], amount=allowed)
    lived_with = dataclasses.replace(RETRACT, accepted=(clash,))
    told = situation_at(lived_with, STUDY.parts, STUDY.pairs, poses, 4.0)
    drawing = SCENE.drawing(poses, view="side", situation=told)
    (mark,) = [one for one in drawing.marks if one.hatched]
    assert (mark.line, mark.tint) == ((Line.THIN, None) if quiet else (Line.CLASH, Tint.CLASH))
    assert ("4 mm deep, accepted" in {label.text for label in drawing.labels}) is quiet


def test_nothing_is_hatched_where_nothing_overlaps():
    assert not any(mark.hatched for mark in drawing_at(0.0).marks)


def test_figures_are_in_the_projects_unit():
    project = nose_gear(length_unit="in")
    study = study_of(project)
    poses = poses_between(study.sequences[0].motion, 4.0)
    told = situation_at(study.sequences[0], study.parts, study.pairs, poses, 4.0)
    drawing = Scene(project, study.parts).drawing(poses, view="side", situation=told)
    assert "0.157 in deep" in [label.text for label in drawing.labels]  # 4 / 25.4


def test_a_loose_body_wears_a_sign_and_a_word():
    drawing = drawing_at(1.0)
    assert Symbol.LOOSE in symbols_of(drawing, "door")
    assert "loose" in [label.text for label in drawing.labels]


def test_a_jam_wears_its_sign_only_while_it_lasts():
    assert Symbol.JAMMED not in symbols_of(drawing_at(2.0), "door-rod")
    assert Symbol.JAMMED in symbols_of(drawing_at(3.5), "door-rod")


def test_ghosts_are_of_what_moves_and_only_elsewhere():
    start = poses_of(PROJECT, np.array([0.0]))[0]
    ghosts = [mark for mark in drawing_at(2.0, ghosts=[Ghost(start)]).marks if mark.line is Line.GHOST]
    assert len(ghosts) == 2  # the leg and the wheel
    assert not [mark for mark in drawing_at(0.0, ghosts=[Ghost(start)]).marks if mark.line is Line.GHOST]


def words_of(drawing: Drawing) -> dict[str, tuple[float, float]]:
    return {label.text: label.at for label in drawing.labels}


def test_a_ghost_is_made_once_for_many_moments_and_goes_where_bodies_pass_it():
    ghost = Ghost(poses_between(RETRACT.motion, 0.0))

    def ghosts_at(time: float) -> list[Mark]:
        return [mark for mark in drawing_at(time, ghosts=[ghost]).marks if mark.line is Line.GHOST]

    made, again = ghosts_at(2.0), ghosts_at(2.5)
    assert len(made) == 2
    assert all(one is other for one, other in zip(made, again, strict=True))
    assert ghosts_at(0.0) == []
    assert ghosts_at(2.0) == made


def test_each_ghost_says_its_moment_where_it_stands():
    start, middle, end = poses_of(PROJECT, np.array([0.0, 1.0, 4.0]))
    ghosts = [Ghost(start, "start"), Ghost(end, "end"), Ghost(middle, "1 s")]
    told = {moment: words_of(drawing_at(moment, ghosts=ghosts)) for moment in (0.0, 2.0, 2.5)}
    assert {"start", "end", "1 s"} <= set(told[2.0])
    assert "start" not in told[0.0], "what stands there itself is no ghost"
    for words in ("start", "end", "1 s"):
        assert told[2.0][words] == told[2.5][words], "labels stay while the moment goes on"
    assert len({told[2.0][words] for words in ("start", "end", "1 s")}) == 3


def test_of_bodies_that_go_as_far_the_first_bears_the_moment_whatever_rounding_says():
    here, inside = np.zeros((3, 3)), {0: (1.0, 0.0), 1: (20.0, 0.0), 2: (30.0, 0.0)}
    for noise in (-1e-9, 0.0, 1e-9):
        there = np.array([(1.0, 0.0, 0.0), (7.0, 0.0, 0.0), (7.0 + noise, 0.0, 0.0)])
        (label,) = ghost_labels(inside, here, [Ghost(there, "end")])
        assert label.at == (27.0, 0.0)
    lost = np.full((3, 3), np.nan)
    assert list(ghost_labels(inside, here, [Ghost(lost, "end")])) == []


def test_ghosts_at_one_place_are_drawn_once_and_say_both_moments():
    start = poses_of(PROJECT, np.array([0.0]))[0]
    drawing = drawing_at(2.0, ghosts=[Ghost(start, "start"), Ghost(start.copy(), "end"), Ghost(start.copy())])
    assert sum(mark.line is Line.GHOST for mark in drawing.marks) == 2
    assert "start, end" in words_of(drawing)


def test_a_ghost_that_is_looked_at_for_itself_stands_out():
    start = poses_of(PROJECT, np.array([0.0]))[0]
    ghosts = [mark for mark in drawing_at(2.0, swung=start).marks if mark.line is Line.GHOST]
    assert [(mark.chosen, mark.faint) for mark in ghosts] == [(True, False)] * 2


def test_what_is_chosen_is_marked():
    drawing = drawing_at(0.0, chosen="leg")
    assert {mark.owner for mark in drawing.marks if mark.chosen} == {"leg"}
    assert {sign.owner for sign in drawing_at(0.0, chosen="axle").signs if sign.chosen} == {"axle"}


def test_the_place_of_a_finding_is_shown_in_its_view():
    clash = next(finding for finding in RETRACT.findings if finding.kind is Kind.CLASH)
    assert clash.at is not None
    assert Symbol.PLACE in {sign.symbol for sign in drawing_at(clash.time or 0.0, finding=clash).signs}
    assert Symbol.PLACE not in {sign.symbol for sign in drawing_at(clash.time or 0.0, view="plan", finding=clash).signs}


def test_the_narrowest_place_of_a_tight_pair_is_dimensioned():
    """Closed form: 3.4 mm between the tyre and the roof at the end."""
    tight = next(finding for finding in RETRACT.findings if finding.kind is Kind.TIGHT)
    told = situation_at(RETRACT, STUDY.parts, STUDY.pairs, poses_between(RETRACT.motion, 4.0), 4.0, finding=tight)
    gap = told.gap
    assert gap is not None
    drawing = SCENE.drawing(poses_between(RETRACT.motion, gap.time), view="side", situation=Situation(gap=gap))
    (dimension,) = [mark for mark in drawing.marks if mark.line is Line.DIMENSION]
    (x1, y1), (x2, y2) = dimension.geometry.lines[0].tolist()
    assert math.hypot(x2 - x1, y2 - y1) == pytest.approx(3.4, abs=0.005)
    assert "3.4 mm" in [label.text for label in drawing.labels]


def test_only_the_view_that_is_asked_for_is_drawn():
    owners = {mark.owner for mark in drawing_at(0.0, view="plan").marks}
    assert owners == {"collar"}
    assert drawing_at(0.0, view="front").marks == ()


def test_geometry_is_the_same_object_from_moment_to_moment_and_over_edits_that_leave_it_alone():
    first = {id(mark.geometry) for mark in drawing_at(0.0).marks}
    assert {id(mark.geometry) for mark in drawing_at(1.0).marks} == first
    hook = replace(PROJECT.bodies[3], name="Hook")
    changed = replace(PROJECT, bodies=(*PROJECT.bodies[:3], hook, *PROJECT.bodies[4:]))
    after = Scene(changed, STUDY.parts, previous=SCENE)
    kept = {piece.owner for piece in after.pieces if any(piece is old for old in SCENE.pieces)}
    assert {"leg", "wheel", "axle", "door-rod"} & kept == {"leg", "wheel", "door-rod"}
    assert not {"hook", "brace"} & kept  # they are made of the body that changed


def test_a_gearing_between_views_needs_no_sign():
    project = replace(
        PROJECT,
        connections=(
            *PROJECT.connections,
            Pivot(id="collar-pivot", bodies=("collar", "collar"), at=(0.0, 0.0)),
            Gearing(id="tube", pivots=("leg-pivot", "collar-pivot"), ratio=-1.0),
        ),
        drives=(Drive(id="gear", on="leg-pivot"),),
    )
    poses = np.zeros((len(project.bodies), 3))
    assert Scene(project, STUDY.parts).drawing(poses, view="side").signs


def test_the_room_a_view_needs_holds_everything_at_every_moment():
    """Closed form: at the start the tyre reaches down to y = -72, and the bay's wall ends at x = 92.6."""
    bounds = extent(PROJECT, STUDY.parts, RETRACT.motion.poses, "side")
    assert bounds is not None
    assert bounds[1] == pytest.approx(-72.0, abs=0.01)
    assert bounds[2] == pytest.approx(92.6, abs=0.01)
    assert extent(PROJECT, STUDY.parts, RETRACT.motion.poses, "front") is None


def test_the_views_in_which_something_moves():
    assert moving_views(PROJECT, RETRACT.motion.poses) == ("side",)
