"""What a finding says to a builder: one plain sentence each, with names, moments and the aircraft's lengths."""

from __future__ import annotations

from collections.abc import Sequence

from core.document.lengths import fixed_length, shown_amount
from core.document.names import name_of
from core.document.project import Jack, Need, Pivot, Project, Slide
from core.findings.needs import Unmet
from core.findings.targets import TargetResult
from core.interference.interference import Clearance, Contact
from core.motion.trouble import DeadCentre, Jam, LatchMiss, Loose, Redundant, TravelPassed
from core.units import format_number


class Names:
    """What people read of a project: for an id of a body, connection, drive or view its name; of its lengths and angles
    a text in its unit."""

    def __init__(self, project: Project) -> None:
        self._project = project
        things = (*project.bodies, *project.connections, *project.drives, *project.views)
        self._names = {thing.id: name_of(thing) for thing in things}

    def __call__(self, thing_id: str) -> str:
        return self._names.get(thing_id, thing_id)

    def listed(self, ids: Sequence[str]) -> str:
        """`a`, `a and b`, `a, b and c`."""
        return joined([self(one) for one in ids])

    def length(self, millimetres: float, finer: int = 0) -> str:
        """With noughts at the end, so that lengths are told as finely as they are known."""
        return fixed_length(self._project, millimetres, finer)

    def amount(self, value: float, unit: str, finer: int = 0) -> str:
        """A length; degrees where the unit is `deg`."""
        return f"{format_number(value, fixed=True)}°" if unit == "deg" else self.length(value, finer)

    def limit(self, value: float, unit: str) -> str:
        """A length or an angle that somebody chose, as finely as it may have been typed."""
        return shown_amount(self._project, value, unit, 1)


def joined(names: Sequence[str]) -> str:
    """Names in one row; with dashes where one has an "and" or a comma of its own, and it could be read as two."""
    if len(names) == 1:
        return names[0]
    if any(" and " in name or "," in name for name in names):
        return " – ".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def seconds(value: float) -> str:
    return f"{value:.2f} s"


def clash(contact: Contact, names: Names) -> str:
    who = joined(_both(contact, names))
    span = f"from {seconds(contact.begin)} to {seconds(contact.end)}"
    if contact.begin == contact.end:
        return f"{who} overlap at {seconds(contact.worst)}, by {names.length(contact.depth)}."
    return f"{who} overlap {span}, at the worst by {names.length(contact.depth)} at {seconds(contact.worst)}."


def tight(clearance: Clearance, names: Names) -> str:
    one, other = _both(clearance, names)
    return (
        f"{one} comes within {names.length(clearance.least)} of {other} "
        f"at {seconds(clearance.time)}; {names.length(clearance.wanted)} is wanted."
    )


def _both(pair: Contact | Clearance, names: Names) -> tuple[str, str]:
    """The names of two parts, with their views where they are drawn in different ones."""
    one, other = names(pair.parts[0]), names(pair.parts[1])
    if pair.other_view is None:
        return one, other
    return f"{one} in {names(pair.view)}", f"{other} in {names(pair.other_view)}"


def loose(one: Loose, names: Names, *, seconds_in_all: float, joints: tuple[str, ...] = ()) -> str:
    """When it is only loose for a part of the sequence that is said, and what would hold it by friction."""
    freedoms = "1 freedom" if one.freedoms == 1 else f"{one.freedoms} freedoms"
    while_ = ""
    if one.begin > 1e-9 or one.end < seconds_in_all - 1e-9:
        while_ = f" from {seconds(one.begin)} to {seconds(one.end)}"
    only = f", and only friction at {names.listed(joints)} would" if joints else ""
    who = names.listed(one.bodies)
    if len(one.bodies) == 1:
        return f"{who} is loose{while_}: nothing drives or holds it{only} ({freedoms})."
    return f"{who} are loose{while_}: nothing drives or holds them{only} ({freedoms} between them)."


