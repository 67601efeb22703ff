"""A sequence's moments as people say them."""

from __future__ import annotations

from core.document.names import called, name_of
from core.document.project import Moment, Project, Sequence
from core.motion.schedule import lay_out

SAME_MOMENT = 1e-6


def moment_of(sequence: Sequence, seconds: float) -> Moment:
    """A moment as people say it: the start, the end, after a step that just ended, else its seconds."""
    schedule = lay_out(sequence)
    if seconds <= SAME_MOMENT:
        return Moment(sequence=sequence.id, at="start")
    if seconds >= schedule.seconds - SAME_MOMENT:
        return Moment(sequence=sequence.id, at="end")
    ended = next((one.id for one in schedule.steps if abs(one.end - seconds) <= SAME_MOMENT), None)
    if ended is not None:
        return Moment(sequence=sequence.id, after=ended)
    return Moment(sequence=sequence.id, at=round(seconds, 4))


def moments_in(project: Project) -> tuple[Moment, ...]:
    """The moments that have a name: the start and the end of every sequence, and the end of every step."""
    return tuple(
        moment
        for sequence in project.sequences
        for moment in (
            Moment(sequence=sequence.id, at="start"),
            *(Moment(sequence=sequence.id, after=step.id) for step in sequence.steps),
            Moment(sequence=sequence.id, at="end"),
        )
    )


def moment_words(project: Project, moment: Moment) -> str:
    """`at the end of Retract`, `after Leg up`, `2.5 s into Retract`."""
    sequence = next((one for one in project.sequences if moment.sequence in (None, one.id)), None)
    name = "the sequence" if sequence is None else name_of(sequence)
    if moment.after is not None:
        steps = sequence.steps if sequence is not None else ()
        return f"after {called(steps, moment.after)}"
    if isinstance(moment.at, str):
        return f"at the {moment.at} of {name}"
    return f"{moment.at:g} s into {name}" if moment.at is not None else f"at the end of {name}"
