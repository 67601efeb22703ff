"""The rows of what a step needs when it begins: bounds of drives, and latches engaged or released."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from msgspec.structs import replace

from app.panels.entry import Entry
from app.panels.readings import maybe, write_maybe
from app.panels.terms import terms_of
from core.document.edits import Edit
from core.document.names import latches, name_of
from core.document.project import Need, Project, Sequence, Step
from core.document.step_edits import ReplaceStep
from core.findings.sentences import Names
from core.motion.new_steps import asked_at
from core.motion.schedule import lay_out

MORE = "…"
WRITTEN = 1000.0
"""Parts of a millimetre or a degree that a new bound is written in."""
STATES = ((True, "engaged"), (False, "released"), (None, "either way"))


def need_entries(project: Project, sequence: Sequence, step: Step) -> tuple[Entry, ...]:
    """Two rows a drive that it needs somewhere, one a latch, and one by which it needs something more."""
    rows = _Rows(project, sequence, step)
    return (*(entry for need in step.needs for entry in rows.of(need)), *rows.more())


class _Rows:
    def __init__(self, project: Project, sequence: Sequence, step: Step) -> None:
        self._project, self._sequence, self._step = project, sequence, step
        self._names = Names(project)

    def of(self, need: Need) -> Iterator[Entry]:
        if need.latch is not None:
            yield Entry(
                key=f"needs {need.latch}", label=f"Needs {self._names(need.latch)}", value=need.engaged, choices=STATES,
                edit=partial(self._engaged, need),
            )  # fmt: skip
            return
        drive = need.drive or ""
        terms = terms_of(self._project, drive)
        for key, words in (("at_least", "at least"), ("at_most", "at most")):
            yield Entry(
                key=f"needs {drive} {key}", label=f"Needs {self._names(drive)}", note=words, value=getattr(need, key),
                unit=terms.unit, empty="no bound", read=maybe(terms.read), write=write_maybe(terms.write),
                edit=partial(self._bounded, need, key), step=terms.step,
            )  # fmt: skip

    def more(self) -> tuple[Entry, ...]:
        """A drive or a latch picked by name: to be where it is when the step begins now, or engaged."""
        needed = {need.drive or need.latch for need in self._step.needs}
        drives = [(one.id, name_of(one)) for one in self._project.drives]
        held = [(one, self._names(one)) for one in sorted(latches(self._project))]
        choices = tuple(one for one in (*drives, *held) if one[0] not in needed)
        if not choices:
            return ()
        label = "Also needs" if needed else "Needs"
        return (Entry(key="also needs", label=label, value="", choices=(("", MORE), *choices), edit=self._add),)

    # ---- the edits -----------------------------------------------------------------------------------------------

    def _edit(self, needs: tuple[Need, ...]) -> Edit:
        return ReplaceStep(self._sequence.id, replace(self._step, needs=needs), "Change what the step needs")

    def _with(self, old: Need, new: Need | None) -> Edit:
        every = (new if need is old else need for need in self._step.needs)
        return self._edit(tuple(need for need in every if need is not None))

    def _bounded(self, need: Need, key: str, value: float | None) -> Edit:
        """A drive without a bound is needed no longer."""
        changed = replace(need, **{key: value})
        return self._with(need, None if changed.at_least is None and changed.at_most is None else changed)

    def _engaged(self, need: Need, engaged: bool | None) -> Edit:
        return self._with(need, None if engaged is None else replace(need, engaged=engaged))

    def _add(self, thing: str) -> Edit:
        if not thing:
            return self._edit(self._step.needs)
        if thing in latches(self._project):
            return self._edit((*self._step.needs, Need(latch=thing)))
        begin = lay_out(self._sequence).step(self._step.id).begin
        asked = asked_at(self._project, self._sequence, begin)[thing]
        now = math.floor(asked * WRITTEN + 1e-6) / WRITTEN  # down: what holds now must not begin by failing
        return self._edit((*self._step.needs, Need(drive=thing, at_least=now)))
