"""The sample aircraft, from their folders through the whole line: the sound are clean, the flawed one is found out."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageChops

from core.document.project import Jack, Pivot, Project, Rod
from core.document.project_file import read_project
from core.findings.finding import Finding
from core.report import to_json
from core.study import SequenceStudy, Study, run
from sample_projects.make_samples import make_all

SAMPLES = Path(__file__).resolve().parent.parent.parent / "sample_projects"
SOUND = ("merrow-t2", "skarn-p9", "pellow-3")
FLAWED = tuple(f"{name}-flawed" for name in SOUND)
CLOSE = 1e-6  # mm


@cache
def project(name: str) -> Project:
    return read_project(SAMPLES / name)


@cache
def study(name: str) -> Study:
    return run(project(name))


def sequence(name: str, sequence_id: str) -> SequenceStudy:
    found = study(name).sequence(sequence_id)
    assert found is not None
    return found


def findings(name: str) -> list[Finding]:
    return [finding for one in study(name).sequences for finding in one.findings]


# ---- the sound ones ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SOUND)
def test_nothing_is_found_in_a_sound_aircraft(name):
    assert [finding.sentence for finding in findings(name)] == []


@pytest.mark.parametrize("name", SOUND)
def test_every_clearance_is_proved_and_as_wide_as_wanted(name):
    clearances = [one for part in study(name).sequences for one in part.interference.clearances]
    assert len(clearances) >= 4
    assert all(one.least > 0.0 and one.least >= one.wanted for one in clearances)
    assert [one.parts for one in clearances if not one.proved] == []


@pytest.mark.parametrize("name", SOUND)
def test_published_figures_are_met_at_full_size_and_in_the_shop(name):
    results = study(name).figures
    assert results
    assert all(one.within_published and one.within_shop is not False for one in results)


@pytest.mark.parametrize("name", SOUND)
def test_pins_stay_together_and_rods_keep_their_length(name):
    for part in study(name).sequences:
        for one in project(name).connections:
            if isinstance(one, Pivot):
                assert np.ptp(gap(name, part, one.bodies, (one.at, one.at))) < CLOSE
            elif isinstance(one, Rod):
                length = gap(name, part, one.bodies, one.ends)
                assert np.abs(length - (one.length or math.dist(*one.ends))).max() < CLOSE


def gap(name: str, part: SequenceStudy, bodies: tuple[str, str], points) -> np.ndarray:
    """(F,) distance between two points drawn on two bodies."""
    return np.hypot(*(placed(part, bodies[0], points[0]) - placed(part, bodies[1], points[1])).T)


def placed(part: SequenceStudy, body: str, point) -> np.ndarray:
    """(F, 2) where a point drawn on a body is."""
    x, y, turn = part.motion.poses[:, part.motion.bodies.index(body)].T
    return np.column_stack(
        [x + np.cos(turn) * point[0] - np.sin(turn) * point[1], y + np.sin(turn) * point[0] + np.cos(turn) * point[1]]
    )


# ---- the Merrow --------------------------------------------------------------------------------------------------


def connection(name: str, connection_id: str):
    return next(one for one in project(name).connections if one.id == connection_id)


def degrees(part: SequenceStudy, body: str) -> np.ndarray:
    return np.degrees(part.motion.poses[:, part.motion.bodies.index(body), 2])


def frame(part: SequenceStudy, step: str, *, end: bool) -> int:
    scheduled = part.schedule.step(step)
    return int(np.argmin(np.abs(part.motion.times - (scheduled.end if end else scheduled.begin))))


def test_the_merrow_has_two_views_three_sequences_and_a_drawing_for_each_view():
    merrow = project("merrow-t2")
    assert len(merrow.bodies) >= 12
    assert [one.id for one in merrow.sequences] == ["retract", "oleo-stroke", "steer"]
    for view in merrow.views:
        assert view.drawing is not None
        assert (SAMPLES / "merrow-t2" / view.drawing.file).stat().st_size < 300_000
        matrix = np.array(view.drawing.pixel_to_mm)
        for known in view.drawing.known:
            x, y, w = matrix @ (*known.pixel, 1.0)
            assert math.dist((x / w, y / w), known.mm) < 0.001


def test_the_merrow_opens_its_door_before_the_leg_moves_and_shuts_it_after_the_lock():
    part = sequence("merrow-t2", "retract")
    door, leg = degrees(part, "main-door"), degrees(part, "leg")
    begin, locked = frame(part, "leg-up", end=False), frame(part, "lock-up", end=True)
    assert door[begin] == pytest.approx(-96.0, abs=0.01)
    assert np.abs(leg[: begin + 1]).max() < 0.01
    assert leg[frame(part, "leg-up", end=True)] == pytest.approx(-98.0, abs=0.01)
    assert np.abs(leg[locked:] + 98.0).max() < 0.01
    assert door[-1] == pytest.approx(0.0, abs=0.01)
    assert degrees(part, "small-door")[-1] == pytest.approx(-112.0, abs=0.05)


def test_the_merrows_leg_follows_its_brace_jack_as_two_triangles_say():
    """Independent of the solver: the cosine rule for the upper brace link under its jack, then two circles for the lug
    (elementary plane trigonometry). The lug's circle about the leg pivot and the lower link's about the elbow."""
    part = sequence("merrow-t2", "retract")
    jack, anchor = connection("merrow-t2", "brace-jack"), connection("merrow-t2", "brace-top").at
    elbow, lug = connection("merrow-t2", "brace-elbow").at, connection("merrow-t2", "brace-foot").at
    assert isinstance(jack, Jack)
    travel = part.motion.values[:, part.motion.connections.index("brace-jack")]
    for length, there in zip(jack.closed + travel, placed(part, "leg", lug), strict=True):
        base, arm = math.dist(anchor, jack.ends[0]), math.dist(anchor, jack.ends[1])
        between = math.acos((base**2 + arm**2 - length**2) / (2 * base * arm))
        drawn = direction(anchor, jack.ends[0]) - direction(anchor, jack.ends[1])
        turn = (drawn % (2 * math.pi)) - 2 * math.pi * (drawn % (2 * math.pi) > math.pi) - between
        swung = direction(anchor, elbow) + turn
        reach = math.dist(anchor, elbow)
        knee = (anchor[0] + reach * math.cos(swung), anchor[1] + reach * math.sin(swung))
        assert math.dist(circles(knee, math.dist(elbow, lug), (0.0, 0.0), math.hypot(*lug)), there) < CLOSE


def direction(start, end) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])


def circles(one, radius: float, other, other_radius: float) -> tuple[float, float]:
    """The lower of the two points where two circles meet: the side on which the leg hangs."""
    apart = math.dist(one, other)
    along = (radius**2 - other_radius**2 + apart**2) / (2 * apart)
    across = math.sqrt(radius**2 - along**2)
    x, y = (other[0] - one[0]) / apart, (other[1] - one[1]) / apart
    meets = [(one[0] + along * x - s * across * y, one[1] + along * y + s * across * x) for s in (1, -1)]
    return min(meets, key=lambda point: point[0] * math.sin(0.9) + point[1] * math.cos(0.9))


def test_the_merrows_torque_links_fold_as_an_isosceles_triangle():
    part = sequence("merrow-t2", "oleo-stroke")
    top, foot = connection("merrow-t2", "torque-top").at, connection("merrow-t2", "torque-foot").at
    apex = connection("merrow-t2", "torque-apex").at
    travel = part.motion.values[:, part.motion.connections.index("oleo")]
    half = 0.5 * (top[1] - foot[1] + travel)
    out = np.sqrt(math.dist(top, apex) ** 2 - half**2)
    wanted = np.column_stack([top[0] + out, top[1] - half])
    assert np.abs(placed(part, "torque-upper", apex) - wanted).max() < 1e-3  # the apex is given to a tenth of a micron
    assert (travel.max(), travel.min()) == pytest.approx((10.0, -5.0), abs=1e-9)


def test_the_merrow_steers_both_ways_and_its_wheel_rolls_two_turns():
    part = sequence("merrow-t2", "steer")
    collar = degrees(part, "collar")
    assert (collar.max(), collar.min(), collar[-1]) == pytest.approx((30.0, -30.0, 0.0), abs=0.01)
    for one in ("fork-plan", "wheel-plan"):
        assert np.abs(degrees(part, one) - collar).max() < CLOSE
    assert degrees(part, "wheel")[-1] == pytest.approx(720.0, abs=CLOSE)


def test_the_merrows_hook_takes_hold_of_the_roller():
    part = sequence("merrow-t2", "retract")
    hook = connection("merrow-t2", "uplock")
    apart = gap("merrow-t2", part, hook.bodies, hook.ends)
    assert apart[frame(part, "lock-up", end=True) :].max() < 0.02
    assert apart[0] > 20.0


# ---- the Skarn and the Pellow ------------------------------------------------------------------------------------


def test_the_skarns_brace_folds_from_past_straight_and_comes_back():
    up, down = sequence("skarn-p9", "retract"), sequence("skarn-p9", "lower")
    for part, first, last in ((up, 0.0, -88.0), (down, -88.0, 0.0)):
        leg = degrees(part, "leg")
        assert (leg[0], leg[-1]) == pytest.approx((first, last), abs=0.01)
        # Straightening on the way, the brace pushes the leg a little past where it locks.
        assert 0.0 < leg.max() < 0.2


def test_the_skarns_wheel_door_goes_with_the_leg():
    part = sequence("skarn-p9", "retract")
    assert np.abs(degrees(part, "wheel-door") - degrees(part, "leg")).max() < CLOSE


def test_the_pellows_crank_moves_its_leg_as_the_tangent_says():
    """The pin's bearing from the leg's pivot is atan2 of its two co-ordinates: an inverted slider-crank, elementary."""
    part = sequence("pellow-3", "to-water")
    tube, pin = connection("pellow-3", "tube").at, connection("pellow-3", "crank-slot").at
    crank = np.radians(degrees(part, "crank")) + direction(tube, pin)
    arm = math.dist(tube, pin)
    bearing = np.degrees(np.arctan2(tube[1] + arm * np.sin(crank), tube[0] + arm * np.cos(crank)))
    assert (
        np.abs(degrees(part, "leg") - (bearing - bearing[0])).max() < 1e-3
    )  # the slot is given to a tenth of a micron
    assert degrees(part, "leg")[-1] == pytest.approx(80.0, abs=0.01)


def test_the_pellows_tube_turns_the_lever_in_the_other_view():
    part = sequence("pellow-3", "to-water")
    assert np.abs(degrees(part, "lever") - degrees(part, "crank")).max() < CLOSE
    assert degrees(part, "rudder")[-1] == pytest.approx(90.17, abs=0.01)


# ---- the flawed twin ---------------------------------------------------------------------------------------------


def test_the_flawed_merrow_has_just_its_three_faults():
    kinds = [(one.sequence, one.kind, one.bodies) for one in findings("merrow-t2-flawed")]
    assert kinds == [
        ("retract", "jammed", ("valve-lever",)),
        ("retract", "clash", ("wheel", "main-door")),
        ("retract", "loose", ("small-door",)),
        ("oleo-stroke", "loose", ("small-door",)),
        ("steer", "loose", ("small-door",)),
    ]
    assert [one.step for one in findings("merrow-t2-flawed")[:2]] == ["leg-up", "doors-close"]


def test_the_loose_door_stays_where_it_is_drawn():
    part = sequence("merrow-t2-flawed", "retract")
    assert np.abs(part.motion.poses[:, part.motion.bodies.index("small-door")]).max() == 0.0
    loose = part.findings[2]
    assert (loose.count, loose.begin, loose.end) == (1, 0.0, part.schedule.seconds)


def test_the_short_rod_jams_while_its_pins_are_too_far_apart():
    """By hand: lever 8 and rod 14 mm reach 22 mm; the leg's pin, on 9 mm, is sqrt(277 - 252 cos a) from the lever's
    pivot, 14 mm away, with a the angle between them: beyond reach from the angle at which that is 22."""
    jam = sequence("merrow-t2-flawed", "retract").findings[0]
    assert "valve-rod" in jam.connections
    assert jam.amount == pytest.approx(23.0 - 22.0, abs=0.001)
    reach = math.degrees(math.acos((14.0**2 + 9.0**2 - 22.0**2) / (2 * 14.0 * 9.0)))
    part = sequence("merrow-t2-flawed", "retract")
    leg = np.degrees(part.motion.poses_at(np.array([jam.begin, jam.end]))[:, part.motion.bodies.index("leg"), 2])
    # As drawn the pin bears 4 degrees and the lever's pivot 135; the leg turns the pin away and round the far side.
    assert leg == pytest.approx([131.0 - reach, 131.0 - (360.0 - reach)], abs=0.01)


def test_the_tyre_clips_the_door_between_two_frames():
    part = sequence("merrow-t2-flawed", "retract")
    (clash,) = part.interference.contacts
    assert not part.interference.touching.any()
    assert 0.01 < clash.depth < 0.2
    assert clash.end - clash.begin < part.motion.times[1]
    assert (clash.begin, clash.end) == pytest.approx((4.878, 4.899), abs=0.002)


@pytest.mark.parametrize("frames", [40, 640])
def test_the_clip_is_found_at_the_same_time_whatever_the_frames(frames):
    usual = sequence("merrow-t2-flawed", "retract")
    other = run(project("merrow-t2-flawed"), sequence="retract", frames=frames).sequences[0]
    (one,), (same,) = usual.interference.contacts, other.interference.contacts
    thousandth = usual.schedule.seconds / 1000.0
    assert (same.begin, same.end) == pytest.approx((one.begin, one.end), abs=thousandth)


def test_the_flawed_skarn_has_just_its_three_faults_and_what_follows():
    told = [(one.sequence, one.kind, one.connections or one.bodies) for one in findings("skarn-p9-flawed")]
    trim = ("door-hinge", "door-trim", "door-trim-2")
    assert told == [
        ("retract", "latch", ("uplock",)),
        ("retract", "travel", ("door-jack",)),
        ("retract", "target", ("leg",)),
        ("retract", "redundant", trim),
        ("lower", "travel", ("door-jack",)),
        ("lower", "redundant", trim),
    ]
    asked = math.dist(*jack_ends_with_the_door_open()) - connection("skarn-p9", "door-jack").closed
    assert findings("skarn-p9-flawed")[1].amount == pytest.approx(asked, abs=0.001)
    brace = next(one for one in study("skarn-p9-flawed").figures if one.figure.id == "brace-stroke")
    assert (brace.within_published, brace.within_shop) == (False, False)


def jack_ends_with_the_door_open():
    """The inner door's jack, its end on the door turned by hand through the 95 degrees of the drawing."""
    anchor, end = connection("skarn-p9", "door-jack").ends
    x, y = connection("skarn-p9", "inner-hinge").at
    cosine, sine = math.cos(math.radians(-95.0)), math.sin(math.radians(-95.0))
    across, up = end[0] - x, end[1] - y
    return anchor, (x + cosine * across - sine * up, y + sine * across + cosine * up)


