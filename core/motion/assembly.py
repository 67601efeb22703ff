"""The plan by which a mechanism is put together, for one set of latches that hold.

What takes all freedoms between two groups or among three is put together in closed form, wherever it stands, until no
more can be; a latch that holds comes next, then the smallest knot of groups that have to be found together, by Newton.
What joins bodies that are placed already is only checked, last of all.

Where nothing can be found any more though groups are left, something is loose: one joint that leads to it is held at
the value it has (so that a body stays where it is, as seen from what carries it), or, where nothing carries it, the
body is held in its view. Where that would jam what has freedoms left, all that is loose together is a knot with fewer
rows than unknowns, and each frame is the nearest to the one before that meets them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from core.mechanism.constraints import Grip, jacobian, row_count, rows_of
from core.mechanism.mechanism import Kind, Link, Mechanism
from core.motion.blocks import fall_apart, knot_of
from core.motion.joining import JOINTS, Joining
from core.motion.placing import Placing
from core.motion.steps import Fixed, Step, Turn

INDEPENDENT = 1e-7
"""Of the largest singular value of a knot's Jacobian: a smaller one is none."""


@dataclass(frozen=True, slots=True)
class Knot:
    """Groups that have to be found together, in the world's frame; `links` are all that join them and the world."""

    links: tuple[int, ...]
    drives: tuple[int, ...]
    bodies: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Stage:
    """One step or knot and the groups it makes one, as they are before it: tuples of bodies."""

    step: Step | Knot
    groups: tuple[tuple[int, ...], ...]
    base: int
    """Which of the groups keeps its frame; of a knot the first, which is the world."""
    grounded: bool
    """Whether the one that keeps its frame is the world."""
    upstream: frozenset[int]
    """The drives that move what the step takes as known, and its own."""
    held: bool = False
    """Whether it only holds what nothing else does."""
    carried: tuple[int, ...] = field(init=False, compare=False, repr=False)
    placed: tuple[int, ...] = field(init=False, compare=False, repr=False)
    """The bodies that stand by it: all that it carries, and without the ground under it those that it does not."""

    def __post_init__(self) -> None:
        carried = tuple(body for at, group in enumerate(self.groups) if at != self.base for body in group)
        placed = carried if self.grounded else tuple(body for group in self.groups for body in group)
        object.__setattr__(self, "carried", carried)
        object.__setattr__(self, "placed", placed)


@dataclass(frozen=True, slots=True)
class Plan:
    stages: tuple[Stage, ...]
    checks: tuple[int, ...]
    """Connections between bodies that are placed by others."""
    grips: Mapping[int, Grip]
    moved_by: tuple[frozenset[int], ...]
    """Of each body, the drives that its place hangs on."""
    hangs: tuple[bool, ...]
    """Of each body, whether its place hangs on something that is held though nothing holds it."""


def make_plan(
    mechanism: Mechanism, start: Placing, grips: Mapping[int, Grip], slack: frozenset[int] = frozenset()
) -> Plan:
    """How to put a mechanism together; `start` has every body where it stands at first.

    Loose bodies among `slack`, and what hangs together with them, are not held but dragged along.
    """
    return _Planner(mechanism, start, dict(grips), slack).run()


