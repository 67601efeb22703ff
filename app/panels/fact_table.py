"""Labels with texts beside them; made anew only when the labels change, so that figures can run with the moment."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from app.panels.facts import Fact
from app.widgets.emptying import empty

LABEL_WIDTH = 112


class FactTable(QWidget):
    def __init__(self) -> None:
        super().__init__()
        self._labels: tuple[str, ...] = ()
        self._texts: list[QLabel] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(7)
        self._grid.setColumnMinimumWidth(0, LABEL_WIDTH)
        self._grid.setColumnStretch(1, 1)

    def text(self, label: str) -> str:
        """What stands beside a label."""
        return self._texts[self._labels.index(label)].text()

    def show_facts(self, facts: tuple[Fact, ...]) -> None:
        labels = tuple(fact.label for fact in facts)
        if labels != self._labels:
            self._refill(labels)
        for shown, fact in zip(self._texts, facts, strict=True):
            if shown.text() != fact.text:
                shown.setText(fact.text)

    def _refill(self, labels: tuple[str, ...]) -> None:
        empty(self._grid)
        self._labels, self._texts = labels, []
        for row, label in enumerate(labels):
            name, text = QLabel(label), QLabel()
            name.setObjectName("factLabel")
            name.setAlignment(Qt.AlignmentFlag.AlignTop)
            text.setWordWrap(True)
            text.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
            text.setAccessibleName(label)
            text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            self._grid.addWidget(name, row, 0)
            self._grid.addWidget(text, row, 1)
            self._texts.append(text)
