"""Each diagnosis as a check tells it, in words and in JSON, on a mechanism whose answer is known from theory.

README.md beside this has the table of which mechanism is asked which question, and where.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Moment, Project, Target
from core.motion.chains import chains_of
from core.motion.nearness import nearness_of
from core.motion.trouble import DeadCentre, Jam, Loose
from core.report import to_json, to_text
from core.study import run
from tests.mechanisms.catalogue import CRANK_ROCKER, catalogue
from tests.mechanisms.example import Example, drive_tracks, solve
from tests.mechanisms.four_bars import FourBar, four_bar
from tests.mechanisms.lattices import change_point, coupled_cranks, five_bar, parallelogram
from tests.mechanisms.sketch import FRAME, frame, latch, moving, pivot, project, rod, slide, step
from tests.mechanisms.test_looseness import doubly_driven


def told(made: Project, kind: str, frames: int = 61) -> tuple[dict[str, Any], str]:
    """The only finding of a kind, and all that is said."""
    study = run(made, frames=frames)
    (found,) = (one for one in to_json(study)["sequences"][0]["findings"] if one["kind"] == kind)
    return found, to_text(study)


def example(name: str) -> Example:
    return next(one for one in catalogue() if one.name == name)


# ---- loose -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["Watt's first six-bar", "Watt's second six-bar", "Stephenson's third six-bar"])
def test_a_six_bar_without_a_drive_is_loose_in_one_way(name: str) -> None:
    """3 · 5 - 2 · 7 = 1 by Grübler's count (M. Grübler, Getriebelehre, 1917; from memory)."""
    made = replace(example(name).project, drives=(), sequences=())
    found, words = told(made, "loose", 2)
    assert found["freedoms"] == 1
    assert set(found["bodies"]) == {"crank", "coupler", "rocker", "link-e", "link-f"}
    assert "nothing drives or holds them, and only friction at " in words


def test_a_five_bar_with_one_drive_is_loose_in_its_other_way() -> None:
    """3 · 4 - 2 · 5 = 2 freedoms by the same count, of which the drive takes one."""
    found, words = told(five_bar(name="", drives=1).project, "loose")
    assert (found["freedoms"], set(found["bodies"])) == (1, {"left-link", "right-link", "right"})
    assert "(1 freedom between them)" in words
    assert "left" not in found["bodies"]


# ---- redundant -------------------------------------------------------------------------------------------------------


def test_a_double_parallelogram_has_one_of_its_set_too_many() -> None:
    """3 · 4 - 2 · 6 = 0 by the count, and yet it moves: one too many, for its special lengths."""
    made = coupled_cranks(name="", pins=(0j, 60 + 0j, 110 + 0j), crank=20.0, drawn=30.0).project
    found, words = told(made, "redundant")
    assert found["count"] == 1
    assert {"pin-0", "pin-1", "pin-2"} <= set(found["connections"])
    assert " is too many: the rest already hold what it holds." in words


def parallelogram_with_stay(length: float | None) -> Project:
    base = parallelogram(name="", ground=70.0, crank=25.0, drawn=50.0).project
    a = 25.0 * np.exp(1j * np.deg2rad(50.0))
    return replace(
        base, connections=(*base.connections, rod("stay", "crank", "rocker", a * 0.6, 70.0 + a * 0.6, length))
    )


def test_an_extra_rod_that_agrees_is_redundant_with_all_its_loop() -> None:
    """Equal and parallel to the coupler it never minds (the extra coupling rod of a locomotive)."""
    found, words = told(parallelogram_with_stay(None), "redundant")
    assert {"stay", "a", "b", "o2", "o4"} == set(found["connections"])
    assert "stay" in words


# ---- jammed ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("off", [0.5, -1.25])
def test_an_extra_rod_that_does_not_fit_jams_and_is_told_what_would_fit(off: float) -> None:
    """It has to be as long as the ground, wherever the gap shows that its being other leaves."""
    found, words = told(parallelogram_with_stay(70.0 - off), "jammed")
    assert found["short_by"] > 0.9 * abs(off)
    (cure,) = (one for one in found["cures"] if one["change"] == "length")
    assert (cure["connection"], cure["to"]) == ("stay", pytest.approx(70.0, abs=1e-6))
    assert f"with stay {abs(off):.3f} mm {'longer' if off > 0 else 'shorter'} (70.000 mm)" in words


