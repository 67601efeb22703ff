"""Models that differ a little from the drawing, solved all at once, against other solvers and the drawing itself."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.optimize import least_squares

from core.document.project import Project, Slide, Workshop
from core.mechanism.build import build
from core.mechanism.mechanism import Link
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from core.tolerance.built import Built, built
from core.tolerance.dimensions import dimensions_of, drawn_at_random
from core.tolerance.solve import BuiltMotion, solve_built
from tests.mechanisms.catalogue import CRANK_ROCKER, catalogue
from tests.mechanisms.example import Example
from tests.mechanisms.four_bars import four_bar
from tests.mechanisms.planar import meet_circles
from tests.mechanisms.sketch import exactly_driven, frame, jack, latch, moving, pivot, project, rod, step

TIMES = 13


def solved(one: Project, deviations: np.ndarray) -> tuple[Built, BuiltMotion, np.ndarray]:
    mechanism, schedule = build(one), lay_out(one.sequences[0])
    times = np.linspace(0.0, schedule.seconds, TIMES)
    motion = solve_motion(mechanism, schedule, times)
    models = built(mechanism, dimensions_of(one), deviations)
    return models, solve_built(models, motion, mechanism, times), motion.poses


@pytest.mark.parametrize("example", catalogue(), ids=lambda one: one.name)
def test_models_that_do_not_differ_move_as_drawn(example: Example):
    count = sum(dim.columns.stop - dim.first for dim in dimensions_of(example.project))
    _, found, poses = solved(example.project, np.zeros((2, count)))
    assert found.assembled.all()
    assert np.abs(found.poses - poses[:, None]).max() < 1e-6


STRAIGHT = ("parallelogram", "change-point four-bar")
"""These pass dead centres, where a built one may go either way."""
ONE_WAY = [
    one
    for one in catalogue()
    if one.freedoms == 1 and one.redundant == 0 and one.name not in STRAIGHT
    and not any(isinstance(connection, Slide) for connection in one.project.connections)
]  # fmt: skip
"""Without slides, whose line the solver takes for both bodies at once, so that it cannot be off in one of them."""


def by_itself(link: Link, number: int) -> Link:
    """One model's connection."""
    own = {key: getattr(link, key) for key in ("p", "q", "length")}
    return dataclasses.replace(
        link, **{key: value[number].item() if isinstance(value, np.ndarray) else value for key, value in own.items()}
    )


@pytest.mark.parametrize("example", ONE_WAY, ids=lambda one: one.name)
def test_each_model_is_what_the_solver_makes_of_it_by_itself(example: Example):
    """A model's own points and lengths, given to the solver of drawn mechanisms."""
    one = replace(exactly_driven(example.project), workshop=Workshop(tolerances={"milled": 0.03}))
    models, found, _ = solved(one, drawn_at_random(dimensions_of(one), 2, seed=4))
    schedule = lay_out(one.sequences[0])
    for number in range(2):
        links = tuple(by_itself(link, number) for link in models.mechanism.links)
        alone = solve_motion(dataclasses.replace(build(one), links=links), schedule, found.times)
        assert found.assembled[number]
        whole = alone.assembled.all(axis=1)
        assert whole.sum() >= 0.8 * TIMES
        assert found.poses[whole, number] == pytest.approx(alone.poses[whole], abs=3e-4)


def test_a_built_four_bar_meets_where_its_circles_do():
    """Two circles about the built pins, in closed form: elementary geometry."""
    one = four_bar(CRANK_ROCKER, name="built").project
    dimensions = dimensions_of(one)
    models, found, _ = solved(one, drawn_at_random(dimensions, 50, seed=1))
    links = {link.id: link for link in models.mechanism.links}
    bodies = {body.id: number for number, body in enumerate(one.bodies)}
    crank, coupler, rocker, ground = (
        next(name for name in bodies if name == wanted) for wanted in ("crank", "coupler", "rocker", "frame")
    )

    def carried(time: int, body: str, point: np.ndarray) -> np.ndarray:
        pose = found.poses[time, :, bodies[body]]
        return pose[:, 0] + 1j * pose[:, 1] + np.exp(1j * pose[:, 2]) * point

    def end(link, body: str) -> np.ndarray:
        return link.p if link.first == bodies[body] else link.q

    by_bodies = {frozenset(link.bodies): link for link in links.values()}
    at_a = by_bodies[frozenset({bodies[crank], bodies[coupler]})]
    at_b = by_bodies[frozenset({bodies[coupler], bodies[rocker]})]
    at_ground = by_bodies[frozenset({bodies[rocker], bodies[ground]})]
    long = np.abs(end(at_b, coupler) - end(at_a, coupler))
    short = np.abs(end(at_b, rocker) - end(at_ground, rocker))
    for time in range(TIMES):
        pin = carried(time, crank, end(at_a, crank))
        far = end(at_ground, ground)
        wanted = np.array([meet_circles(*row, 1.0) for row in zip(pin, long, far, short, strict=True)])
        assert np.abs(carried(time, rocker, end(at_b, rocker)) - wanted).max() < 1e-7


