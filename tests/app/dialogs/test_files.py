"""Where files go: what is typed is written under an ending that its kind has."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QPushButton, QWidget

from app.dialogs.files import ask_for_curves


@pytest.mark.parametrize(
    ("typed", "file"),
    [
        ("door", "door.csv"),
        ("door.svg", "door.svg"),
        ("DOOR.PNG", "DOOR.PNG"),
        ("door.bmp", "door.bmp.csv"),
        ("rev 1.2", "rev 1.2.csv"),
    ],
)
def test_a_name_with_another_ending_gets_that_of_its_kind(qtbot, tmp_path: Path, typed: str, file: str):
    page = QWidget()
    qtbot.addWidget(page)
    answers: list[Path] = []
    dialog = ask_for_curves(page, tmp_path / "curves.csv", answers.append)
    assert "Write" in [button.text() for button in dialog.findChildren(QPushButton)]
    name = dialog.findChild(QLineEdit, "fileNameEdit")
    qtbot.waitUntil(name.hasFocus)
    name.selectAll()
    QTest.keyClicks(name, typed)
    QTest.keyClick(name, Qt.Key.Key_Return)
    assert answers == [tmp_path / file]
