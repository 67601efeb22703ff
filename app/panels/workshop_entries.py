"""How well things are made: the rows of the workshop, and those of a body or connection that is made otherwise."""

from __future__ import annotations

from typing import get_args

from msgspec.structs import replace

from app.panels.driving_entries import WORKSHOPS, workshop_backlash_entry
from app.panels.entry import Entry, Make, length_entry
from app.panels.readings import write_length
from core.document.edits import Edit
from core.document.lengths import shown_length, small_step
from core.document.project import Made, Project, Workshop
from core.document.workshop_edits import SetWorkshop
from core.sizes.making import USUAL
from core.sizes.offer import lines_of
from core.sizes.offers import plays, usual
from core.tolerance.workshop import tolerance_of, workshop_of

WAYS: tuple[Made, ...] = get_args(Made)


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
        length_entry(
            project, "play", "Play", workshop.play, change("play"), note="of a pin in its hole",
            offers=lines_of(plays(None)), step=small_step(project),
        ),
        workshop_backlash_entry(project, workshop.backlash, change("backlash")),
        *(_tolerance(project, workshop, way) for way in WAYS),
    )  # fmt: skip


def _tolerance(project: Project, workshop: Workshop, way: Made) -> Entry:
    def own(value: float | None) -> Edit:
        others = {one: within for one, within in workshop.tolerances.items() if one != way}
        return SetWorkshop(replace(workshop, tolerances=others if value is None else {**others, way: value}))

    return length_entry(
        project, way, f"{way.capitalize()} ±", workshop.tolerances.get(way), own, may_be_none=True,
        empty=write_length(project)(USUAL[way].within), offers=lines_of(usual(way)), step=small_step(project),
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
    return length_entry(
        project, "play", "Play", play, edit, may_be_none=True, note=WORKSHOPS, empty=as_always,
        offers=lines_of(plays(pin)), step=small_step(project),
    )  # fmt: skip
