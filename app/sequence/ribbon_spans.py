"""Which pairs come near over a sequence, and when they are clear, nearer than wanted, or touching."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from itertools import pairwise

import numpy as np

from core.document.project import Project
from core.findings.sentences import Names
from core.interference.interference import Clearance, Contact, Interference
from core.study import SequenceStudy

NEAR_FACTOR = 4.0
"""A pair is worth a ribbon when it comes nearer than this many times the clearance that is wanted..."""
NEAR_MM = 2.0
"""...or, where little is wanted, nearer than this."""


class State(IntEnum):
    CLEAR = 0
    TIGHT = 1
    TOUCHING = 2


@dataclass(frozen=True, slots=True)
class Span:
    state: State
    begin: float
    end: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ribbon:
    """One pair over time. Spans cover the sequence from end to end, without gaps."""

    parts: tuple[str, str]
    names: tuple[str, str]
    worst: State
    amount: float
    """How deep it overlaps where it touches; otherwise the least clearance. Millimetres."""
    amount_words: str
    time: float
    """The worst moment."""
    wanted: str
    """The clearance that it should keep, for people."""
    proved: bool
    spans: tuple[Span, ...]

    @property
    def title(self) -> str:
        return " – ".join(self.names)


def ribbons(project: Project, study: SequenceStudy) -> tuple[Ribbon, ...]:
    """The pairs that ever come near, worst first."""
    names = Names(project)
    found = study.interference
    row_of = {pair: row for row, pair in enumerate(found.pairs)}
    contacts: dict[tuple[str, str], list[Contact]] = {}
    for contact in found.contacts:
        contacts.setdefault(contact.parts, []).append(contact)
    made = [
        _ribbon(study, names, clearance, row_of.get(clearance.parts), contacts.get(clearance.parts, []))
        for clearance in found.clearances
        if clearance.parts in contacts or clearance.least < max(NEAR_MM, NEAR_FACTOR * clearance.wanted)
    ]
    return tuple(sorted(made, key=_gravity))


def _gravity(ribbon: Ribbon) -> tuple[int, float]:
    return (-ribbon.worst, -ribbon.amount if ribbon.worst == State.TOUCHING else ribbon.amount)


def _ribbon(
    study: SequenceStudy, names: Names, clearance: Clearance, row: int | None, contacts: list[Contact]
) -> Ribbon:
    deepest = max(contacts, key=lambda contact: contact.depth, default=None)
    tight = clearance.least < clearance.wanted
    worst = State.TOUCHING if deepest is not None else State.TIGHT if tight else State.CLEAR
    times = study.motion.times
    nearer = _nearer_than_wanted(study.interference, row, clearance, len(times))
    amount = deepest.depth if deepest is not None else clearance.least
    return Ribbon(
        parts=clearance.parts,
        names=(names(clearance.parts[0]), names(clearance.parts[1])),
        worst=worst,
        amount=amount,
        amount_words=names.length(amount),
        time=deepest.worst if deepest is not None else clearance.time,
        wanted=names.length(clearance.wanted),
        proved=clearance.proved,
        spans=spans(times, nearer, [(one.begin, one.end) for one in contacts], clearance.time if tight else None),
    )


def _nearer_than_wanted(found: Interference, row: int | None, clearance: Clearance, frames: int) -> np.ndarray:
    """(F,) whether the pair is nearer than wanted at each frame."""
    if row is None:
        return np.zeros(frames, dtype=bool)
    gaps = found.gaps[row]
    return np.where(np.isnan(gaps), np.inf, gaps) < clearance.wanted


def spans(
    times: np.ndarray, tight: np.ndarray, contacts: list[tuple[float, float]], tightest: float | None = None
) -> tuple[Span, ...]:
    """Contacts where they were found to begin and end; tight spans to half a frame about the frames that are tight.

    `tightest` is a moment that is tight even when it falls between two frames.
    """
    first, last = float(times[0]), float(times[-1])
    edges = np.concatenate([times[:1], (times[1:] + times[:-1]) / 2, times[-1:]])
    changes = np.flatnonzero(np.diff(np.concatenate([[False], tight, [False]]))).tolist()
    runs = zip(changes[::2], changes[1::2], strict=True)
    cover = [Span(State.TIGHT, float(edges[i]), float(edges[j])) for i, j in runs]
    if tightest is not None and not any(one.begin <= tightest <= one.end for one in cover):
        half = (last - first) / max(1, len(times) - 1) / 2
        cover.append(Span(State.TIGHT, max(first, tightest - half), min(last, tightest + half)))
    cover += [Span(State.TOUCHING, begin, end) for begin, end in contacts]
    cuts = sorted({first, last, *(one.begin for one in cover), *(one.end for one in cover)})
    laid: list[Span] = []
    for begin, end in pairwise(cuts):
        middle = (begin + end) / 2
        state = max((one.state for one in cover if one.begin <= middle <= one.end), default=State.CLEAR)
        if laid and laid[-1].state == state:
            laid[-1] = Span(state, laid[-1].begin, end)
        else:
            laid.append(Span(state, begin, end))
    return tuple(laid)