@pytest.mark.parametrize("past", [3.0, 8.0])
def test_a_rocker_pushed_past_its_toggle_is_short_by_the_triangle_inequality(past: float) -> None:
    """Crank and coupler in line reach a + b; beyond it they lack what B is farther from O2 than that."""
    bar = FourBar(ground=70.0, crank=20.0, coupler=60.0, rocker=50.0, drawn=60.0)
    far = 80.0  # the triangle O2, O4, B at the toggle has the sides 70, 50 and 80
    limit = np.rad2deg(np.arccos((70.0**2 + 50.0**2 - far**2) / (2 * 70.0 * 50.0)))  # at O4, from the ground
    drawn = np.rad2deg(np.angle(bar.drawn_pins()[1] - 70.0))
    end = 180.0 - (limit + past)
    made = project(bar.bodies(), bar.connections(), {"input": "o4"}, (step("push", 1.0, {"input": end - drawn}),))
    found, _ = told(made, "jammed")
    b = 70.0 + 50.0 * np.exp(1j * np.deg2rad(end))
    assert found["short_by"] == pytest.approx(abs(b) - far, abs=1e-6)
    assert found["time"] == pytest.approx((180.0 - limit - drawn) / (end - drawn), abs=1e-3)


# ---- dead centres and branch points ----------------------------------------------------------------------------------


def test_a_change_point_four_bar_says_that_it_could_go_two_ways() -> None:
    """Its shortest and longest together are as long as the other two, and all stand in line once a turn."""
    made = change_point(name="").project
    (dead,) = (one for one in solve(made, 61).troubles if isinstance(one, DeadCentre))
    found, words = told(made, "dead-centre")
    assert found["drive"] == "input"
    assert found["distance"] == pytest.approx(0.0, abs=1e-6)
    assert found["time"] == pytest.approx(dead.time, abs=1e-6)
    assert "1. dead centre: " in words
    assert "it can go on two ways there, and the smooth one is shown" in words


@pytest.mark.parametrize("left", [0.04, 0.02])
def test_a_toggle_passed_near_says_how_near(left: float) -> None:
    """A crank-rocker whose coupler and rocker are `left` longer together than the longest diagonal, ground + crank."""
    bar = FourBar(ground=60.0, crank=20.0, coupler=45.0 + left, rocker=35.0, drawn=70.0)
    found, words = told(four_bar(bar, name="").project, "dead-centre")
    assert found["distance"] == pytest.approx(left, abs=1e-6)
    assert f"to within {left:.2f} mm; it may stick or go the other way" in words
    near = nearness_of(solve(four_bar(bar, name="").project, 61))[0]
    assert near.distance == pytest.approx(left, abs=1e-6)


# ---- the chain of what moves it --------------------------------------------------------------------------------------


def test_a_stephenson_six_bar_driven_from_its_far_end_goes_back_the_same_way() -> None:
    """Stephenson's third, driven at the link that stood last: five links in a ring and a rod, no two of which can be
    put together alone (an Assur group of the third class). It passes through the same positions as driven in front."""
    made = example("Stephenson's third six-bar").project
    one = made.sequences[0]
    part = replace(one, steps=(step("part", 1.0, {"input": 40.0}),))
    forward = solve(replace(made, sequences=(part,)), 41)
    last = forward.bodies.index("link-f")
    turned = np.rad2deg(forward.poses[:, last, 2])
    assert (np.diff(turned) > 0.0).all() or (np.diff(turned) < 0.0).all()
    end = float(turned[-1])
    foot = next(one for one in made.connections if one.id == "f")
    drives = (replace(made.drives[0], on=foot.id),)
    sign = 1.0 if foot.bodies[1] == "link-f" else -1.0
    behind = solve(
        replace(made, drives=drives, sequences=(replace(one, steps=(step("part", 1.0, {"input": sign * end}),)),)), 41
    )
    assert not any(isinstance(trouble, Jam | Loose) for trouble in behind.troubles)
    assert behind.poses[-1] == pytest.approx(forward.poses[-1], abs=1e-6)
    (chain,) = chains_of(behind)["crank"]
    (route,) = chain.routes
    assert (route.connections[0], route.bodies[0], route.bodies[-1]) == ("f", "link-f", "crank")
    assert drive_tracks(behind)["input"][-1] == pytest.approx(sign * end)


