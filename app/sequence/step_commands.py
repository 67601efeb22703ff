"""What is done to the chosen steps by key and menu: shifted, ordered, split, joined, doubled, chained, given drives."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from app.session import Session
from app.uses import Uses
from core.document.edits import Edit
from core.document.fresh import fresh_id
from core.document.project import Project, Sequence, Step
from core.document.step_edits import AddStep, RemoveSteps, ReplaceStep, SetMove
from core.document.step_part_edits import JoinSteps, SplitStep
from core.document.step_time_edits import ChainStep, OrderSteps, SetStepDuration, ShiftSteps
from core.document.steps import rest_of
from core.motion.new_steps import copied_step, next_value, reached
from core.motion.schedule import ScheduledStep

NUDGE = 0.05
"""Seconds that a key shifts or stretches by."""


class StepCommands:
    def __init__(self, session: Session, ask_for_name: Callable[[], object]) -> None:
        self._session, self._ask_for_name = session, ask_for_name

    @property
    def uses(self) -> Uses:
        """What their actions do, by their ids in the table."""
        return {
            "step-rename": self._ask_for_name,
            "step-split": self.split,
            "step-join": self.join,
            "step-copy": self.copy,
            "step-up": lambda: self.order(-1),
            "step-down": lambda: self.order(1),
            "step-sooner": lambda: self.shift(-NUDGE),
            "step-later": lambda: self.shift(NUDGE),
            "step-shorter": lambda: self.stretch(-NUDGE),
            "step-longer": lambda: self.stretch(NUDGE),
        }

    # ---- which ---------------------------------------------------------------------------------------------------

    @property
    def chosen(self) -> tuple[str, ...]:
        """The chosen steps of the sequence that is looked at, in the order of its list."""
        sequence = self._session.sequence
        steps = sequence.steps if sequence is not None else ()
        return tuple(step.id for step in steps if step.id in self._session.chosen)

    def _lead(self) -> tuple[Project, Sequence, Step] | None:
        """The step that was chosen last, with where it is; None, and that is said, where no step is."""
        project, sequence = self._session.project, self._session.sequence
        if project is not None and sequence is not None:
            for step in sequence.steps:
                if step.id == self._session.selection:
                    return project, sequence, step
        self._session.turn_down("Choose a step first: press its bar")
        return None

    def _laid(self, step: str) -> ScheduledStep:
        schedule = self._session.schedule
        assert schedule is not None
        return schedule.step(step)

    # ---- what is done --------------------------------------------------------------------------------------------

    def shift(self, seconds: float) -> None:
        """Have the chosen steps begin later, or sooner, but not before their sequence."""
        sequence, steps = self._session.sequence, self.chosen
        if sequence is None or not steps:
            return
        earliest = min(self._laid(one).begin for one in steps)
        self._session.push(ShiftSteps(sequence.id, steps, round(max(-earliest, seconds), 9)))

    def stretch(self, seconds: float) -> None:
        found = self._lead()
        if found is not None:
            _, sequence, step = found
            self._session.push(SetStepDuration(sequence.id, step.id, round(max(0.0, step.duration + seconds), 9)))

    def order(self, way: int) -> None:
        """The chosen steps one row up or down, while every step begins when it did."""
        sequence, steps = self._session.sequence, self.chosen
        if sequence is not None and steps:
            places = [place for place, one in enumerate(sequence.steps) if one.id in steps]
            self._session.push(OrderSteps(sequence.id, steps, max(0, places[0] + way)))

    def rename(self, name: str) -> None:
        found = self._lead()
        if found is not None:
            _, sequence, step = found
            self._session.push(ReplaceStep(sequence.id, replace(step, name=name), "Rename step"))

    def split(self) -> None:
        """Part the chosen step where the rule is; the second part is chosen."""
        found = self._lead()
        if found is None:
            return
        project, sequence, step = found
        laid, moment = self._laid(step.id), self._session.moment
        if not laid.begin + 1e-9 < moment < laid.end - 1e-9:
            self._session.turn_down(
                f"{laid.name} runs from {laid.begin:.2f} to {laid.end:.2f} s: bring the rule between to split it"
            )
            return
        second = fresh_id(project, f"{step.id}-rest")
        share = (moment - laid.begin) / (laid.end - laid.begin)
        self._push_and_choose(
            SplitStep(sequence.id, step.id, share, second, reached(project, sequence, step, moment)), second
        )

    def join(self) -> None:
        """Make one of the chosen step and the one whose rest it is, as after a split, else the one below it; or of two
        that are chosen."""
        found = self._lead()
        if found is None:
            return
        _, sequence, step = found
        first, second = self._two(sequence, step)
        if second is None:
            self._session.turn_down("The last step has none below it to be joined with: choose the one above")
            return
        self._push_and_choose(JoinSteps(sequence.id, first, second), first)

    def _two(self, sequence: Sequence, step: Step) -> tuple[str, str | None]:
        if len(self.chosen) == 2:
            return self.chosen[0], self.chosen[1]
        if (whole := rest_of(sequence, step)) is not None:
            return whole, step.id
        below = sequence.steps[sequence.steps.index(step) + 1 :]
        return step.id, below[0].id if below else None

    def copy(self) -> None:
        """The chosen step once more, right after it, and chosen."""
        found = self._lead()
        if found is not None:
            project, sequence, step = found
            made = copied_step(project, sequence, step)
            self._push_and_choose(AddStep(sequence.id, made, sequence.steps.index(step) + 1), made.id)

    def remove(self) -> None:
        sequence, steps = self._session.sequence, self.chosen
        if sequence is not None and steps:
            self._session.choose(None)
            self._session.push(RemoveSteps(sequence.id, steps))

    def chain(self, *, after: str | None = None, along: str | None = None) -> None:
        """Have the chosen step wait for the end of another, or for its begin; for the one above it with neither."""
        found = self._lead()
        if found is not None:
            _, sequence, step = found
            self._session.push(ChainStep(sequence.id, step.id, after=after, together_with=along))

    def move_drive(self, drive: str, on: bool) -> None:
        """Have the chosen step move a drive, or no longer."""
        found = self._lead()
        if found is None:
            return
        project, sequence, step = found
        to = None
        if on:
            one = next(one for one in project.drives if one.id == drive)
            to = next_value(project, sequence, one, self._laid(step.id).begin)
        self._session.push(SetMove(sequence.id, step.id, drive, to, "eased"))

    def _push_and_choose(self, edit: Edit, step: str) -> None:
        before = self._session.project
        self._session.push(edit)
        if self._session.project is not before:
            self._session.choose(step)
