"""The tints that a body may have in place of its role's, as a row of swatches with their names."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QWidget

from app.painting.theme import Theme
from app.panels.fact_table import LABEL_WIDTH
from app.session import Session
from app.widgets.button import Button
from core.document.look_edits import SetTint, words_for
from core.document.project import Body, Ink
from core.drawing.drawing import Tint

WORDS: Mapping[Ink | None, str] = {
    None: "As its role",
    "sky": "Sky",
    "moss": "Moss",
    "straw": "Straw",
    "heather": "Heather",
    "copper": "Copper",
}
SIDE = 16
ARROWS = frozenset({Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down})


class TintRow(QWidget):
    """Of the chosen bodies; the one in use has a rim and a dot, and is named beside."""

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self._session = session
        self._group = QButtonGroup(self)
        label = QLabel("Tint")
        label.setObjectName("factLabel")
        label.setFixedWidth(LABEL_WIDTH + 8)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(1)
        row.addWidget(label)
        self.swatches = {ink: Swatch(words, theme) for ink, words in WORDS.items()}
        for ink, swatch in self.swatches.items():
            swatch.clicked.connect(lambda _on=False, ink=ink: self._push(ink))
            self._group.addButton(swatch)
            row.addWidget(swatch)
        row.addStretch(1)
        self._theme = theme
        self.refresh()

    def set_theme(self, theme: Theme) -> None:
        self._theme = theme
        self.refresh()

    def refresh(self) -> None:
        bodies = self._bodies()
        self.setVisible(bool(bodies))
        if not bodies:
            return
        role = Tint(bodies[-1].role)
        for ink, swatch in self.swatches.items():
            swatch.wear(self._theme, self._theme.tint(role if ink is None else Tint(ink)))
        self._group.setExclusive(False)  # none is in use where bodies differ
        tints = {one.tint for one in bodies}
        for ink, swatch in self.swatches.items():
            swatch.setChecked(tints == {ink})
        self._group.setExclusive(True)

    def _bodies(self) -> tuple[Body, ...]:
        """The chosen bodies, what was chosen last standing last."""
        project = self._session.project
        bodies = {one.id: one for one in project.bodies} if project is not None else {}
        return tuple(bodies[one] for one in self._session.chosen if one in bodies)

    def _push(self, ink: Ink | None) -> None:
        project, ids = self._session.project, tuple(one.id for one in self._bodies())
        if project is not None:
            self._session.push(SetTint(ids, ink, f"Tint {words_for(project, ids)}"))


class Swatch(Button):
    def __init__(self, words: str, theme: Theme) -> None:
        super().__init__(tip=words, checkable=True)
        self.setAccessibleName(f"Tint: {words.lower()}")
        self._theme, self._ground = theme, theme.other

    def wear(self, theme: Theme, ground: str) -> None:
        self._theme, self._ground = theme, ground
        self.update()

    def event(self, event: QEvent) -> bool:
        """The arrows go from swatch to swatch here, and not from frame to frame."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and event.key() in ARROWS:
            event.accept()
            return True
        return super().event(event)

    def sizeHint(self) -> QSize:
        return QSize(SIDE, SIDE)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        lit = self.isChecked() or self.hasFocus() or self.underMouse()
        painter.setPen(QPen(QColor(self._theme.accent if lit else self._theme.edge), 2.0 if lit else 1.0))
        painter.setBrush(QColor(self._ground))
        painter.drawRect(box)
        if self.isChecked():
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self._theme.ink))
            painter.drawEllipse(box.center(), 2.6, 2.6)
