"""How a drive's value is read and written: in degrees on a pivot, in the project's unit of length elsewhere."""

from __future__ import annotations

from dataclasses import dataclass

from app.panels.facts import DEGREES
from app.panels.readings import read_angle, read_length, write_angle, write_length
from app.widgets.value_field import Reading, Writing
from core.curves.linkage import unit_of_drive
from core.curves.series import Unit
from core.document.lengths import length_unit, step_length
from core.document.project import Project


@dataclass(frozen=True, slots=True)
class Terms:
    unit: str
    read: Reading
    write: Writing
    step: float = 1.0
    """What an arrow key changes it by."""


def terms_of(project: Project, drive: str) -> Terms:
    if unit_of_drive(project, drive) is Unit.DEGREES:
        return Terms(DEGREES, read_angle, write_angle)
    return Terms(length_unit(project), read_length(project), write_length(project), step_length(project))
