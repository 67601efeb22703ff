"""What moves a body: which drives, and through what chain of connections, as the solver's own order has it.

A body stands by the stages that place it, and by those that place what they build on. Of these, the connections between
bodies that a drive moves (see `influence`) make a graph, in which the shortest way from the drive to the body is its
chain.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from core.geometry.planar import Bools
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.assembly import Plan
from core.motion.influence import influence
from core.motion.motion import Motion
from core.motion.span import Course, Stretch
from core.motion.trouble import Loose


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """From one drive to the body, in order: `connections[0]` is what the drive is on, `bodies[-1]` the body."""

    drive: str
    connections: tuple[str, ...]
    bodies: tuple[str, ...]
    """As many as connections; each is reached by the connection of the same number."""
    moves: bool = True
    """Whether the drive moves at any time of the sequence; one that does not only holds its bodies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """What one body's place hangs on from `begin` to `end`, while the same latches hold."""

    body: str
    begin: float
    end: float
    fixed: bool = False
    loose: bool = False
    """Whether it has a freedom that nothing drives or holds; its routes then say what it rides on."""
    routes: tuple[Route, ...] = ()
    """Of each drive that its place hangs on, the shortest first; those that move before those that hold."""
    guides: tuple[str, ...] = ()
    """Other connections of the body that its place follows from, such as the hinge that a rod turns it about."""

    @property
    def drives(self) -> tuple[str, ...]:
        return tuple(route.drive for route in self.routes if route.moves)

    @property
    def connections(self) -> tuple[str, ...]:
        """All along the routes and beside the body, each once."""
        return tuple(dict.fromkeys([*(one for route in self.routes for one in route.connections), *self.guides]))

    @property
    def bodies(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one for route in self.routes for one in route.bodies))


def course_of(motion: Motion) -> Course:
    """The course that a motion was solved by; ValueError of a motion that no solver made."""
    if motion.course is None:
        raise ValueError("this motion was not made by the solver, so that nothing is known of what moves what")
    return motion.course


def phases_of(course: Course) -> list[Stretch]:
    """The phases of the sequence that take time; of one that takes none, the only one."""
    inside = [one for one in course.stretches if one.phase.end > one.phase.begin >= 0.0]
    return inside or list(course.stretches[-1:])


def chains_of(motion: Motion) -> dict[str, tuple[Chain, ...]]:
    """Of every body what moves it, one chain for each span of the sequence in which that is the same."""
    course = course_of(motion)
    found: dict[str, list[Chain]] = {body: [] for body in motion.bodies}
    for stretch in phases_of(course):
        for chain in _of_phase(course, stretch, motion):
            _add(found[chain.body], chain)
    return {body: tuple(chains) for body, chains in found.items()}


def _add(chains: list[Chain], chain: Chain) -> None:
    """Neighbouring phases that move a body alike are one span."""
    if chains and replace(chains[-1], begin=chain.begin, end=chain.end) == chain:
        chains[-1] = replace(chains[-1], end=chain.end)
    else:
        chains.append(chain)


def _of_phase(course: Course, stretch: Stretch, motion: Motion) -> list[Chain]:
    mechanism, phase = course.mechanism, stretch.phase
    # Where a latch joins what two drives move, the rates would share them out; the solver's order says which it took.
    felt = influence(course, stretch)
    for body, hangs_on in enumerate(phase.plan.moved_by):
        felt[body, [drive for drive in range(len(mechanism.drives)) if drive not in hangs_on]] = False
    used = [_links_of(phase.plan, body) for body in range(len(mechanism.bodies))]
    chains = []
    for body, name in enumerate(mechanism.bodies):
        drives = [int(drive) for drive in np.flatnonzero(felt[body])]
        routes = [_route(course, used[body], drive, body, felt) for drive in drives]
        routes.sort(key=lambda route: (not route.moves, len(route.connections)))
        chain = Chain(
            body=name, begin=phase.begin, end=phase.end, fixed=mechanism.fixed[body], routes=tuple(routes)
        )  # fmt: skip
        chains.append(replace(chain, loose=_is_loose(motion, chain)))
    return [
        chain if chain.fixed else replace(chain, guides=_guides(mechanism, used[body], body, chains))
        for body, chain in enumerate(chains)
    ]


def _links_of(plan: Plan, body: int) -> tuple[int, ...]:
    return tuple(dict.fromkeys(link for at in relevant_stages(plan, body) for link in plan.stages[at].step.links))


def _guides(mechanism: Mechanism, links: tuple[int, ...], body: int, chains: list[Chain]) -> tuple[str, ...]:
    """What holds a body beside its routes; not what hangs on it in turn."""
    found, along = list[str](), {one for route in chains[body].routes for one in route.connections}
    for link in map(mechanism.links.__getitem__, links):
        if body in link.bodies and link.id not in along:
            other = link.second if link.first == body else link.first
            if chains[body].body not in chains[other].bodies:
                found.append(link.id)
    return tuple(found)


def _is_loose(motion: Motion, chain: Chain) -> bool:
    loose = [one for one in motion.troubles if isinstance(one, Loose) and chain.body in one.bodies]
    return any(one.begin <= chain.begin + 1e-9 and one.end >= chain.end - 1e-9 for one in loose)


def relevant_stages(plan: Plan, body: int) -> tuple[int, ...]:
    """The numbers of the stages that a body's place follows from, in the order they are taken."""
    needed, found = {body}, set[int]()
    while True:
        more = {at for at, stage in enumerate(plan.stages) if at not in found and needed & set(stage.placed)}
        if not more:
            return tuple(sorted(found))
        found |= more
        needed |= {one for at in more for one in plan.stages[at].step.bodies}


def _route(course: Course, links: tuple[int, ...], drive: int, body: int, felt: Bools) -> Route:
    mechanism, on = course.mechanism, course.mechanism.driven[drive]
    moved = {int(one) for one in np.flatnonzero(felt[:, drive])}
    starts = [one for one in mechanism.links[on].bodies if one in moved]
    way = shortest(mechanism, links, starts, body, moved)
    if way is None:  # over what is only checked, where the solver took a shorter cut than the iron does
        way = shortest(mechanism, range(len(mechanism.links)), starts, body, moved) or ((), (body,))
    return Route(
        drive=mechanism.drives[drive],
        connections=tuple(mechanism.links[link].id for link in (on, *way[0])),
        bodies=tuple(mechanism.bodies[one] for one in way[1]),
        moves=not course.inputs.rests(drive, 0.0, course.end),
    )


def shortest(
    mechanism: Mechanism, links: Iterable[int], starts: Iterable[int], end: int, within: set[int]
) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
    """Connections and bodies on the shortest way between bodies; the first body is one of `starts`."""
    joins = [join for link in links for join in joined_by(mechanism, link)]
    ways: dict[int, tuple[tuple[int, ...], tuple[int, ...]]] = {start: ((), (start,)) for start in starts}
    edge = list(ways)
    while edge and end not in ways:
        here, *edge = edge
        for link, one, other in joins:
            there = other if one == here else one if other == here else -1
            if there in within and there not in ways:
                ways[there] = ((*ways[here][0], link), (*ways[here][1], there))
                edge.append(there)
    return ways.get(end)


def joined_by(mechanism: Mechanism, number: int) -> Iterator[tuple[int, int, int]]:
    """A connection with each two bodies between which it carries a movement."""
    link = mechanism.links[number]
    if link.kind is not Kind.GEARING:
        yield number, link.first, link.second
        return
    here, there = (mechanism.links[pivot].bodies for pivot in link.pivots)
    yield from ((number, one, other) for one in here for other in there if one != other)
