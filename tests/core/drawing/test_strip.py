"""The layout of a frame strip: moments, one true scale, and everything within its own room on the sheet."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from msgspec.structs import replace

from core.drawing.drawing import Line
from core.drawing.paper import A3, A4, BORDER, FILING_BORDER
from core.drawing.situation import Situation
from core.drawing.strip import MOST_FRAMES, Strip, lay_out_strip, strip_times
from core.drawing.strip_words import CAUTION, FOUND, LINE, Cell, found_words, frame_words, text_lines
from core.errors import SenselessRequest
from core.findings.finding import Finding, Kind
from core.interference.pairs import checked_pairs
from core.interference.placement import parts_of
from core.motion.trouble import Jam
from tests.golden.nose_gear import nose_gear, study_of

PROJECT = nose_gear()
STUDY = study_of(PROJECT)
RETRACT = STUDY.sequences[0]


def strip_of(**moments: object) -> Strip:
    return lay_out_strip(STUDY, RETRACT, **moments)  # type: ignore[arg-type]


def texts(strip: Strip) -> list[str]:
    return [label.text for label in strip.sheet.labels]


def test_frames_are_spread_evenly_and_both_ends_are_among_them():
    assert strip_of(frames=5).times == pytest.approx((0.0, 1.0, 2.0, 3.0, 4.0))
    assert strip_of(frames=1).times == (0.0,)


def test_times_are_taken_as_they_are_asked_for():
    assert strip_of(times=[3.0, 0.5]).times == (3.0, 0.5)
    assert strip_of(times=[4.0 + 1e-9]).times == (4.0,)


def test_without_either_the_ends_and_middles_of_the_steps_are_drawn_and_every_clash_at_its_worst():
    clash = next(finding for finding in RETRACT.findings if finding.kind is Kind.CLASH)
    assert clash.time is not None
    assert strip_of().times == pytest.approx(sorted({0.0, 2.0, clash.time, 4.0}))


def test_a_strip_that_happens_to_miss_a_clash_still_says_that_there_is_one():
    strip = strip_of(times=[0.0, 1.0])
    assert not any(mark.hatched for frame in strip.frames for view in frame.views for mark in view.drawing.marks)
    assert "The check of this sequence found: 1 clash, 1 loose, 1 nearer than wanted" in texts(strip)
    assert found_words(()) == "The check of this sequence found nothing."
    assert set(FOUND) == set(Kind)
    dead = Finding(kind=Kind.DEAD_CENTRE, sequence="retract", sentence="")
    clash = Finding(kind=Kind.CLASH, sequence="retract", sentence="")
    assert found_words((dead, clash, clash)) == "The check of this sequence found: 2 clashes, 1 dead centre"


@pytest.mark.parametrize(
    ("moments", "says"),
    [
        ({"frames": 0}, "one frame at the least"),
        ({"frames": -3}, "one frame at the least"),
        ({"frames": MOST_FRAMES + 1}, "at the most"),
        ({"times": []}, "one frame at the least"),
        ({"times": [4.2]}, "goes from 0 to 4 s"),
        ({"times": [-0.1]}, "goes from 0 to 4 s"),
        ({"times": [float("nan")]}, "is not in sequence"),
        ({"times": [1.0], "frames": 3}, "not both"),
    ],
)
def test_senseless_moments_are_refused_in_words(moments: dict[str, object], says: str):
    with pytest.raises(SenselessRequest, match=says):
        strip_times(RETRACT.schedule, **moments)  # type: ignore[arg-type]


def test_a_project_without_outlines_says_so():
    bare = replace(PROJECT, bodies=(), connections=(), pairs=(), drives=())
    parts = parts_of(bare)
    motion = dataclasses.replace(
        RETRACT.motion,
        bodies=(),
        poses=RETRACT.motion.poses[:, :0],
        poses_at=lambda at: np.zeros((len(at), 0, 3)),
    )
    still = dataclasses.replace(RETRACT, motion=motion)
    study = dataclasses.replace(STUDY, project=bare, parts=parts, pairs=checked_pairs(bare, parts))
    with pytest.raises(SenselessRequest, match="nothing is drawn"):
        lay_out_strip(study, still, frames=2)


@pytest.mark.parametrize("frames", [1, 2, 7, 12, 30, MOST_FRAMES])
def test_every_drawing_keeps_within_its_own_room(frames: int):
    strip = strip_of(frames=frames)
    ratio = strip.scale.ratio
    rooms = []
    for frame in strip.frames:
        for view in frame.views:
            x0, y0, x1, y1 = view.drawing.bounds
            box = (view.x + ratio * x0, view.y + ratio * y0, view.x + ratio * x1, view.y + ratio * y1)
            room = view.room
            assert room[0] <= box[0] < box[2] <= room[2]
            assert room[1] <= box[1] < box[3] <= room[3]
            assert FILING_BORDER <= room[0] < room[2] <= strip.paper.width - BORDER
            assert BORDER < room[1] < room[3] <= strip.paper.height - BORDER
            rooms.append(room)
    for number, one in enumerate(rooms):
        for other in rooms[number + 1 :]:
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def test_fewer_frames_are_never_drawn_smaller():
    ratios = [strip_of(frames=frames).scale.ratio for frames in (1, 3, 8, 20, 60)]
    assert ratios == sorted(ratios, reverse=True)


def test_a3_is_taken_only_where_a4_has_no_room_for_full_size():
    """One frame, 103 by 91 mm, has room on A4 at 1 : 1; twelve have none there even at 1 : 2."""
    one, many = strip_of(frames=1), strip_of(frames=12)
    assert (one.paper, str(one.scale)) == (A4, "1 : 1")
    assert (many.paper, str(many.scale)) == (A3, "1 : 2")


def test_each_frame_says_its_number_time_step_and_drives():
    said = texts(strip_of(frames=3))
    assert {"1", "2", "3", "0.00 s", "2.00 s", "4.00 s"} <= set(said)
    assert said.count("Leg up") == 3
    assert {"Leg angle 0°", "Leg angle 45°", "Leg angle 90°"} <= set(said)


def test_the_title_says_what_scale_and_caution():
    said = texts(strip_of(frames=3))
    assert "Merrow T.2: Retract" in said
    assert f"Scale {strip_of(frames=3).scale}" in said
    assert any(CAUTION in text and "model at 1 : 12" in text for text in said)


def test_a_clash_is_hatched_in_its_frames_and_told_in_words():
    strip = strip_of(times=[0.0, 4.0])
    hatched = [any(mark.hatched for view in frame.views for mark in view.drawing.marks) for frame in strip.frames]
    assert hatched == [False, True]
    assert "Clash: Nose leg and Uplock hook, 4 mm" in texts(strip)


def test_a_jam_is_told_in_words_while_it_lasts_above_the_line_of_a_clash():
    """The door's rod is jammed from 3 s on; at 4 s the leg reaches into the hook as well."""
    study = study_of(PROJECT, jammed=True)
    strip = lay_out_strip(study, study.sequences[0], times=[2.9, 3.1, 4.0])
    clash = "Clash: Nose leg and Uplock hook, 4 mm"
    assert [frame.words.wrong for frame in strip.frames] == [(), ("Jammed: Door rod",), (clash, "Jammed: Door rod")]
    assert text_lines([frame.words for frame in strip.frames], Cell(left=0, bottom=0, width=90, height=90),
                      several_views=False) == 3  # fmt: skip
    heights = {label.text: label.at[1] for label in strip.sheet.labels if label.text == clash}
    heights |= {"jam": [label.at[1] for label in strip.sheet.labels if label.text.startswith("Jammed")][-1]}
    assert heights[clash] - heights["jam"] == pytest.approx(LINE)


