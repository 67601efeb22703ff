"""What can be typed and picked of a body, a connection, a drive and the aircraft."""

from __future__ import annotations

from typing import get_args

from msgspec.structs import replace

from app.panels.driving_entries import exactness_entries
from app.panels.entry import Entry, Make, length_entry, name_entry, point_entry, span_entry
from app.panels.joint_entries import joint_entries
from app.panels.oleo_offers import oleo_offers
from app.panels.readings import (
    maybe,
    read_mass,
    read_point,
    read_scale,
    read_text,
    write_maybe,
    write_number,
    write_point,
)
from app.panels.servo_entries import servo_entries
from app.panels.terms import terms_of
from app.panels.workshop_entries import made_entry
from core.document.aircraft_edits import SetAircraft, SetInchFraction, SetLeastClearance, SetLengthUnit
from core.document.edits import Edit
from core.document.joint_edits import RenameDrive
from core.document.lengths import clearance_step, length_unit, unit_words
from core.document.names import name_of
from core.document.path_edits import ReplacePath
from core.document.project import (
    Body,
    Drive,
    InchFraction,
    PointPath,
    Project,
    Role,
    Sequence,
    Wall,
)
from core.document.sequence_edits import SetDriveStart
from core.mechanism.build import build
from core.sizes.offer import lines_of
from core.sizes.offers import sheets
from core.sketch.body_edits import ReplaceBody
from core.units import LENGTH_UNITS


def entries_of(project: Project, sequence: Sequence | None, thing_id: str | None) -> tuple[Entry, ...]:
    """Of a body, connection or drive; of the aircraft where nothing of that name is chosen."""
    for body in project.bodies:
        if body.id == thing_id:
            return _body(project, body)
    for connection in project.connections:
        if connection.id == thing_id:
            return joint_entries(project, connection)
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
        length_entry(
            project, "least_clearance", "Least clearance", project.least_clearance, SetLeastClearance,
            step=clearance_step(project),
        ),
        Entry(
            key="note", label="Note", value=aircraft.note, words=True, prose=True, read=read_text, edit=change("note")
        ),
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
        name_entry(body.name, body.id, change("name", "Rename")),
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
        span_entry(project, "depth", "Depth", body.depth, depth, empty="the whole depth"),
        Entry(
            key="mass", label="Mass", value=body.mass, unit="g", read=maybe(read_mass),
            write=write_maybe(write_number), edit=change("mass", "Change mass"),
        ),
        Entry(
            key="centre_of_mass", label="Centre of mass", value=body.centre_of_mass, words=True,
            read=maybe(read_point(project)), write=write_maybe(write_point(project)),
            edit=change("centre_of_mass", "Change centre of mass"),
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
    return (length_entry(project, "thickness", "Wall thickness", found.pop(), thick, offers=offers),)


# ---- a drive ---------------------------------------------------------------------------------------------------------


def _drive(project: Project, sequence: Sequence | None, drive: Drive) -> tuple[Entry, ...]:
    name = name_entry(drive.name, drive.id, lambda text: RenameDrive(drive.id, text))
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
        name_entry(path.name, path.id, change("name", "Rename path")),
        Entry(key="body", label="Point of", value=path.body, choices=bodies, edit=change("body", "Change path")),
        point_entry(project, "point", "Drawn at", path.point, change("point", "Move point of path")),
    )
