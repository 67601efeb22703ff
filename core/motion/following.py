"""A plan taken through its phase once, on a grid of moments: on which branch each stage goes, and where all stands.

Of a phase that was followed before an edit, what goes just as it did is taken from there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from core.geometry.planar import Floats, near
from core.motion.as_before import Before, branch_before, taken_over
from core.motion.assembly import Knot, Stage
from core.motion.newton import take, tangle_of
from core.motion.phase import AGREE, Assembled, Branch, Outcome, Phase, place, settle_knot
from core.motion.placing import Placing
from core.motion.rewalk import walked_as_before
from core.motion.upstream import stages_behind
from core.motion.walk import walk


def follow(phase: Phase, kept: Mapping[object, float], before: Before | None = None) -> tuple[Phase, Assembled]:
    """Take a phase's plan through its grid. `kept` are the signs that steps had before.

    Stages that go as they went `before` an edit are not followed again, to the same last bit.
    """
    placing = Placing.drawn(len(phase.mechanism.bodies), phase.grid, phase.inputs.at(phase.grid))
    begun = _begun(phase, kept)
    taken = taken_over(phase, before, begun)
    if taken is not None:
        taken.stand(placing, phase.plan.stages)
    branches: list[Branch] = []
    outcomes: list[Outcome] = []
    turns: list[tuple[Floats, ...]] = []
    for number, stage in enumerate(phase.plan.stages):
        if taken is not None and number in taken.stages:
            branch, outcome = taken.branch(number), taken.outcome(number)
            counted = branch.turns
        elif isinstance(stage.step, Knot):
            so_far, old = replace(phase, branches=tuple(branches)), phase.branches[number] if phase.branches else None
            branch, outcome = _follow_knot(so_far, stage, placing, old, branch_before(phase, before, stage))
            counted = ()
        else:
            outcome, counted = _follow_step(stage, placing, begun[number], phase.start)
            branch = replace(begun[number], turns=counted)
        branches.append(branch)
        outcomes.append(outcome)
        turns.append(counted)
    loops = tuple(loop_of(phase, link) for link in phase.plan.checks)
    done = replace(
        phase,
        branches=tuple(branches),
        loops=loops,
        behind=stages_behind(phase.plan, loops),
        unmoved=phase.unmoved or _unmoved(phase),
    )
    checks = tuple(done.check(number, placing) for number in range(len(done.loops)))
    return done, Assembled(placing, tuple(outcomes), checks, tuple(turns))


def _unmoved(phase: Phase) -> tuple[int, ...]:
    still = {drive for drive in range(len(phase.inputs.start)) if phase.inputs.rests(drive, phase.begin, phase.end)}
    return tuple(body for body, drives in enumerate(phase.plan.moved_by) if drives <= still)


def _begun(phase: Phase, kept: Mapping[object, float]) -> dict[int, Branch]:
    """On which branch each closed form is begun: the one that is known of it, or that on which it stands."""
    world = Placing.at_poses(phase.start)
    return {
        number: phase.branches[number] if phase.branches else Branch(start_sign(stage, world, kept))
        for number, stage in enumerate(phase.plan.stages)
        if not isinstance(stage.step, Knot)
    }


SIGN_SEEN = 1e-7
"""The sine at a step's start from which on its sign is seen."""


def start_sign(stage: Stage, world: Placing, kept: Mapping[object, float]) -> float:
    """The branch a step stands on at the start: the one it had before, or that of where its bodies stand.

    Drawn at a dead centre they show none, and the left-hand one (counter-clockwise, or further along) is taken.
    """
    assert not isinstance(stage.step, Knot)
    key = stage_key(stage)
    if key in kept:
        return kept[key]
    lean = stage.step.lean(world)
    return float(np.sign(lean)) if abs(lean) > SIGN_SEEN else 1.0


def stage_key(stage: Stage) -> object:
    """By which a step is known again in another phase."""
    return (type(stage.step), stage.step.links, stage.groups)


def _follow_step(stage: Stage, placing: Placing, branch: Branch, start: Floats) -> tuple[Outcome, tuple[Floats, ...]]:
    """As `place`, with turns counted on from frame to frame from those at the start."""
    assert not isinstance(stage.step, Knot)
    local = [np.atleast_1d(placing.turn(group[0]))[0] if group else 0.0 for group in stage.groups]
    world = [start[group[0], 2] if group else 0.0 for group in stage.groups]
    zero = world[0] - local[0]
    begins = [world[at] - local[at] - zero for at in range(1, len(stage.groups))]
    found = stage.step.place(placing, branch.side_at(placing.times))
    counted = []
    for begin, (_, rotor, turn) in zip(begins, found.poses, strict=True):
        if turn is None:
            track = np.unwrap(np.broadcast_to(np.angle(rotor), placing.times.shape))
            counted.append(track + (near(track[:1], begin) - track[:1]))
    return place(stage, placing, found, counted)


def _follow_knot(
    phase: Phase, stage: Stage, placing: Placing, old: Branch | None, before: Branch | None
) -> tuple[Branch, Outcome]:
    """`old` is what is known of it already, `before` what it was before an edit."""
    assert isinstance(stage.step, Knot)
    number = len(phase.branches)
    groups = stage.groups[1:]
    tangle = old.tangle if old is not None else None
    start = _knot_start(phase, groups, placing)
    if tangle is None:
        first = take(placing, np.array([0]))
        tangle = tangle_of(phase.mechanism, stage.step.links, groups, phase.plan.grips, first, start[None])
    asked = np.broadcast_to(placing.all_good(stage.step.bodies), placing.times.shape)
    if old is not None and old.walked is not None:
        new = np.flatnonzero(~np.isin(placing.times, old.walked.times))
        walked = old.walked.joined(phase.walked_to(stage, old, take(placing, new), asked[new]))
    else:
        again = walked_as_before(tangle, placing, start, before) if asked.all() else None
        walked = again or walk(
            tangle, placing, lambda times: phase.at(times, upto=number).placing, start, allowed=asked
        )
    outcome = settle_knot(stage, placing, walked.unknowns.copy(), walked.good & (walked.excess <= AGREE), asked)
    return Branch(tangle=tangle, walked=walked), outcome


def _knot_start(phase: Phase, groups: Sequence[tuple[int, ...]], placing: Placing) -> Floats:
    """(K, 3) where groups stand at the phase's start, from a body of each."""
    out = np.zeros((len(groups), 3))
    for at, group in enumerate(groups):
        x, y, turn = phase.start[group[0]]
        inner = placing.bodies[group[0]].inverse()
        u, spin = np.atleast_1d(inner.u)[0], np.atleast_1d(inner.turn)[0]
        place = x + 1j * y + np.exp(1j * turn) * u
        out[at] = (place.real, place.imag, turn + spin)
    return out


def loop_of(phase: Phase, link: int) -> frozenset[int]:
    """The bodies of the loop that a check closes: what places its bodies, but for what places all of them alike."""
    mechanism = phase.mechanism
    one = mechanism.links[link]
    ends = one.bodies if one.first >= 0 else tuple(body for at in one.pivots for body in mechanism.links[at].bodies)
    standing: dict[int, frozenset[int]] = {}
    for stage in phase.plan.stages:
        placed = frozenset(stage.placed)
        needed = placed.union(*(standing.get(body, frozenset()) for body in stage.step.bodies))
        for body in placed:
            standing[body] = standing.get(body, frozenset()) | needed
    own = [standing.get(body, frozenset()) | {body} for body in ends]
    loop = frozenset().union(*own) - frozenset.intersection(*own)
    return frozenset(body for body in loop | set(ends) if not mechanism.fixed[body])
