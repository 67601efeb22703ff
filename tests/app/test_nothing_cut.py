"""In a window of 1100 by 700 no words are cut without saying so, however long the names are."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QWidget

from app.widgets.choice import Choice
from app.widgets.line import Line
from core.document.project import Project
from core.document.project_file import read_project
from tests.app.window import opened_window, settle

SAMPLE = Path(__file__).resolve().parents[2] / "sample_projects" / "merrow-t2-flawed"
MORE = " of the upper forward drag brace with its torque links, left hand"
LENGTH = 60


def long_named(value: Any) -> Any:
    """A project, or a part of it, all of whose names have sixty letters."""
    if isinstance(value, tuple):
        return tuple(map(long_named, value))
    if not isinstance(value, msgspec.Struct):
        return value
    changes = {key: long_named(getattr(value, key)) for key in value.__struct_fields__}
    if "name" in changes:
        changes["name"] = ((value.name or value.id) + MORE)[:LENGTH]
    return replace(value, **changes)


def bare(project: Project) -> Project:
    return replace(project, views=tuple(replace(view, drawing=None) for view in project.views))


def cut(page: QWidget) -> Iterator[str]:
    """The words in sight that are cut and neither told beside the pointer nor in lines."""
    for one in page.findChildren(QWidget):
        if one.isVisible() and one.width() > 1 and _is_cut(one):
            yield f"{type(one).__name__} {one.accessibleName()}: {one.text()}"


def _is_cut(one: QWidget) -> bool:
    match one:
        case QLabel() if not one.wordWrap():
            words = max(map(one.fontMetrics().horizontalAdvance, one.text().split("\n")))
            return words > one.contentsRect().width() + 1 and one.text() not in one.toolTip()
        case QAbstractButton() if len(one.text()) > 1:
            return one.sizeHint().width() > one.width() + 1 and one.text() not in one.toolTip()
        case QLineEdit():
            return not isinstance(one, Line) and one.fontMetrics().horizontalAdvance(one.text()) > one.width()
        case QComboBox():
            return not isinstance(one, Choice)
    return False


def test_whatever_is_chosen(qtbot, tmp_path):
    project = long_named(bare(read_project(SAMPLE)))
    with opened_window(qtbot, tmp_path, project) as window:
        window.resize(1100, 700)
        things = (*project.bodies, *project.connections, *project.drives, *project.sequences[0].steps)
        of_kind = {(type(one), getattr(one, "role", None)): one.id for one in things}
        for thing in (None, *of_kind.values()):
            window.session.choose(thing)
            settle()
            assert not list(cut(window)), thing


def test_whatever_is_found(qtbot, tmp_path):
    project = long_named(bare(read_project(SAMPLE)))
    with opened_window(qtbot, tmp_path, project) as window:
        window.resize(1100, 700)
        for finding in window.session.sequence_study.findings:
            window.session.show_finding(finding)
            settle()
            assert not list(cut(window)), finding.kind
            answers = (window.findings.answer.here, window.findings.answer.everywhere)
            assert answers[0].y() == answers[1].y(), "beside each other, so that the finding itself is seen"
