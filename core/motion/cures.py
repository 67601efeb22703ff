"""Which one rod, longer or shorter by how much, would keep connections from jamming: tried, and not only foretold."""

from __future__ import annotations

from dataclasses import dataclass, replace

from core.mechanism.mechanism import Kind, Mechanism
from core.motion.chains import course_of
from core.motion.motion import Motion
from core.motion.solve import solve_motion
from core.motion.trouble import Jam

MOST_TRIED = 4
"""Rods of one jam."""
EASE = 1e-3
"""Millimetres more than what is short: to touch a dead centre is not to pass it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """A rod that does not jam any more when it is `by` mm longer (shorter where negative)."""

    connection: str
    by: float


def cure_of(motion: Motion, jam: Jam) -> Cure | None:
    """The first of a jam's rods with which, changed by what is short, the whole sequence jams nowhere at it.

    None where no rod does, or where turns and not lengths disagree. Each try solves the sequence again.
    """
    if jam.unit != "mm" or jam.short_by <= 0.0:
        return None
    mechanism = course_of(motion).mechanism
    rods = [one for one in jam.connections if mechanism.links[mechanism.link_of[one]].kind is Kind.ROD]
    for rod in rods[:MOST_TRIED]:
        for by in (jam.short_by + EASE, -jam.short_by - EASE):
            changed = _with_length(mechanism, rod, by)
            if changed is not None and not _jams(changed, motion, jam):
                return Cure(connection=rod, by=by)
    return None


def _with_length(mechanism: Mechanism, rod: str, by: float) -> Mechanism | None:
    number = mechanism.link_of[rod]
    link = mechanism.links[number]
    if link.length + by <= 0.0:
        return None
    links = (*mechanism.links[:number], replace(link, length=link.length + by), *mechanism.links[number + 1 :])
    return replace(mechanism, links=links)


def _jams(mechanism: Mechanism, motion: Motion, jam: Jam) -> bool:
    again = solve_motion(mechanism, motion.schedule, motion.times)
    return any(isinstance(one, Jam) and set(one.connections) & set(jam.connections) for one in again.troubles)