def test_the_flawed_pellow_has_just_its_three_faults():
    told = [(one.sequence, one.kind, one.connections or one.bodies) for one in findings("pellow-3-flawed")]
    faults = [("loose", ("lever", "rudder")), ("travel", ("crank-slot",)), ("tight", ("hull", "wheel"))]
    assert told == [(one, *fault) for one in ("to-water", "to-land") for fault in faults]
    # Half way the pin stands between the two pivots: 24 less the crank's 24 sin 40 from the leg's, where the slot
    # begins 9.5 mm out.
    half_way = 24.0 * (1.0 - math.sin(math.radians(40.0))) - 9.5
    assert findings("pellow-3-flawed")[1].amount == pytest.approx(half_way, abs=0.001)


# ---- the files ---------------------------------------------------------------------------------------------------


def test_the_script_makes_the_samples_again(tmp_path):
    """Project files byte for byte; pictures but for a pixel in ten thousand, as a last digit is the machine's."""
    make_all(tmp_path)
    made = {file.relative_to(tmp_path) for file in tmp_path.rglob("*") if file.is_file()}
    kept = {file.relative_to(SAMPLES) for name in (*SOUND, *FLAWED) for file in kept_files(SAMPLES / name)}
    assert made == kept
    for file in sorted(made):
        if file.suffix == ".png":
            with Image.open(tmp_path / file) as one, Image.open(SAMPLES / file) as other:
                assert one.size == other.size, file
                off = ImageChops.difference(one.convert("L"), other.convert("L")).histogram()
                assert sum(off[8:]) <= one.width * one.height / 10_000, file
        else:
            assert (tmp_path / file).read_bytes() == (SAMPLES / file).read_bytes(), file


def kept_files(folder: Path) -> list[Path]:
    return [folder / "project.json", *(folder / "drawings").iterdir()]


@pytest.mark.parametrize("name", [*SOUND, *FLAWED])
def test_a_check_of_a_sample_can_be_told_in_json(name):
    told = to_json(study(name))
    assert told["project"] == project(name).aircraft.name
    assert [one["id"] for one in told["sequences"]] == [one.id for one in project(name).sequences]
