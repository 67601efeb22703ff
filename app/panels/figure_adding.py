"""A row that begins a figure of one thing: what is measured, and of what, chosen by their names."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.panels.figure_words import OF_WORDS
from app.session import Session
from app.widgets.button import Button
from app.widgets.choice import Choice
from core.document.figure_edits import SetFigure
from core.document.measured import measurable
from core.document.names import name_of
from core.document.project import Body, Connection, Quantity
from core.figures.fresh import fresh_figure

SHORTEST = 12
"""Letters of a choice that are seen at the least."""


class FigureAdding(QWidget):
    added = Signal(str)
    """The id of the figure that was begun."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._things: tuple[Body | Connection, ...] = ()
        self.quantities = _choice("What is measured")
        self.quantities.addItems([words[0].upper() + words[1:] for words in OF_WORDS.values()])
        self.of = _choice("Of what it is measured")
        self.button = Button("Add", "Add it as a figure; its published size is typed beside the table", look="segment")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        for part in (self.quantities, self.of, self.button):
            row.addWidget(part)
        self.quantities.currentIndexChanged.connect(self.refresh)
        session.selection_changed.connect(self._follow)
        self.button.clicked.connect(self.add)
        self._follow()

    @property
    def quantity(self) -> Quantity:
        return list(OF_WORDS)[self.quantities.currentIndex()]

    def refresh(self) -> None:
        """Offer what there is; what was picked stays picked while it is there."""
        project, kept = self._session.project, self._picked
        self._things = () if project is None else measurable(project, self.quantity)
        texts = [name_of(one) for one in self._things]
        if texts != [self.of.itemText(row) for row in range(self.of.count())]:
            self.of.clear()
            self.of.addItems(texts)
        self._pick(kept.id if kept is not None else self._session.selection)
        timeless = self.quantity in ("diameter", "length")
        able = bool(self._things) and (timeless or (project is not None and bool(project.sequences)))
        self.button.setEnabled(able and not self._session.looked_at_only)
        self.of.setEnabled(bool(self._things))

    @property
    def _picked(self) -> Body | Connection | None:
        row = self.of.currentIndex()
        return self._things[row] if 0 <= row < len(self._things) else None

    def _pick(self, thing: str | None) -> None:
        row = next((row for row, one in enumerate(self._things) if one.id == thing), None)
        if row is not None:
            self.of.setCurrentIndex(row)

    def _follow(self) -> None:
        """What is chosen elsewhere is what is meant here, where it can be."""
        self.refresh()
        self._pick(self._session.selection)

    def add(self) -> None:
        """Keep it as a figure without a published size, over the sequence shown."""
        project, thing, sequence = self._session.project, self._picked, self._session.sequence
        if project is None or thing is None:
            return
        figure = fresh_figure(project, self.quantity, thing, sequence=sequence.id if sequence is not None else "")
        self._session.push(SetFigure(figure, f"Add {figure.name}"))
        self.added.emit(figure.id)


def _choice(name: str) -> Choice:
    pick = Choice(name)
    pick.narrow(SHORTEST)
    return pick
