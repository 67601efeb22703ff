"""Edits that answer a finding: accept it with a reason, take that back, or set the rule for its pair."""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from core.document.project import Acceptance, PairRule, Project


def same_finding(one: Acceptance, other: Acceptance) -> bool:
    """Whether two acceptances are of the same finding, whatever they say of it."""
    return _about(one) == _about(other)


def _about(one: Acceptance) -> tuple[object, ...]:
    return (one.kind, frozenset(one.bodies), frozenset(one.connections), one.drive, one.target, one.step, one.sequence)


@dataclass(frozen=True, slots=True)
class Accept:
    """Live with a finding, for a reason; an older acceptance of the same one is replaced."""

    acceptance: Acceptance

    @property
    def label(self) -> str:
        return "Accept finding"

    def apply(self, project: Project) -> Project:
        if self.acceptance in project.accepted:
            return project
        kept = tuple(one for one in project.accepted if not same_finding(one, self.acceptance))
        return replace(project, accepted=(*kept, self.acceptance))


@dataclass(frozen=True, slots=True)
class TakeBack:
    """Accept some findings no longer."""

    acceptances: tuple[Acceptance, ...]

    @property
    def label(self) -> str:
        return "Take acceptance back" if len(self.acceptances) == 1 else "Take acceptances back"

    def apply(self, project: Project) -> Project:
        back = {_about(one) for one in self.acceptances}
        kept = tuple(one for one in project.accepted if _about(one) not in back)
        return project if len(kept) == len(project.accepted) else replace(project, accepted=kept)


@dataclass(frozen=True, slots=True)
class SetPairRule:
    """How a pair is checked, whichever way about it is named; what the old rule says besides is kept."""

    rule: PairRule

    @property
    def label(self) -> str:
        return "Excuse pair" if self.rule.rule == "ignore" else "Change rule of pair"

    def apply(self, project: Project) -> Project:
        new = self.rule
        for place, old in enumerate(project.pairs):
            if frozenset(old.bodies) == frozenset(new.bodies):
                made = replace(new, bodies=old.bodies, extra={**old.extra, **new.extra})
                if made == old:
                    return project
                return replace(project, pairs=(*project.pairs[:place], made, *project.pairs[place + 1 :]))
        return replace(project, pairs=(*project.pairs, new))


@dataclass(frozen=True, slots=True)
class RemovePairRule:
    """Check a pair as every other."""

    bodies: tuple[str, str]

    @property
    def label(self) -> str:
        return "Take rule of pair away"

    def apply(self, project: Project) -> Project:
        kept = tuple(one for one in project.pairs if frozenset(one.bodies) != frozenset(self.bodies))
        return project if len(kept) == len(project.pairs) else replace(project, pairs=kept)


def rule_of(project: Project, bodies: tuple[str, ...]) -> PairRule | None:
    """The rule that names a pair, either way about."""
    return next((one for one in project.pairs if frozenset(one.bodies) == frozenset(bodies)), None)