# ---- fighting drives -------------------------------------------------------------------------------------------------


def test_drives_that_fight_are_told_in_words_and_json() -> None:
    """Two drives on the one freedom of a parallelogram, one asked for nine tenths of the other."""
    found, words = told(doubly_driven(0.9), "jammed")
    assert found["fighting"] == [["input", "other"]]
    assert "input and other fight each other there: they move the same freedom." in words


def test_drives_that_move_one_freedom_and_agree_are_told_as_too_many() -> None:
    found, words = told(doubly_driven(1.0), "redundant")
    assert found["count"] == 1
    assert "input and other move the same freedom, and would fight if they were not exact." in words


# ---- limits, latches, targets ----------------------------------------------------------------------------------------


def test_a_slide_past_its_limit() -> None:
    """A piston goes twice the crank, 40 mm, from its outer to its inner dead centre."""
    made = project(
        (frame(), *moving("crank", "link", "piston")),
        (
            pivot("o2", FRAME, "crank", 0),
            pivot("a", "crank", "link", 20),
            pivot("b", "link", "piston", 90),
            replace(slide("bore", FRAME, "piston", 90, 1), limits=(-35.0, 5.0)),
        ),
        {"input": "o2"},
        (step("half", 1.0, {"input": 180.0}),),
    )
    found, words = told(made, "travel")
    assert (found["connection"], found["value"], found["limits"]) == ("bore", pytest.approx(-40.0), [-35.0, 5.0])
    assert "bore is asked for −40.00 mm at 1.00 s; it travels from −35 mm to 5 mm." in words
    assert "It would just go through if bore might go down to −40.000 mm" in words


def test_a_latch_whose_halves_do_not_meet() -> None:
    """A pin 40 from its pivot that stops 2 degrees short is 2 · 40 sin 1° = 1.396 mm from the hook."""
    pin, hook = -40j, 40 * complex(np.exp(1j * np.deg2rad(-30.0)))
    made = project(
        (frame(), *moving("leg")),
        (pivot("leg-pivot", FRAME, "leg", 0), latch("uplock", FRAME, "leg", hook, pin, 0.5)),
        {"gear": "leg-pivot"},
        (step("up", 3.0, {"gear": 58.0}, engage=("uplock",)),),
    )
    found, words = told(made, "latch")
    assert (found["connection"], found["time"]) == ("uplock", 3.0)
    assert found["miss"] == pytest.approx(80.0 * np.sin(np.deg2rad(1.0)), abs=1e-6)
    assert "uplock cannot engage at 3.00 s: its halves are 1.40 mm apart, and it reaches 0.50 mm." in words


def test_a_target_that_is_missed() -> None:
    """A body without an outline is measured at the drawing's origin, where its pose is its shift: 3, 4 and 5."""
    made = project(
        (frame(), *moving("block")),
        (slide("way", FRAME, "block", 0, 1),),
        {"push": "way"},
        (step("out", 1.0, {"push": 10.0}),),
    )
    wanted = Target(id="parked", body="block", at=Moment(at="end"), x=13.0, y=4.0, turn=0.0, within=1.0)
    found, words = told(replace(made, targets=(wanted,)), "target")
    assert (found["target"], found["body"], found["time"]) == ("parked", "block", 1.0)
    assert found["miss"] == pytest.approx(5.0, abs=1e-9)
    assert "block is 5.00 mm from where it ought to be at 1.00 s; 1.00 mm is allowed." in words


def test_a_crank_rocker_that_is_well_has_nothing_told_of_it() -> None:
    made = four_bar(CRANK_ROCKER, name="").project
    assert to_json(run(made, frames=61))["sequences"][0]["findings"] == []
