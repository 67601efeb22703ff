"""How exactly gearings and drives come to a value: the rows of a gearing, of a drive and of the workshop."""

from __future__ import annotations

import math
import re
from typing import Any

from msgspec.structs import replace

from app.panels.entry import Entry, Make
from app.panels.facts import DEGREES
from app.panels.readings import maybe, read_angle, read_length, write_angle, write_maybe
from app.panels.terms import terms_of
from app.widgets.value_field import Reading
from core.document.joint_edits import ReplaceDrive
from core.document.lengths import small_step, small_unit
from core.document.project import Drive, Gearing, Project
from core.sizes.driving import backlashes, hystereses, resolutions
from core.sizes.offer import lines_of
from core.tolerance.workshop import turns, usual_of, workshop_of
from core.units.kinds import LENGTH_UNITS, TYPED_UNITS

WORKSHOPS = "empty: the workshop's"
USUAL = "empty: as usual"
_LENGTH = re.compile(rf"\d\s*(?:{'|'.join((*LENGTH_UNITS, *TYPED_UNITS))})\b", re.IGNORECASE)
"""A number with a unit of length."""
ANGLE_STEP = 0.05
"""What an arrow key changes them by."""


def backlash_entry(project: Project, gearing: Gearing, edit: Make) -> Entry:
    """How far the second pivot turns while the first is held."""
    return Entry(
        key="backlash", label="Backlash", note=f"at its second pivot; {WORKSHOPS}",
        value=gearing.backlash, unit=DEGREES, empty=write_angle(workshop_of(project).backlash),
        read=maybe(read_backlash(project)), write=write_maybe(write_angle), offers=lines_of(backlashes()),
        step=ANGLE_STEP, edit=edit,
    )  # fmt: skip


def workshop_backlash_entry(project: Project, backlash: float, edit: Make) -> Entry:
    return Entry(
        key="backlash", label="Backlash", note="of a gearing", value=backlash, unit=DEGREES,
        read=read_backlash(project), write=write_angle, offers=lines_of(backlashes()), step=ANGLE_STEP, edit=edit,
    )  # fmt: skip


def read_backlash(project: Project) -> Reading:
    """Degrees, or as a dial shows it: `0.2 mm at 15 mm`, a length at a distance from the pivot."""
    length = read_length(project)

    def read(text: str) -> float:
        parts = re.split(r"\s+at\s+", text.strip(), flags=re.IGNORECASE)
        if len(parts) == 1 and not _LENGTH.search(text):
            return read_angle(text)
        if len(parts) != 2 or (radius := length(parts[1])) <= 0.0:
            example = "0.2 mm at 15 mm" if small_unit(project) == "mm" else "8 thou at 0.6 in"
            raise ValueError(f"an angle, or a length at a distance from the pivot is wanted, such as {example}")
        return math.degrees(length(parts[0]) / radius)

    return read


def exactness_entries(project: Project, drive: Drive) -> tuple[Entry, ...]:
    """The least step of a drive, and how far apart it stands when it comes to a value from either side."""
    terms, usual, degrees = terms_of(project, drive.id), usual_of(project, drive), turns(project, drive)

    def row(key: str, note: str, as_usual: float, offered: Any) -> Entry:
        return Entry(
            key=key, label=key.capitalize(), note=f"{note}; {USUAL}", value=getattr(drive, key), unit=terms.unit,
            empty=terms.write(as_usual), read=maybe(terms.read), write=write_maybe(terms.write),
            offers=lines_of(offered(usual, degrees=degrees)), step=ANGLE_STEP if degrees else small_step(project),
            edit=lambda value: ReplaceDrive(replace(drive, **{key: value})),
        )  # fmt: skip

    return (
        row("resolution", "its least step", usual.resolution, resolutions),
        row("hysteresis", "coming up to coming down", usual.hysteresis, hystereses),
    )
