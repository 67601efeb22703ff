"""What is hidden, tinted or laid over another, as the sheet and paper show it."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.look_edits import OrderBodies, SetHidden, SetTint
from core.document.looks import not_drawn
from core.document.project import Project
from core.drawing.drawing import Drawing, Line, Symbol, Tint
from core.drawing.extent import extent
from core.drawing.ghosts import Ghost
from core.drawing.scene import Scene
from core.drawing.situation import poses_between, situation_at
from core.drawing.strip import Strip, lay_out_strip
from core.drawing.sweeps import sweep_marks
from core.interference.sweeps import swept_by
from tests.golden.nose_gear import nose_gear, study_of

PROJECT = nose_gear()
CLASHING = 4.0
"""Seconds at which the leg stands in the hook."""


def hiding(*things: str) -> Project:
    return SetHidden(things, True, "Hide").apply(PROJECT)


def drawn(project: Project, time: float, *, view: str = "side", chosen: str | None = None) -> Drawing:
    study = study_of(project)
    sequence = study.sequences[0]
    poses = poses_between(sequence.motion, time)
    told = situation_at(sequence, study.parts, study.pairs, poses, time)
    return Scene(project, study.parts).drawing(poses, view=view, situation=told, chosen=chosen)


def owners(drawing: Drawing) -> set[str | None]:
    return {mark.owner for mark in drawing.marks} | {sign.owner for sign in drawing.signs}


def dashed(drawing: Drawing) -> list[Line]:
    return [mark.line for mark in drawing.marks if mark.line is Line.HIDDEN]


def order_of(drawing: Drawing) -> list[str | None]:
    return [mark.owner for mark in drawing.marks if mark.line is Line.OUTLINE]


# ---- hidden ----------------------------------------------------------------------------------------------------------


def test_what_is_hidden_is_not_drawn_nor_written_nor_a_ghost():
    project = hiding("wheel", "door-rod")
    drawing = drawn(project, 0.0)
    assert not {"wheel", "door-rod"} & owners(drawing)
    assert dashed(drawing) == []
    study = study_of(project)
    named = Scene(project, study.parts).drawing(
        np.zeros((6, 3)), view="side", names=True, ghosts=[Ghost(study.sequences[0].motion.poses[-1])]
    )
    assert "Nose wheel" not in {label.text for label in named.labels}
    assert len([mark for mark in named.marks if mark.line is Line.GHOST]) == 1, "the leg's alone"


def test_a_hidden_body_is_checked_and_seen_dashed_where_it_clashes():
    drawing = drawn(hiding("hook"), CLASHING)
    assert [mark.line for mark in drawing.marks if mark.line in (Line.HIDDEN, Line.CLASH)] == [Line.HIDDEN, Line.CLASH]
    assert "hook" not in {mark.owner for mark in drawing.marks}, "the hand does not take hold of it"
    assert dashed(drawn(hiding("hook"), 0.0)) == []


def test_what_is_hidden_and_chosen_is_seen_dashed():
    drawing = drawn(hiding("door"), 0.0, chosen="door")
    assert [(mark.line, mark.chosen) for mark in drawing.marks if mark.line is Line.HIDDEN] == [(Line.HIDDEN, True)]


def test_a_hidden_pivots_sign_leaves_its_place_to_another_one():
    hidden = replace(PROJECT, connections=tuple(
        replace(one, hidden=one.id == "axle") for one in (
            *PROJECT.connections, replace(PROJECT.connections[1], id="second-axle"),
        )
    ))  # fmt: skip
    assert [sign.owner for sign in drawn(hidden, 0.0).signs if sign.symbol is Symbol.PIVOT].count("second-axle") == 1


def test_hidden_things_take_no_room():
    study = study_of(hiding("wheel", "leg", "uplock"))
    poses = study.sequences[0].motion.poses
    everything = extent(study.project, study.parts, poses, "side")
    seen = extent(study.project, study.parts, poses, "side", not_drawn(study.project))
    assert everything[1] == pytest.approx(-72.0, abs=0.1), "the tyre's lowest point"
    assert seen[1] > -10.0


def strip_of(project: Project) -> Strip:
    study = study_of(project)
    return lay_out_strip(study, study.sequences[0], times=(0.0, CLASHING))


def test_a_strip_shows_what_the_sheet_shows_and_says_how_much_is_hidden():
    strip = strip_of(hiding("door", "door-rod"))
    assert not {"door", "door-rod"} & {mark.owner for frame in strip.frames for mark in frame.views[0].drawing.marks}
    assert any(label.text.endswith("1 nearer than wanted   2 hidden, still checked") for label in strip.sheet.labels)
    assert not any("hidden" in label.text for label in strip_of(PROJECT).sheet.labels)


def test_a_strip_hides_no_clash_and_keeps_room_for_it():
    strip = strip_of(hiding("leg", "hook"))
    first, last = (frame.views[0].drawing for frame in strip.frames)
    assert len(dashed(last)) == 2
    assert any(mark.line is Line.CLASH for mark in last.marks)
    assert dashed(first) == []
    assert last.bounds[1] < -60.0, "where the leg stands first is on the paper too"


# ---- tints -----------------------------------------------------------------------------------------------------------


def test_a_tint_of_its_own_goes_before_the_roles():
    project = SetTint(("leg",), "copper", "").apply(PROJECT)
    tints = {mark.owner: mark.tint for mark in drawn(project, 0.0).marks if mark.tint is not None}
    assert tints["leg"] is Tint.COPPER
    assert tints["wheel"] is Tint.WHEEL


def test_a_sweep_wears_the_bodys_tint():
    project = SetTint(("leg",), "moss", "").apply(PROJECT)
    track = study_of(project).sequences[0].interference.track
    (sweep,) = swept_by(track, ["leg"])
    assert [mark.tint for mark in sweep_marks(sweep, project)] == [Tint.MOSS]


# ---- over each other -------------------------------------------------------------------------------------------------


def test_what_stands_later_in_the_list_is_drawn_over_what_it_shares_depth_with():
    """The leg (-4 to 4 deep) and the hook (-2 to 2) share depth."""
    before = order_of(drawn(PROJECT, 0.0))
    order = ("airframe", "hook", "leg", "wheel", "door", "collar")
    after = order_of(drawn(OrderBodies(order).apply(PROJECT), 0.0))
    assert before.index("leg") < before.index("hook")
    assert after.index("hook") < after.index("leg")


def test_depth_goes_before_the_list():
    """The door (20 to 24) lies behind the wheel (5 to 12), and that behind the leg (-4 to 4)."""
    order = ("leg", "hook", "wheel", "airframe", "door", "collar")
    drawn_order = order_of(drawn(OrderBodies(order).apply(PROJECT), 0.0))
    assert drawn_order.index("door") < drawn_order.index("wheel") < drawn_order.index("leg")
