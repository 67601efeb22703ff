"""Bodies, connections and drives as a list that can be searched, and the numbers of what is chosen."""

from __future__ import annotations

from PySide6.QtCore import QElapsedTimer, Qt, QTimer
from PySide6.QtWidgets import QLabel, QSplitter, QVBoxLayout, QWidget

from app.painting.theme import Theme
from app.panels.entries import entries_of
from app.panels.entry_form import EntryForm
from app.panels.fact_table import FactTable
from app.panels.facts import Facts, Scene, facts_of, step_lines
from app.panels.lists import ListsPanel
from app.panels.look_note import LookNote
from app.panels.moved_by import MovedBy
from app.panels.path_form import PathForm
from app.panels.remedy import Remedy
from app.panels.section import Section
from app.panels.step_form import StepForm
from app.panels.stock_row import StockRow
from app.panels.sweep_form import SweepForm
from app.panels.target_form import TargetForm
from app.panels.tint_row import TintRow
from app.session import Session
from app.widgets.panel_head import PanelHead
from app.widgets.scrolled import scrolled
from core.document.names import by_id, name_of
from core.document.project import Step
from core.figures.told import sentence

BEHIND_MS = 120
"""How far what is told may be behind the hand, and behind what plays."""


class DetailsPanel(QWidget):
    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("panel")
        self._session = session
        self.head = PanelHead("Details")
        self.lists = ListsPanel(session, theme)
        self._make_page(theme)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(self._page)
        self.splitter.addWidget(self.lists)
        self.splitter.setChildrenCollapsible(False)
        self.splitter.setSizes([380, 260])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.splitter, 1)

        self._behind = QTimer(self)
        self._behind.setSingleShot(True)
        self._behind.timeout.connect(lambda: session.at_leisure(self.refresh))
        for signal in (session.project_changed, session.sequence_changed, session.selection_changed):
            signal.connect(self.refresh)
        for signal in (session.shown_changed, session.study_changed):
            signal.connect(self._on_shown_changed)
        self._moment_changed = QElapsedTimer()
        session.moment_changed.connect(self._on_moment_changed)
        self.refresh()

    def _on_shown_changed(self) -> None:
        """What is told of the chosen thing takes longer than a repaint may: under the hand it comes after that."""
        if not self._session.drafting:
            self._behind.stop()
            self.refresh()
        elif not self._behind.isActive():
            self._behind.start(BEHIND_MS)

    def _on_moment_changed(self) -> None:
        """While the sequence plays, figures that change faster than they can be read are not told: the last one is."""
        since_told = self._moment_changed.elapsed() if self._moment_changed.isValid() else 2 * BEHIND_MS
        self._moment_changed.start()
        if since_told >= 2 * BEHIND_MS:
            self.refresh()
        elif not self._behind.isActive():
            self._behind.start(BEHIND_MS)

    def set_theme(self, theme: Theme) -> None:
        self.lists.set_theme(theme)
        self.tints.set_theme(theme)
        self.section.theme = theme
        self.section.update()

    # ---- parts ---------------------------------------------------------------------------------------------------

    def _make_page(self, theme: Theme) -> None:
        page = QWidget()
        page.setObjectName("page")
        self._make_labels()
        self.form = StepForm(self._session)
        self.entries = EntryForm(self._session)
        self.stock = StockRow(self._session)
        self.section = Section(self._session, theme)
        self.targets = TargetForm(self._session)
        self.look_note = LookNote(self._session)
        self.tints = TintRow(self._session, theme)
        self.table = FactTable()
        column = QVBoxLayout(page)
        column.setContentsMargins(14, 14, 10, 14)
        column.setSpacing(12)
        self.moved_by = MovedBy(self._session)
        self.remedy = Remedy(self._session)
        self.path = PathForm()
        self.sweep = SweepForm()
        parts = (
            self._title, self._empty, self.look_note, self.remedy, self.form, self.entries, self.tints, self.stock,
            self.section, self.moved_by, self.table, self.path, self.targets, self.sweep, self._figures_heading,
            self._figures,
        )  # fmt: skip
        for widget in parts:
            column.addWidget(widget)
        column.addStretch(1)
        self._page = scrolled(page)
        self.sweep.answered.connect(self._show_sweep)

    def _make_labels(self) -> None:
        self._title, self._empty = QLabel(), QLabel("What is chosen on the sheet or in the lists is told here.")
        self._title.setObjectName("title")
        self._title.setWordWrap(True)
        self._empty.setObjectName("soft")
        self._empty.setWordWrap(True)
        self._figures_heading, self._figures = QLabel("Published figures"), QLabel()
        self._figures_heading.setObjectName("heading")
        self._figures.setWordWrap(True)
        self._figures.setAccessibleName("Published figures")
        self._figures.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)

    def _show_sweep(self) -> None:
        """Bring the sweep's answer into sight, once it has its new height."""
        QTimer.singleShot(0, self._scroll_to_sweep)

    def _scroll_to_sweep(self) -> None:
        self._page.ensureWidgetVisible(self.sweep)

    # ---- what is shown -------------------------------------------------------------------------------------------

    @property
    def title(self) -> str:
        return self._title.text()

    def _scene(self) -> Scene | None:
        project, schedule = self._session.shown, self._session.schedule
        if project is None or schedule is None:
            return None
        study = self._session.sequence_study if self._session.study_current else None
        return Scene(project=project, schedule=schedule, study=study, moment=self._session.moment)

    def _chosen_step(self) -> Step | None:
        sequence = self._session.sequence
        if sequence is None:
            return None
        return by_id(sequence.steps, self._session.selection)

    def refresh(self) -> None:
        scene, step, sequence = self._scene(), self._chosen_step(), self._session.sequence
        self.moved_by.refresh()
        self._empty.setVisible(scene is None)
        self._title.setVisible(scene is not None)
        self.table.setVisible(scene is not None)
        self.form.setVisible(scene is not None and step is not None)
        self.entries.setVisible(scene is not None and step is None)
        self.look_note.refresh()
        self.tints.refresh()
        for part in (self.entries, self.section, self.stock):
            part.setEnabled(not self.look_note.locked)
        self.section.refresh()
        self.stock.refresh()
        self.targets.refresh()
        if scene is None or sequence is None:
            self._show_figures(None, wanted=False)
            self.head.set_count("")
            return
        if step is not None:
            self.form.show_step(scene.project, sequence, step)
            facts = Facts(title=name_of(step), kind="step", lines=step_lines(scene, step))
        else:
            chosen = self._session.selection
            self.entries.show_entries(chosen or "", entries_of(scene.project, sequence, chosen))
            facts = facts_of(scene, chosen)
        self._show_figures(scene, wanted=facts.kind == "aircraft")
        self.head.set_count(facts.kind)
        self._title.setText(facts.title)
        self.table.show_facts(facts.lines)

    @property
    def figures(self) -> str:
        return self._figures.text()

    def _show_figures(self, scene: Scene | None, *, wanted: bool) -> None:
        """What the published figures came to, beside the aircraft; nothing while that is not known."""
        study = self._session.study if self._session.study_current else None
        said = [sentence(one, scene.project) for one in study.figures] if study and scene and wanted else []
        text = "\n\n".join(said)
        if text != self._figures.text():
            self._figures.setText(text)
        for label in (self._figures_heading, self._figures):
            label.setVisible(bool(text))

    def rename(self) -> None:
        """Have the name of what is chosen typed anew."""
        if self.look_note.locked:
            self._session.turn_down(f"{self.title} is locked and stays as it is: free it first")
        if (field := self.entries.fields.get("name")) is not None:
            field.type_anew()
