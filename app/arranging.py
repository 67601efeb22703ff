"""How the chosen things are shown and kept: hidden, locked, tinted, and laid over and under each other."""

from __future__ import annotations

from collections.abc import Collection
from functools import partial
from typing import get_args

from PySide6.QtCore import QObject

from app.actions import Actions
from app.painting.theme import Theme
from app.session import Session
from app.uses import Switches, Uses
from app.widgets.swatch import swatch_icon
from core.document.look_edits import (
    OrderBodies,
    SetHidden,
    SetLocked,
    SetTint,
    ShowOnly,
    Way,
    laid,
    laid_over,
    words_for,
)
from core.document.project import Body, Drawn, Ink, Project
from core.drawing.drawing import Tint

WAYS = {
    "lay-higher": Way.HIGHER,
    "lay-lower": Way.LOWER,
    "lay-top": Way.TOP,
    "lay-bottom": Way.BOTTOM,
}
BODIES_ONLY = "Bodies can be {}; choose one first"
NO_OTHER = "They lie that way already; depth goes before: what stands wholly before another is drawn over it"


class Arranging(QObject):
    """Keeps the marks of its actions true to what is chosen."""

    def __init__(self, session: Session, actions: Actions, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._actions = session, actions
        for signal in (session.project_changed, session.selection_changed):
            signal.connect(self._tell)
        self._tell()

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        ways: Uses = {action: partial(self.lay, way) for action, way in WAYS.items()}
        return {**ways, "show-only": self.show_only, "show-all": self.show_everything}

    @property
    def switches(self) -> Switches:
        """What its checkable actions do when they are put on or off."""
        tints: Switches = {f"tint-{ink or 'role'}": partial(self._tint, ink) for ink in (None, *get_args(Ink))}
        return {
            **tints,
            "hide": lambda on: self.hide(self._session.chosen, hidden=on),
            "lock": lambda on: self.lock(self._session.chosen, locked=on),
        }

    def set_theme(self, theme: Theme) -> None:
        """Show each tint beside its name in the menus, as the sheet has it."""
        for ink in get_args(Ink):
            self._actions[f"tint-{ink}"].setIcon(swatch_icon(theme.tint(Tint(ink)), theme.edge, theme.ink))

    def set_look(self, look: str, things: Collection[str], on: bool) -> None:
        """Have things "hidden" or "locked", or no longer."""
        if look == "hidden":
            self.hide(things, hidden=on)
        else:
            self.lock(things, locked=on)

    # ---- in sight or not -----------------------------------------------------------------------------------------

    def hide(self, things: Collection[str], *, hidden: bool) -> None:
        """Take bodies and connections out of sight, or bring them back; what goes out of sight is let go."""
        drawn = self._drawn(things)
        if not drawn:
            self._refuse("Bodies and connections can be hidden; choose one first")
            return
        ids = tuple(one.id for one in drawn)
        verb = "Hide" if hidden else "Show"
        self._session.push(SetHidden(ids, hidden, f"{verb} {self._words(ids)}"))
        if hidden:
            self._session.choose_several(one for one in self._session.chosen if one not in ids)

    def show_only(self) -> None:
        """Take everything but what is chosen, with what joins it, out of sight."""
        drawn = self._drawn(self._session.chosen)
        if not drawn:
            self._refuse("Choose what is to stay in sight first")
            return
        self._session.push(ShowOnly(tuple(one.id for one in drawn)))

    def show_everything(self) -> None:
        project = self._session.project
        if project is not None:
            every = tuple(one.id for one in (*project.bodies, *project.connections))
            self._session.push(SetHidden(every, False, "Show everything"))

    # ---- kept as they are ----------------------------------------------------------------------------------------

    def lock(self, things: Collection[str], *, locked: bool) -> None:
        """Have bodies and connections stay as they are, or free them."""
        drawn = self._drawn(things)
        if not drawn:
            self._refuse("Bodies and connections can be locked; choose one first")
            return
        ids = tuple(one.id for one in drawn)
        verb = "Lock" if locked else "Free"
        self._session.push(SetLocked(ids, locked, f"{verb} {self._words(ids)}"))

    # ---- tints ---------------------------------------------------------------------------------------------------

    def _tint(self, ink: Ink | None, _on: bool) -> None:
        self.tint(ink)
        self._tell()

    def tint(self, ink: Ink | None) -> None:
        """Give the chosen bodies a tint of their own, or their role's again."""
        bodies = self._bodies(self._session.chosen)
        if not bodies:
            self._refuse(BODIES_ONLY.format("tinted"))
            return
        self._session.push(SetTint(bodies, ink, f"Tint {self._words(bodies)}"))

    # ---- over and under each other -------------------------------------------------------------------------------

    def lay(self, way: Way) -> None:
        """Lay the chosen bodies over or under others of their view."""
        project, bodies = self._session.project, self._bodies(self._session.chosen)
        if project is None or not bodies:
            self._refuse(BODIES_ONLY.format("laid over each other"))
            return
        self._order(project, laid(project, bodies, way), f"Lay {self._words(bodies)} {way.value}")

    def lay_over(self, things: Collection[str], under: str | None) -> None:
        """Lay bodies right over another, or under all of them."""
        project, bodies = self._session.project, self._bodies(things)
        if project is not None and bodies:
            self._order(project, laid_over(project, bodies, under), f"Lay {self._words(bodies)} elsewhere")

    def _order(self, project: Project, order: tuple[str, ...], words: str) -> None:
        if order == tuple(one.id for one in project.bodies):
            self._refuse(NO_OTHER)
        else:
            self._session.push(OrderBodies(order, words))

    # ---- inside --------------------------------------------------------------------------------------------------

    def _refuse(self, why: str) -> None:
        self._session.turn_down(why)
        self._tell()

    def _drawn(self, things: Collection[str]) -> tuple[Drawn, ...]:
        project = self._session.project
        every: tuple[Drawn, ...] = () if project is None else (*project.bodies, *project.connections)
        return tuple(one for one in every if one.id in things)

    def _bodies(self, things: Collection[str]) -> tuple[str, ...]:
        return tuple(one.id for one in self._drawn(things) if isinstance(one, Body))

    def _words(self, ids: Collection[str]) -> str:
        project = self._session.project
        return "" if project is None else words_for(project, ids)

    def _tell(self) -> None:
        """Put the marks of the actions where what is chosen has them."""
        drawn = self._drawn(self._session.chosen)
        self._actions["hide"].setChecked(bool(drawn) and all(one.hidden for one in drawn))
        self._actions["lock"].setChecked(bool(drawn) and all(one.locked for one in drawn))
        tints = {one.tint for one in drawn if isinstance(one, Body)}
        for ink in (None, *get_args(Ink)):
            self._actions[f"tint-{ink or 'role'}"].setChecked(tints == {ink})
