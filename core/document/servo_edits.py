"""A servo for a drive: which one, and how far its pivot can then turn."""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import with_connection, with_drive
from core.document.names import by_id, called
from core.document.project import Connection, Drive, Pivot, Project, Servo, Span


@dataclass(frozen=True, slots=True)
class FitServo:
    """Which servo turns a drive's pivot, which gets the servo's travel for its limits; None takes the servo away and
    leaves the limits."""

    drive: str
    servo: Servo | None
    called: str = ""

    @property
    def label(self) -> str:
        return f"Take the servo from {self.called}" if self.servo is None else f"Fit servo {self.servo.name}"

    def apply(self, project: Project) -> Project:
        drive = by_id(project.drives, self.drive)
        if drive is None or drive.servo == self.servo:
            return project
        changed = with_drive(project, self.drive, lambda one: replace(one, servo=self.servo))
        if self.servo is None:
            return changed
        limits = limits_by(project, drive, self.servo.travel)
        return with_connection(changed, drive.on, lambda one: _limited(one, limits))


def fit(project: Project, drive: str, servo: Servo | None) -> FitServo:
    return FitServo(drive, servo, called(project.drives, drive))


def limits_by(project: Project, drive: Drive, travel: float) -> Span:
    """From where the drive is asked to stand lowest, or from its lower limit, over the servo's travel, degrees."""
    pivot = by_id(project.connections, drive.on)
    if isinstance(pivot, Pivot) and pivot.limits is not None:
        return (pivot.limits[0], pivot.limits[0] + travel)
    starts = [one.start[drive.id] for one in project.sequences if drive.id in one.start]
    asked = [
        move.to for one in project.sequences for step in one.steps for move in step.moves if move.drive == drive.id
    ]
    lowest = min((0.0, *starts, *asked))
    return (lowest, lowest + travel)


def _limited(one: Connection, limits: Span) -> Connection:
    return replace(one, limits=limits) if isinstance(one, Pivot) else one
