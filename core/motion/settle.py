"""A phase followed until nothing on its way is missed: dead centres gone through, jams hidden between two moments."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from core.geometry.planar import Floats
from core.motion.as_before import Before
from core.motion.assembly import Stage
from core.motion.following import follow
from core.motion.phase import TOUCH, Assembled, Branch, Bridge, Outcome, Phase
from core.motion.refine import Edges, Least, candidates, edges, least_margins

NEAR = 0.05
"""Millimetres to a dead centre that are worth telling."""
NEAR_SHARE = 2e-3
"""And of the lengths that meet: small linkages are nearer to everything."""
LARGEST_TURN = np.deg2rad(50.0)
"""Between two moments of the grid, for whole turns to be counted."""
ROUNDS = 60


@dataclass(frozen=True, slots=True)
class Settled:
    phase: Phase
    result: Assembled
    least: tuple[Least, ...]
    """Local minima of margins near or beyond a dead centre."""
    passed: tuple[tuple[int, float], ...]
    """Stages and times where a dead centre was gone through the smooth way."""


def settle(phase: Phase, kept: Mapping[object, float], before: Settled | None = None) -> Settled:
    """Follow a phase, adding moments and changes of sign until there are no more to add.

    What goes as it went `before` an edit is taken from there.
    """
    hidden_done: set[tuple[int, int]] = set()
    passed: list[tuple[int, float]] = []
    edged = False
    earlier = None if before is None else Before(before.phase, before.result)
    phase, result = follow(phase, kept, earlier)
    least: list[Least] = []
    for _ in range(ROUNDS):
        if len(more := _quick_turns(phase, result)):
            phase, result = _with(phase, more, kept, earlier)
            continue
        least = least_margins(phase, result, candidates(result, _worth))
        flips = _flips(phase, least, passed)
        if flips:
            passed += flips
            phase, result = follow(_afresh(_bridged(_flipped(phase, flips), flips)), kept, earlier)
            continue
        hidden = [
            one
            for one in least
            if _is_hidden(one, phase, result) and (one.which, round(one.time * 1e9)) not in hidden_done
        ]
        if hidden:
            hidden_done |= {(one.which, round(one.time * 1e9)) for one in hidden}
            phase, result = _with(phase, np.array([one.time for one in hidden]), kept, earlier)
            continue
        if not edged and (found := _edges(phase, result)) is not None:
            edged = True
            phase, result = _with_edges(phase, found, kept)
            continue
        break
    return Settled(phase, result, tuple(least), tuple(passed))


def held_in_vain(settled: Settled) -> frozenset[int]:
    """Bodies of jams that hang on something loose which is held, so that it might give way."""
    phase, stages = settled.phase, settled.phase.plan.stages
    found: set[int] = set()
    for number, outcome in enumerate(settled.result.outcomes):
        if (outcome.asked & ~outcome.good).any():
            here = number < len(stages)
            found |= (
                {*stages[number].placed, *stages[number].step.bodies} if here else phase.loops[number - len(stages)]
            )
    return frozenset(body for body in found if phase.plan.hangs[body] and not phase.mechanism.fixed[body])


def near_enough(size: Floats | float) -> Floats:
    """The margin from which on a dead centre is near, for lengths that meet of this size."""
    return np.minimum(NEAR, NEAR_SHARE * np.asarray(size))


def _worth(which: int, outcome: Outcome) -> float:  # noqa: ARG001
    return float(np.max(near_enough(outcome.size)))


def _with(phase: Phase, times: Floats, kept: Mapping[object, float], earlier: Before | None) -> tuple[Phase, Assembled]:
    return follow(_afresh(replace(phase, grid=np.union1d(phase.grid, times))), kept, earlier)


def _afresh(phase: Phase) -> Phase:
    """With nothing kept of the way it was followed, but for the signs and equations of its stages."""
    return replace(phase, branches=tuple(replace(branch, turns=(), walked=None) for branch in phase.branches))


def _with_edges(phase: Phase, found: Edges, kept: Mapping[object, float]) -> tuple[Phase, Assembled]:
    """As nothing that was followed so far changes by it, knots are followed on from where they are known."""
    times, stands = found
    branches = tuple(
        branch if branch.walked is None else replace(branch, walked=branch.walked.with_stands(stands.get(number, ())))
        for number, branch in enumerate(phase.branches)
    )
    return follow(replace(phase, grid=np.union1d(phase.grid, times), branches=branches), kept)


def _quick_turns(phase: Phase, result: Assembled) -> Floats:
    """Middles of spans in which a counted turn goes so far that it might be counted wrong."""
    quick = np.zeros(max(len(phase.grid) - 1, 0), dtype=bool)
    for turns in result.turns:
        for track in turns:
            quick |= np.abs(np.diff(track)) > LARGEST_TURN
    wide = np.diff(phase.grid) > 1e-7 * max(phase.end - phase.begin, 1e-300)
    middles = 0.5 * (phase.grid[1:] + phase.grid[:-1])
    return np.asarray(middles[quick & wide])


def _flips(phase: Phase, least: Iterable[Least], passed: list[tuple[int, float]]) -> list[tuple[int, float]]:
    """Of the first stage that goes through a dead centre where it is not known yet: when.

    Stages after it stand wrong until its sign is set right, so that one stage at a time is taken.
    """
    stages = phase.plan.stages
    found: dict[int, list[tuple[int, float]]] = {}
    span = max(phase.end - phase.begin, 1e-300)
    for one in least:
        if one.which >= len(stages) or abs(one.margin) > TOUCH * one.size:
            continue
        if any(which == one.which and abs(time - one.time) <= 1e-6 * span for which, time in passed):
            continue
        if _goes_through(phase, stages[one.which], one):
            found.setdefault(one.which, []).append((one.which, one.time))
    return found[min(found)] if found else []


def _goes_through(phase: Phase, stage: Stage, one: Least) -> bool:
    """Whether the drives go on in the way they came; where they turn back the linkage goes back as well."""
    drives = sorted(stage.upstream)
    before, after = phase.grid[phase.grid < one.time - 1e-9], phase.grid[phase.grid > one.time + 1e-9]
    if not drives or not len(before) or not len(after):
        return False
    here = phase.inputs.at(np.array([one.time]))[0, drives]
    came = here - phase.inputs.at(before)[:, drives]
    goes = phase.inputs.at(after)[:, drives] - here
    moved, moves = np.abs(came).max(axis=1) > 1e-12, np.abs(goes).max(axis=1) > 1e-12
    if not moved.any() or not moves.any():
        return False
    return bool(came[np.flatnonzero(moved)[-1]] @ goes[np.flatnonzero(moves)[0]] > 0.0)


def _flipped(phase: Phase, flips: Iterable[tuple[int, float]]) -> Phase:
    branches: list[Branch] = list(phase.branches)
    for which, time in flips:
        branches[which] = replace(branches[which], flips=tuple(sorted((*branches[which].flips, time))))
    return replace(phase, branches=tuple(branches))


BRIDGE = 1e-3
"""Of a phase: how far on either side of a dead centre a root is taken from its course."""
NODES = np.array([-3.0, -2.0, -1.0, 1.0, 2.0, 3.0])


def _bridged(phase: Phase, flips: Iterable[tuple[int, float]]) -> Phase:
    """Roots are bridged over a dead centre but where a drive begins, ends or turns just there."""
    bends = np.array([phase.begin, phase.end, *(phase.inputs.bends())])
    branches = list(phase.branches)
    for which, time in flips:
        room = float(np.abs(bends - time).min()) / NODES[-1]
        half = min(BRIDGE * (phase.end - phase.begin), 0.99 * room)
        nodes = time + half * NODES
        if half <= 1e-6 * (phase.end - phase.begin):
            continue
        root = phase.at(nodes, upto=which + 1).stages[which].root
        if root is not None:
            bridge = Bridge(time, half, nodes, root)
            branches[which] = replace(branches[which], bridges=(*branches[which].bridges, bridge))
    return replace(phase, branches=tuple(branches))


def _is_hidden(one: Least, phase: Phase, result: Assembled) -> bool:
    """Whether it fails between two moments at which it holds."""
    if one.margin >= -TOUCH * one.size:
        return False
    outcome = result.outcomes[one.which]
    frame = int(np.searchsorted(phase.grid, one.before))
    return bool(outcome.good[frame : frame + 3].all())


def _edges(phase: Phase, result: Assembled) -> Edges | None:
    """When what fails begins and ceases to fail: the last and the first good moments."""
    which, good, bad = [], [], []
    for number, outcome in enumerate(result.outcomes):
        fails = outcome.asked & ~outcome.good
        if not fails.any():
            continue
        for frame in np.flatnonzero(fails[1:] != fails[:-1]):
            first, last = (frame, frame + 1) if fails[frame + 1] else (frame + 1, frame)
            if outcome.asked[first]:
                which.append(number)
                good.append(phase.grid[first])
                bad.append(phase.grid[last])
    if not which:
        return None
    return edges(phase, which, np.array(good), np.array(bad))
