"""A finding: one thing that is wrong, who, when, where and by how much, with a sentence a builder understands."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from core.document.project import Acceptance, Need


class Kind(StrEnum):
    """In order of gravity, worst first."""

    JAMMED = "jammed"
    CLASH = "clash"
    LOOSE = "loose"
    LATCH = "latch"
    TRAVEL = "travel"
    EARLY = "early"
    TARGET = "target"
    TIGHT = "tight"
    DEAD_CENTRE = "dead-centre"
    REDUNDANT = "redundant"

    @property
    def words(self) -> str:
        """As people write it; the value is the file's."""
        return self.value.replace("-", " ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Only the fields that its kind has are set; times are seconds, lengths millimetres."""

    kind: Kind
    sequence: str
    sentence: str
    bodies: tuple[str, ...] = ()
    """Bodies, or rods and jacks with a width, by id."""
    connections: tuple[str, ...] = ()
    drive: str | None = None
    target: str | None = None
    begin: float | None = None
    end: float | None = None
    time: float | None = None
    """The moment to show: the worst one."""
    amount: float = 0.0
    """By how much: clash depth, clearance, shortfall, miss or travel value."""
    unit: str = "mm"
    """Of the amount: "mm", "deg", "s", or "" where it counts."""
    wanted: float | None = None
    """The clearance that was asked for."""
    limits: tuple[float, float] | None = None
    area: float | None = None
    count: int | None = None
    """Freedoms of loose bodies; how many connections are too many."""
    view: str | None = None
    at: tuple[float, float] | None = None
    other_view: str | None = None
    """Of the second body, where the two are drawn in different views."""
    other_at: tuple[float, float] | None = None
    """The place in that view."""
    step: str | None = None
    """The step under way at the moment to show; the one that begins too soon."""
    need: Need | None = None
    """What that step needs and has not got when it begins."""
    value: float | None = None
    """Where the drive stands that it needs elsewhere."""
    holds_at: float | None = None
    """The first later moment at which it would have it; None where it never has."""
    accepted: Acceptance | None = None
    """That with which the builder lives with it."""

    @property
    def about(self) -> tuple[object, ...]:
        """What tells it from the other findings of its sequence, however bad it is."""
        return (self.kind, self.bodies, self.connections, self.drive, self.target, self.begun)

    @property
    def begun(self) -> str | None:
        """The step that begins too soon; None of other kinds."""
        return self.step if self.kind is Kind.EARLY else None
