"""What is taken over from before an edit is what would be made without it, for any edits one after another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

import numpy as np
import pytest
from msgspec.structs import replace
from numpy.typing import NDArray

from core.document.checks import all_problems, new_problems
from core.document.edits import Edit
from core.document.joint_edits import MoveEnd, ReplaceConnection
from core.document.look_edits import OrderBodies, SetHidden, SetTint
from core.document.project import Body, Gearing, Jack, Pivot, Project, Rod
from core.drawing.drawing import Drawing
from core.drawing.ghosts import Ghost
from core.drawing.scene import Scene
from core.drawing.situation import Situation
from core.interference.placement import Parts, parts_after, parts_of
from core.sketch.body_edits import MoveBodies, RemoveThings, ReplaceBody
from core.sketch.moving import Likeness
from tests.golden.nose_gear import nose_gear

PROJECT = nose_gear()
MANY = 60
FEWEST = 1


def edits(project: Project, random: np.random.Generator) -> Iterator[Edit]:
    """One of each kind, about any of what there is."""
    body: Body = project.bodies[random.integers(len(project.bodies))]
    one = project.connections[random.integers(len(project.connections))]
    if not isinstance(one, Gearing):
        yield MoveEnd(one.id, int(random.integers(2)), (float(random.integers(60)), float(random.integers(20))))
    yield MoveBodies((body.id,), Likeness.moving(1.0, -2.0))
    yield ReplaceBody(replace(body, fixed=not body.fixed))
    yield ReplaceBody(replace(body, depth=(-30.0, -28.0)))
    yield SetTint((body.id,), "moss", "Tint")
    yield SetHidden((one.id, body.id), bool(random.integers(2)), "Hide")
    yield OrderBodies((*(each.id for each in project.bodies[1:]), project.bodies[0].id))
    yield RemoveThings((body.id if random.integers(2) else one.id,))
    if isinstance(one, Rod):
        yield ReplaceConnection(replace(one, width=None if one.width else 2.0))
        yield ReplaceConnection(replace(one, bodies=("nobody", one.bodies[1])))
    if isinstance(one, Jack):
        yield ReplaceConnection(replace(one, barrel=None if one.barrel else 3.0))
    if isinstance(one, Pivot):
        yield ReplaceConnection(replace(one, pin=None if one.pin else 1.5))
        yield ReplaceConnection(replace(one, bodies=(one.bodies[0], one.bodies[0])))


def one_of(project: Project, random: np.random.Generator) -> Project:
    """The project after one edit, which may have made no sense of it; never with nothing left."""
    every = list(edits(project, random))
    after = every[random.integers(len(every))].apply(project)
    return after if min(len(after.bodies), len(after.connections)) >= FEWEST else project


@pytest.mark.parametrize("seed", range(6))
def test_parts_pieces_marks_and_signs_after_an_edit_are_those_of_the_project_by_itself(seed):
    random = np.random.default_rng(seed)
    project, parts = PROJECT, parts_of(PROJECT)
    scene, poses = Scene(project, parts), np.zeros((len(project.bodies), 3))
    ghost = Ghost(poses, "end")
    for number in range(MANY):
        after = one_of(project, random)
        if new_problems(project, after):
            continue
        parts = parts_after(after, project, parts)
        same_parts(parts, parts_of(after))
        scene = Scene(after, parts, previous=scene)
        if len(after.bodies) != len(poses) or number % 4 == 0:  # at times all of it stands elsewhere
            poses = random.uniform(-1.0, 1.0, (len(after.bodies), 3))
            ghost = Ghost(random.uniform(-1.0, 1.0, poses.shape), "end")
        for view in after.views:
            drawn = told(scene, view.id, poses, ghost)
            assert as_values(drawn) == as_values(told(Scene(after, parts_of(after)), view.id, poses, ghost))
        project = after
    assert project is not PROJECT


def told(scene: Scene, view: str, poses: NDArray[np.float64], ghost: Ghost) -> Drawing:
    situation = Situation(loose=frozenset({"leg"}), held=frozenset({"uplock"}))
    return scene.drawing(poses, view=view, ghosts=(ghost,), situation=situation, chosen="leg", names=True)


def as_values(drawing: Drawing) -> list[object]:
    """With geometry by what it is, not by which."""
    marks = [
        tuple(
            [ring.tolist() for ring in (*value.rings, *value.lines)] if one.name == "geometry" else value
            for one in fields(mark)
            for value in (getattr(mark, one.name),)
        )
        for mark in drawing.marks
    ]
    return [marks, drawing.signs, drawing.labels, drawing.bounds]


def same_parts(found: Parts, wanted: Parts) -> None:
    for one in fields(Parts):
        has, right = getattr(found, one.name), getattr(wanted, one.name)
        assert np.array_equal(has, right) if isinstance(has, np.ndarray) else has == right, one.name


def test_parts_that_an_edit_leaves_alone_are_the_same_object():
    parts = parts_of(PROJECT)
    pivot = next(one for one in PROJECT.connections if isinstance(one, Pivot))
    assert parts_after(MoveEnd(pivot.id, 0, (1.0, 2.0)).apply(PROJECT), PROJECT, parts) is parts


@pytest.mark.parametrize("seed", range(6))
def test_what_an_edit_would_break_is_what_is_wrong_after_it_and_was_not_before(seed):
    random, broken = np.random.default_rng(seed), 0
    project = PROJECT
    for _ in range(MANY):
        after = one_of(project, random)
        was = {problem.path for problem in all_problems(project)}
        right = tuple(problem for problem in all_problems(after) if problem.path not in was)
        assert new_problems(project, after) == right
        broken += bool(right)
        project = project if right else after
    assert broken
