"""What is said of a pulled body to a builder: why it comes no nearer, and what the drives read."""

from __future__ import annotations

from core.document.lengths import shown_length
from core.document.names import by_id, called, name_of
from core.document.project import Connection, Jack, Pivot, Project, Slot
from core.pulling.resistance import Resistance, Why
from core.units import format_angle


def why_it_resists(project: Project, body: str, found: Resistance) -> str:
    """A short sentence, with the names of what holds the body."""
    who = called(project.bodies, body)
    connections = [one for one in project.connections if one.id in found.connections]
    named = " and ".join(name_of(one) for one in connections) or "its connections"
    match found.why:
        case Why.FIXED:
            return f"{who} is fixed to the airframe and does not move"
        case Why.APART:
            return f"{named} cannot be met where this moment stands, so that nothing on it can be pulled"
        case Why.PINNED:
            return f"{who} does not move: the drive on {named} is kept where it is"
        case Why.LATCHED:
            return f"{who} does not move: {named} holds it"
        case Why.HELD:
            return f"{who} cannot move: it is held by {named}"
        case Why.CENTRE:
            return f"{who} turns about this point, at {named}: take hold of it elsewhere"
        case Why.IN_LINE:
            return f"{who} stands at a dead centre, held in line by {named}"
        case Why.TURNS_BACK:
            return f"Dead centre: the drive on {named} would turn back here, and no step could get beyond it"
        case Why.LIMIT:
            by_id = {one.id: one for one in connections}
            told = [
                limit_words(project, by_id[one], end, upper=upper)
                for one, end, upper in zip(found.connections, found.ends, found.upper, strict=True)
            ]
            return "; ".join(told)


def where_it_resists(project: Project, found: Resistance) -> str:
    """What stands beside the connection that holds a body, in a word or two; of a limit all that is said of it."""
    match found.why:
        case Why.LIMIT:
            return why_it_resists(project, "", found)
        case Why.IN_LINE | Why.TURNS_BACK:
            return "dead centre"
        case Why.APART:
            return "cannot be met"
        case Why.PINNED:
            return "kept"
        case _:
            return "holds it"


def limit_words(project: Project, one: Connection, end: float, *, upper: bool) -> str:
    """Which limit of a connection it has come to, and its value."""
    if isinstance(one, Pivot):
        return f"{name_of(one)} is at its limit ({format_angle(end)})"
    where = shown_length(project, end)
    if isinstance(one, Jack):
        return f"{name_of(one)} is all the way {'out' if upper else 'in'} ({where})"
    if isinstance(one, Slot):
        return f"The pin is at the {'far end' if upper else 'beginning'} of {name_of(one)} ({where})"
    return f"{name_of(one)} is at its limit ({where})"


def drive_words(project: Project, drive: str, value: float) -> str:
    """A drive's name and a value of it: degrees of a pivot's, a length of the others'."""
    one = next(one for one in project.drives if one.id == drive)
    on = by_id(project.connections, one.on)
    told = format_angle(value) if isinstance(on, Pivot) else shown_length(project, value)
    return f"{name_of(one)} {told}"
