"""What a trial finds beside what the sound sequence has: what is new, what is worse, and what is gone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from core.findings.acceptance import LESS_IS_WORSE, NOTICED, badness
from core.findings.finding import Finding, Kind

Key = tuple[object, ...]
_GRAVITY = {kind: order for order, kind in enumerate(Kind)}


class Found(Protocol):
    """What a study of a sequence has found; a whole `SequenceStudy` is one."""

    @property
    def findings(self) -> tuple[Finding, ...]: ...

    @property
    def accepted(self) -> tuple[Finding, ...]: ...


@dataclass(frozen=True, slots=True)
class Worse:
    """A finding, and what it was in the sound sequence."""

    finding: Finding
    was: Finding


@dataclass(frozen=True, slots=True)
class Compared:
    """Each worst first, as the trial's findings stand."""

    new: tuple[Finding, ...]
    worse: tuple[Worse, ...]
    gone: tuple[Finding, ...]

    @property
    def harmful(self) -> tuple[Finding, ...]:
        """What the fault brings, worst first."""
        return tuple(sorted((*self.new, *(one.finding for one in self.worse)), key=_weight))

    @property
    def weight(self) -> tuple[object, ...]:
        """By which trials are put in order, worst first: the gravity of their findings, one by one."""
        return weight_of(self.harmful)


def compare(sound: Found, trial: Found) -> Compared:
    """What is accepted of the sound sequence is known of it; what is accepted in the trial is not told again."""
    known = _worst_of((*sound.findings, *sound.accepted))
    new, worse = _beside(known, trial)
    still = {_key(one) for one in (*trial.findings, *trial.accepted)}
    touching = {key[1:] for key in still if key[0] == Kind.CLASH}
    gone = tuple(
        one
        for one in sound.findings
        if _key(one) not in still and not (one.kind is Kind.TIGHT and _key(one)[1:] in touching)
    )
    return Compared(new, worse, gone)


def only_together(alone: Sequence[Found], both: Found) -> tuple[Finding, ...]:
    """What faults bring at once and none of them alone, or each alone less of, worst first; the sound sequence is to be
    among those that are `alone`."""
    new, worse = _beside(_worst_of(one for each in alone for one in (*each.findings, *each.accepted)), both)
    return Compared(new, worse, ()).harmful


def weight_of(findings: Iterable[Finding]) -> tuple[object, ...]:
    """By which what is found, worst first, is put in order."""
    weights = tuple(_weight(one) for one in findings)
    return (not weights, weights)


def _beside(known: dict[Key, Finding], trial: Found) -> tuple[tuple[Finding, ...], tuple[Worse, ...]]:
    """What is new, and what is worse."""
    new, worse = [], []
    for finding in trial.findings:
        was = known.get(_key(finding))
        if was is None:
            new.append(finding)
        elif _noticed(_worse_by(was, finding), badness(was)) and not _same_place(was, finding):
            worse.append(Worse(finding, was))
    return tuple(new), tuple(worse)


def change_of(compared: Compared, finding: Finding) -> str:
    """A word for a finding of the trial: `new`, `worse`, or nothing where the sound sequence has it too."""
    if finding in compared.new:
        return "new"
    return "worse" if any(one.finding == finding for one in compared.worse) else ""


def _key(one: Finding) -> Key:
    return (one.kind, frozenset(one.bodies), frozenset(one.connections), one.drive, one.target, one.begun)


def _worst_of(findings: Iterable[Finding]) -> dict[Key, Finding]:
    """Of those that tell of the same things, the worst."""
    worst: dict[Key, Finding] = {}
    for finding in findings:
        key = _key(finding)
        if key not in worst or _worse_by(worst[key], finding) > 0.0:
            worst[key] = finding
    return worst


def _noticed(more: float, amount: float) -> bool:
    return more > max(NOTICED, NOTICED * abs(amount))


def _same_place(was: Finding, now: Finding) -> bool:
    """Whether two clashes are one and the same: how deep one is, is asked at the moment of the largest common area, and
    may leap there where the area hardly changes."""
    if was.area is None or now.area is None:
        return False
    return not _noticed(abs(now.area - was.area), was.area)


def _worse_by(was: Finding, now: Finding) -> float:
    more = badness(now) - badness(was)
    return -more if now.kind in LESS_IS_WORSE else more


def _weight(finding: Finding) -> tuple[int, float]:
    less = finding.kind in LESS_IS_WORSE
    return (_GRAVITY[finding.kind], badness(finding) if less else -badness(finding))
