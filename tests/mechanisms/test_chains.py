"""What moves a body, on mechanisms whose answer can be read off their textbook's figure."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace

from core.motion.chains import Chain, chains_of
from core.motion.motion import Motion
from tests.mechanisms.catalogue import CRANK_ROCKER, catalogue
from tests.mechanisms.example import Example, solve
from tests.mechanisms.four_bars import four_bar
from tests.mechanisms.lattices import five_bar
from tests.mechanisms.sketch import FRAME, frame, jack, moving, pivot, project, rod, slide, step
from tests.mechanisms.undercarriage import latched_leg, torque_tube, wheel_on_axle
from tests.mechanisms.variations import shuffled, undriven


@cache
def of_catalogue() -> dict[str, Example]:
    return {example.name: example for example in catalogue()}


def chain(motion: Motion, body: str) -> Chain:
    """The only one, which stands for the whole sequence."""
    (found,) = chains_of(motion)[body]
    assert (found.begin, found.end) == (0.0, motion.times[-1])
    return found


def way(motion: Motion, body: str) -> tuple[str, ...]:
    """Connections and bodies by turns along the only route."""
    (route,) = chain(motion, body).routes
    pairs = zip(route.connections, route.bodies, strict=True)
    return tuple(name for pair in pairs for name in pair)


@pytest.mark.parametrize("seed", [None, 1, 2])
def test_a_four_bar_is_driven_through_its_coupler(seed: int | None) -> None:
    example = four_bar(CRANK_ROCKER, name="")
    motion = solve(example.project if seed is None else shuffled(example, seed).project, 31)
    assert way(motion, "crank") == ("o2", "crank")
    assert way(motion, "coupler") == ("o2", "crank", "a", "coupler")
    assert way(motion, "rocker") == ("o2", "crank", "a", "coupler", "b", "rocker")
    assert chain(motion, "rocker").guides == ("o4",)
    assert chain(motion, FRAME).fixed
    assert chain(motion, FRAME).routes == ()


@pytest.mark.parametrize(
    ("name", "body", "through"),
    [
        ("Watt's first six-bar", "link-f", {"coupler", "link-e"}),
        ("Watt's second six-bar", "link-f", {"coupler", "rocker", "link-e"}),
        ("Stephenson's third six-bar", "link-f", {"coupler", "link-e"}),
    ],
)
def test_six_bars_go_on_from_the_link_that_their_dyad_hangs_on(name: str, body: str, through: set[str]) -> None:
    """Watt's and Stephenson's chains by which links the second loop hangs on (F. Reuleaux; e.g. R. L. Norton, Design of
    Machinery, figure of the six-bar isomers)."""
    motion = solve(of_catalogue()[name].project, 31)
    (route,) = chain(motion, body).routes
    assert (route.drive, route.bodies[0]) == ("input", "crank")
    if name == "Watt's first six-bar":  # its last link hangs on the rocker as well
        assert route.bodies[-2] in ("link-e", "rocker")
    else:
        assert set(route.bodies) == {"crank", *through, body}


def test_two_drives_of_a_five_bar_move_both_its_links_and_each_its_own_crank() -> None:
    motion = solve(five_bar(name="five-bar").project, 31)
    assert chain(motion, "left").drives == ("first",)
    assert chain(motion, "right").drives == ("second",)
    for link in ("left-link", "right-link"):
        assert set(chain(motion, link).drives) == {"first", "second"}
    ways = {route.drive: route.bodies for route in chain(motion, "right-link").routes}
    assert ways == {"first": ("left", "left-link", "right-link"), "second": ("right", "right-link")}


def test_a_gearing_carries_on_into_other_views() -> None:
    motion = solve(torque_tube(name="tube").project, 31)
    assert way(motion, "front-crank") == (
        "side-pivot", "side-crank", "first-tube", "plan-crank", "second-tube", "front-crank",
    )  # fmt: skip
    assert chain(motion, "front-crank").guides == ("front-pivot",)


def test_a_drive_that_rests_only_holds() -> None:
    made = wheel_on_axle(name="wheel").project
    run = made.sequences[0]
    motion = solve(replace(made, sequences=(replace(run, steps=run.steps[:1]),)), 31)
    (moves,) = (route for route in chain(motion, "wheel").routes if route.moves)
    assert moves.bodies == ("leg", "wheel")
    assert [route.drive for route in chain(motion, "wheel").routes if not route.moves] == [made.drives[1].id]


def test_a_latch_carries_only_while_it_holds() -> None:
    motion = solve(latched_leg(name="collar").project, 81)
    chains = chains_of(motion)["collar"]
    assert [(one.begin, one.end, one.loose) for one in chains] == [(0, 4, True), (4, 6, False), (6, 8, True)]
    assert chains[0].routes == chains[2].routes == ()
    (route,) = chains[1].routes
    latches = {one.id for one in latched_leg(name="collar").project.connections if type(one).__name__ == "Latch"}
    assert latches & set(route.connections)


def test_what_nothing_drives_has_no_drive() -> None:
    motion = solve(undriven(four_bar(CRANK_ROCKER, name="").project), 3)
    for body in ("crank", "coupler", "rocker"):
        assert chain(motion, body).loose
        assert chain(motion, body).routes == ()


def test_a_loose_body_rides_on_what_carries_it() -> None:
    made = wheel_on_axle(name="wheel").project
    run = made.sequences[0]
    motion = solve(replace(made, drives=made.drives[:1], sequences=(replace(run, steps=run.steps[:1]),)), 41)
    found = chain(motion, "wheel")
    assert found.loose
    assert found.routes[0].bodies == ("leg", "wheel")


def test_a_piston_in_its_leg_does_not_move_the_leg() -> None:
    """They are put together before the leg is placed, and yet the leg hangs on its jack alone."""
    made = project(
        (frame(), *moving("leg", "piston", "door")),
        (
            pivot("leg-pivot", FRAME, "leg", 0),
            slide("oleo", "leg", "piston", -40j, -1j),
            jack("brace", FRAME, "leg", 40 + 10j, -20j, 30.0, 60.0),
            pivot("hinge", FRAME, "door", -40),
            rod("door-rod", "leg", "door", -4 - 20j, -36 - 12j),
        ),
        {"strut": "oleo", "gear": "brace"},
        (step("stroke", 1.0, {"strut": 5.0}), step("up", 2.0, {"gear": 25.0})),
    )
    motion = solve(made, 31)
    assert way(motion, "leg") == ("brace", "leg")
    assert way(motion, "door") == ("brace", "leg", "door-rod", "door")
    assert set(chain(motion, "piston").drives) == {"strut", "gear"}
    assert chain(motion, "leg").guides == ("leg-pivot",)
    assert chain(motion, "door").guides == ("hinge",)


@pytest.mark.parametrize("example", catalogue(), ids=lambda example: example.name)
def test_every_driven_body_has_a_route_whose_neighbours_are_joined(example: Example) -> None:
    motion = solve(example.project, 31)
    joins = {one.id: set(getattr(one, "bodies", ())) for one in example.project.connections}
    for body, chains in chains_of(motion).items():
        for one in chains:
            assert one.fixed or one.loose or one.routes, body
            for route in one.routes:
                assert route.bodies[-1] == body
                for before, after, by in zip(route.bodies, route.bodies[1:], route.connections[1:], strict=False):
                    assert joins[by] in ({before, after}, set())
