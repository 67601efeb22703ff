"""The sheet on the nose gear, checked, in a window of 900 by 700."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication

from app.painting.theme import LIGHT
from app.session import Session
from app.sheet.sheet import Sheet
from tests.golden.nose_gear import nose_gear, study_of


@pytest.fixture
def session() -> Iterator[Session]:
    project = nose_gear()
    session = Session()
    session.open(project, None)
    session.put_study(study_of(project))
    yield session
    session.deleteLater()  # Qt holds whatever follows it, which holds the session: no collector would ever end them


@pytest.fixture
def sheet(qtbot, session: Session) -> Sheet:
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.resize(900, 700)
    sheet.show()
    QApplication.processEvents()
    return sheet
