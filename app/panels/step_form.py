"""The values of a step: its name, how long it takes, how long it waits, and where it brings each drive."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from app.panels.entry_form import Entry, EntryForm
from app.panels.facts import DEGREES
from app.panels.readings import (
    length_unit,
    read_angle,
    read_duration,
    read_length,
    read_seconds,
    read_text,
    write_angle,
    write_length,
    write_number,
)
from core.curves.linkage import unit_of_drive
from core.curves.series import Unit
from core.document.edits import SetMoveTarget, SetStepDelay, SetStepDuration
from core.document.project import Move, Project, Step
from core.document.step_edits import ReplaceStep
from core.findings.sentences import Names


class StepForm(EntryForm):
    def show_step(self, project: Project, sequence: str, step: Step) -> None:
        """Fields by the keys "name", "duration", "delay" and the drives' ids."""
        entries = (
            Entry(
                key="name", label="Name", value=step.name, words=True, read=read_text, empty=step.id,
                edit=lambda name: ReplaceStep(sequence, replace(step, name=name), "Rename"),
            ),
            Entry(
                key="duration", label="Duration", value=step.duration, unit="s", read=read_duration,
                write=write_number, edit=lambda to: SetStepDuration(sequence, step.id, to),
            ),
            Entry(
                key="delay", label="Delay", value=step.delay, unit="s", read=self._read_delay(step),
                write=write_number, edit=lambda to: SetStepDelay(sequence, step.id, to),
            ),
            *(_target(project, sequence, step, move) for move in step.moves),
        )  # fmt: skip
        self.show_entries(f"{sequence} {step.id}", entries)

    def _read_delay(self, step: Step) -> Callable[[str], float]:
        def read(text: str) -> float:
            value = read_seconds(text)
            schedule, sequence = self._session.schedule, self._session.sequence
            if schedule is None or sequence is None:
                return value
            now = next((one.delay for one in sequence.steps if one.id == step.id), 0.0)
            begin = schedule.step(step.id).begin - now + value
            if begin < -1e-9:
                raise ValueError(f"the step would start {-begin:.2f} s before the sequence does")
            return value

        return read


def _target(project: Project, sequence: str, step: Step, move: Move) -> Entry:
    turns = unit_of_drive(project, move.drive) is Unit.DEGREES
    return Entry(
        key=move.drive,
        label=f"{Names(project)(move.drive)} to",
        note="eased" if move.profile == "eased" else "steady",
        value=move.to,
        read=read_angle if turns else read_length(project),
        write=write_angle if turns else write_length(project),
        unit=DEGREES if turns else length_unit(project),
        edit=lambda to: SetMoveTarget(sequence, step.id, move.drive, to),
    )
