"""A project with one of every connection, and a form in which a test types the values of a thing of it."""

from __future__ import annotations

from msgspec.structs import replace

from app.panels.entries import entries_of
from app.panels.entry_form import EntryForm
from app.session import Session
from core.document.project import Gearing, Jack, Latch, Project, Rod, Slide, Slot
from tests.app.small_aircraft import small_aircraft

MADE = (
    Rod(id="rod", bodies=("leg", "door"), ends=((0.0, 0.0), (3.0, 4.0)), width=2.0),
    Jack(id="jack", bodies=("leg", "door"), ends=((0.0, 0.0), (9.0, 0.0)), closed=7.0, stroke=4.5),
    Slide(id="slide", bodies=("airframe", "leg"), at=(0.0, -40.0), along=(0.0, -1.0), limits=(0.0, 7.5)),
    Slot(id="slot", bodies=("leg", "door"), at=(5.0, 2.0), start=(3.0, 2.0), end=(12.0, 2.0)),
    Latch(id="latch", bodies=("leg", "door"), ends=((0.0, 0.0), (1.0, 0.0)), reach=0.8),
    Gearing(id="gearing", pivots=("leg-pivot", "hinge"), ratio=-1.0),
)


def everything(unit: str = "mm") -> Project:
    project = small_aircraft()
    return replace(project, connections=(*project.connections, *MADE), length_unit=unit)


def shown(qtbot, thing: str | None, project: Project | None = None) -> tuple[EntryForm, Session]:
    session = Session()
    session.open(project or everything(), None)
    form = EntryForm(session)
    qtbot.addWidget(form)

    def show() -> None:
        form.show_entries(thing or "", entries_of(session.project, session.sequence, thing))

    session.project_changed.connect(show)
    show()
    form.show()
    return form, session


def enter(form: EntryForm, key: str, text: str) -> str:
    """Type a value as a user does; gives back the reason when it was refused."""
    field = form.fields[key]
    field.line.setText(text)
    field.line.setModified(True)
    field.line.returnPressed.emit()
    return field.reason


def thing(session: Session, thing_id: str):
    every = (*session.project.bodies, *session.project.connections, *session.project.drives)
    return next(one for one in every if one.id == thing_id)
