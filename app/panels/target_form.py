"""Where the chosen body ought to be: its targets, typed, and set by bringing it to where it should end."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import Any

from msgspec.structs import replace
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.panels.entry import Entry, length_entry
from app.panels.entry_form import EntryForm
from app.panels.facts import DEGREES
from app.panels.readings import read_angle, write_angle
from app.session import Session
from app.widgets.button import Button
from app.widgets.emptying import empty
from core.document.fresh import fresh_id
from core.document.lengths import clearance_step
from core.document.project import Body, Project, Target
from core.document.target_edits import RemoveTarget, SetTarget
from core.drawing.situation import poses_between
from core.motion.moments import moment_of, moment_words


class TargetForm(QWidget):
    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._shown: tuple[str, ...] = ()
        self.forms: dict[str, EntryForm] = {}
        self._heading = QLabel("Should stand")
        self._heading.setObjectName("heading")
        self._list = QVBoxLayout()
        self._list.setSpacing(8)
        tip = "Keep where the body stands at this moment as a target, which every check measures"
        self.here = Button("It should stand here", tip, look="segment")
        self.here.clicked.connect(self.set_here)
        row = QHBoxLayout()
        row.addWidget(self.here)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self._heading)
        column.addLayout(self._list)
        column.addLayout(row)

    # ---- what is shown -------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        project, body = self._session.project, self._body()
        self.setVisible(body is not None)
        if project is None or body is None:
            return
        self.here.setEnabled(self._session.study_current and not self._session.looked_at_only)
        targets = tuple(one for one in project.targets if one.body == body.id)
        self._heading.setVisible(bool(targets))
        ids = tuple(one.id for one in targets)
        if ids != self._shown:
            self._refill(targets)
        for one in targets:
            self.forms[one.id].show_entries(one.id, entries_of_target(project, one))

    def _body(self) -> Body | None:
        project, chosen = self._session.project, self._session.selection
        bodies = project.bodies if project is not None else ()
        return next((one for one in bodies if one.id == chosen and not one.fixed), None)

    def _refill(self, targets: tuple[Target, ...]) -> None:
        empty(self._list)
        self._shown = tuple(one.id for one in targets)
        self.forms = {}
        for one in targets:
            form = EntryForm(self._session)
            remove = Button("Remove this target", look="quiet")
            remove.clicked.connect(partial(self._session.push, RemoveTarget(one.id)))
            self.forms[one.id] = form
            self._list.addWidget(form)
            self._list.addWidget(remove)

    # ---- what is done --------------------------------------------------------------------------------------------

    def set_here(self) -> None:
        """Keep the body's pose at the moment that is looked at; a target of the same moment is moved there."""
        project, body, sequence = self._session.project, self._body(), self._session.sequence
        study = self._session.sequence_study
        if project is None or body is None or sequence is None or study is None or not self._session.study_current:
            return
        motion = study.motion
        if body.id not in motion.bodies:
            return
        x, y, turn = (float(v) for v in poses_between(motion, self._session.moment)[motion.bodies.index(body.id)])
        at = moment_of(sequence, self._session.moment)
        held = next((one for one in project.targets if one.body == body.id and one.at == at), None)
        place: dict[str, Any] = {"x": round(x, 4), "y": round(y, 4), "turn": round(math.degrees(turn), 4)}
        if held is not None:
            self._session.push(SetTarget(replace(held, **place)))
        else:
            new = fresh_id(project, f"{body.id}-target")
            self._session.push(SetTarget(Target(id=new, body=body.id, at=at, **place)))


def entries_of_target(project: Project, target: Target) -> tuple[Entry, ...]:
    def change(key: str) -> Callable[[float], SetTarget]:
        return lambda value: SetTarget(replace(target, **{key: value}))

    when, near = moment_words(project, target.at), clearance_step(project)
    return (
        length_entry(project, "x", "Moved in x", target.x, change("x"), note=when),
        length_entry(project, "y", "Moved in y", target.y, change("y")),
        Entry(
            key="turn", label="Turned", value=target.turn, unit=DEGREES, read=read_angle, write=write_angle,
            edit=change("turn"),
        ),
        length_entry(project, "within", "Within", target.within, change("within"), step=near),
    )  # fmt: skip
