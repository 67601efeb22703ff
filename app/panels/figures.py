"""Published figures beside the model's: a table, what contradicts what, and the chosen figure to be changed."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.panels.entry_form import EntryForm
from app.panels.figure_adding import FigureAdding
from app.panels.figure_entries import entries_of_figure
from app.panels.figure_rows import HEADINGS, row_of
from app.session import Session
from app.widgets.button import Button
from app.widgets.row_table import row_table
from app.widgets.side_column import side_column
from core.document.figure_edits import RemoveFigure
from core.document.names import by_id
from core.document.project import Figure, Project
from core.figures.besides import besides_sentence
from core.figures.conflicts import conflicts
from core.figures.result import FigureResult
from core.figures.told import conflict_sentence
from core.figures.words import measured_words

EMPTY = (
    "No figure is kept yet. Measure on the sheet and keep it, or choose below what is to be measured, and of what, and "
    "add it."
)
FORM_WIDTH = 350


class FiguresPanel(QWidget):
    write_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._chosen: str | None = None
        self._filling = False
        self.table = row_table(HEADINGS, "Published figures")
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setAccessibleName("Figures that contradict each other")
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.form = EntryForm(session)
        self.about = QLabel()
        self.about.setObjectName("soft")
        self.about.setWordWrap(True)
        self.adding = FigureAdding(session)
        self.adding.added.connect(self.choose)
        self.remove = Button("Remove", "Remove the figure whose row is chosen", look="segment")
        self.remove.clicked.connect(self.remove_chosen)
        self.write = Button("Write to a file…", "All figures beside the model's, as a table (CSV)", look="segment")
        self.write.clicked.connect(self.write_wanted)
        self._lay_out()
        self.table.itemSelectionChanged.connect(self._on_row)
        for signal in (session.project_changed, session.study_changed, session.selection_changed):
            signal.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addWidget(self.table, 1)
        left.addWidget(self.said)
        buttons = QHBoxLayout()
        buttons.addWidget(self.adding)
        buttons.addStretch(1)
        buttons.addWidget(self.remove)
        buttons.addWidget(self.write)
        left.addLayout(buttons)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(12)
        row.addLayout(left, 1)
        row.addWidget(side_column(FORM_WIDTH, "The chosen figure", self.about, self.form))

    # ---- what is shown -------------------------------------------------------------------------------------------

    @property
    def chosen(self) -> Figure | None:
        """The figure whose row is chosen."""
        project = self._session.project
        return by_id(project.figures, self._chosen) if project is not None else None

    def choose(self, figure: str | None) -> None:
        self._chosen = figure
        self.refresh()

    def refresh(self) -> None:
        project = self._session.project
        figures = project.figures if project is not None else ()
        if self.chosen is None:
            self._chosen = figures[0].id if figures else None
        self._fill(project, figures)
        chosen = self.chosen
        self.form.setVisible(chosen is not None)
        self.about.setText(EMPTY if project is None or chosen is None else self._what(project, chosen))
        if project is not None and chosen is not None:
            self.form.show_entries(chosen.id, entries_of_figure(project, chosen))
        self.adding.refresh()
        self.remove.setEnabled(not self._session.looked_at_only and chosen is not None)
        self.write.setEnabled(bool(figures))

    def _what(self, project: Project, figure: Figure) -> str:
        """What it measures, and what has to be known beside its size."""
        result = self._results().get(figure.id)
        beside = besides_sentence(result, project) if result is not None else ""
        return f"The {measured_words(project, figure)}. {beside}".rstrip()

    def _results(self) -> dict[str, FigureResult]:
        study = self._session.study if self._session.study_current else None
        return {one.id: one for one in study.figures} if study is not None else {}

    def _fill(self, project: Project | None, figures: tuple[Figure, ...]) -> None:
        results = self._results()
        self._filling = True
        self.table.setRowCount(len(figures))
        for number, figure in enumerate(figures):
            result = results.get(figure.id)
            texts = row_of(project, figure, result) if project is not None else ()
            for column, text in enumerate(texts):
                item = QTableWidgetItem(text)
                item.setToolTip(result.trouble if result is not None and result.trouble else figure.source)
                self.table.setItem(number, column, item)
            if figure.id == self._chosen:
                self.table.selectRow(number)
        self._filling = False
        against = conflicts(project, tuple(results.values())) if project is not None else ()
        troubles = [f"{one.figure.name or one.id}: {one.trouble}" for one in results.values() if one.trouble]
        said = [*(conflict_sentence(one, project) for one in against if project is not None), *troubles]
        self.said.setText("\n".join(f"▲ {line}" for line in said))
        self.said.setVisible(bool(said))

    # ---- what is done --------------------------------------------------------------------------------------------

    def _on_row(self) -> None:
        project, rows = self._session.project, self.table.selectionModel().selectedRows()
        if not self._filling and project is not None and rows and rows[0].row() < len(project.figures):
            self.choose(project.figures[rows[0].row()].id)

    def remove_chosen(self) -> None:
        if self._chosen is not None:
            gone, self._chosen = self._chosen, None
            self._session.push(RemoveFigure(gone))