def jam(one: Jam, names: Names) -> str:
    amount = names.amount(one.short_by, one.unit)
    if not one.connections:
        return f"{names.listed(one.bodies)} cannot move on at {seconds(one.time)}: short by {amount}."
    who = names.listed(one.connections)
    if len(one.connections) == 1:
        return f"{who} jams at {seconds(one.time)}: it falls short by up to {amount}."
    return f"{who} jam at {seconds(one.time)}: they cannot all meet, and fall short by up to {amount}."


def fight(drives: tuple[str, ...], names: Names) -> str:
    """What is added to a jam in which drives that move the same freedom are asked for what differs."""
    return f"{names.listed(drives)} fight each other there: they move the same freedom."


def agreeing(drives: tuple[str, ...], names: Names) -> str:
    """What is added to connections too many among which drives move the same freedom, and agree so far."""
    return f"{names.listed(drives)} move the same freedom, and would fight if they were not exact."


def dead_centre(one: DeadCentre, names: Names) -> str:
    drive = f"{names(one.drive)} meets" if one.drive else "The linkage meets"
    at = f"{drive} a dead centre at {seconds(one.time)}"
    where = f" of {names.listed(one.connections)}" if one.connections else ""
    if one.branches:
        return f"{at}{where}; it can go on two ways there, and the smooth one is shown."
    return f"{at}{where}, to within {names.length(one.distance)}; it may stick or go the other way."


def travel(passed: TravelPassed, names: Names, project: Project) -> str:
    kinds = {one.id: one for one in project.connections}
    unit = "deg" if isinstance(kinds[passed.connection], Pivot) else "mm"
    low, high = (names.limit(one, unit) for one in passed.limits)
    verb = "is asked for" if isinstance(kinds[passed.connection], Jack | Slide) else "goes to"
    value = names.amount(passed.value, unit)
    return f"{names(passed.connection)} {verb} {value} at {seconds(passed.time)}; it travels from {low} to {high}."


def latch(missed: LatchMiss, reach: float, names: Names) -> str:
    return (
        f"{names(missed.connection)} cannot engage at {seconds(missed.time)}: its halves are "
        f"{names.length(missed.miss)} apart, and it reaches {names.length(reach)}."
    )


def early(unmet: Unmet, names: Names, unit: str) -> str:
    """A step that begins before what it needs holds; `unit` is of the drive's value."""
    need, at = unmet.need, seconds(unmet.time)
    then = "never is" if unmet.holds_at is None else f"is so from {seconds(unmet.holds_at)} on"
    if need.latch is not None:
        wanted, now = ("engaged", "does not hold") if need.engaged else ("released", "still holds")
        return f"{unmet.name} begins too soon: it needs {names(need.latch)} {wanted}, which {now} at {at}, and {then}."
    value, short = (names.amount(one, unit) for one in (unmet.value or 0.0, unmet.short_by))
    wanted = f"{names(need.drive or '')} at {bounds(need, names, unit)}"
    return f"{unmet.name} begins too soon: it needs {wanted}, which stands at {value} at {at}, {short} off, and {then}."


def bounds(need: Need, names: Names, unit: str) -> str:
    """`85° at least`, `5° at most`, `from 5° to 85°`; the unit is "deg" or "mm"."""
    low, high = need.at_least, need.at_most
    if low is not None and high is not None:
        return f"from {names.limit(low, unit)} to {names.limit(high, unit)}"
    one, which = (low, "least") if low is not None else (high or 0.0, "most")
    return f"{names.limit(one, unit)} at {which}"


def redundant(one: Redundant, names: Names) -> str:
    count = "One" if one.count == 1 else str(one.count)
    many = "is" if one.count == 1 else "are"
    return f"{count} of {names.listed(one.connections)} {many} too many: the rest already hold what it holds."


def target(result: TargetResult, names: Names) -> str:
    return (
        f"{names(result.target.body)} is {names.length(result.miss)} from where it ought to be at "
        f"{seconds(result.time)}; {names.length(result.target.within)} is allowed."
    )
