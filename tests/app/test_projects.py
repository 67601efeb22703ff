"""Packed aircraft, variants, samples and the start page, by the window's own menus, drops and buttons."""

from __future__ import annotations

import errno
import os
import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QLabel

from app.files import SAMPLES, save_aircraft
from app.main_window import MainWindow
from app.painting.theme import DARK, LIGHT
from app.painting.thumbnail import thumbnail, thumbnail_file
from app.samples import SAMPLE_ROWS
from app.settings import Look
from core.document.packing import pack, unpack
from core.document.project import Aircraft, Project
from core.document.project_file import read_project, write_project
from core.document.step_time_edits import SetStepDuration
from core.errors import UnwritableProject
from tests.app.small_aircraft import small_aircraft
from tests.app.window import dialog_of, opened_window, settings_in, wait_for_check


def longer(seconds: float) -> SetStepDuration:
    return SetStepDuration("retract", "leg-up", seconds)


def duration(folder: Path) -> float:
    return read_project(folder).sequences[0].steps[1].duration


def drop(window: MainWindow, path: Path) -> bool:
    """Drag a file over the window and let it go; whether it was taken."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path))])
    rest = (Qt.DropAction.CopyAction, mime, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    enter = QDragEnterEvent(QPoint(700, 400), *rest)
    enter.ignore()
    window.dragEnterEvent(enter)
    if not enter.isAccepted():
        return False
    window.dropEvent(QDropEvent(QPointF(700.0, 400.0), *rest))
    return True


@pytest.fixture
def packed(tmp_path: Path) -> Path:
    write_project(small_aircraft(), tmp_path / "sent")
    return pack(tmp_path / "sent", tmp_path / "Merrow nose.bayfold")


# ---- a lost drawing --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("broken", [None, b"not a picture"])
def test_an_aircraft_whose_drawing_is_lost_is_opened_all_the_same_and_that_is_said(qtbot, tmp_path: Path, broken):
    shutil.copytree(SAMPLES / "merrow-t2", tmp_path / "mine")
    lost = tmp_path / "mine" / "drawings" / "side.png"
    lost.unlink()
    if broken is not None:
        lost.write_bytes(broken)
    drawings = [view.drawings for view in read_project(tmp_path / "mine", lost=False).views]
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(tmp_path / "mine")
        assert "side.png" in window.notice.text
        assert "all else is here" in window.notice.text
        window.grab()
        window.session.push(longer(5.0))
        assert window.keeping.keeper.flush()
    read = read_project(tmp_path / "mine", lost=False)
    assert next(step.duration for step in read.sequences[0].steps if step.id == "leg-up") == 5.0
    assert [view.drawings for view in read.views] == drawings, "it is there again when its file is"


def test_a_drawing_that_could_not_be_copied_whole_is_not_taken_for_copied(tmp_path: Path, monkeypatch):
    shutil.copytree(SAMPLES / "merrow-t2", tmp_path / "mine")
    project = read_project(tmp_path / "mine")

    def broken_off(source: Path, copy: Path) -> None:
        copy.write_bytes(source.read_bytes()[:1000])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    copyfile = shutil.copyfile
    monkeypatch.setattr(shutil, "copyfile", broken_off)
    with pytest.raises(UnwritableProject, match="No space left"):
        save_aircraft(project, tmp_path / "other", tmp_path / "mine")
    monkeypatch.setattr(shutil, "copyfile", copyfile)
    save_aircraft(project, tmp_path / "other", tmp_path / "mine")
    assert read_project(tmp_path / "other") == project, "with its drawings whole"


# ---- packing -------------------------------------------------------------------------------------------------------


def test_packing_by_the_menu_holds_the_newest_edit(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.session.push(longer(5.0))
        window.commands["pack"].trigger()
        dialog = dialog_of(window, QFileDialog)
        file = tmp_path / "to-send.bayfold"
        dialog.fileSelected.emit(str(file))
        dialog.reject()
        assert duration(unpack(file, tmp_path / "out")) == 5.0


def test_a_pack_that_cannot_be_written_is_one_line(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        assert not window.keeping.pack_to(tmp_path / "nowhere" / "x.bayfold")
        assert "could not be written" in window.notice.text


def test_a_packed_file_that_is_dropped_is_unpacked_into_a_folder_of_its_own_each_time(qtbot, tmp_path, packed: Path):
    with opened_window(qtbot, tmp_path) as window:
        assert drop(window, packed)
        wait_for_check(qtbot, window)
        first = window.session.folder
        assert first == tmp_path / "home" / "merrow-nose"
        window.session.push(longer(5.0))
        assert drop(window, packed)
        assert window.session.folder == tmp_path / "home" / "merrow-nose-2"
        assert (duration(first), duration(window.session.folder)) == (5.0, 4.0)


def test_a_broken_packed_file_leaves_what_is_open(qtbot, tmp_path: Path):
    bad = tmp_path / "bad.bayfold"
    bad.write_bytes(b"no zip")
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        assert drop(window, bad)
        assert "bad.bayfold: cannot be unpacked" in window.notice.text
        assert window.session.folder == tmp_path / "aircraft"
    assert not (tmp_path / "home").exists()


# ---- variants ------------------------------------------------------------------------------------------------------


def test_a_variant_is_a_copy_beside_that_is_gone_on_with(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.session.push(longer(5.0))
        window.commands["variant"].trigger()
        assert window.session.folder == tmp_path / "aircraft-variant"
        window.session.push(longer(6.0))
        assert window.keeping.keeper.flush()
        assert (duration(tmp_path / "aircraft"), duration(tmp_path / "aircraft-variant")) == (5.0, 6.0)
        assert not (tmp_path / "aircraft" / ".bayfold" / "lock").exists()
        window.commands["variant"].trigger()
        assert window.session.folder == tmp_path / "aircraft-variant-2"


def test_a_variant_takes_its_drawings_along(qtbot, tmp_path: Path):
    shutil.copytree(SAMPLES / "pellow-3", tmp_path / "mine", ignore=shutil.ignore_patterns("exports", ".bayfold"))
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(tmp_path / "mine")
        window.commands["variant"].trigger()
        there = {one.name: one.read_bytes() for one in (tmp_path / "mine" / "drawings").iterdir()}
        copied = {one.name: one.read_bytes() for one in (tmp_path / "mine-variant" / "drawings").iterdir()}
        assert copied
        assert copied.items() <= there.items()


def test_without_an_aircraft_there_is_nothing_to_pack_or_copy(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path) as window:
        assert not window.commands["pack"].isEnabled()
        assert not window.commands["variant"].isEnabled()


# ---- the start page ------------------------------------------------------------------------------------------------


def test_every_sample_has_a_button_that_opens_a_copy_of_it(qtbot, tmp_path: Path):
    assert {row.id for row in SAMPLE_ROWS} == {one.parent.name for one in SAMPLES.glob("*/project.json")}
    for row in (SAMPLE_ROWS[1], SAMPLE_ROWS[-1]):
        with opened_window(qtbot, tmp_path / row.id) as window:
            QTest.mouseClick(window.start.samples[row.id], Qt.MouseButton.LeftButton)
            assert window.session.folder == tmp_path / row.id / "home" / row.id


def test_a_left_aircraft_has_its_picture_in_both_themes_and_a_row(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()):
        pass
    for dark, theme in ((False, LIGHT), (True, DARK)):
        image = QImage(str(thumbnail_file(tmp_path / "aircraft", dark=dark)))
        assert (image.width(), image.height()) == (192, 120)
        assert image.pixelColor(0, 0).name() == theme.paper
        colours = {image.pixel(x, y) for x in range(0, 192, 3) for y in range(0, 120, 3)}
        assert len(colours) > 5  # something is drawn on it
    with opened_window(qtbot, tmp_path) as window:
        (row,) = window.start.rows
        texts = [label.text() for label in row.findChildren(QLabel)]
        assert small_aircraft().aircraft.name in texts
        assert any(text.startswith("changed today") for text in texts)
        QTest.mouseClick(row, Qt.MouseButton.LeftButton)
        assert window.session.folder == tmp_path / "aircraft"


def test_the_picture_follows_the_aircraft_and_is_not_painted_anew_for_nothing(qtbot, tmp_path: Path):
    file = thumbnail_file(tmp_path / "aircraft", dark=False)
    with opened_window(qtbot, tmp_path, small_aircraft()):
        pass
    first = file.stat().st_mtime_ns
    with opened_window(qtbot, tmp_path) as window:
        window.keeping.open(tmp_path / "aircraft")
    assert file.stat().st_mtime_ns == first
    os.utime(file, (1_000_000_000, 1_000_000_000))
    with opened_window(qtbot, tmp_path) as window:
        window.keeping.open(tmp_path / "aircraft")
    assert file.stat().st_mtime > 1_000_000_000


def test_rows_stand_without_a_picture_and_with_a_name_longer_than_the_row(qtbot, tmp_path: Path):
    name = "Merrow T.2 with the long nose leg, the second door and everything that the third drawing says of it"
    write_project(Project(aircraft=Aircraft(name=name)), tmp_path / "long")
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "project.json").write_text("no json")
    settings = settings_in(tmp_path)
    settings.remember(tmp_path / "long")
    settings.remember(tmp_path / "broken")
    with opened_window(qtbot, tmp_path) as window:
        broken, long = window.start.rows
        assert "broken" in [label.text() for label in broken.findChildren(QLabel)]
        elided = next(label for label in long.findChildren(QLabel) if label.text().startswith("Merrow"))
        assert elided.text().endswith("…")
        assert elided.fontMetrics().horizontalAdvance(elided.text()) <= elided.width()
        assert name in long.accessibleName()
        window.set_look(Look.DARK)
        assert len(window.start.rows) == 2
        QTest.mouseClick(window.start.rows[0], Qt.MouseButton.LeftButton)
        assert "project.json" in window.notice.text
        assert window.session.project is None


def test_nothing_lately_shows_no_empty_list(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path) as window:
        assert window.start.rows == []
        assert "Opened lately" not in [one.text() for one in window.start.findChildren(QLabel) if one.isVisible()]


def test_an_empty_aircraft_has_no_picture():
    assert thumbnail(Project(aircraft=Aircraft(name="Pellow 3")), LIGHT) is None


@pytest.mark.parametrize("lost", [False, True])
def test_an_aircraft_that_was_never_left_has_its_picture_made_for_the_start_page(qtbot, tmp_path: Path, lost):
    """It is painted without its drawings, so that one that is lost is not missed."""
    folder = tmp_path / "aircraft"
    shutil.copytree(SAMPLES / "merrow-t2", folder)
    if lost:
        (folder / "drawings" / "side.png").unlink()
    settings_in(tmp_path).remember(folder)
    with opened_window(qtbot, tmp_path) as window:
        qtbot.waitUntil(thumbnail_file(folder, dark=True).is_file)
        qtbot.waitUntil(lambda: bool(pictures(window)))


def test_an_aircraft_that_cannot_be_read_has_none_and_is_no_trouble(qtbot, tmp_path: Path):
    folder = tmp_path / "aircraft"
    folder.mkdir()
    (folder / "project.json").write_text("{")
    settings_in(tmp_path).remember(folder)
    with opened_window(qtbot, tmp_path) as window:
        qtbot.waitUntil(lambda: not window.recent_pictures._aside.busy)
        assert pictures(window) == []
        assert window.notice.text == ""


def pictures(window) -> list[QLabel]:
    return [one for row in window.start.rows for one in row.findChildren(QLabel) if not one.pixmap().isNull()]


def test_each_sample_is_in_the_menu(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path) as window:
        actions = [one for one in window.menus._samples.actions() if not one.isSeparator()]
        assert [one.text() for one in actions] == [row.words for row in SAMPLE_ROWS]
        assert all((SAMPLES / row.id / "project.json").is_file() for row in SAMPLE_ROWS)
        actions[-1].trigger()
        assert window.session.folder == tmp_path / "home" / "pellow-3-flawed"
        shown = [one.text() for one in window.menuBar().actions()[0].menu().actions()]
        assert shown.index("Open a sa&mple") == shown.index("&Open aircraft…") + 2
