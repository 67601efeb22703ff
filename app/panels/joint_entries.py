"""What can be typed and picked of a connection."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from msgspec.structs import replace

from app.panels.driving_entries import backlash_entry
from app.panels.entry import Entry, Make, length_entry, name_entry, point_entry, span_entry
from app.panels.facts import DEGREES
from app.panels.readings import (
    maybe,
    read_angle,
    read_force,
    read_number,
    read_span,
    write_angle,
    write_force,
    write_length,
    write_maybe,
    write_number,
    write_span,
)
from app.panels.workshop_entries import made_entry, play_entry
from app.widgets.offers import Offers
from core.document.joint_edits import MoveEnd, ReplaceConnection
from core.document.lengths import clearance_step, length_unit
from core.document.names import called
from core.document.project import Connection, Gearing, Jack, Latch, Pivot, Project, Rod, Slide, Slot
from core.sizes.cylinders import forces
from core.sizes.offer import lines_of
from core.sizes.offers import bores, pins, piston_rods


def joint_entries(project: Project, one: Connection) -> tuple[Entry, ...]:
    rows = _Rows(project, one)
    name = name_entry(one.name, one.id, lambda text: ReplaceConnection(replace(one, name=text), "Rename"))
    match one:
        case Pivot():
            return (name, rows.point("at", "Drawn at"), rows.size("pin", "Pin"), rows.play(), _limits(one, rows))
        case Slide():
            limits = rows.span("limits", "Limits", "none")
            return (name, rows.point("at", "Drawn at"), _direction(one), limits)
        case Slot():
            points = (rows.point("start", "From"), rows.point("end", "To"), rows.point("at", "Pin drawn at"))
            return (name, *points, rows.size("pin", "Pin"), rows.play())
        case Gearing():
            return (name, _ratio(one, rows), backlash_entry(project, one, rows.change("backlash")))
    ends = _ends(project, one)
    sizes: tuple[Entry, ...]
    match one:
        case Rod():
            drawn = write_length(project)(math.dist(*one.ends))
            sizes = (rows.size("length", "Length", f"{drawn} as drawn"), rows.size("width", "Width"))
        case Jack():
            sizes = (
                rows.needed("closed", "Closed length"), rows.needed("stroke", "Stroke"),
                rows.size("barrel", "Barrel width"), rows.size("rod", "Piston width"), rows.size("bore", "Bore"),
                rows.force(one),
            )  # fmt: skip
        case Latch():
            return (name, *ends, rows.needed("reach", "Reach", step=clearance_step(project)))
    pinned = (rows.size("pin", "Pin"), rows.play(), rows.made())
    return (name, *ends, *sizes, *pinned, rows.span("depth", "Depth", "none"))


@dataclass(frozen=True, slots=True)
class _Rows:
    """The rows of one connection, by its keys."""

    project: Project
    one: Connection

    def change(self, key: str) -> Make:
        return lambda value: ReplaceConnection(replace(self.one, **{key: value}))

    def size(self, key: str, label: str, empty: str = "") -> Entry:
        """A length that may be left out."""
        value, edit = getattr(self.one, key), self.change(key)
        offers = _offered(self.project, key)
        return length_entry(self.project, key, label, value, edit, may_be_none=True, empty=empty, offers=offers)

    def needed(self, key: str, label: str, **more: Any) -> Entry:
        return length_entry(self.project, key, label, getattr(self.one, key), self.change(key), **more)

    def force(self, jack: Jack) -> Entry:
        return Entry(
            key="force", label="Force", value=jack.force, unit="N", edit=self.change("force"), read=maybe(read_force),
            write=write_maybe(write_force), offers=lines_of(forces(jack.bore, jack.rod)),
        )  # fmt: skip

    def made(self) -> Entry:
        return made_entry(self.project, getattr(self.one, "made", None), self.change("made"))

    def play(self) -> Entry:
        pin, play = getattr(self.one, "pin", None), getattr(self.one, "play", None)
        return play_entry(self.project, pin, play, self.change("play"))

    def point(self, key: str, label: str) -> Entry:
        return point_entry(self.project, key, label, getattr(self.one, key), self.change(key))

    def span(self, key: str, label: str, empty: str) -> Entry:
        return span_entry(self.project, key, label, getattr(self.one, key), self.change(key), empty=empty)


def _limits(pivot: Pivot, rows: _Rows) -> Entry:
    read, write = maybe(read_span(read_angle)), write_maybe(write_span(write_angle))
    return Entry(
        key="limits", label="Limits", value=pivot.limits, unit=DEGREES, empty="none", read=read, write=write,
        edit=rows.change("limits"),
    )  # fmt: skip


def _direction(slide: Slide) -> Entry:
    return Entry(
        key="along", label="Direction", value=math.degrees(math.atan2(slide.along[1], slide.along[0])), unit=DEGREES,
        read=read_angle, write=write_angle,
        edit=lambda angle: ReplaceConnection(replace(slide, along=_towards(angle))),
    )  # fmt: skip


def _ratio(gearing: Gearing, rows: _Rows) -> Entry:
    edit = rows.change("ratio")
    return Entry(key="ratio", label="Ratio", value=gearing.ratio, read=read_number, write=write_number, edit=edit)


def _towards(angle: float) -> tuple[float, float]:
    return (math.cos(math.radians(angle)), math.sin(math.radians(angle)))


def _ends(project: Project, one: Rod | Jack | Latch) -> tuple[Entry, ...]:
    def end(number: int) -> Entry:
        label, edit = f"On {called(project.bodies, one.bodies[number])}", lambda at: MoveEnd(one.id, number, at)
        return point_entry(project, f"end {number + 1}", label, one.ends[number], edit)

    return (end(0), end(1))


def _offered(project: Project, key: str) -> Offers:
    """Standard sizes of what a key stands for."""
    match key:
        case "pin" | "width":
            found = pins(length_unit(project))
        case "bore":
            found = bores()
        case "rod":
            found = piston_rods()
        case _:
            found = ()
    return lines_of(found)
