"""What can be typed and picked of a body, a connection, a drive and the aircraft."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, get_args

from msgspec.structs import replace

from app.panels.driving_entries import backlash_entry, exactness_entries
from app.panels.entry_form import Entry
from app.panels.facts import DEGREES
from app.panels.oleo_offers import oleo_offers
from app.panels.readings import (
    maybe,
    read_angle,
    read_force,
    read_length,
    read_mass,
    read_number,
    read_point,
    read_scale,
    read_span,
    read_text,
    write_angle,
    write_force,
    write_length,
    write_maybe,
    write_number,
    write_point,
    write_span,
)
from app.panels.servo_entries import servo_entries
from app.panels.terms import terms_of
from app.panels.workshop_entries import made_entry, play_entry
from app.widgets.offers import Offers
from core.document.aircraft_edits import SetAircraft, SetInchFraction, SetLeastClearance, SetLengthUnit
from core.document.edits import Edit
from core.document.joint_edits import MoveEnd, RenameDrive, ReplaceConnection
from core.document.lengths import clearance_step, length_unit, step_length, unit_words
from core.document.names import name_of
from core.document.path_edits import ReplacePath
from core.document.project import (
    Body,
    Connection,
    Drive,
    Gearing,
    InchFraction,
    Jack,
    Latch,
    Pivot,
    PointPath,
    Project,
    Rod,
    Role,
    Sequence,
    Slide,
    Slot,
    Wall,
)
from core.document.sequence_edits import SetDriveStart
from core.mechanism.build import build
from core.sizes.cylinders import forces
from core.sizes.offer import lines_of
from core.sizes.offers import bores, pins, piston_rods, sheets
from core.sketch.body_edits import ReplaceBody
from core.units import LENGTH_UNITS

Make = Callable[[Any], Edit]


def entries_of(project: Project, sequence: Sequence | None, thing_id: str | None) -> tuple[Entry, ...]:
    """Of a body, connection or drive; of the aircraft where nothing of that name is chosen."""
    for body in project.bodies:
        if body.id == thing_id:
            return _body(project, body)
    for connection in project.connections:
        if connection.id == thing_id:
            return _connection(project, connection)
    for drive in project.drives:
        if drive.id == thing_id:
            return _drive(project, sequence, drive)
    for path in project.paths:
        if path.id == thing_id:
            return _path(project, path)
    return _aircraft(project)


# ---- the aircraft ----------------------------------------------------------------------------------------------------


def _aircraft(project: Project) -> tuple[Entry, ...]:
    aircraft = project.aircraft

    def change(key: str) -> Make:
        return lambda value: SetAircraft(replace(aircraft, **{key: value}), f"Change {key}")

    units = tuple((unit, unit_words(unit)) for unit in LENGTH_UNITS)
    return (
        Entry(key="name", label="Name", value=aircraft.name, words=True, read=_some_name, edit=change("name")),
        Entry(
            key="scale", label="Scale 1 :", value=aircraft.scale, read=read_scale, write=write_number,
            edit=change("scale"),
        ),
        Entry(key="unit", label="Lengths in", value=length_unit(project), choices=units, edit=SetLengthUnit),
        *_fractions(project),
        _length(project, "least_clearance", "Least clearance", project.least_clearance, SetLeastClearance, fine=True),
        Entry(key="note", label="Note", value=aircraft.note, words=True, read=read_text, edit=change("note")),
    )  # fmt: skip


def _fractions(project: Project) -> tuple[Entry, ...]:
    """Of what is shown in inches."""
    if length_unit(project) not in ("in", "ft"):
        return ()
    choices = ((None, "decimals"), *((parts, f"1/{parts} parts") for parts in get_args(InchFraction)))
    return (Entry(key="parts", label="Inches in", value=project.inch_fraction, choices=choices, edit=SetInchFraction),)


def _some_name(text: str) -> str:
    name = read_text(text)
    if not name:
        raise ValueError("an aircraft needs a name")
    return name


# ---- a body ----------------------------------------------------------------------------------------------------------


def _body(project: Project, body: Body) -> tuple[Entry, ...]:
    def change(key: str, words: str) -> Make:
        return lambda value: ReplaceBody(replace(body, **{key: value}), words)

    held = ((False, "can move"), (True, "fixed"))
    entries = [
        _name(body.name, body.id, change("name", "Rename")),
        Entry(
            key="role", label="Role", value=body.role, choices=tuple((one, one) for one in get_args(Role)),
            edit=change("role", "Change role"),
        ),
        Entry(key="fixed", label="Held", value=body.fixed, choices=held, edit=change("fixed", "Fix or free")),
    ]  # fmt: skip
    if len(project.views) > 1:
        views = tuple((view.id, name_of(view)) for view in project.views)
        entries.append(
            Entry(key="view", label="View", value=body.view, choices=views, edit=change("view", "Change view"))
        )
    depth = change("depth", "Change depth")
    return (
        *entries,
        *_walls(project, body),
        _span(project, "depth", "Depth", body.depth, depth, empty="the whole depth"),
        Entry(
            key="mass", label="Mass", value=body.mass, unit="g", read=maybe(read_mass),
            write=write_maybe(write_number), edit=change("mass", "Change mass"),
        ),
        Entry(
            key="centre_of_mass", label="Centre of mass", value=body.centre_of_mass, words=True,
            read=maybe(read_point(project)), write=write_maybe(write_point(project)),
            edit=change("centre_of_mass", "Change centre of mass"), whole=True,
        ),
        made_entry(project, body.made, change("made", "Change making")),
    )  # fmt: skip


def _walls(project: Project, body: Body) -> tuple[Entry, ...]:
    """How thick its walls are, where it has some of one thickness."""
    found = {shape.thickness for shape in body.shapes if isinstance(shape, Wall)}
    if len(found) != 1:
        return ()

    def thick(value: float) -> Edit:
        shapes = tuple(
            replace(shape, thickness=value) if isinstance(shape, Wall) else shape for shape in body.shapes
        )  # fmt: skip
        return ReplaceBody(replace(body, shapes=shapes), "Change wall thickness")

    offers = lines_of(sheets(length_unit(project)))
    return (_length(project, "thickness", "Wall thickness", found.pop(), thick, offers=offers),)


# ---- a connection ----------------------------------------------------------------------------------------------------


def _connection(project: Project, one: Connection) -> tuple[Entry, ...]:
    rows = _Rows(project, one)
    name = _name(one.name, one.id, lambda text: ReplaceConnection(replace(one, name=text), "Rename"))
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
            return (name, *ends, rows.needed("reach", "Reach"))
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
        return _length(self.project, key, label, value, edit, may_be_none=True, empty=empty, offers=offers)

    def needed(self, key: str, label: str) -> Entry:
        return _length(self.project, key, label, getattr(self.one, key), self.change(key), fine=key == "reach")

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
        return _point(self.project, key, label, getattr(self.one, key), self.change(key))

    def span(self, key: str, label: str, empty: str) -> Entry:
        return _span(self.project, key, label, getattr(self.one, key), self.change(key), empty=empty)


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
    names = {body.id: name_of(body) for body in project.bodies}

    def end(number: int) -> Entry:
        label = f"On {names.get(one.bodies[number], one.bodies[number])}"
        return _point(project, f"end {number + 1}", label, one.ends[number], lambda at: MoveEnd(one.id, number, at))

    return (end(0), end(1))


# ---- a drive ---------------------------------------------------------------------------------------------------------


def _drive(project: Project, sequence: Sequence | None, drive: Drive) -> tuple[Entry, ...]:
    name = _name(drive.name, drive.id, lambda text: RenameDrive(drive.id, text))
    driving = (*exactness_entries(project, drive), *servo_entries(project, drive))
    if sequence is None or sequence not in project.sequences:
        return (name, *driving)
    terms, mechanism = terms_of(project, drive.id), build(project)
    drawn = terms.write(mechanism.drawn[mechanism.drive_of[drive.id]])
    start = Entry(
        key="start", label="At the start", note=name_of(sequence), value=sequence.start.get(drive.id), unit=terms.unit,
        empty=f"{drawn} as drawn", read=maybe(terms.read), write=write_maybe(terms.write),
        edit=lambda value: SetDriveStart(sequence.id, drive.id, value), offers=oleo_offers(project, drive.id),
        step=terms.step,
    )  # fmt: skip
    return (name, start, *driving)


# ---- a path ----------------------------------------------------------------------------------------------------------


def _path(project: Project, path: PointPath) -> tuple[Entry, ...]:
    def change(key: str, words: str) -> Make:
        return lambda value: ReplacePath(replace(path, **{key: value}), words)

    view = next((body.view for body in project.bodies if body.id == path.body), "")
    bodies = tuple(
        (body.id, name_of(body)) for body in project.bodies
        if body.id == path.body or (body.view == view and not body.fixed)
    )  # fmt: skip
    return (
        _name(path.name, path.id, change("name", "Rename path")),
        Entry(key="body", label="Point of", value=path.body, choices=bodies, edit=change("body", "Change path")),
        _point(project, "point", "Drawn at", path.point, change("point", "Move point of path")),
    )


# ---- small parts -----------------------------------------------------------------------------------------------------


def _name(name: str, thing_id: str, edit: Make) -> Entry:
    return Entry(key="name", label="Name", value=name, words=True, read=read_text, empty=thing_id, edit=edit)


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


def _length(
    project: Project, key: str, label: str, value: float | None, edit: Make, *, may_be_none: bool = False,
    empty: str = "", offers: Offers = (), fine: bool = False,
) -> Entry:  # fmt: skip
    """`fine` is what is small, such as a clearance."""
    read, write = read_length(project), write_length(project)
    return Entry(
        key=key, label=label, value=value, unit=length_unit(project), edit=edit, empty=empty,
        read=maybe(read) if may_be_none else read, write=write_maybe(write), offers=offers,
        step=clearance_step(project) if fine else step_length(project),
    )  # fmt: skip


def _point(project: Project, key: str, label: str, value: tuple[float, float], edit: Make) -> Entry:
    return Entry(
        key=key, label=label, value=value, words=True, edit=edit, read=read_point(project), write=write_point(project),
        whole=True,
    )  # fmt: skip


def _span(
    project: Project, key: str, label: str, value: tuple[float, float] | None, edit: Make, *, empty: str
) -> Entry:
    return Entry(
        key=key, label=label, value=value, unit=length_unit(project), edit=edit, empty=empty,
        read=maybe(read_span(read_length(project))), write=write_maybe(write_span(write_length(project))),
    )  # fmt: skip
