"""The values of a step: its name, what it waits for, how long it takes, what it moves, works and needs."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from msgspec.structs import replace

from app.panels.entry import Entry
from app.panels.entry_form import EntryForm
from app.panels.need_entries import need_entries
from app.panels.oleo_offers import oleo_offers
from app.panels.readings import (
    maybe,
    read_duration,
    read_seconds,
    read_text,
    write_maybe,
    write_number,
)
from app.panels.terms import terms_of
from core.document.edits import Edit
from core.document.names import latches, name_of
from core.document.project import Move, Project, Sequence, Step
from core.document.sequence_checks import ring_of_steps
from core.document.step_edits import ReplaceStep, SetMove
from core.document.step_time_edits import ChainStep, SetStepDelay, SetStepDuration
from core.findings.sentences import Names
from core.motion.new_steps import next_value
from core.motion.schedule import lay_out

PROFILES = (("steady", "steady"), ("eased", "eased"))
LATCH_WORK = (
    ((False, False), "left alone"),
    ((True, False), "engaged at its end"),
    ((False, True), "released at its start"),
    ((True, True), "released, then engaged"),
)
"""What a step may do with a latch: whether it engages it, and whether it releases it."""
MORE = "…"


class StepForm(EntryForm):
    def show_step(self, project: Project, sequence: Sequence, step: Step) -> None:
        """Fields by the keys "name", "begins", "delay", "duration", by the ids of drives and latches, and of needs."""
        entries = (
            Entry(
                key="name", label="Name", value=step.name, words=True, read=read_text, empty=step.id,
                edit=lambda name: ReplaceStep(sequence.id, replace(step, name=name), "Rename step"),
            ),
            _begins(sequence, step),
            Entry(
                key="delay", label="Delay", value=step.delay, unit="s", read=self._read_delay(step),
                write=write_number, edit=lambda to: SetStepDelay(sequence.id, step.id, to),
            ),
            Entry(
                key="duration", label="Duration", value=step.duration, unit="s", read=read_duration,
                write=write_number, edit=lambda to: SetStepDuration(sequence.id, step.id, to),
            ),
            *(entry for move in step.moves for entry in _move(project, sequence, step, move)),
            *_also_moves(project, sequence, step),
            *_latches(project, sequence, step),
            *need_entries(project, sequence, step),
        )  # fmt: skip
        self.show_entries(f"{sequence.id} {step.id}", entries)

    def _read_delay(self, step: Step) -> Callable[[str], float]:
        def read(text: str) -> float:
            value = read_seconds(text)
            schedule, sequence = self._session.schedule, self._session.sequence
            if schedule is None or sequence is None:
                return value
            now = next((one.delay for one in sequence.steps if one.id == step.id), 0.0)
            begin = schedule.step(step.id).begin - now + value
            if begin < -1e-9:
                raise ValueError(f"the step would start {-begin:.2f} s before the sequence does")
            return value

        return read


# ---- when it begins --------------------------------------------------------------------------------------------------


def _begins(sequence: Sequence, step: Step) -> Entry:
    """After the end of another step, or with its begin; those that wait for this one are not offered."""
    first = sequence.steps[0].id == step.id
    choices: list[tuple[tuple[str | None, str | None], str]] = [
        ((None, None), "at the start" if first else "after the above")
    ]
    for other in sequence.steps:
        for wait, word in (((other.id, None), "after"), ((None, other.id), "with")):
            if wait == (step.after, step.together_with) or _can_wait(sequence, step, wait):
                choices.append((wait, f"{word} {name_of(other)}"))
    return Entry(
        key="begins", label="Begins", value=(step.after, step.together_with), choices=tuple(choices),
        edit=lambda wait: ChainStep(sequence.id, step.id, after=wait[0], together_with=wait[1], delay=step.delay),
    )  # fmt: skip


def _can_wait(sequence: Sequence, step: Step, wait: tuple[str | None, str | None]) -> bool:
    waiting = replace(step, after=wait[0], together_with=wait[1])
    steps = tuple(waiting if one.id == step.id else one for one in sequence.steps)
    return step.id not in wait and not ring_of_steps(replace(sequence, steps=steps))


# ---- what it moves and works -----------------------------------------------------------------------------------------


def _move(project: Project, sequence: Sequence, step: Step, move: Move) -> tuple[Entry, Entry]:
    terms, name = terms_of(project, move.drive), Names(project)(move.drive)

    def to(value: float | None) -> Edit:
        return SetMove(sequence.id, step.id, move.drive, value)

    return (
        Entry(
            key=move.drive, label=f"{name} to", value=move.to, unit=terms.unit, empty="not moved",
            read=maybe(terms.read), write=write_maybe(terms.write), edit=to, offers=oleo_offers(project, move.drive),
            step=terms.step,
        ),
        Entry(
            key=f"{move.drive} profile", label="Profile", value=move.profile, choices=PROFILES,
            edit=lambda profile: SetMove(sequence.id, step.id, move.drive, move.to, profile),
        ),
    )  # fmt: skip


def _also_moves(project: Project, sequence: Sequence, step: Step) -> tuple[Entry, ...]:
    moved = {move.drive for move in step.moves}
    others = {one.id: one for one in project.drives if one.id not in moved}
    if not others:
        return ()

    def add(drive: str) -> Edit:
        begin = lay_out(sequence).step(step.id).begin if drive else 0.0
        to = next_value(project, sequence, others[drive], begin) if drive else None
        return SetMove(sequence.id, step.id, drive, to, "eased")

    choices = (("", MORE), *((one.id, name_of(one)) for one in others.values()))
    return (Entry(key="also moves", label="Also moves" if moved else "Moves", value="", choices=choices, edit=add),)


def _latches(project: Project, sequence: Sequence, step: Step) -> tuple[Entry, ...]:
    names = Names(project)

    def work(latch: str, does: tuple[bool, bool]) -> Edit:
        engage, release = (
            (*(one for one in held if one != latch), *((latch,) if on else ()))
            for held, on in zip((step.engage, step.release), does, strict=True)
        )
        return ReplaceStep(sequence.id, replace(step, engage=engage, release=release), "Change what the step latches")

    return tuple(
        Entry(
            key=latch, label=names(latch), value=(latch in step.engage, latch in step.release), choices=LATCH_WORK,
            edit=partial(work, latch),
        )
        for latch in (one.id for one in project.connections if one.id in latches(project))
    )  # fmt: skip
