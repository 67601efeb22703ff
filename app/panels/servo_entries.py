"""What can be typed of the servo that turns a drive's pivot."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from app.panels.entry import Entry, Make, length_entry
from app.panels.facts import DEGREES
from app.panels.readings import (
    maybe,
    read_angle,
    read_seconds,
    read_torque,
    write_angle,
    write_maybe,
    write_number,
    write_torque,
)
from core.document.project import Drive, Project, Servo
from core.document.servo_edits import fit


def servo_entries(project: Project, drive: Drive) -> tuple[Entry, ...]:
    """None where the drive has no servo."""
    servo = drive.servo
    if servo is None:
        return ()
    change = _change(project, drive, servo)
    return (
        Entry(
            key="torque", label="Servo's torque", value=servo.torque, unit="N·mm", edit=change("torque"),
            read=maybe(read_torque), write=write_maybe(write_torque),
        ),
        Entry(
            key="travel", label="Servo's travel", value=servo.travel, unit=DEGREES, edit=change("travel"),
            read=read_angle, write=write_angle,
        ),
        length_entry(project, "arm", "Servo's arm", servo.arm, change("arm"), may_be_none=True),
        Entry(
            key="speed", label="Time for 60°", value=servo.speed, unit="s", edit=change("speed"),
            read=maybe(read_seconds), write=write_maybe(write_number),
        ),
    )  # fmt: skip


def _change(project: Project, drive: Drive, servo: Servo) -> Callable[[str], Make]:
    def change(key: str) -> Make:
        return lambda value: fit(project, drive.id, replace(servo, **{key: value}))

    return change
