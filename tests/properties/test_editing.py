"""Editing at random: undo, redo, the file and the journal agree after every step, and a start after a kill has it."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from msgspec.structs import replace

from app.keeper import Keeper
from app.session import Session
from core.document.checks import problems
from core.document.edits import Edit
from core.document.figure_edits import RemoveFigure, SetFigure
from core.document.joint_edits import MoveEnd, ReplaceConnection, ReplaceDrive
from core.document.journal import open_folder
from core.document.look_edits import OrderBodies, SetHidden, SetLocked, SetTint, ShowOnly, Way, laid
from core.document.looks import why_locked
from core.document.path_edits import AddPath, ReplacePath
from core.document.pin_edits import MovePin, PinMoment, Unpin
from core.document.pose_edits import SetMoves, SetStarts
from core.document.project import Figure, Ink, Made, Moment, Need, PointPath, Project, Quantity, Servo, Target, Workshop
from core.document.project_file import decode, encode, read_project, write_project
from core.document.sequence_edits import AddSequence, SetDriveStart
from core.document.servo_edits import fit
from core.document.step_edits import RemoveSteps, ReplaceStep, SetMove
from core.document.step_time_edits import ChainStep, OrderSteps, SetStepDelay, SetStepDuration, ShiftSteps
from core.document.target_edits import RemoveTarget, SetTarget
from core.document.workshop_edits import SetWorkshop
from core.sketch.body_edits import MoveBodies, RemoveThings, ReplaceBody
from core.sketch.moving import Likeness
from core.trials.fault import Back, Stuck
from core.trials.trial import Trial, kept_sequence
from tests.formats.merrow import FOLDER

PROJECT = read_project(FOLDER)
STEPS = st.sampled_from(["doors-open", "leg-up", "weight-off", "nowhere"])
DRIVES = st.sampled_from(["gear", "doors", "stroke", "nothing"])
BODIES = st.sampled_from(["leg", "door", "hook", "collar", "nobody"])
CONNECTIONS = st.sampled_from(["leg-pivot", "door-rod", "brace-jack", "door-slot", "tube", "uplock", "none"])
WAYS = st.sampled_from(get_args(Made))
QUANTITIES = st.sampled_from(get_args(Quantity))
MOST_KEPT = 6
"""Sequences; more than this only takes longer."""
NUMBERS = st.sampled_from([0.0, -0.0, 1.0, 92.0, -3.5]) | st.floats(-10.0, 120.0) | st.floats()


class Editing(RuleBasedStateMachine):
    """The session beside the plainest history there is: a list of projects and a place in it."""

    def __init__(self) -> None:
        super().__init__()
        self.session = Session()
        self.kept = tempfile.TemporaryDirectory()
        self.folder = Path(self.kept.name)
        shutil.copytree(FOLDER / "drawings", self.folder / "drawings")
        write_project(PROJECT, self.folder)
        self.session.open(PROJECT, self.folder)
        self.keeper = Keeper(self.session)
        self.keeper.hold(self.folder)
        self.saved = PROJECT
        self.told: list[str] = []
        self.session.trouble.connect(self.told.append)
        self.history: list[Project] = [PROJECT]
        self.place = 0

    def teardown(self) -> None:
        self.keeper.let_go()
        self.kept.cleanup()

    def push(self, edit: Edit) -> None:
        before, told = self.session.project, len(self.told)
        self.session.push(edit)
        after = self.session.project
        if after is before:
            expected = edit.apply(before)
            refused = problems(expected) != () or why_locked(before, expected)
            assert expected == before or (refused and len(self.told) == told + 1)
            return
        assert after == edit.apply(before)
        assert self.session.undo_label == edit.label
        del self.history[self.place + 1 :]
        self.history.append(after)
        self.place += 1

    @rule(step=STEPS, seconds=NUMBERS)
    def stretch(self, step: str, seconds: float) -> None:
        self.push(SetStepDuration("retract", step, seconds))

    @rule(step=STEPS, seconds=NUMBERS)
    def shift(self, step: str, seconds: float) -> None:
        self.push(SetStepDelay("retract", step, seconds))

    @rule(step=STEPS, drive=DRIVES, to=NUMBERS)
    def retarget(self, step: str, drive: str, to: float) -> None:
        one = next((one for one in self.session.project.sequences[0].steps if one.id == step), None)
        if one is not None and any(move.drive == drive for move in one.moves):
            self.push(SetMove("retract", step, drive, to))

    @rule(drive=DRIVES, travel=NUMBERS, torque=st.none() | NUMBERS, fitted=st.booleans())
    def fit_a_servo(self, drive: str, travel: float, torque: float | None, fitted: bool) -> None:
        servo = Servo(name="Hatch servo", travel=travel, torque=torque) if fitted else None
        self.push(fit(self.session.project, drive, servo))

    @rule(drive=DRIVES, value=NUMBERS)
    def start_elsewhere(self, drive: str, value: float) -> None:
        self.push(SetDriveStart("retract", drive, value))

    @rule(step=STEPS, gear=NUMBERS, doors=NUMBERS)
    def keep_a_pose_as_an_end(self, step: str, gear: float, doors: float) -> None:
        self.push(SetMoves("retract", step, (("gear", gear), ("doors", doors))))

    @rule(gear=NUMBERS, doors=NUMBERS)
    def keep_a_pose_as_the_start(self, gear: float, doors: float) -> None:
        self.push(SetStarts("retract", (("gear", gear), ("doors", doors))))

    @rule(drive=DRIVES, at=st.floats(0.1, 5.0), back=st.booleans(), waits=st.booleans())
    def keep_a_trial(self, drive: str, at: float, back: bool, waits: bool) -> None:
        trial, project = Trial("retract", Back(at) if back else Stuck(drive, at), waits), self.session.project
        if len(project.sequences) < MOST_KEPT and trial.apply(project) is not project:
            self.push(AddSequence(kept_sequence(project, trial)))

    @rule(step=STEPS, drive=DRIVES, low=NUMBERS, latch=st.sampled_from(["uplock", "leg-pivot"]), engaged=st.booleans())
    def need(self, step: str, drive: str, low: float, latch: str, engaged: bool) -> None:
        needs = (Need(drive=drive, at_least=low), Need(latch=latch, engaged=engaged))
        for one in self.session.project.sequences[0].steps:
            if one.id == step:
                self.push(ReplaceStep("retract", replace(one, needs=needs), "Change what the step needs"))

    @rule(step=STEPS, other=STEPS, along=st.booleans())
    def chain(self, step: str, other: str, along: bool) -> None:
        after, together_with = (None, other) if along else (other, None)
        self.push(ChainStep("retract", step, after=after, together_with=together_with))

    @rule(step=STEPS, place=st.integers(0, 2))
    def order(self, step: str, place: int) -> None:
        self.push(OrderSteps("retract", (step,), place))

    @rule(steps=st.sets(STEPS, max_size=3), seconds=NUMBERS)
    def shift_several(self, steps: set[str], seconds: float) -> None:
        self.push(ShiftSteps("retract", tuple(sorted(steps)), seconds))

    @rule(step=STEPS)
    def remove_step(self, step: str) -> None:
        self.push(RemoveSteps("retract", (step,)))

    @rule(body=BODIES, x=st.floats(-30.0, 30.0), turn=st.floats(-180.0, 180.0), mirrors=st.booleans())
    def carry(self, body: str, x: float, turn: float, mirrors: bool) -> None:
        by = Likeness.mirroring((x, 0.0), (x, 1.0)) if mirrors else Likeness.turning(turn, (x, 3.0))
        self.push(MoveBodies((body, "piston"), by))

    @rule(connection=CONNECTIONS, end=st.integers(0, 1), x=NUMBERS, y=st.floats(-50.0, 50.0))
    def pull_an_end(self, connection: str, end: int, x: float, y: float) -> None:
        if connection in ("door-rod", "brace-jack", "uplock", "none"):
            self.push(MoveEnd(connection, end, (x, y)))

    @rule(body=BODIES, number=st.integers(1, 3), x=st.floats(-9.0, 9.0))
    def aim(self, body: str, number: int, x: float) -> None:
        at = Moment(sequence="retract", at="end")
        self.push(SetTarget(Target(id=f"aim-{number}", body=body, at=at, x=x, y=0.0, turn=10.0)))

    @rule(seconds=NUMBERS, to=NUMBERS)
    def pin_and_move_the_pin(self, seconds: float, to: float) -> None:
        self.push(PinMoment("retract", seconds))
        self.push(MovePin("retract", seconds, to))

    @rule(seconds=st.none() | NUMBERS)
    def unpin(self, seconds: float | None) -> None:
        self.push(Unpin("retract", seconds))

    @rule(body=BODIES, number=st.integers(1, 3), x=NUMBERS)
    def trace_a_point(self, body: str, number: int, x: float) -> None:
        path = PointPath(id=f"way-{number}", body=body, point=(x, 0.0))
        known = any(one.id == path.id for one in self.session.project.paths)
        self.push(ReplacePath(path) if known else AddPath(path))

    @rule(number=st.integers(1, 3))
    def aim_no_more(self, number: int) -> None:
        self.push(RemoveTarget(f"aim-{number}"))

    @rule(number=st.integers(1, 3), text=st.sampled_from(["26 ± 0.1 mm", "1 ft 1 in full size", "1,000 mm"]))
    def publish(self, number: int, text: str) -> None:
        between = [{"body": "leg", "point": [0.0, 0.0]}, {"body": "airframe", "point": [float(number), 9.0]}]
        figure = Figure(id=f"figure-{number}", quantity="distance", between=between, published=text, sheet="4")
        self.push(SetFigure(figure))

    @rule(number=st.integers(1, 3), of=BODIES | CONNECTIONS, quantity=QUANTITIES, end=st.sampled_from(["end", 1.0]))
    def publish_of_one_thing(self, number: int, of: str, quantity: Quantity, end: Any) -> None:
        """What it cannot be of is refused."""
        span = [{"sequence": "retract", "at": "start"}, {"sequence": "retract", "at": end}]
        between = {"length": span[1:], "diameter": None}.get(quantity, span)
        figure = Figure(id=f"figure-{number}", quantity=quantity, of=of, between=between, compared="available")
        self.push(SetFigure(figure))

    @rule(number=st.integers(1, 3), one=BODIES, other=BODIES, x=NUMBERS)
    def publish_a_gap(self, number: int, one: str, other: str, x: float) -> None:
        between = [{"body": one, "edge": [[x, 0.0, 1.0], [9.0, 9.0]]}, {"body": other}]
        self.push(SetFigure(Figure(id=f"figure-{number}", quantity="gap", between=between)))

    @rule(number=st.integers(1, 3))
    def publish_no_more(self, number: int) -> None:
        self.push(RemoveFigure(f"figure-{number}"))

    @rule(made=WAYS, play=NUMBERS, way=WAYS, within=st.none() | NUMBERS)
    def furnish_the_workshop(self, made: Made, play: float, way: Made, within: float | None) -> None:
        self.push(SetWorkshop(Workshop(made=made, play=play, tolerances={} if within is None else {way: within})))

    @rule(body=BODIES, connection=CONNECTIONS, made=st.none() | WAYS, play=st.none() | NUMBERS)
    def make_otherwise(self, body: str, connection: str, made: Made | None, play: float | None) -> None:
        for one in self.session.project.bodies:
            if one.id == body:
                self.push(ReplaceBody(replace(one, made=made)))
        for joint in self.session.project.connections:
            if joint.id == connection:
                kept = {"made": made, "play": play}
                self.push(ReplaceConnection(replace(joint, **{key: kept[key] for key in kept if hasattr(joint, key)})))

    @rule(drive=DRIVES, resolution=st.none() | NUMBERS, hysteresis=st.none() | NUMBERS, backlash=st.none() | NUMBERS)
    def drive_otherwise(
        self, drive: str, resolution: float | None, hysteresis: float | None, backlash: float | None
    ) -> None:
        for one in self.session.project.drives:
            if one.id == drive:
                self.push(ReplaceDrive(replace(one, resolution=resolution, hysteresis=hysteresis)))
        for joint in self.session.project.connections:
            if joint.id == "tube":
                self.push(ReplaceConnection(replace(joint, backlash=backlash)))

    @rule(thing=BODIES | CONNECTIONS | st.sampled_from(["way-1", "way-2"]))
    def remove(self, thing: str) -> None:
        self.push(RemoveThings((thing,)))

    @rule(thing=BODIES | CONNECTIONS, on=st.booleans())
    def hide_or_show(self, thing: str, on: bool) -> None:
        self.push(SetHidden((thing, "door"), on, "Hide"))

    @rule(thing=BODIES | CONNECTIONS)
    def show_only(self, thing: str) -> None:
        self.push(ShowOnly((thing,)))

    @rule(thing=BODIES | CONNECTIONS, on=st.booleans())
    def lock_or_free(self, thing: str, on: bool) -> None:
        self.push(SetLocked((thing,), on, "Lock"))

    @rule(body=BODIES, tint=st.sampled_from([None, "sky", "copper"]))
    def tint(self, body: str, tint: Ink | None) -> None:
        self.push(SetTint((body,), tint, "Tint"))

    @rule(body=BODIES, way=st.sampled_from(Way))
    def lay(self, body: str, way: Way) -> None:
        self.push(OrderBodies(laid(self.session.project, {body}, way)))

    @precondition(lambda self: self.place > 0)
    @rule()
    def undo(self) -> None:
        self.session.undo()
        self.place -= 1

    @precondition(lambda self: self.place < len(self.history) - 1)
    @rule()
    def redo(self) -> None:
        self.session.redo()
        self.place += 1

    @rule(seconds=NUMBERS)
    def scrub(self, seconds: float) -> None:
        self.session.set_moment(seconds)

    @rule()
    def undo_everything_and_redo_it(self) -> None:
        while self.session.undo_label is not None:
            self.session.undo()
        assert self.session.project is PROJECT
        for _ in range(self.place):
            self.session.redo()

    @rule()
    def save_and_open(self) -> None:
        opened = decode(encode(self.session.project), Path("project.json"))
        assert opened == self.session.project
        assert encode(opened) == encode(self.session.project)

    @rule()
    def write(self) -> None:
        assert self.keeper.flush()
        self.saved = self.session.project
        assert read_project(self.folder) == self.saved

    @invariant()
    def a_start_after_a_kill_has_everything(self) -> None:
        found = open_folder(self.folder, read_project(self.folder))
        assert found.history == self.session.history
        assert not found.changed_outside
        assert found.recovered == (self.session.project != self.saved)

    @invariant()
    def what_is_unsaved_is_known(self) -> None:
        assert self.session.unsaved == (self.session.project is not self.saved)

    @invariant()
    def the_project_is_the_histories(self) -> None:
        assert self.session.project is self.history[self.place]
        assert (self.session.undo_label is not None) == (self.place > 0)
        assert (self.session.redo_label is not None) == (self.place < len(self.history) - 1)

    @invariant()
    def the_project_makes_sense(self) -> None:
        assert problems(self.session.project) == ()

    @invariant()
    def the_moment_lies_within_the_sequence(self) -> None:
        assert 0.0 <= self.session.moment <= self.session.schedule.seconds


TestEditing = pytest.mark.usefixtures("qapp")(Editing.TestCase)
TestEditing.settings = settings(max_examples=20, stateful_step_count=25, deadline=None)
