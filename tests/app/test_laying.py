"""Drawings laid under a view and fitted by hand; outlines brought in; a datum read off the sheet."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import pytest
from PIL import Image, ImageDraw
from PySide6.QtCore import Qt

from app import pictures
from app.dialogs.view_settings import DatumSettings, OutlineUnit
from app.pictures import bring_in
from core.document.aircraft_edits import SetLengthUnit
from core.document.project import Aircraft, Body, Circle, Project, View
from core.errors import SenselessRequest
from core.sketch.body_edits import AddBodies
from core.sketch.fitting import mapped
from tests.app.sketcher import Sketcher
from tests.app.window import dialog_of, opened_window, settle

SIDE = View(id="side", name="Side elevation", plane="side")


@pytest.fixture
def hand(qtbot, tmp_path: Path):
    empty = Project(aircraft=Aircraft(name="Merrow T.2", scale=12), views=(SIDE,))
    with opened_window(qtbot, tmp_path, empty) as window:
        yield Sketcher(window)


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    image = Image.new("RGB", (1000, 500), "white")
    ImageDraw.Draw(image).line([(100, 400), (900, 400)], fill="black", width=3)
    image.save(tmp_path / "Side view.png")
    return tmp_path / "Side view.png"


def drawing(hand):
    return hand.window.session.project.views[0].drawings[-1]


def begin_a_known_length(qtbot, hand, picture) -> None:
    """Lay a drawing, and click both ends of the line in it."""
    hand.window.laying.lay(picture)
    settle()
    for pixel in ((100.0, 400.0), (900.0, 400.0)):
        hand.click(*mapped(drawing(hand).pixel_to_mm, [pixel])[0].tolist())


def test_a_drawing_is_copied_and_laid(hand, picture):
    hand.window.laying.lay(picture)
    assert drawing(hand).file == "drawings/side-view.png"
    copied = hand.window.session.folder / drawing(hand).file
    assert copied.read_bytes() == picture.read_bytes()
    hand.window.laying.lay(picture)
    assert [one.file for one in hand.window.session.project.views[0].drawings] == [
        "drawings/side-view.png", "drawings/side-view-2.png",
    ]  # fmt: skip
    hand.window.session.undo()
    assert len(hand.window.session.project.views[0].drawings) == 1


def test_two_known_points_fit_it(qtbot, hand, picture):
    hand.window.laying.lay(picture)
    hand.canvas.fit()
    settle()
    hand.tool("fit-point")
    for pixel, typed in (((100.0, 400.0), ("0", "0")), ((900.0, 400.0), ("100 mm", "0"))):
        hand.click(*mapped(drawing(hand).pixel_to_mm, [pixel])[0].tolist())
        line = hand.window.sheet.line
        for name, text in zip(("x", "y"), typed, strict=True):
            field = line._lines[name]
            field.setText(text)
            field.setModified(True)
        hand.key(Qt.Key.Key_Return, line._lines["y"])
    assert len(drawing(hand).known) == 2
    middle = mapped(drawing(hand).pixel_to_mm, [(500.0, 400.0)])[0]
    assert middle == pytest.approx((50.0, 0.0), abs=0.2), "as near as a pixel of the screen is on the drawing"
    assert hand.window.session.undo_label == "Fit the drawing"


@pytest.mark.parametrize(("unit", "such"), [("mm", "318 mm full size"), ("in", "12½ in full size")])
def test_how_a_known_length_may_be_typed_is_told_in_the_aircrafts_family_of_units(qtbot, hand, picture, unit, such):
    hand.window.session.push(SetLengthUnit(unit))
    begin_a_known_length(qtbot, hand, picture)
    assert f"such as {such}," in hand.window.sheet.line.hint.text()


def test_a_known_length_at_full_size_fits_it(qtbot, hand, picture):
    begin_a_known_length(qtbot, hand, picture)
    hand.canvas.setFocus()
    hand.type("1200 mm full size")
    start, end = mapped(drawing(hand).pixel_to_mm, [(100.0, 400.0), (900.0, 400.0)])
    assert end[0] - start[0] == pytest.approx(100.0, abs=0.5)


def test_what_is_laid_asks_at_once_how_large_it_is_and_all_that_is_typed_is_seen(qtbot, hand, picture):
    begin_a_known_length(qtbot, hand, picture)
    hand.canvas.setFocus()
    hand.press_keys("1200 mm full size")
    settle()
    line = hand.window.sheet.line._lines["length"]
    assert line.text() == "1200 mm full size"
    assert line.width() > line.fontMetrics().horizontalAdvance(line.text()) + 10


def test_a_drawing_is_said_not_to_be_to_scale_until_something_is_known_of_it(qtbot, hand, picture):
    hand.window.laying.lay(picture)
    hint = hand.window.sheet.line.hint
    assert "not to scale yet: click one end of a length" in hint.text()
    settle()
    rows = [hand.canvas.placement.to_device(*at).y() for at in ((0.0, 0.0), (0.0, 100.0))]
    assert all(0 <= row <= hand.canvas.height() for row in rows), "all of it is in sight above the tool's line"
    for pixel in ((100.0, 400.0), (900.0, 400.0)):
        hand.click(*mapped(drawing(hand).pixel_to_mm, [pixel])[0].tolist())
    hand.canvas.setFocus()
    hand.type("100")
    assert hint.text() == "Click one end of a length that is known"


def in_sight(hand) -> bool:
    corners = mapped(drawing(hand).pixel_to_mm, [(0.0, 0.0), (1000.0, 0.0), (1000.0, 500.0), (0.0, 500.0)]).tolist()
    return all(hand.canvas.rect().contains(hand.pixel(*corner)) for corner in corners)


def know_a_point(hand, pixel: tuple[float, float], x: str, y: str) -> None:
    hand.click(*mapped(drawing(hand).pixel_to_mm, [pixel])[0].tolist())
    line = hand.window.sheet.line
    for name, text in (("x", x), ("y", y)):
        line._lines[name].setText(text)
        line._lines[name].setModified(True)
    hand.key(Qt.Key.Key_Return, line._lines["y"])


def test_a_drawing_that_is_fitted_stays_in_sight_while_nothing_else_is_there(qtbot, hand, picture):
    hand.window.laying.lay(picture)
    settle()
    hand.tool("fit-point")
    know_a_point(hand, (100.0, 400.0), "2500", "-800")
    assert in_sight(hand)
    know_a_point(hand, (900.0, 400.0), "2520", "-800")
    assert in_sight(hand)
    wall = Body(id="bay", name="Bay", view="side", shapes=(Circle(centre=(2510.0, -800.0), radius=5.0),))
    hand.window.session.push(AddBodies((wall,)))
    hand.canvas.zoom(20.0)
    scale = hand.canvas.placement.scale
    know_a_point(hand, (500.0, 400.0), "2510", "-800")
    assert hand.canvas.placement.scale == scale, "who looks at a body stays where they look"


def test_a_locked_drawing_is_left_alone(hand, picture):
    said = []
    hand.window.session.trouble.connect(said.append)
    laying = hand.window.laying
    laying.lay(picture)
    laying.fainter()
    assert drawing(hand).opacity == 0.35
    laying.lock()
    laying.stronger()
    laying.mirror()
    assert (drawing(hand).opacity, drawing(hand).mirrored) == (0.35, False)
    assert "locked" in said[-1]
    laying.lock()
    laying.mirror()
    assert drawing(hand).mirrored
    laying.take_away()
    assert hand.window.session.project.views[0].drawings == ()


def test_into_an_aircraft_that_is_only_looked_at_nothing_is_laid_and_that_is_said(hand, picture):
    hand.window.session.look_only("It is open in another window")
    before = hand.window.session.project
    hand.window.laying.lay(picture)
    assert hand.window.notice.text == "It is open in another window"
    assert hand.window.sheet.tool == ""
    assert hand.window.session.project is before
    assert not (hand.window.session.folder / "drawings").exists()


def test_what_could_not_be_opened_again_is_not_laid(hand, picture, monkeypatch):
    """A picture that is broken off looks whole from its head alone."""
    said = []
    hand.window.session.trouble.connect(said.append)
    whole = picture.read_bytes()
    picture.write_bytes(whole[: len(whole) // 2])
    hand.window.laying.lay(picture)
    assert "cannot be read as a picture" in said[-1]
    picture.write_bytes(whole)
    monkeypatch.setattr(pictures, "MOST_PIXELS", 1000 * 499)
    hand.window.laying.lay(picture)
    assert "is too large to be read, 1000 × 500 pixels" in said[-1]
    assert hand.window.session.project.views[0].drawings == ()
    assert not (hand.window.session.folder / "drawings").exists()


def test_a_pdf_page_and_an_svg_become_pictures(tmp_path: Path, picture):
    Image.open(picture).save(tmp_path / "sheet.pdf", resolution=100.0)
    inside, width, height = bring_in(tmp_path / "sheet.pdf", tmp_path / "aircraft")
    assert (tmp_path / "aircraft" / inside).is_file()
    assert width / height == pytest.approx(2.0, rel=1e-2)
    (tmp_path / "bay.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="100"><rect width="50" height="50"/></svg>'
    )
    _, width, height = bring_in(tmp_path / "bay.svg", tmp_path / "aircraft")
    assert width == 2 * height


@pytest.mark.parametrize("name", ["broken.png", "broken.pdf", "broken.svg", "notes.txt", "none.png"])
def test_what_is_no_drawing_is_refused_and_nothing_is_left_behind(tmp_path: Path, name):
    if name != "none.png":
        (tmp_path / name).write_bytes(b"not a drawing")
    with pytest.raises(SenselessRequest) as refused:
        bring_in(tmp_path / name, tmp_path / "aircraft")
    assert str(refused.value).count("\n") == 0
    assert not list((tmp_path / "aircraft").rglob("*.*"))


def test_outlines_with_a_unit_come_as_bodies(hand, tmp_path: Path):
    document = ezdxf.new()
    document.header["$INSUNITS"] = 1
    document.modelspace().add_circle((0, 0), 1)
    document.modelspace().add_lwpolyline([(3, 0), (5, 0), (5, 2)], close=True)
    document.saveas(tmp_path / "door.dxf")
    hand.window.laying.take_outlines(tmp_path / "door.dxf")
    bodies = hand.window.session.project.bodies
    assert [body.name for body in bodies] == ["door", "door 2"]
    assert bodies[0].shapes[0].radius == pytest.approx(25.4)
    assert hand.window.session.undo_label == "Bring in door.dxf"


def test_outlines_without_a_unit_are_asked_about(qtbot, hand, tmp_path: Path):
    (tmp_path / "door.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"><circle r="2"/></svg>')
    hand.window.laying.take_outlines(tmp_path / "door.svg")
    assert hand.window.session.project.bodies == ()
    question = dialog_of(hand.window, OutlineUnit)
    question.unit.setCurrentText("cm")
    question._take()
    assert hand.window.session.project.bodies[0].shapes[0].radius == pytest.approx(20.0)


def test_a_datum_is_set_and_read_under_the_pointer(qtbot, hand):
    hand.window.laying.ask_for_datum()
    question = dialog_of(hand.window, DatumSettings)
    question.lines["first"].setText("2520")
    question.lines["second"].setText("-120")
    question._set()
    assert hand.window.session.project.views[0].datum.reads == (2520.0, -120.0)
    hand.window.sheet._read(10.0, -5.0)
    assert "FS 2640.0 mm" in hand.window.sheet.head.pointer.text()
    assert "WL −180.0 mm" in hand.window.sheet.head.pointer.text()


def test_a_datum_is_typed_at_either_size(qtbot, hand):
    scale = hand.window.session.project.aircraft.scale
    hand.window.laying.ask_for_datum()
    question = dialog_of(hand.window, DatumSettings)
    question.lines["x"].setText(f"{10 * scale:g} mm full size")
    question.lines["first"].setText("10 mm model size")
    question.lines["second"].setText("1 ft 1 in")
    question._set()
    datum = hand.window.session.project.views[0].datum
    assert datum.at[0] == 10.0
    assert datum.reads == (10.0 * scale, pytest.approx(13 * 25.4))


def test_a_datum_that_is_none_is_refused(hand):
    hand.window.laying.ask_for_datum()
    question = dialog_of(hand.window, DatumSettings)
    question.lines["first"].setText("frame 12")
    question._set()
    assert hand.window.session.project.views[0].datum is None
    assert "frame" in question._says.text()
    question.reject()


def test_views_are_added_and_looked_at(hand):
    hand.window.laying.add_view("front")
    assert [view.plane for view in hand.window.session.project.views] == ["side", "front"]
    assert hand.window.sheet.looked_at == "front"
