"""The sheet: views, ghosts, and what it says of the check."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.painting.theme import DARK, LIGHT
from app.session import Session
from app.sheet.film import empty_words, note_of
from app.sheet.sheet import Sheet
from core.document.look_edits import SetHidden
from core.document.project import TracedDrawing
from core.document.step_time_edits import SetStepDuration
from core.drawing.drawing import Line, Symbol
from core.findings.finding import Kind
from tests.app.sheet.under_hand import at, canvas_of, pixels
from tests.golden.nose_gear import nose_gear

PROJECT = nose_gear()


def test_scrubbing_moves_the_picture_and_overlaps_are_hatched_live(sheet: Sheet, session: Session):
    start = pixels(sheet)
    session.set_moment(4.0)
    end = pixels(sheet)
    assert (np.abs(end - start).max(axis=2) > 30).mean() > 0.01
    marks = canvas_of(sheet).drawing.marks
    assert [mark.hatched for mark in marks if mark.line is Line.CLASH] == [True]


def test_the_note_says_what_was_checked_and_never_clear_while_checking(sheet: Sheet, session: Session):
    shown = sheet._shown
    assert note_of(shown, "side") == ("nothing overlaps at this moment", "text_soft")
    session.set_moment(4.0)
    assert note_of(shown, "side")[0] == "1 overlap at this moment, 4 mm deep"
    session.push(SetStepDuration("retract", "leg-up", 5.0))
    assert note_of(shown, "side") == ("checking…", "stale")
    session.set_moment(0.0)
    assert note_of(shown, "side") == ("checking…", "stale")
    assert "clear" not in note_of(shown, "side")[0]


def test_a_check_that_failed_is_said_and_does_not_look_like_one_that_is_under_way(sheet: Sheet, session: Session):
    session.push(SetStepDuration("retract", "leg-up", 5.0))
    session.put_failure("too many coincidences")
    assert note_of(sheet._shown, "side") == ("could not be checked", "clash")


def test_views_side_by_side_bear_their_names(sheet: Sheet):
    plain = pixels(sheet)[:60, :200]
    sheet.panes.set_views("side", "plan")
    QApplication.processEvents()
    assert (np.abs(pixels(sheet)[:60, :200] - plain).max(axis=2) > 60).sum() > 50


def test_a_stretched_background_is_painted_sharp_when_the_hand_rests(qtbot, tmp_path):
    picture = QImage(200, 200, QImage.Format.Format_RGB32)
    picture.fill(0xFFFFFF)
    for row in range(200):
        picture.setPixel(100, row, 0)
    assert picture.save(str(tmp_path / "side.png"))
    traced = TracedDrawing(file="side.png", opacity=1.0, pixel_to_mm=((0.5, 0, -10), (0, -0.5, 20), (0, 0, 1)))
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.resize(900, 700)
    session.open(replace(PROJECT, views=(replace(PROJECT.views[0], drawing=traced), *PROJECT.views[1:])), tmp_path)
    pixels(sheet)
    background = canvas_of(sheet)._background
    background._timer.setInterval(3_600_000)  # the hand rests only below
    canvas_of(sheet).zoom(1.5, QPointF(400, 300))
    stretched = pixels(sheet)
    with qtbot.waitSignal(background.settled):
        background._timer.start(0)
    sharp = pixels(sheet)
    assert np.abs(sharp - stretched).max() > 20
    canvas_of(sheet)._background.forget()
    assert np.array_equal(pixels(sheet), sharp)


def test_an_edited_body_is_drawn_at_once_without_overlaps_that_nobody_has_checked(sheet: Sheet, session: Session):
    session.set_moment(4.0)
    assert any(mark.hatched for mark in canvas_of(sheet).drawing.marks)

    class Widen:
        label = "Widen the leg"

        def apply(self, project):
            leg = next(body for body in project.bodies if body.id == "leg")
            shape = replace(leg.shapes[0], points=((-9, 3), (9, 3), (9, -60), (-9, -60)))
            others = tuple(replace(body, shapes=(shape,)) if body is leg else body for body in project.bodies)
            return replace(project, bodies=others)

    session.push(Widen())
    assert not any(mark.hatched for mark in canvas_of(sheet).drawing.marks)
    assert "leg" in canvas_of(sheet).owners_at(canvas_of(sheet).placement.to_device(25.0, 8.0))


def test_ghosts_come_and_go(sheet: Sheet, session: Session):
    session.set_moment(2.0)

    def ghosts() -> int:
        return sum(mark.line is Line.GHOST for mark in canvas_of(sheet).drawing.marks)

    assert ghosts() == 0
    sheet.set_ghosts(True, False)
    assert ghosts() == 2
    sheet.set_ghosts(True, True)
    assert ghosts() == 4
    sheet.set_ghosts(False, False)
    assert ghosts() == 0


def test_a_button_fits_the_view_again(sheet: Sheet):
    canvas = canvas_of(sheet)
    fitted = canvas.placement
    canvas.zoom(3.0)
    assert canvas.placement != fitted
    QTest.mouseClick(sheet.head.fit, Qt.MouseButton.LeftButton)
    assert canvas.placement == fitted


def test_names_can_be_written_on_the_bodies(sheet: Sheet):
    sheet.set_names(True)
    assert "Nose leg" in [label.text for label in canvas_of(sheet).drawing.labels]


def test_choosing_a_finding_brings_its_place_into_sight_and_marks_it(sheet: Sheet, session: Session):
    canvas = canvas_of(sheet)
    canvas.set_placement(canvas.placement.moved(5000.0, 0.0))
    clash = next(finding for finding in session.sequence_study.findings if finding.kind is Kind.CLASH)
    session.show_finding(clash)
    assert canvas.rect().contains(at(canvas, *clash.at))
    assert Symbol.PLACE in {sign.symbol for sign in canvas.drawing.signs}


def test_a_finding_of_another_view_turns_to_that_view(sheet: Sheet, session: Session):
    sheet.set_view("plan")
    session.show_finding(next(finding for finding in session.sequence_study.findings if finding.kind is Kind.CLASH))
    assert sheet.views == ("side",)


def test_views_can_be_changed_and_stand_side_by_side(sheet: Sheet):
    assert sheet.views == ("side",)
    sheet.panes.next_view()
    assert sheet.views == ("plan",)
    sheet.set_view("side")
    sheet.panes.set_two(True)
    assert sheet.views == ("side", "plan")
    sheet.set_view("plan")  # the two change places
    assert sheet.views == ("plan", "side")
    sheet.panes.set_two(False)
    assert sheet.views == ("plan",)
    sheet.set_view("no such view")
    assert sheet.views == ("plan",)


def test_two_views_move_together(sheet: Sheet, session: Session):
    sheet.panes.set_views("side", "side")
    session.set_moment(4.0)
    for canvas in sheet.canvases:
        leg = next(mark for mark in canvas.drawing.marks if mark.owner == "leg")
        assert leg.pose[2] == pytest.approx(np.pi / 2)


def test_dark_and_light_are_both_painted(sheet: Sheet):
    light = pixels(sheet)
    sheet.set_theme(DARK)
    QApplication.processEvents()
    dark = pixels(sheet)
    assert light.mean() > 180 > 90 > dark.mean()


def test_a_traced_drawing_lies_under_the_bodies_and_can_be_put_away(qtbot, tmp_path):
    picture = QImage(400, 400, QImage.Format.Format_RGB32)
    picture.fill(0)
    assert picture.save(str(tmp_path / "side.png"))
    traced = TracedDrawing(file="side.png", opacity=1.0, pixel_to_mm=((0.5, 0, -50), (0, -0.5, 50), (0, 0, 1)))
    project = replace(PROJECT, views=(replace(PROJECT.views[0], drawing=traced), *PROJECT.views[1:]))
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.resize(900, 700)
    session.open(project, tmp_path)
    with_picture = pixels(sheet).mean()
    sheet.set_tracing(False)
    assert pixels(sheet).mean() > with_picture + 20


def test_a_view_with_only_a_traced_drawing_is_fitted_to_it(qtbot, tmp_path):
    picture = QImage(400, 200, QImage.Format.Format_RGB32)
    picture.fill(0xFFFFFF)
    assert picture.save(str(tmp_path / "front.png"))
    traced = TracedDrawing(file="front.png", pixel_to_mm=((1.0, 0, 1000), (0, -1.0, 0), (0, 0, 1)))
    project = replace(PROJECT, views=(*PROJECT.views[:2], replace(PROJECT.views[2], drawing=traced)))
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.resize(900, 700)
    session.open(project, tmp_path)
    sheet.set_view("front")
    canvas = canvas_of(sheet)
    canvas.grab()
    assert canvas.rect().contains(at(canvas, 1000.0, 0.0))
    assert canvas.rect().contains(at(canvas, 1400.0, -200.0))


# ---- nothing there --------------------------------------------------------------------------------------------------


def test_without_an_aircraft_it_says_what_to_do(qtbot):
    sheet = Sheet(Session(), theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.grab()
    assert empty_words(sheet._shown, None, canvas_of(sheet).drawing)[0] == "No aircraft is open"


def test_a_view_without_bodies_says_so(sheet: Sheet):
    sheet.set_view("front")
    canvas = canvas_of(sheet)
    assert empty_words(sheet._shown, "front", canvas.drawing)[0] == "Nothing is drawn in this view yet"
    sheet.grab()


def test_a_view_that_is_all_hidden_says_so(sheet: Sheet, session: Session):
    session.push(SetHidden(("collar",), True, "Hide"))
    sheet.set_view("plan")
    assert empty_words(sheet._shown, "plan", canvas_of(sheet).drawing)[0] == "All of this view is hidden"


def test_a_project_without_views_says_so(qtbot):
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    bare = replace(PROJECT, views=(), bodies=(), connections=(), drives=(), sequences=(), pairs=())
    session.open(bare, None)
    sheet.grab()
    assert empty_words(sheet._shown, None, canvas_of(sheet).drawing)[0] == "This aircraft has no views yet"


def test_before_the_first_check_bodies_stand_as_drawn(qtbot):
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    session.open(PROJECT, None)
    assert note_of(sheet._shown, "side") == ("checking…", "stale")
    assert not sheet._shown.poses.any()
    sheet.grab()


def test_another_aircraft_takes_the_sheet_over(sheet: Sheet, session: Session):
    session.choose("leg")
    other = replace(PROJECT, views=(PROJECT.views[1],), bodies=PROJECT.bodies[5:], connections=(), drives=(), pairs=(),
                    sequences=())  # fmt: skip
    session.open(other, None)
    assert sheet.views == ("plan",)
    sheet.grab()
