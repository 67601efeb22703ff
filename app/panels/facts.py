"""What is said of a chosen thing beside what can be typed: a title, and lines of a label and its text, at a moment."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from core.curves.linkage import unit_of_connection, unit_of_drive
from core.curves.points import speeds
from core.curves.series import Unit
from core.document.lengths import shown_length, shown_speed
from core.document.names import by_id, called, kind_of, name_of
from core.document.project import (
    Body,
    Connection,
    Drive,
    Gearing,
    Jack,
    Pivot,
    PointPath,
    Project,
    Rod,
    Slide,
    Slot,
    Step,
)
from core.drawing.situation import poses_between
from core.errors import UnreadableQuantity
from core.findings.sentences import Names
from core.geometry.planar import point_at
from core.motion.schedule import Schedule
from core.sizes.tyres import known_words, parse_tyre
from core.study import SequenceStudy
from core.units import format_angle

DEGREES = Unit.DEGREES.value


@dataclass(frozen=True, slots=True)
class Fact:
    label: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    title: str
    kind: str
    lines: tuple[Fact, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What the facts are read from. `study` is None while there is no current one: then nothing that moves is said."""

    project: Project
    schedule: Schedule
    study: SequenceStudy | None
    moment: float


def length(project: Project, millimetres: float, *, fine: bool = False) -> str:
    """In the project's unit; `fine` shows a place more, for what moves."""
    return shown_length(project, millimetres, int(fine))


def amount(project: Project, value: float, unit: Unit) -> str:
    """A drive's value in its terms."""
    return format_angle(value, decimals=3) if unit is Unit.DEGREES else length(project, value, fine=True)


def facts_of(scene: Scene, thing_id: str | None) -> Facts:
    """What is said of a body, connection, drive or step; of the aircraft when nothing is chosen."""
    project = scene.project
    body = by_id(project.bodies, thing_id)
    if body is not None:
        return _body(scene, body)
    connection = by_id(project.connections, thing_id)
    if connection is not None:
        return _connection(scene, connection)
    drive = by_id(project.drives, thing_id)
    if drive is not None:
        return _drive(scene, drive)
    path = by_id(project.paths, thing_id)
    if path is not None:
        return _path(scene, path)
    return _aircraft(scene)


# ---- the aircraft ----------------------------------------------------------------------------------------------------


def _aircraft(scene: Scene) -> Facts:
    project = scene.project
    lines = (
        Fact("Views", ", ".join(name_of(view) for view in project.views) or "none"),
        Fact("Bodies", _count_bodies(project)),
        Fact("Connections", str(len(project.connections))),
        Fact("Drives", str(len(project.drives))),
    )
    return Facts(title=project.aircraft.name, kind="aircraft", lines=lines)


def _count_bodies(project: Project) -> str:
    fixed = sum(body.fixed for body in project.bodies)
    return f"{len(project.bodies)}, {fixed} fixed" if fixed else str(len(project.bodies))


# ---- a body ----------------------------------------------------------------------------------------------------------


def _body(scene: Scene, body: Body) -> Facts:
    view = called(scene.project.views, body.view)
    lines = [Fact("View", view)] if len(scene.project.views) == 1 else []
    if body.tyre is not None:
        lines.append(Fact("Tyre", _tyre(body.tyre)))
    lines.append(Fact("Shapes", str(len(body.shapes)) if body.shapes else "none"))
    if not body.fixed:
        lines += _pose(scene, body.id)
    joined = [name_of(one) for one in scene.project.connections
              if not isinstance(one, Gearing) and body.id in one.bodies]  # fmt: skip
    lines.append(Fact("Joined by", ", ".join(joined) or "nothing"))
    return Facts(title=name_of(body), kind="body", lines=tuple(lines))


def _tyre(name: str) -> str:
    """Its printed size, and how large that is known to be."""
    try:
        return f"{name}: {known_words(parse_tyre(name))}"
    except UnreadableQuantity as error:
        return f"{name}: {error.wrong}"


