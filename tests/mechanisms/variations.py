"""The same mechanism otherwise: shuffled, placed elsewhere, scaled, mirrored, connections named the other way round."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from core.document.project import Connection, Gearing, Jack, Latch, Move, Pivot, Point, Project, Rod, Slide, Slot, Step
from tests.mechanisms.example import Answer, Drives, Example
from tests.mechanisms.planar import Floats, Points
from tests.mechanisms.sketch import RUN, sequence, xy

Placing = Callable[[complex], complex]


def shuffled(example: Example, seed: int) -> Example:
    """Bodies, connections and drives in another order, and some connections with their two bodies swapped."""
    random = np.random.default_rng(seed)
    old = example.project
    geared = {name for one in old.connections if isinstance(one, Gearing) for name in one.pivots}
    kept = geared | {drive.on for drive in old.drives}
    connections = [_swapped(one) if one.id not in kept and random.random() < 0.5 else one for one in old.connections]
    made = replace(
        old,
        bodies=_permuted(old.bodies, random),
        connections=_permuted(tuple(connections), random),
        drives=_permuted(old.drives, random),
    )
    return _with(example, made, example.answer)


def _permuted(things: tuple, random: np.random.Generator) -> tuple:
    return tuple(things[at] for at in random.permutation(len(things)))


def _swapped(one: Connection) -> Connection:
    """The same connection from the other body's end; a slot cannot be swapped, since its line stands on the first."""
    match one:
        case Pivot():
            return replace(one, bodies=one.bodies[::-1])
        case Slide():
            return replace(one, bodies=one.bodies[::-1], along=(-one.along[0], -one.along[1]))
        case Rod() | Jack() | Latch():
            return replace(one, bodies=one.bodies[::-1], ends=one.ends[::-1])
    return one


def placed(example: Example, *, scale: float, turn: float, shift: complex) -> Example:
    """Scaled, turned by degrees and shifted as a whole."""
    rotor = scale * np.exp(1j * np.deg2rad(turn))

    def place(point: complex) -> complex:
        return complex(rotor * point + shift)

    lengths = _length_drives(example.project)
    made = _moved(example.project, place, scale, dict.fromkeys(lengths, scale))

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        own = {drive: track / scale if drive in lengths else track for drive, track in drives.items()}
        return {name: rotor * track + shift for name, track in example.answer(own, times).items()}

    return _with(example, made, answer, place)


def mirrored(example: Example) -> Example:
    """In the x axis: turning drives change their sign, lengths keep it."""
    turning = {drive.id for drive in example.project.drives} - _length_drives(example.project)
    made = _moved(example.project, np.conj, 1.0, dict.fromkeys(turning, -1.0))

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        own = {drive: -track if drive in turning else track for drive, track in drives.items()}
        return {name: np.conj(track) for name, track in example.answer(own, times).items()}

    return _with(example, made, answer, np.conj)


def out_and_back(project: Project) -> Project:
    """Every drive at once from its start to where the sequence leaves it, and back."""
    start, end = ends_of(project)
    steps = (Step(id="out", duration=2.0, moves=_moves(end)), Step(id="back", duration=2.0, moves=_moves(start)))
    return replace(project, sequences=(sequence(steps, start),))


def ends_of(project: Project) -> tuple[dict[str, float], dict[str, float]]:
    """Drive values at the start and at the end of the first sequence."""
    run = project.sequences[0]
    start = {drive.id: run.start.get(drive.id, 0.0) for drive in project.drives}
    end = dict(start)
    for step in run.steps:
        end.update({move.drive: move.to for move in step.moves})
    return start, end


def undriven(project: Project) -> Project:
    """The same without drives, through a second in which nothing is asked of it."""
    return replace(project, drives=(), sequences=(sequence([Step(id=RUN, duration=1.0)]),))


def _moves(values: dict[str, float]) -> tuple:
    return tuple(Move(drive=drive, to=value) for drive, value in values.items())


def _length_drives(project: Project) -> set[str]:
    lengths = {one.id for one in project.connections if isinstance(one, Slide | Jack)}
    return {drive.id for drive in project.drives if drive.on in lengths}


def _moved(project: Project, place: Placing, scale: float, factors: dict[str, float]) -> Project:
    run = project.sequences[0]
    steps = tuple(
        replace(step, moves=tuple(replace(move, to=move.to * factors.get(move.drive, 1.0)) for move in step.moves))
        for step in run.steps
    )
    start = {drive: value * factors.get(drive, 1.0) for drive, value in run.start.items()}
    return replace(
        project,
        connections=tuple(_moved_connection(one, place, scale) for one in project.connections),
        sequences=(replace(run, steps=steps, start=start),),
    )


def _moved_connection(one: Connection, place: Placing, scale: float) -> Connection:
    def at(point: Point) -> Point:
        return xy(place(complex(*point)))

    def direction(vector: Point) -> Point:
        return xy((place(complex(*vector)) - place(0j)) / scale)

    match one:
        case Pivot():
            return replace(one, at=at(one.at))
        case Slide():
            return replace(one, at=at(one.at), along=direction(one.along))
        case Slot():
            return replace(one, at=at(one.at), start=at(one.start), end=at(one.end))
        case Rod():
            length = None if one.length is None else one.length * scale
            return replace(one, ends=(at(one.ends[0]), at(one.ends[1])), length=length)
        case Jack():
            ends = (at(one.ends[0]), at(one.ends[1]))
            return replace(one, ends=ends, closed=one.closed * scale, stroke=one.stroke * scale)
        case Latch():
            return replace(one, ends=(at(one.ends[0]), at(one.ends[1])), reach=one.reach * scale)
    return one


def _with(example: Example, project: Project, answer: Answer, place: Placing | None = None) -> Example:
    marks = {
        name: (body, point if place is None else complex(place(point))) for name, (body, point) in example.marks.items()
    }
    return Example(
        name=example.name,
        project=project,
        marks=marks,
        answer=answer,
        freedoms=example.freedoms,
        redundant=example.redundant,
    )