def test_a_built_leg_agrees_with_a_solver_of_another_house():
    """scipy's least squares, from the drawn poses, on rows written anew: a leg with a jack through a rod."""
    one = project(
        (frame(), *moving("leg", "crank")),
        (
            pivot("leg-pivot", "frame", "leg", 0j),
            pivot("crank-pivot", "frame", "crank", 40 + 10j),
            jack("lift", "frame", "crank", 80 + 30j, 44 + 18j, 25.0, 30.0),
            rod("rod", "crank", "leg", 34 + 18j, 4 - 20j),
        ),
        {"lift": "lift"},
        (step("up", 1.0, {"lift": 14.0}),),
    )
    one = exactly_driven(one)
    dimensions = dimensions_of(one)
    deviations = drawn_at_random(dimensions, 6, seed=5)
    models, found, poses = solved(one, deviations)
    links = {link.id: link for link in models.mechanism.links}
    drives = np.linspace(abs((44 + 18j) - (80 + 30j)) - 25.0, 14.0, TIMES)
    for sample in range(6):
        for time in (0, 5, TIMES - 1):

            def rows(unknown, sample=sample, time=time):
                places = {0: (0j, 1 + 0j)}
                for body in (1, 2):
                    x, y, turn = unknown[3 * body - 3 : 3 * body]
                    places[body] = (x + 1j * y, np.exp(1j * turn))
                off = []
                for link in links.values():
                    ends = [
                        places[body][0] + places[body][1] * point[sample]
                        for body, point in ((link.first, link.p), (link.second, link.q))
                    ]
                    gap = ends[1] - ends[0]
                    if link.id.endswith("pivot"):
                        off += [gap.real, gap.imag]
                    else:
                        more = drives[time] if link.id == "lift" else 0.0
                        off.append(abs(gap) - link.length[sample] - more)
                return off

            answer = least_squares(rows, poses[time, 1:].ravel(), xtol=1e-15, ftol=1e-15, gtol=1e-15).x
            assert np.abs(answer.reshape(2, 3) - found.poses[time, sample, 1:]).max() < 1e-7


def test_each_model_is_held_as_it_stood_when_its_latch_took_hold():
    one = project(
        (frame(), *moving("leg", "hook")),
        (
            pivot("leg-pivot", "frame", "leg", 0j),
            pivot("hook-pivot", "frame", "hook", -30 + 20j),
            latch("uplock", "hook", "leg", -30 + 0j, 0 - 30j, reach=60.0),
        ),
        {"lift": "leg-pivot", "turn": "hook-pivot"},
        (step("up", 1.0, {"lift": -90.0}, engage=("uplock",)), step("rest", 1.0)),
    )
    one = exactly_driven(one)
    dimensions = dimensions_of(one)
    models, found, _ = solved(one, drawn_at_random(dimensions, 20, seed=2))
    when, off = found.misses["uplock"]
    assert when == 1.0
    link = models.mechanism.links[2]
    pin = np.exp(-0.5j * np.pi) * link.q + (
        models.mechanism.links[0].p - np.exp(-0.5j * np.pi) * models.mechanism.links[0].q
    )
    hook = link.p + (models.mechanism.links[1].p - models.mechanism.links[1].q)
    assert np.abs(off - (pin - hook)).max() < 1e-9
    assert found.assembled.all()
    assert np.ptp(found.poses[7:], axis=0).max() < 1e-9  # nothing moves while it holds


def test_what_cannot_be_put_together_is_told():
    """A crank and a rod that just reach as drawn: half of the models are too short."""
    bar = four_bar(CRANK_ROCKER, name="stretched").project
    reach = replace(bar, workshop=Workshop(made="filed", tolerances={"filed": 25.0}))
    dimensions = dimensions_of(reach)
    _, found, _ = solved(reach, drawn_at_random(dimensions, 200, seed=3))
    assert 0.0 < found.assembled.mean() < 1.0
