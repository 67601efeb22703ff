"""Paths of points in the window: shown by a click, kept, listed, renamed, written and removed."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu

from app.tracing import _Request
from core.curves.quantities import Quantity, Sort
from core.document.path_edits import AddPath
from core.document.project import PointPath
from core.document.project_file import read_project
from core.document.step_edits import SetMove
from core.drawing.drawing import Line, Symbol
from core.geometry.poses import carried_point
from core.study import run
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check

LEFT = Qt.MouseButton.LeftButton
TIP = PointPath(id="tip", name="Path of the tip", body="leg", point=(0.0, -60.0))


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def wait(qtbot, window) -> None:
    wait_for_check(qtbot, window)
    qtbot.waitUntil(lambda: not window.tracing.working)


def lines(window) -> list[str]:
    return [mark.owner for mark in window.sheet.canvases[0].drawing.marks if mark.owner in ("tip", *_paths(window))]


def _paths(window) -> tuple[str, ...]:
    return tuple(one.id for one in window.session.project.paths)


def click(window, x: float, y: float) -> None:
    canvas = window.sheet.canvases[0]
    QTest.mouseClick(canvas, LEFT, pos=canvas.placement.to_device(x, y).toPoint())


def test_a_click_on_a_body_shows_the_path_of_that_point(qtbot, window):
    window.commands["tool-path"].trigger()
    click(window, 0.0, -30.0)
    (path,) = window.session.project.paths
    assert (path.body, path.name) == ("leg", "Path on Nose leg")
    assert path.point == pytest.approx((0.0, -30.0), abs=1.0)
    assert window.session.selection == path.id
    window.commands["tool-none"].trigger()
    wait(qtbot, window)
    assert lines(window) == [path.id]
    assert window.details.title == "Path on Nose leg"
    assert "exact within 0.01 mm, proved between frames" in window.details.path.said.text()


def test_the_point_is_taken_where_the_body_stands_at_the_moment(qtbot, window):
    """The leg has turned by then: what is clicked is the point that is drawn at (0, -30)."""
    window.session.set_moment(3.7)
    wait(qtbot, window)
    window.commands["tool-path"].trigger()
    stand = window.sheet.bench.stand()
    at = stand.placed("leg", (0.0, -30.0))
    assert math.dist(at, (0.0, -30.0)) > 5.0
    click(window, *at)
    (path,) = window.session.project.paths
    assert (path.body, path.point) == ("leg", pytest.approx((0.0, -30.0), abs=1.0))
    assert path.point == tuple(round(one, 6) for one in path.point), "no digits that come of turning it back"
    wait(qtbot, window)
    assert lines(window) == [path.id], "it is seen while the tool is in hand"


def test_off_every_body_the_point_goes_with_the_chosen_one_and_otherwise_is_refused(window):
    said = []
    window.session.trouble.connect(said.append)
    window.commands["tool-path"].trigger()
    click(window, 40.0, -40.0)
    assert window.session.project.paths == ()
    assert len(said) == 1
    window.session.choose("leg")
    click(window, 40.0, -40.0)
    assert [one.body for one in window.session.project.paths] == ["leg"]


def test_a_path_is_undone_saved_and_read_again(qtbot, window):
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    window.keeping.save()
    assert read_project(window.session.folder).paths == (TIP,)
    window.session.undo()
    assert lines(window) == []
    window.session.redo()
    wait(qtbot, window)
    assert lines(window) == ["tip"]


def test_a_path_follows_an_edit_of_the_motion(qtbot, window):
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    (before,) = window.tracing.traced
    window.session.push(SetMove("retract", "leg-up", "gear", 45.0))
    assert lines(window) == ["tip"], "until the check is done the one before stays in sight"
    assert window.details.path.isHidden()
    wait(qtbot, window)
    (after,) = window.tracing.traced
    assert after.trace.length < 0.6 * before.trace.length


def test_it_is_traced_once_and_not_again_when_it_is_renamed(qtbot, window):
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    (before,) = window.tracing.traced
    window.session.choose("tip")
    field = window.details.entries.fields["name"].line
    field.selectAll()
    QTest.keyClicks(field, "Way of the fork")
    QTest.keyClick(field, Qt.Key.Key_Return)
    wait(qtbot, window)
    (after,) = window.tracing.traced
    assert after.path.name == "Way of the fork"
    assert after.geometry is before.geometry


def test_a_chosen_path_has_its_speed_as_a_curve_and_others_are_offered(qtbot, window):
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    window.session.choose("tip")
    curves = window.sequence.curves
    assert curves.shown_quantities == (Quantity(Sort.SPEED, ("leg",), TIP.point),)
    assert curves.shown[0].title == "Path of the tip, speed"
    places = next(one for one in curves.which_menu().actions() if one.text() == "Bodies' places across").menu()
    assert "Path of the tip" in [one.text() for one in places.actions()]


def test_a_path_is_chosen_on_the_sheet_and_removed_by_a_key(qtbot, window):
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    window.session.set_moment(7.0)
    canvas = window.sheet.canvases[0]
    (line,) = window.tracing.traced[0].geometry.lines
    x, y = line[len(line) // 2].tolist()
    assert "tip" in canvas.owners_at(canvas.placement.to_device(x, y))
    window.session.choose("tip")
    window.commands["remove"].trigger()
    assert window.session.project.paths == ()
    assert lines(window) == []
    assert not [sign for sign in canvas.drawing.signs if sign.symbol is Symbol.PATH_POINT]


def test_while_a_tool_is_at_work_paths_are_out_of_the_way(qtbot, window):
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    window.commands["tool-move"].trigger()
    drawing = window.sheet.canvases[0].drawing
    assert not [mark for mark in drawing.marks if mark.owner == "tip" and mark.line is Line.THIN]
    assert next(sign.at for sign in drawing.signs if sign.symbol is Symbol.PATH_POINT) == TIP.point


def test_the_paths_are_written_as_a_table(qtbot, window, tmp_path: Path):
    said, asked = [], []
    window.session.trouble.connect(said.append)
    window.tracing.ask_to_write()
    assert len(said) == 1, "there is none yet"
    assert not window.commands["write-paths"].isEnabled()
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    assert window.commands["write-paths"].isEnabled()
    window.errands.done.connect(asked.append)
    window.tracing.write(window.session.project, window.tracing.traced, tmp_path / "paths.csv")
    qtbot.waitUntil(lambda: bool(asked))
    rows = (tmp_path / "paths.csv").read_text(encoding="utf-8").splitlines()
    assert rows[0] == "path,seconds,x mm,y mm"
    assert len(rows) > 100
    window.errands.failed.connect(said.append)
    window.tracing.write(window.session.project, window.tracing.traced, tmp_path / "nowhere" / "paths.csv")
    qtbot.waitUntil(lambda: len(said) > 1)
    assert "nowhere" in said[1]


def test_a_path_in_another_sequence_may_stand_still(qtbot, window):
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    window.session.choose("tip")
    window.session.choose_sequence("hold")
    wait(qtbot, window)
    assert "stands still" in window.details.path.said.text()


def test_the_menu_of_a_body_shows_the_path_of_the_point_under_it_where_it_stands(qtbot, window, monkeypatch):
    popped: list[QMenu] = []
    monkeypatch.setattr(QMenu, "popup", lambda menu, *_: popped.append(menu))
    window.session.set_moment(window.session.schedule.seconds)
    window.session.choose("leg")
    canvas = window.sheet.canvases[0]
    hub = next(one.at for one in window.session.project.connections if one.id == "leg-pivot")
    number = [one.id for one in window.session.project.bodies].index("leg")
    at = carried_point(window.sheet.shown.poses[number], (3.0, -60.0))
    pixel = canvas.placement.to_device(*at).toPoint()
    canvas.menu_wanted.emit(("leg",), canvas.mapToGlobal(pixel))
    next(one for one in popped[-1].actions() if one.text() == "Show the path of this point").trigger()
    (path,) = window.session.project.paths
    assert (path.body, path.point) == ("leg", (3.0, -60.0)), "a corner of the leg, as drawn"
    assert math.dist(path.point, hub) == pytest.approx(math.dist(at, hub))
    canvas.menu_wanted.emit(("airframe",), canvas.mapToGlobal(pixel))
    assert "Show the path of this point" not in [one.text() for one in popped[-1].actions()]
    window.session.choose(path.id)
    canvas.menu_wanted.emit((path.id,), canvas.mapToGlobal(pixel))
    assert [one.objectName() for one in popped[-1].actions() if one.text()] == ["write-paths", "remove", "rename"]


def test_while_newer_motions_keep_coming_the_path_comes_along(qtbot, window):
    window.session.push(AddPath(TIP))
    wait(qtbot, window)
    before = window.tracing.traced[0].trace.length
    tracing, study = window.tracing, window.session.sequence_study
    shorter = run(SetMove("retract", "leg-up", "gear", 45.0).apply(window.session.project)).sequence("retract")
    older = _Request(tracing._era, shorter.motion, (TIP,))
    tracing._newest = _Request(tracing._era, study.motion, (TIP,))
    tracing._on_done(older, older.answer())
    assert tracing.traced[0].trace.length < 0.6 * before
    lost = _Request(object(), study.motion, (TIP,))
    tracing._on_done(lost, lost.answer())
    assert tracing.traced[0].trace.length < 0.6 * before, "of another sequence, it is passed over"
