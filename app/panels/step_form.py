"""The numbers of a step that can be typed: how long it takes, how long it waits, and where it brings each drive."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.panels.fact_table import LABEL_WIDTH
from app.panels.facts import DEGREES, unit_of
from app.panels.readings import (
    length_unit,
    read_angle,
    read_duration,
    read_length,
    read_seconds,
    write_angle,
    write_length,
    write_number,
)
from app.session import Session
from app.widgets.value_field import Reading, ValueField, Writing
from core.document.checks import new_problems
from core.document.edits import Edit, SetMoveTarget, SetStepDelay, SetStepDuration
from core.document.project import Move, Project, Step
from core.findings.sentences import Names


class StepForm(QWidget):
    """Made anew only when it shows another step or other drives, so that the keyboard keeps its place."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._shown: tuple[object, ...] = ()
        self.fields: dict[str, ValueField] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(8)
        self._grid.setColumnMinimumWidth(0, LABEL_WIDTH)
        self._grid.setColumnStretch(1, 1)

    def show_step(self, project: Project, sequence_id: str, step: Step) -> None:
        """Fields by the keys "duration", "delay" and the drives' ids."""
        shown = (sequence_id, step.id, length_unit(project), tuple((m.drive, m.profile) for m in step.moves))
        if shown != self._shown:
            self._shown = shown
            self._refill(project, sequence_id, step)
        self.fields["duration"].set_value(step.duration)
        self.fields["delay"].set_value(step.delay)
        for move in step.moves:
            self.fields[move.drive].set_value(move.to)

    def _refill(self, project: Project, sequence_id: str, step: Step) -> None:
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.fields = {}
        names = Names(project)
        number = (write_number, "s")
        duration = self._field("Duration", read_duration, *number, lambda to: SetStepDuration(sequence_id, step.id, to))
        self._put("duration", "Duration", duration)
        delay = self._field("Delay", self._read_delay(step), *number, lambda to: SetStepDelay(sequence_id, step.id, to))
        self._put("delay", "Delay", delay)
        for move in step.moves:
            field = self._target_field(project, sequence_id, step, move)
            how = "eased" if move.profile == "eased" else "steady"
            self._put(move.drive, f"{names(move.drive)} to", field, note=how)

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

    def _target_field(self, project: Project, sequence_id: str, step: Step, move: Move) -> ValueField:
        name = f"{Names(project)(move.drive)} to"

        def edit(to: float) -> Edit:
            return SetMoveTarget(sequence_id, step.id, move.drive, to)

        if unit_of(project, move.drive) == DEGREES:
            return self._field(name, read_angle, write_angle, DEGREES, edit)
        return self._field(name, read_length(project), write_length(project), length_unit(project), edit)

    def _field(self, name: str, read: Reading, write: Writing, unit: str, edit: Callable[[float], Edit]) -> ValueField:
        """A field that pushes an edit, and refuses what would leave the project senseless."""

        def sensible(text: str) -> float:
            value = read(text)
            project = self._session.project
            broken = new_problems(project, edit(value).apply(project)) if project is not None else ()
            if broken:
                raise ValueError(f"{broken[0].wrong}; {broken[0].right}" if broken[0].right else broken[0].wrong)
            return value

        field = ValueField(name, read=sensible, write=write, unit=unit)
        field.entered.connect(lambda value: self._session.push(edit(value)))
        return field

    def _put(self, key: str, label: str, field: ValueField, *, note: str = "") -> None:
        row = self._grid.rowCount()
        name = QLabel(f"{label}\n({note})" if note else label)
        name.setObjectName("factLabel")
        name.setWordWrap(True)
        name.setAlignment(Qt.AlignmentFlag.AlignTop)
        name.setContentsMargins(0, 5, 0, 0)
        name.setBuddy(field.line)
        self._grid.addWidget(name, row, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(field, row, 1)
        self.fields[key] = field