@dataclass(slots=True)
class _Planner:
    mechanism: Mechanism
    start: Placing
    grips: dict[int, Grip]
    slack: frozenset[int]
    group_of: list[int] = field(default_factory=list)
    members: dict[int, tuple[int, ...]] = field(default_factory=dict)
    open: list[int] = field(default_factory=list)
    """Connections that are not used yet."""
    stages: list[Stage] = field(default_factory=list)
    checks: list[int] = field(default_factory=list)
    moved_by: list[frozenset[int]] = field(default_factory=list)
    hangs: list[bool] = field(default_factory=list)

    def run(self) -> Plan:
        bodies = range(len(self.mechanism.bodies))
        self.group_of = [-1 if self.mechanism.fixed[body] else body for body in bodies]
        self.members = {-1: tuple(body for body in bodies if self.mechanism.fixed[body])}
        self.members |= {body: (body,) for body in bodies if not self.mechanism.fixed[body]}
        self.moved_by, self.hangs = [frozenset()] * len(bodies), [False] * len(bodies)
        self.open = [
            number for number, link in enumerate(self.mechanism.links) if row_count(link, held=number in self.grips)
        ]
        while len(self.members) > 1:
            self._set_aside_checks()
            between = self._between()
            if not (self._two(between) or self._three(between) or self._latch() or self._knot()):
                self._hold()
        self._set_aside_checks()
        return Plan(tuple(self.stages), tuple(self.checks), self.grips, tuple(self.moved_by), tuple(self.hangs))

    # ---- groups --------------------------------------------------------------------------------------------------

    @property
    def joining(self) -> Joining:
        return Joining(self.mechanism, self.start, self.group_of)

    def _group(self, body: int) -> int:
        return self.group_of[body]

    def _groups(self, number: int) -> set[int]:
        link = self.mechanism.links[number]
        if link.kind is not Kind.GEARING:
            return {self._group(link.first), self._group(link.second)}
        return {self._group(body) for pivot in link.pivots for body in self.mechanism.links[pivot].bodies}

    def _set_aside_checks(self) -> None:
        """What joins bodies of one group is settled; a gearing is when both its pivots' turns are."""
        still: list[int] = []
        for number in self.open:
            (self.checks if self._is_settled(number) else still).append(number)
        self.open = still

    def _is_settled(self, number: int) -> bool:
        link = self.mechanism.links[number]
        if link.kind is Kind.GEARING:
            return all(self._group(one.first) == self._group(one.second) for one in self._turned_links(number))
        return self.group_of[link.first] == self.group_of[link.second]

    def _turned_links(self, number: int) -> list[Link]:
        link = self.mechanism.links[number]
        return [self.mechanism.links[pivot] for pivot in link.pivots] if link.kind is Kind.GEARING else [link]

    def _join(self, step: Step | Knot, groups: list[int], *, held: bool = False) -> None:
        """Make the groups of a step one."""
        tuples = tuple(self.members[group] for group in groups)
        grounded = -1 in groups
        base = groups.index(-1) if grounded else max(range(len(groups)), key=lambda at: len(tuples[at]))
        upstream = frozenset(step.drives).union(*(self.moved_by[body] for body in step.bodies))
        stage = Stage(step, tuples, base, grounded, upstream, held)
        self.stages.append(stage)
        hangs = held or any(self.hangs[body] for body in step.bodies)
        for body in stage.placed:
            self.moved_by[body] |= upstream
            self.hangs[body] |= hangs
        kept = groups[base]
        for group in groups:
            if group == kept:
                continue
            for body in self.members[group]:
                self.group_of[body] = kept
            self.members[kept] += self.members.pop(group)
        self.open = [number for number in self.open if number not in step.links]

    # ---- two groups ----------------------------------------------------------------------------------------------

    def _between(self) -> dict[tuple[int, int], list[int]]:
        """Open connections, but for latches and gearings, by the two groups they join; those of the world first."""
        found: dict[tuple[int, int], list[int]] = {}
        for number in self.open:
            link = self.mechanism.links[number]
            if link.kind is Kind.LATCH or link.kind is Kind.GEARING:
                continue
            one, other = self.group_of[link.first], self.group_of[link.second]
            found.setdefault((one, other) if one < other else (other, one), []).append(number)
        return dict(sorted(found.items(), key=lambda entry: entry[0][0] != -1))

    def _two(self, between: Mapping[tuple[int, int], list[int]]) -> bool:
        turns = self._geared_turns()
        for (one, other), numbers in between.items():
            found = self.joining.pair(one, other, numbers, turns.get((one, other)))
            if found is not None:
                self._join(*found)
                return True
        return False

    def _geared_turns(self) -> dict[tuple[int, int], tuple[Turn, int]]:
        """Turns between two groups that a gearing gives from a turn that is settled."""
        found: dict[tuple[int, int], tuple[Turn, int]] = {}
        for number in self.open:
            link = self.mechanism.links[number]
            if link.kind is not Kind.GEARING:
                continue
            one, other = self._turned_links(number)
            for known, asked, ratio in ((one, other, link.ratio), (other, one, 1.0 / link.ratio)):
                groups = sorted((self._group(asked.first), self._group(asked.second)))
                if self._group(known.first) == self._group(known.second) and groups[0] != groups[1]:
                    turn = Turn(asked.first, asked.second, other=known.bodies, ratio=ratio)
                    found.setdefault((groups[0], groups[1]), (turn, number))
        return found

    # ---- three groups --------------------------------------------------------------------------------------------

    def _three(self, between: Mapping[tuple[int, int], list[int]]) -> bool:
        joints: dict[int, dict[int, int]] = {}
        for (one, other), numbers in between.items():
            for number in numbers:
                if self.mechanism.links[number].kind in JOINTS:
                    joints.setdefault(one, {}).setdefault(other, number)
                    joints.setdefault(other, {}).setdefault(one, number)
        for one in sorted(joints):
            for other in sorted(joints[one]):
                for third in sorted(joints[one].keys() & joints[other].keys()):
                    if one < other < third:
                        found = self.joining.triple(one, other, third, joints)
                        if found is not None:
                            self._join(*found)
                            return True
        return False

    # ---- latches, knots and what is loose ------------------------------------------------------------------------

    def _latch(self) -> bool:
        for number in self.open:
            link = self.mechanism.links[number]
            if link.kind is Kind.LATCH:
                place, turn = self.grips[number]
                step = Fixed((number,), (), link.bodies, link.first, link.second, place, turn)
                self._join(step, [self._group(link.first), self._group(link.second)])
                return True
        return False

    def _knot(self) -> bool:
        names = [group for group in self.members if group != -1]
        number_of = {group: at for at, group in enumerate(names)} | {-1: -1}
        parts = fall_apart(self._pattern(number_of), 3 * len(names))
        found = {names[at] for at in knot_of(parts)}
        self._loose = {names[column // 3] for column in parts.under}
        if not found:
            return False
        links = tuple(number for number in self.open if self._groups(number) <= found | {-1})
        if not self._firm(links, sorted(found)):
            self._loose = found
            return False
        self._join(self._tied(links), [-1, *sorted(found)])
        return True

    def _tied(self, links: tuple[int, ...]) -> Knot:
        drives = tuple(sorted({self.mechanism.links[number].drive for number in links} - {-1}))
        bodies = {body for number in links for one in self._turned_links(number) for body in one.bodies}
        return Knot(links, drives, tuple(sorted(body for body in bodies if self._group(body) == -1)))

    def _dragged(self) -> set[int]:
        """The loose groups that are to be dragged, with all that hangs together with them."""
        found = {group for group in self._loose if self.slack & set(self.members[group])}
        while True:
            more = {group for number in self.open for group in self._groups(number) if self._groups(number) & found}
            more -= {-1} | found
            if not more:
                return found
            found |= more

    _loose: set[int] = field(default_factory=set)

    def _firm(self, links: tuple[int, ...], groups: list[int]) -> bool:
        """Whether a knot has as many independent rows as unknowns; with special lengths counting is not enough."""
        columns = [-1] * len(self.group_of)
        for at, group in enumerate(groups):
            for body in self.members[group]:
                columns[body] = at
        rows = [row for number in links for row in rows_of(self.mechanism, number, self.start, self.grips)]
        origins = [self.start.bodies[self.members[group][0]].u for group in groups]
        matrix = jacobian(rows, columns, origins, self.mechanism.size)[0]
        values = np.linalg.svd(matrix, compute_uv=False)
        return len(values) == 3 * len(groups) and bool(values[-1] > INDEPENDENT * values[0])

    def _pattern(self, number_of: Mapping[int, int]) -> list[frozenset[int]]:
        """Of every open row, the unknowns it speaks of."""
        rows: list[frozenset[int]] = []
        for number in self.open:
            link = self.mechanism.links[number]
            groups = [number_of[group] for group in self._groups(number) if group != -1]
            whole = frozenset(3 * group + part for group in groups for part in range(3))
            turns = frozenset(3 * group + 2 for group in groups)
            if link.kind is Kind.PIVOT:
                rows += [frozenset(turns | {3 * group + part for group in groups}) for part in (0, 1)]
                rows += [turns] * (link.drive >= 0)
            elif link.kind is Kind.SLIDE:
                rows += [turns, whole, *([whole] * (link.drive >= 0))]
            elif link.kind is Kind.GEARING:
                rows.append(turns)
            else:
                rows.append(whole)
        return rows

    def _hold(self) -> None:
        """Hold one joint that leads from the world to what is loose, or, where none does, a body in its view."""
        dragged = self._dragged()
        if dragged:
            links = tuple(number for number in self.open if self._groups(number) <= dragged | {-1})
            self._join(self._tied(links), [-1, *sorted(dragged)], held=True)
            return
        joints = []
        for number in self.open:
            groups, link = self._groups(number), self.mechanism.links[number]
            if link.kind in JOINTS and -1 in groups and groups & self._loose:
                carrier = link.first if self._group(link.first) == -1 else link.second
                joints.append((len(self.moved_by[carrier]), number, *(groups - {-1})))
        if joints:  # what moves least of all that carries it keeps it
            _, number, other = min(joints)
            self._join(*self.joining.held(number, other), held=True)
            return
        group = max(self._loose or self.members.keys() - {-1}, key=lambda one: (len(self.members[one]), -one))
        body = self.members[group][0]
        pose = self.start.bodies[body]
        self._join(Fixed((), (), (body,), -1, body, complex(pose.u), float(pose.turn)), [-1, group], held=True)