def test_a_latch_that_missed_and_many_jammed_connections_are_told_in_few_words():
    jam = Jam(connections=("a", "b", "c", "d"), bodies=(), time=1.5, short_by=0.4, begin=1.0, end=2.0)
    study = dataclasses.replace(RETRACT, motion=dataclasses.replace(RETRACT.motion, troubles=(jam,)))
    told = Situation(missed=frozenset({"uplock"}))
    assert frame_words(PROJECT, study, told, 1.2, 1, {"side"}).wrong == (
        "Jammed: a, b and 2 more",
        "Not locked: uplock",
    )
    assert frame_words(PROJECT, study, Situation(), 2.2, 1, {"side"}).wrong == ()


def test_the_scale_bar_is_as_long_as_it_says():
    strip = strip_of(frames=4)
    boxes = [mark.geometry.rings[0] for mark in strip.sheet.marks if mark.tint is not None and mark.line is Line.THIN]
    length = max(box[:, 0].max() for box in boxes) - min(box[:, 0].min() for box in boxes)
    said = next(text for text in texts(strip) if text.endswith(" mm") and text[0].isdigit())
    assert length / strip.scale.ratio == pytest.approx(float(said.removesuffix(" mm")))


def test_only_views_that_move_are_shown():
    assert {view.view for frame in strip_of(frames=2).frames for view in frame.views} == {"side"}
