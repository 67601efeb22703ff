"""What can be done about the chosen finding: live with it for a reason, or change the rule for its pair."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QBoxLayout, QGridLayout, QLabel, QVBoxLayout, QWidget

from app.panels.fact_table import LABEL_WIDTH
from app.panels.readings import read_length, unit_beside, write_length
from app.session import Session
from app.widgets.button import Button
from app.widgets.line import Line
from app.widgets.value_field import Reading, ValueField
from core.document.finding_edits import Accept, RemovePairRule, SetPairRule, TakeBack, rule_of
from core.document.lengths import clearance_step, length_unit
from core.document.names import joined
from core.document.project import Latch, PairRule, Pivot, Project, Slide, Slot
from core.findings.acceptance import acceptance_of
from core.findings.finding import Finding, Kind

PAIR_KINDS = (Kind.CLASH, Kind.TIGHT)
MARGIN = 14
BESIDE, BELOW = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom


class AnswerForm(QWidget):
    """Shown below the findings while one is chosen and the check is of the project as it is."""

    gone = Signal()
    """It is put away while it had the keyboard."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.setObjectName("page")
        self.setAccessibleName("What to do about the finding")
        self._session = session
        self._shown: Finding | None = None
        self._said = QLabel()
        self._said.setWordWrap(True)
        self.why = Line()
        self.why.setPlaceholderText("Why it may stay")
        self.why.setAccessibleName("Reason")
        self.why.setMaxLength(300)
        self.here = Button(
            "Accept here", "Live with it in this sequence; it is told again if it gets worse", look="segment"
        )
        self.everywhere = Button(
            "Everywhere", "Live with it in every sequence; told again if it gets worse", look="segment"
        )
        self.everywhere.setAccessibleName("Accept everywhere")
        self.excuse = Button(
            "Excuse pair", "The pair is left out of every check from now on, for this reason", look="segment"
        )
        self.take_back = Button("Take back", "It counts as a finding again", look="segment")
        self.unrule = Button("Remove rule", "The pair is checked as every other", look="segment")
        self.clearance = ValueField("Clearance wanted", read=float, write=str)
        self.beyond = ValueField("Excused within", read=float, write=str)
        self._lay_out()
        self._listen()
        self.refresh()

    def _listen(self) -> None:
        session = self._session
        self.why.textChanged.connect(lambda _text: self._enable())
        self.why.returnPressed.connect(self._accept_here)
        self.here.clicked.connect(self._accept_here)
        self.everywhere.clicked.connect(lambda: self._accept(everywhere=True))
        self.excuse.clicked.connect(self._excuse)
        self.take_back.clicked.connect(self._take_back)
        self.unrule.clicked.connect(self._remove_rule)
        self.clearance.entered.connect(lambda value: self._rule(clearance=value))
        self.beyond.entered.connect(lambda value: self._rule(beyond=value))
        for signal in (session.finding_changed, session.study_changed, session.project_changed):
            signal.connect(self.refresh)

    def _lay_out(self) -> None:
        answers, rules = QBoxLayout(BESIDE), QBoxLayout(BESIDE)
        self._rows = ((answers, (self.here, self.everywhere, self.take_back)), (rules, (self.excuse, self.unrule)))
        for row, buttons in self._rows:
            row.setSpacing(6)
            for button in buttons:
                row.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
            row.addStretch(1)
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(6)
        self._grid.setColumnMinimumWidth(0, LABEL_WIDTH)
        self._labels = []
        fields = (("Clearance wanted", self.clearance), ("Excused within", self.beyond))
        for number, (words, field) in enumerate(fields):
            label = QLabel(words)
            label.setObjectName("factLabel")
            label.setBuddy(field.line)
            label.setContentsMargins(0, 5, 0, 0)
            self._labels.append(label)
            self._grid.addWidget(label, number, 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(field, number, 1)
        self.beyond.setToolTip("The two lap by nature at their joint: nothing is told within so far of it")
        column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN, 10, MARGIN, 12)
        column.setSpacing(8)
        column.addWidget(self._said)
        column.addWidget(self.why)
        column.addLayout(answers)
        column.addLayout(self._grid)
        column.addLayout(rules)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._stack()

    def _stack(self) -> None:
        """Buttons one below the other where there is no room to read all of them beside each other."""
        for row, buttons in self._rows:
            shown = [one.sizeHint().width() for one in buttons if not one.isHidden()]
            beside = sum(shown) + row.spacing() * (len(shown) - 1)
            row.setDirection(BESIDE if beside <= self.width() - 2 * MARGIN else BELOW)

    # ---- what is shown -------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        finding, project = self._session.finding, self._session.project
        if finding is None or project is None or not self._session.study_current or self._session.trial is not None:
            typed_in = self.isAncestorOf(focus) if (focus := QApplication.focusWidget()) is not None else False
            self.hide()
            if typed_in:
                self.gone.emit()
            return
        if finding is not self._shown:
            self._shown = finding
            self.why.clear()
        accepted = finding.accepted
        self._said.setVisible(accepted is not None)
        if accepted is not None:
            where = "in every sequence" if accepted.sequence is None else "in this sequence"
            self._said.setText(f"Accepted {where}: {accepted.why}")
        for widget in (self.why, self.here, self.everywhere):
            widget.setVisible(accepted is None)
        self.everywhere.setVisible(accepted is None and len(project.sequences) > 1)
        self.take_back.setVisible(accepted is not None)
        self._show_rule(project, finding, open_=accepted is None)
        self._stack()
        self._enable()
        self.show()

    def _show_rule(self, project: Project, finding: Finding, *, open_: bool) -> None:
        pair = finding.kind in PAIR_KINDS and open_
        rule = rule_of(project, finding.bodies) if pair else None
        by_joint = pair and _lap(project, finding.bodies)
        self.excuse.setVisible(pair)
        self.unrule.setVisible(rule is not None)
        for label, field, shown in zip(
            self._labels, (self.clearance, self.beyond), (pair, by_joint), strict=True
        ):  # fmt: skip
            label.setVisible(shown)
            field.setVisible(shown)
        if pair:
            unit = length_unit(project)
            read, step = _not_negative(read_length(project)), clearance_step(project)
            for field in (self.clearance, self.beyond):
                field.set_reading(read, write_length(project), unit_beside(unit), step=step)
            wanted = rule.clearance if rule is not None else None
            self.clearance.set_value(project.least_clearance if wanted is None else wanted)
            self.beyond.set_value(0.0 if rule is None or rule.beyond is None else rule.beyond)

    def _enable(self) -> None:
        reason = bool(self.why.text().strip())
        for button in (self.here, self.everywhere, self.excuse):
            button.setEnabled(reason)

    # ---- what is done --------------------------------------------------------------------------------------------

    def _accept_here(self) -> None:
        self._accept(everywhere=False)

    def _accept(self, *, everywhere: bool) -> None:
        finding, why = self._session.finding, self.why.text().strip()
        if finding is not None and finding.accepted is None and why:
            self._session.push(Accept(acceptance_of(finding, why, everywhere=everywhere)))

    def _take_back(self) -> None:
        finding = self._session.finding
        if finding is not None and finding.accepted is not None:
            self._session.push(TakeBack((finding.accepted,)))

    def _excuse(self) -> None:
        if self.why.text().strip():
            self._rule(rule="ignore", why=self.why.text().strip())

    def _rule(self, **changes: object) -> None:
        finding, project = self._session.finding, self._session.project
        if finding is None or project is None or len(finding.bodies) != 2:
            return
        one, other = finding.bodies
        old = rule_of(project, finding.bodies) or PairRule(bodies=(one, other), rule="check")
        if why := self.why.text().strip():
            changes = {"why": why} | changes
        self._session.push(SetPairRule(replace(old, **{"rule": "check"} | changes)))

    def _remove_rule(self) -> None:
        finding = self._session.finding
        if finding is not None and len(finding.bodies) == 2:
            self._session.push(RemovePairRule((finding.bodies[0], finding.bodies[1])))


def _lap(project: Project, bodies: tuple[str, ...]) -> bool:
    """Whether two bodies are joined so that they lap by nature."""
    return any(
        isinstance(one, Pivot | Slide | Slot | Latch) and frozenset(joined(one) or ()) == frozenset(bodies)
        for one in project.connections
    )


def _not_negative(read: Reading) -> Reading:
    def reading(text: str) -> float:
        value = read(text)
        if value < 0.0:
            raise ValueError("it is less than nothing; 0 or more is wanted")
        return value

    return reading
