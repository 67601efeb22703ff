"""How well things are made: the rows of the workshop, and those of a body or connection that is made otherwise."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

from msgspec.structs import replace

from app.panels.driving_entries import workshop_backlash_entry
from app.panels.entry_form import Entry
from app.panels.readings import maybe, read_length, write_length, write_maybe
from core.document.edits import Edit
from core.document.lengths import length_unit, shown_length, small_step
from core.document.project import Made, Project, Workshop
from core.document.workshop_edits import SetWorkshop
from core.sizes.making import USUAL
from core.sizes.offer import lines_of
from core.sizes.offers import plays, usual
from core.tolerance.workshop import tolerance_of, workshop_of

Make = Callable[[Any], Edit]
WAYS: tuple[Made, ...] = get_args(Made)
WORKSHOPS = "empty: the workshop's"


def entries_of_workshop(project: Project) -> tuple[Entry, ...]:
    """How things are made, the play, and what each way of making leaves."""
    workshop = workshop_of(project)

    def change(key: str) -> Make:
        return lambda value: SetWorkshop(replace(workshop, **{key: value}))

    return (
        Entry(
            key="made", label="Made", value=workshop.made, choices=tuple((way, way) for way in WAYS),
            edit=change("made"),
        ),
        Entry(
            key="play", label="Play", note="of a pin in its hole", value=workshop.play, unit=length_unit(project),
            read=read_length(project), write=write_length(project), offers=lines_of(plays(None)),
            step=small_step(project), edit=change("play"),
        ),
        workshop_backlash_entry(project, workshop.backlash, change("backlash")),
        *(_tolerance(project, workshop, way) for way in WAYS),
    )  # fmt: skip


def _tolerance(project: Project, workshop: Workshop, way: Made) -> Entry:
    def own(value: float | None) -> Edit:
        others = {one: within for one, within in workshop.tolerances.items() if one != way}
        return SetWorkshop(replace(workshop, tolerances=others if value is None else {**others, way: value}))

    return Entry(
        key=way, label=f"{way.capitalize()} ±", value=workshop.tolerances.get(way), unit=length_unit(project),
        empty=write_length(project)(USUAL[way].within), read=maybe(read_length(project)),
        write=write_maybe(write_length(project)), offers=lines_of(usual(way)), step=small_step(project), edit=own,
    )  # fmt: skip


def made_entry(project: Project, made: Made | None, edit: Make) -> Entry:
    """How a body's holes and edges, or a rod's length, are made."""

    def words(way: Made) -> str:
        return f"{way} ± {shown_length(project, tolerance_of(project, way), 1)}"

    note = f"workshop's: {workshop_of(project).made}"
    choices = ((None, "the workshop's"), *((way, words(way)) for way in WAYS))
    return Entry(key="made", label="Made", note=note, value=made, choices=choices, edit=edit)


def play_entry(project: Project, pin: float | None, play: float | None, edit: Make) -> Entry:
    """How much wider holes are than their pins."""
    as_always = write_length(project)(workshop_of(project).play)
    return Entry(
        key="play", label="Play", note=WORKSHOPS, value=play, unit=length_unit(project), empty=as_always,
        read=maybe(read_length(project)), write=write_maybe(write_length(project)), offers=lines_of(plays(pin)),
        step=small_step(project), edit=edit,
    )  # fmt: skip
