"""The window of published figures, which stays open beside the sheet while something is measured there."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from app.dialogs.files import ask_for_figures, where_to_write
from app.dialogs.frame import Dialog
from app.errands import Errands
from app.panels.figures import FiguresPanel
from app.session import Session
from app.sheet.bench import Bench
from core.exports.figures import figures_table
from core.exports.table import write_table
from core.study import Study

SIZE = (1080, 620)


class FiguresWindow(Dialog):
    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__("Published figures", parent)
        self.setWindowModality(Qt.WindowModality.NonModal)
        self.panel = FiguresPanel(session)
        self.page.addWidget(self.panel, 1)
        self.add_button("Close").clicked.connect(self.close)  # Enter is for what is typed
        standard = QKeySequence.StandardKey
        for keys, does in ((standard.Undo, session.undo), (standard.Redo, session.redo)):
            QShortcut(QKeySequence(keys), self).activated.connect(does)
        self.open_to(*SIZE)


class Figuring(QObject):
    """Opens it once, and has what was measured and kept chosen in it."""

    def __init__(self, session: Session, bench: Bench, errands: Errands, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._errands, self._window = session, errands, window
        self._shown: FiguresWindow | None = None
        bench.made.connect(self._on_made)
        session.project_opened.connect(self._on_opened)

    def show(self) -> None:
        if self._shown is None:
            self._shown = FiguresWindow(self._session, self._window)
            self._shown.panel.write_wanted.connect(self.ask_to_write)
            self._shown.finished.connect(self._forget)
            self._shown.destroyed.connect(self._forget)
        self._shown.show()
        self._shown.activateWindow()

    def ask_to_write(self) -> None:
        """Have it asked where the table goes; while the check is under way, say so."""
        study = self._session.study if self._session.study_current else None
        if study is None or self._shown is None:
            self._session.turn_down("The figures are not known yet: wait for the check")
            return
        start = where_to_write(self._session.folder) / "figures.csv"
        ask_for_figures(self._shown, start, lambda file: self.write(study, file))

    def write(self, study: Study, file: Path) -> None:
        """Write the figures beside the model's."""

        def write() -> str:
            write_table(file, figures_table(study.project, study.figures))
            return f"The figures are written: {file.name}, in {file.parent}"

        self._errands.run(write)

    def _forget(self) -> None:
        self._shown = None

    def _on_made(self, thing: str) -> None:
        project = self._session.project
        if project is not None and any(one.id == thing for one in project.figures):
            self.show()
            if self._shown is not None:
                self._shown.panel.choose(thing)

    def _on_opened(self) -> None:
        if self._shown is not None:
            self._shown.close()
