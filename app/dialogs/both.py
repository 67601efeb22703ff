"""Two states of an aircraft side by side: a picture of each, and what differs, in lines."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPlainTextEdit, QVBoxLayout, QWidget

from app.dialogs.frame import Dialog
from app.painting.theme import DARK, LIGHT
from app.painting.thumbnail import thumbnail
from core.document.differences import differences
from core.document.project import Project

TIMES = 3
"""As large as a picture of the start page."""


class BothStates(Dialog):
    mine_wanted = Signal()
    theirs_wanted = Signal()

    def __init__(self, mine: Project, theirs: Project, parent: QWidget) -> None:
        super().__init__("Which counts?", parent)
        told = differences(mine, theirs)
        count = "1 difference" if len(told) == 1 else f"{len(told)} differences"
        self.add_text(f"What you have, and what the other program wrote: {count}", "title")
        across = QHBoxLayout()
        across.setSpacing(18)
        for words, project in (("What you have", mine), ("What the file has", theirs)):
            across.addLayout(self._pictured(words, project))
        self.page.addLayout(across)
        self.lines = QPlainTextEdit("\n".join(told))
        self.lines.setReadOnly(True)
        self.lines.setTabChangesFocus(True)
        self.lines.setAccessibleName("What differs")
        self.lines.setMinimumHeight(120)
        self.page.addWidget(self.lines, 1)
        self.add_text("Whichever you take, the other is kept beside it in the folder, under its date.", "soft")
        back = self.add_button("Go back")
        keep, take = self.add_button("&What you have"), self.add_button("What the &file has")
        back.clicked.connect(self.reject)
        keep.clicked.connect(self.accept)
        keep.clicked.connect(self.mine_wanted)
        take.clicked.connect(self.accept)
        take.clicked.connect(self.theirs_wanted)
        self.setMinimumWidth(660)

    def _pictured(self, words: str, project: Project) -> QVBoxLayout:
        column = QVBoxLayout()
        head, picture = QLabel(words), QLabel()
        head.setObjectName("heading")
        dark = self.palette().window().color().lightness() < 128
        image = thumbnail(project, DARK if dark else LIGHT, times=TIMES)
        if image is None:
            picture.setText("nothing is drawn")
            picture.setObjectName("soft")
        else:
            picture.setPixmap(QPixmap.fromImage(image))
        picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        picture.setAccessibleName(f"{words}: {len(project.bodies)} bodies as drawn")
        column.addWidget(head)
        column.addWidget(picture)
        return column
