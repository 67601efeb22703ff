"""Editing at random: after every step undo and redo agree, and what would be saved opens as the same project."""

from __future__ import annotations

from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from app.session import Session
from core.document.checks import problems
from core.document.edits import Edit, SetDriveStart, SetMoveTarget, SetStepDelay, SetStepDuration
from core.document.project import Project
from core.document.project_file import decode, encode, read_project
from tests.formats.merrow import FOLDER

PROJECT = read_project(FOLDER)
STEPS = st.sampled_from(["doors-open", "leg-up", "weight-off", "nowhere"])
DRIVES = st.sampled_from(["gear", "doors", "stroke", "nothing"])
NUMBERS = st.sampled_from([0.0, -0.0, 1.0, 92.0, -3.5]) | st.floats(-10.0, 120.0) | st.floats()


class Editing(RuleBasedStateMachine):
    """The session beside the plainest history there is: a list of projects and a place in it."""

    def __init__(self) -> None:
        super().__init__()
        self.session = Session()
        self.session.open(PROJECT, None)
        self.told: list[str] = []
        self.session.trouble.connect(self.told.append)
        self.history: list[Project] = [PROJECT]
        self.place = 0

    def push(self, edit: Edit) -> None:
        before, told = self.session.project, len(self.told)
        self.session.push(edit)
        after = self.session.project
        if after is before:
            expected = edit.apply(before)
            assert expected == before or (problems(expected) != () and len(self.told) == told + 1)
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
        self.push(SetMoveTarget("retract", step, drive, to))

    @rule(drive=DRIVES, value=NUMBERS)
    def start_elsewhere(self, drive: str, value: float) -> None:
        self.push(SetDriveStart("retract", drive, value))

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
        assert not self.session.unsaved
        for _ in range(self.place):
            self.session.redo()

    @rule()
    def save_and_open(self) -> None:
        opened = decode(encode(self.session.project), Path("project.json"))
        assert opened == self.session.project
        assert encode(opened) == encode(self.session.project)

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


TestEditing = Editing.TestCase
TestEditing.settings = settings(max_examples=20, stateful_step_count=25, deadline=None)
