"""One row of a form: a value, how it is read and written, and the edit that gives it another; and rows met often."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from app.panels.readings import (
    maybe,
    read_length,
    read_point,
    read_span,
    read_text,
    write_length,
    write_maybe,
    write_point,
    write_span,
)
from app.widgets.offers import Offers
from app.widgets.value_field import Reading, Writing
from core.document.edits import Edit
from core.document.lengths import length_unit, step_length
from core.document.project import Point, Project, Span

Make = Callable[[Any], Edit]
"""The edit that gives a row another value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One row: a value, how it is read and written, and the edit that gives it another. `choices` are picked from,
    each a value and its words; without them it is typed."""

    key: str
    label: str
    value: Any
    edit: Make
    read: Reading = str
    write: Writing = str
    unit: str = ""
    note: str = ""
    """Below the label."""
    empty: str = ""
    """What no value means; shown where the field is empty."""
    words: bool = False
    prose: bool = False
    """Words that may take several lines."""
    choices: tuple[tuple[Any, str], ...] = ()
    offers: Offers = ()
    """Sizes that are often meant."""
    step: float = 1.0
    """What an arrow key changes a number by; a time has its own."""

    @property
    def look(self) -> tuple[object, ...]:
        """What the field has to be made anew for."""
        return (self.key, self.label, self.unit, self.note, self.words, self.prose, self.choices, bool(self.offers))


def name_entry(name: str, thing_id: str, edit: Make) -> Entry:
    return Entry(key="name", label="Name", value=name, words=True, read=read_text, empty=thing_id, edit=edit)


def length_entry(
    project: Project, key: str, label: str, value: float | None, edit: Make, *, may_be_none: bool = False, **more: Any
) -> Entry:
    """A length in the project's unit, and what `more` of an entry it has."""
    read = read_length(project)
    row: dict[str, Any] = {"read": maybe(read) if may_be_none else read, "step": step_length(project), **more}
    write = write_maybe(write_length(project))
    return Entry(key=key, label=label, value=value, unit=length_unit(project), write=write, edit=edit, **row)


def point_entry(project: Project, key: str, label: str, value: Point, edit: Make) -> Entry:
    return Entry(
        key=key, label=label, value=value, words=True, edit=edit, read=read_point(project), write=write_point(project),
    )  # fmt: skip


def span_entry(project: Project, key: str, label: str, value: Span | None, edit: Make, *, empty: str) -> Entry:
    """Two lengths, or nothing, and what that means."""
    return Entry(
        key=key, label=label, value=value, unit=length_unit(project), edit=edit, empty=empty,
        read=maybe(read_span(read_length(project))), write=write_maybe(write_span(write_length(project))),
    )  # fmt: skip
