"""What is wrong, worst first; and when nothing is, what that rests on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QItemSelection, QModelIndex, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QListView, QStackedLayout, QVBoxLayout, QWidget

from app.painting.theme import Theme
from app.panels.answer_form import AnswerForm
from app.panels.finding_groups import Group, accepted_groups, figures_off, groups_of
from app.panels.finding_model import GROUP_ROLE, FindingModel
from app.panels.finding_rows import FindingDelegate, amount_of, kept_together, note_of
from app.panels.vain_note import VainNote
from app.session import Session
from app.widgets.focus_edge import EdgedList
from app.widgets.panel_head import PanelHead
from app.widgets.scrolled import scrolled
from core.document.names import name_of
from core.document.newer import notice
from core.document.project import Project
from core.figures.told import sentence
from core.findings.finding import Finding
from core.findings.sentences import Names
from core.study import SequenceStudy, Study


@dataclass(frozen=True, slots=True)
class Standing:
    """How the check stands: a heading and, below it, what there is to say."""

    count: str
    title: str = ""
    text: str = ""


def standing_of(session: Session) -> Standing:
    """Never says that all is clear unless the study is of what is shown."""
    if session.project is None:
        return Standing("", "No aircraft is open", "What is wrong with an aircraft is listed here, worst first.")
    if session.senseless:
        return Standing("not checked", "This can not be", session.senseless)
    if session.failure is not None:
        return Standing("not checked", "It could not be checked", session.failure)
    if session.study is None or not session.study_current:
        return Standing("checking…", "Checking…", "Every pair, over the whole of every sequence.")
    if not session.project.bodies:
        return Standing("nothing to check", "Nothing to check yet", "There are no bodies, and so nothing can touch.")
    groups, accepted = groups_of(session.study), accepted_groups(session.study)
    lived_with = f", {len(accepted)} accepted" if accepted else ""
    if groups:
        return Standing(f"{len(groups)}{lived_with}")
    if accepted:
        return Standing(f"none{lived_with}")
    if off := figures_off(session.study):
        return Standing(off, f"Nothing found, but {off}", _figures_text(session.study))
    return Standing("nothing found", "Nothing found", checked_text(session.study))


def _figures_text(study: Study) -> str:
    said = [sentence(one, study.project) for one in study.figures if one.is_off]
    return "\n\n".join([*said, checked_text(study)])


def checked_text(study: Study) -> str:
    """What was checked, sequence by sequence, and how near anything came; and what could not be, of a newer file."""
    told = [_checked(one, Names(study.project)) for one in study.sequences]
    return "\n\n".join(filter(None, (*told, notice(study.project))))


def _checked(one: SequenceStudy, names: Names) -> str:
    pairs, frames = len(one.interference.pairs), len(one.motion.times)
    counted = {0: "no pair to check", 1: "1 pair"}.get(pairs, f"{pairs} pairs")
    over = f" over {frames} frames, {one.schedule.seconds:.2f} s" if frames > 1 else ""
    lines = [f"{name_of(one.sequence)}: {counted}{over}."]
    nearest = min(one.interference.clearances, key=lambda clearance: clearance.least, default=None)
    if nearest is not None:
        who = names.listed(nearest.parts)
        lines.append(f"Least clearance {names.length(nearest.least)}, {who}, at {nearest.time:.2f} s.")
        proved = all(clearance.proved for clearance in one.interference.clearances)
        lines.append("Proved between the frames." if proved else "Holds at the frames; between them it is not proved.")
    return "\n".join(lines)


class FindingsPanel(QWidget):
    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("panel")
        self._session = session
        self._filling = False
        self._followed: Finding | None = None
        self._listed: Study | None = None
        self._change_of: Callable[[Finding], str] = lambda _finding: ""
        self.head = PanelHead("Findings")
        self._make_list(theme)
        self._note = self._make_note()

        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        self._stack = QStackedLayout()
        self._stack.addWidget(self.list)
        self._stack.addWidget(self._note)
        column.addLayout(self._stack, 1)
        self.answer = AnswerForm(session)
        column.addWidget(self.answer)
        self.vain = VainNote(session)
        column.addWidget(self.vain)

        self.list.selectionModel().selectionChanged.connect(self._on_selected)
        self.list.clicked.connect(self._on_clicked)
        for signal in (session.study_changed, session.shown_changed):
            signal.connect(self._tell_standing)
        session.follow(self, self.refresh)
        session.sequence_changed.connect(self.refresh)
        session.finding_changed.connect(self._follow_finding)
        self.refresh()

    def set_theme(self, theme: Theme) -> None:
        self._delegate.theme = theme
        self.list.viewport().update()

    @property
    def standing(self) -> Standing:
        return standing_of(self._session)

    def _make_list(self, theme: Theme) -> None:
        self.model = FindingModel()
        self.list = EdgedList()
        self.list.setModel(self.model)
        self.list.setAccessibleName("Findings, worst first")
        self.list.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setMouseTracking(True)
        self.list.setStatusTip("Press a finding to go to its moment and its place")
        self._delegate = FindingDelegate(theme, self.list)
        self.list.setItemDelegate(self._delegate)
        for part in (self.list, self.list.viewport()):
            part.installEventFilter(self)

    def _make_note(self) -> QWidget:
        note = QWidget()
        note.setObjectName("page")
        self._title, self._text = QLabel(), QLabel()
        self._title.setObjectName("title")
        self._text.setObjectName("soft")
        self._text.setWordWrap(True)
        self._text.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        column = QVBoxLayout(note)
        column.setContentsMargins(14, 18, 14, 14)
        column.setSpacing(10)
        column.addWidget(self._title)
        column.addWidget(self._text, 1)
        return scrolled(note)

    # ---- what is shown -------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """The list, of the newest study; while it is checked anew, what was found before stays in sight."""
        if self._session.study_current or self._session.following or self._session.study is None:
            self._fill()
        self._tell_standing()

    def _tell_standing(self) -> None:
        """How the check stands, which never waits for the list."""
        standing = self.standing
        self.head.set_count(standing.count)
        self._title.setText(standing.title)
        self._text.setText(kept_together(standing.text))
        current = self._session.study_current
        # While it is checked anew, what was found before is faint, and cannot be chosen.
        self.list.setEnabled(current or self._session.following)
        said = self._session.senseless or self._session.failure
        overtaken = not current and not said and self.model.rowCount() > 0
        self._stack.setCurrentWidget(self._note if standing.title and not overtaken else self.list)

    def _fill(self) -> None:
        study, project, shown = self._session.study, self._session.shown, self._session.sequence
        self._listed = study
        groups = (*groups_of(study), *accepted_groups(study)) if study is not None else ()
        where = shown.id if shown is not None else None
        notes = tuple(self._note_of(one, project, where) for one in groups) if project is not None else ()
        self._filling = True
        amounts = tuple(amount_of(one.findings[0], project) for one in groups) if project is not None else ()
        self.model.show(groups, notes, amounts)
        self._filling = False
        self._follow_finding()

    def show_changes(self, change_of: Callable[[Finding], str]) -> None:
        """How each finding differs from what is known without a fault, in a word; nothing where it does not."""
        self._change_of = change_of
        self.refresh()

    def _note_of(self, group: Group, project: Project, shown: str | None) -> str:
        change = self._change_of(group.findings[0])
        return "  ·  ".join(words for words in (change, note_of(group, project, shown)) if words)

    def _follow_finding(self) -> None:
        """The row of the finding that is looked at; while the list of a draft's study waits, that of the one before."""
        finding = self._session.finding
        if self._session.drafting and not self._session.senseless and self._session.study is not self._listed:
            return
        self._filling = True
        if finding != self._followed:
            self._followed = finding
            if finding is not None and finding.accepted is not None:
                self.model.fold(False)
        row = self.model.row_of(finding)
        if row is None:
            self.list.clearSelection()
            self.list.setCurrentIndex(QModelIndex())
        else:
            self.list.setCurrentIndex(self.model.index(row))
            self.list.scrollTo(self.model.index(row))
        self._filling = False

    def _keep_in_sight(self) -> None:
        """The whole row of the finding that is looked at."""
        if self.list.selectionModel().hasSelection():
            self.list.scrollTo(self.list.currentIndex())

    # ---- what is chosen ------------------------------------------------------------------------------------------

    def _on_selected(self, selected: QItemSelection) -> None:
        """Not merely made current, which a list does to its first row when the keyboard comes to it."""
        if not self._filling and selected.indexes():
            self._show(selected.indexes()[0])

    def _on_clicked(self, index: QModelIndex) -> None:
        """Also when it was chosen before, and the moment or the sheet has been moved since."""
        if index.row() == self.model.heading:
            self._fold(not self.model.folded)
        self._show(index)

    def _fold(self, folded: bool) -> None:
        """The heading stays where the keyboard is."""
        self._filling = True
        self.model.fold(folded)
        self.list.setCurrentIndex(self.model.index(self.model.heading or 0))
        self._filling = False
        self.list.scrollTo(self.model.index(self.model.rowCount() - 1))

    def _show(self, index: QModelIndex) -> None:
        sequence = self._session.sequence
        group: Group | None = index.data(GROUP_ROLE)
        if group is None:
            return
        self._session.show_finding(group.of(sequence.id if sequence is not None else None))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Sentences wrap anew when the list gets another width; keys fold and unfold what is accepted."""
        if event.type() == QEvent.Type.Resize and watched is not self.list:
            self.list.scheduleDelayedItemsLayout()
            QTimer.singleShot(0, self, self._keep_in_sight)  # what answers it may have come below, and take room
        if isinstance(event, QKeyEvent) and (wanted := self._folding(event)) is not None:
            if event.type() == QEvent.Type.ShortcutOverride:
                event.accept()  # on the heading these keys are the list's, and not the window's
                return True
            if event.type() == QEvent.Type.KeyPress:
                self._fold(wanted)
                return True
        return super().eventFilter(watched, event)

    def _folding(self, event: QKeyEvent) -> bool | None:
        """Whether a key on the heading folds or unfolds; None where it does neither."""
        if self.model.heading is None or self.list.currentIndex().row() != self.model.heading:
            return None
        folds = {Qt.Key.Key_Left: True, Qt.Key.Key_Right: False}
        folds |= dict.fromkeys((Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter), not self.model.folded)
        return folds.get(Qt.Key(event.key()))
