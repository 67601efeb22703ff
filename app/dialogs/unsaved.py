"""Asks what to do with changes that are not saved yet."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.dialogs.frame import Dialog


class UnsavedChanges(Dialog):
    save = Signal()
    discard = Signal()

    def __init__(self, aircraft: str, what_next: str, parent: QWidget) -> None:
        super().__init__("Changes are not saved", parent)
        self.add_text(f"Save the changes to {aircraft}?", "title")
        self.add_text(f"They are lost if you {what_next} without saving.")
        back = self.add_button("Go back")
        without = self.add_button("Do not save")
        save = self.add_button("Save", default=True)
        back.clicked.connect(self.reject)
        without.clicked.connect(self._on_discard)
        save.clicked.connect(self._on_save)
        self.setMinimumWidth(420)

    def _on_discard(self) -> None:
        self.accept()
        self.discard.emit()

    def _on_save(self) -> None:
        self.accept()
        self.save.emit()
