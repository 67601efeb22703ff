"""A line across the window that asks, with a button for each answer; it stays until it is answered or no question any
more."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from app.widgets.emptying import empty

Answers = Sequence[tuple[str, Callable[[], object]]]
"""The words of each answer, with a letter to press with Alt, and what it does."""


class Question(QFrame):
    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("question")
        self.setAccessibleName("Question")
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setAccessibleName("Question")
        self.buttons: list[QPushButton] = []
        self._answers = QHBoxLayout()
        self._answers.setSpacing(8)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 7, 12, 7)
        row.setSpacing(14)
        row.addWidget(self._text, 1)
        row.addLayout(self._answers)
        self.hide()

    @property
    def text(self) -> str:
        return self._text.text()

    def ask(self, text: str, answers: Answers) -> None:
        """In place of what was asked before."""
        empty(self._answers)
        self._text.setText(text)
        self.buttons = []
        for words, does in answers:
            button = QPushButton(words)
            button.setAutoDefault(False)
            button.clicked.connect(lambda _down=False, does=does: does())
            self._answers.addWidget(button)
            self.buttons.append(button)
        self.show()

    def put_away(self) -> None:
        empty(self._answers)
        self.buttons = []
        self._text.clear()
        self.hide()

    def button(self, words: str) -> QPushButton:
        """The answer of some words, without their marked letter."""
        return next(one for one in self.buttons if one.text().replace("&", "") == words)