def _pose(scene: Scene, body_id: str) -> list[Fact]:
    labels = ("Moved in x", "Moved in y", "Turned")
    if scene.study is None or body_id not in scene.study.motion.bodies:
        return [Fact(label, "…") for label in labels]
    motion = scene.study.motion
    x, y, turn = (float(v) for v in poses_between(motion, scene.moment)[motion.bodies.index(body_id)])
    project = scene.project
    texts = (length(project, x, fine=True), length(project, y, fine=True), format_angle(math.degrees(turn), decimals=3))
    return [Fact(label, text) for label, text in zip(labels, texts, strict=True)]


# ---- a connection ----------------------------------------------------------------------------------------------------


def _connection(scene: Scene, one: Connection) -> Facts:
    names = Names(scene.project)
    if isinstance(one, Gearing):
        return Facts(title=name_of(one), kind="gearing", lines=(Fact("Pivots", names.listed(one.pivots)),))
    lines = [Fact("Joins", names.listed(one.bodies)), *_now(scene, one)]
    return Facts(title=name_of(one), kind=kind_of(one), lines=tuple(lines))


def _now(scene: Scene, one: Connection) -> list[Fact]:
    labels: dict[type, str] = {
        Pivot: "Angle now", Slide: "Travel now", Slot: "Along it now", Jack: "Extension now", Rod: "Length now",
    }  # fmt: skip
    label = labels.get(type(one))
    if label is None:
        return []
    value = value_now(scene, one.id)
    text = "…" if value is None else amount(scene.project, value, unit_of_connection(scene.project, one.id))
    return [Fact(label, text)]


def value_now(scene: Scene, connection_id: str) -> float | None:
    """A connection's value at the moment, in its drive's terms; None while it is not known."""
    if scene.study is None:
        return None
    motion = scene.study.motion
    if connection_id not in motion.connections:
        return None
    series = motion.values[:, motion.connections.index(connection_id)]
    value = float(np.interp(scene.moment, motion.times, series))
    return value if math.isfinite(value) else None


def _drive(scene: Scene, drive: Drive) -> Facts:
    names = Names(scene.project)
    unit = unit_of_drive(scene.project, drive.id)
    lines = [Fact("Moves", names(drive.on)), Fact("Asked for now", _asked(scene, drive.id, unit))]
    steps = [step.name for step in scene.schedule.steps if any(move.drive == drive.id for move in step.moves)]
    lines.append(Fact("Steps", ", ".join(steps) or "none: it holds its value"))
    return Facts(title=name_of(drive), kind="drive", lines=tuple(lines))


def _asked(scene: Scene, drive_id: str, unit: Unit) -> str:
    if scene.study is None or drive_id not in scene.study.motion.drive_ids:
        return "…"
    motion = scene.study.motion
    series = motion.drives[:, motion.drive_ids.index(drive_id)]
    return amount(scene.project, float(np.interp(scene.moment, motion.times, series)), unit)


# ---- a path ----------------------------------------------------------------------------------------------------------


def _path(scene: Scene, path: PointPath) -> Facts:
    labels = ("x now", "y now", "Speed now")
    texts = ("…", "…", "…")
    if scene.study is not None and path.body in scene.study.motion.bodies:
        motion, point = scene.study.motion, complex(*path.point)
        number = motion.bodies.index(path.body)
        at = complex(point_at(poses_between(motion, scene.moment)[number], point))
        x, y = (length(scene.project, value, fine=True) for value in (at.real, at.imag))
        speed = float(speeds(motion, number, point, np.array([scene.moment]))[0])
        texts = (x, y, shown_speed(scene.project, speed))
    lines = tuple(Fact(label, text) for label, text in zip(labels, texts, strict=True))
    return Facts(title=name_of(path), kind="path", lines=lines)


# ---- a step ----------------------------------------------------------------------------------------------------------


def step_lines(scene: Scene, step: Step) -> tuple[Fact, ...]:
    """What a step says beside what can be typed."""
    laid = scene.schedule.step(step.id)
    return (Fact("Runs", f"{laid.begin:.2f} to {laid.end:.2f} s"),)
