"""What is done to whole sequences: made, doubled, named, ordered, removed, and run backwards."""

from __future__ import annotations

from collections.abc import Callable

from app.session import Session
from app.uses import Uses
from core.document.edits import Edit
from core.document.fresh import fresh_id, fresh_name
from core.document.names import name_of
from core.document.project import Project, Sequence
from core.document.sequence_edits import (
    AddSequence,
    OrderSequence,
    RemoveSequence,
    RenameSequence,
    copied_sequence,
)
from core.motion.reverse import reversed_sequence

FIRST, FURTHER = "Retract", "Sequence"


class SequenceCommands:
    def __init__(self, session: Session, ask_for_name: Callable[[], object]) -> None:
        self._session, self._ask_for_name = session, ask_for_name

    @property
    def uses(self) -> Uses:
        """What their actions do, by their ids in the table."""
        return {
            "sequence-new": self.begin,
            "sequence-copy": lambda: self._add(copied_sequence),
            "sequence-back": lambda: self._add(reversed_sequence),
            "sequence-rename": self._ask_for_name,
            "sequence-sooner": lambda: self.order(-1),
            "sequence-later": lambda: self.order(1),
            "sequence-remove": self.remove,
        }

    @property
    def shown(self) -> tuple[Project, Sequence] | None:
        """The sequence that is looked at, with the project that has it; None where there is none."""
        project, sequence = self._session.project, self._session.sequence
        if project is None or sequence not in project.sequences or sequence is None:
            return None
        return project, sequence

    def begin(self) -> None:
        """A sequence without a step yet, which begins where the one that is looked at does."""
        project = self._session.project
        if project is None:
            return
        name = fresh_name({one.name for one in project.sequences}, FURTHER if project.sequences else FIRST)
        start = dict(self.shown[1].start) if self.shown is not None else {}
        self._push_and_show(AddSequence(Sequence(id=fresh_id(project, name), name=name, start=start)))

    def _add(self, make: Callable[[Project, Sequence], Sequence]) -> None:
        """Another sequence made of the one that is looked at, beside it."""
        if self.shown is not None:
            project, sequence = self.shown
            self._push_and_show(AddSequence(make(project, sequence), project.sequences.index(sequence) + 1))

    def rename(self, name: str) -> None:
        if self.shown is not None:
            self._session.push(RenameSequence(self.shown[1].id, name))

    def order(self, way: int) -> None:
        if self.shown is not None:
            project, sequence = self.shown
            place = project.sequences.index(sequence) + way
            self._session.push(OrderSequence(sequence.id, max(0, place)))

    def remove(self) -> None:
        """With what is measured in it; its neighbour is looked at then."""
        if self.shown is None:
            return
        project, sequence = self.shown
        place = project.sequences.index(sequence)
        others = [one.id for one in project.sequences if one is not sequence]
        self._session.push(RemoveSequence(sequence.id, name_of(sequence)))
        if others and self._session.project is not project:
            self._session.choose_sequence(others[min(place, len(others) - 1)])

    def _push_and_show(self, edit: Edit) -> None:
        before = {one.id for one in self._session.project.sequences} if self._session.project is not None else set()
        self._session.push(edit)
        project = self._session.project
        new = next((one.id for one in project.sequences if one.id not in before), None) if project is not None else None
        if new is not None:
            self._session.choose(None)
            self._session.choose_sequence(new)
