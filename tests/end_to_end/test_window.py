"""The window as a person drives it: with the mouse, with the keys, and by typing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QLineEdit, QPushButton

from app.dialogs.strip import StripFrames
from app.dialogs.unsaved import UnsavedChanges
from app.main_window import MainWindow
from app.panels.finding_groups import all_findings
from core.document.project_file import read_project
from core.document.step_time_edits import SetStepDuration
from core.errors import UnwritableProject
from core.findings.finding import Kind
from tests.app.small_aircraft import small_aircraft
from tests.app.window import dialog_of, opened_window, settings_in, settle, wait_for_check

LEFT, NO_KEYS = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


@pytest.fixture
def window(qtbot, tmp_path: Path) -> Iterator[MainWindow]:
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def drag(widget, start: QPointF, end: QPointF) -> None:
    QTest.mousePress(widget, LEFT, NO_KEYS, start.toPoint())
    for part in range(1, 9):
        QTest.mouseMove(widget, (start + (end - start) * (part / 8)).toPoint())
    QTest.mouseRelease(widget, LEFT, NO_KEYS, end.toPoint())


def press(window: MainWindow, key: Qt.Key) -> None:
    QTest.keyClick(window.sequence.lanes, key)


def scrub(window: MainWindow, start: float, end: float) -> None:
    ruler = window.sequence.ruler
    drag(ruler, QPointF(ruler.scale.x(start), 26), QPointF(ruler.scale.x(end), 26))


# ---- looking ---------------------------------------------------------------------------------------------------------


def test_scrubbing_moves_what_the_sheet_and_the_details_show(window: MainWindow, qtbot):
    window.session.choose("leg")
    scrub(window, 0.2, 3.7)
    assert window.session.moment == pytest.approx(3.7, abs=0.02)

    def turned() -> float:
        return float(window.details.table.text("Turned").rstrip("°"))

    halfway = pytest.approx(46.0, abs=0.6)  # the eased leg is half way up in the middle of its step
    qtbot.waitUntil(lambda: turned() == halfway)  # details follow a hand that moves a little behind it
    assert window.sequence.transport.readout.startswith(f"{window.session.moment:.3f} s")
    before = window.sheet.grab().toImage()
    scrub(window, 3.7, 5.0)
    assert window.sheet.grab().toImage() != before


def test_play_moves_the_moment_until_it_is_paused(window: MainWindow, qtbot):
    window.playback.set_looping(True)  # a machine that halts meanwhile would have come to the end, and be paused
    press(window, Qt.Key.Key_Space)
    assert window.playback.playing
    qtbot.waitUntil(lambda: window.session.moment > 0.15)
    press(window, Qt.Key.Key_Space)
    assert not window.playback.playing
    stood = window.session.moment
    settle()
    assert window.session.moment == stood


def test_one_hand_on_the_keys_steps_and_goes_to_the_ends(window: MainWindow):
    times = window.session.sequence_study.motion.times
    press(window, Qt.Key.Key_D)
    assert window.session.moment == times[1]
    press(window, Qt.Key.Key_S)
    assert window.session.moment == times[0]
    press(window, Qt.Key.Key_F)
    assert window.session.moment == times[-1]
    press(window, Qt.Key.Key_A)
    assert window.session.moment == 0.0
    press(window, Qt.Key.Key_T)
    press(window, Qt.Key.Key_R)
    press(window, Qt.Key.Key_Z)
    assert (window.playback.looping, window.playback.backwards, window.playback.speed) == (True, True, 0.5)


def test_the_next_finding_is_gone_to_and_shown(window: MainWindow):
    press(window, Qt.Key.Key_E)
    shown = window.session.finding
    assert shown is not None
    assert window.session.moment == pytest.approx(shown.time)
    kinds = set()
    for _ in range(len(all_findings(window.session.study))):
        kinds.add(window.session.finding.kind)
        press(window, Qt.Key.Key_E)
    assert window.session.finding == shown, "round again"
    assert Kind.CLASH in kinds


def test_choosing_a_finding_with_the_mouse_shows_its_moment_and_place(window: MainWindow):
    listed = window.findings.list
    row = next(i for i, one in enumerate(window.findings.model.groups) if one.kind == Kind.CLASH)
    middle = listed.visualRect(window.findings.model.index(row)).center()
    QTest.mouseClick(listed.viewport(), LEFT, NO_KEYS, middle)
    finding = window.session.finding
    assert finding.kind == Kind.CLASH
    assert window.session.moment == pytest.approx(finding.time)
    assert finding.sentence.startswith(("Nose leg and Main door", "Main door and Nose leg"))


def test_a_digit_chooses_a_sequence(window: MainWindow):
    press(window, Qt.Key.Key_2)
    assert window.session.sequence.id == "hold"
    QTest.mouseClick(window.sequence.transport.segments.button("retract"), LEFT)
    assert window.session.sequence.id == "retract"


def test_searching_the_lists_and_choosing_from_them(window: MainWindow):
    QTest.keyClicks(window.details.lists.search, "nose leg")
    listed = window.details.lists.view
    QTest.mouseClick(listed.viewport(), LEFT, NO_KEYS, listed.visualRect(window.details.lists.model.index(1)).center())
    assert window.session.selection == "leg"
    assert window.details.title == "Nose leg"
    assert window.details.entries.fields["mass"].value == 48.0


# ---- changing --------------------------------------------------------------------------------------------------------


def test_a_bars_edge_dragged_changes_the_duration_and_the_check_follows(window: MainWindow, qtbot):
    lanes = window.sequence.lanes
    box = lanes.bars.box("leg-up")
    start = QPointF(box.right() - 2, box.center().y())
    drag(lanes, start, start + QPointF(1.0 / lanes.scale.seconds_per_pixel, 0))
    assert window.session.sequence.steps[1].duration == pytest.approx(5.0, abs=0.05)
    assert window.standing == "checking…", "never clear before it is known"
    assert window.findings.standing.title == "Checking…"
    assert window.isWindowModified()
    wait_for_check(qtbot, window)
    assert window.session.sequence_study.schedule.seconds == pytest.approx(8.2, abs=0.05)

    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.session.sequence.steps[1].duration == 4.0
    qtbot.waitUntil(lambda: not window.isWindowModified())  # where the file had the longer one, it has this one soon
    QTest.keyClick(window, Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    assert window.session.sequence.steps[1].duration == pytest.approx(5.0, abs=0.05)
    wait_for_check(qtbot, window)


def test_a_target_typed_changes_what_is_found(window: MainWindow, qtbot):
    clashes = [one for one in window.session.sequence_study.findings if one.kind == Kind.CLASH]
    assert clashes, "the closing door meets the leg"
    window.session.choose("doors-close")
    field = window.details.form.fields["doors"]
    field.line.selectAll()
    QTest.keyClicks(field.line, "80°")
    QTest.keyClick(field.line, Qt.Key.Key_Return)
    assert window.session.undo_label == "Change drive target"
    wait_for_check(qtbot, window)
    later = [one for one in window.session.sequence_study.findings if one.kind == Kind.CLASH and one.begin > 5.7]
    assert later == [], "left open, the door stays clear of the leg when it is up"


def test_what_is_typed_and_not_understood_changes_nothing(window: MainWindow):
    window.session.choose("leg-up")
    field = window.details.form.fields["duration"]
    refused = {"soon": "not understood", "-1": "less than no time", "1,234.5": "may part thousands or decimals"}
    for text, reason in refused.items():
        field.line.selectAll()
        QTest.keyClicks(field.line, text)
        QTest.keyClick(field.line, Qt.Key.Key_Return)
        assert reason in field.reason
    assert window.session.sequence.steps[1].duration == 4.0
    assert window.session.undo_label is None


def test_letters_typed_in_a_field_are_no_commands(window: MainWindow):
    window.session.choose("leg-up")
    window.session.set_moment(2.0)
    window.details.lists.search.setFocus()
    QTest.keyClicks(window.details.lists.search, "fads 1 2")
    assert window.details.lists.search.text() == "fads 1 2"
    assert (window.session.moment, window.session.sequence.id, window.playback.playing) == (2.0, "retract", False)


# ---- keeping ---------------------------------------------------------------------------------------------------------


def answer_file_dialog(window: MainWindow, path: Path) -> None:
    dialog = dialog_of(window, QFileDialog)
    dialog.fileSelected.emit(str(path))
    dialog.reject()


def test_saved_in_another_folder_it_opens_again_as_it_was(window: MainWindow, qtbot, tmp_path: Path):
    window.session.choose("leg-up")
    field = window.details.form.fields["duration"]
    field.line.selectAll()
    QTest.keyClicks(field.line, "3.25")
    QTest.keyClick(field.line, Qt.Key.Key_Return)
    window.commands["save-as"].trigger()
    answer_file_dialog(window, tmp_path / "another")
    assert not window.isWindowModified()
    assert read_project(tmp_path / "aircraft").sequences[0].steps[1].duration == 4.0, "the old folder is as it was"

    window.commands["open"].trigger()
    answer_file_dialog(window, tmp_path / "another" / "project.json")
    wait_for_check(qtbot, window)
    assert window.session.sequence.steps[1].duration == 3.25
    assert [folder.name for folder in settings_in(tmp_path).recent] == ["another", "aircraft"]


def test_a_new_folders_name_is_typed_and_the_folder_made(window: MainWindow, tmp_path: Path):
    window.commands["save-as"].trigger()
    dialog = dialog_of(window, QFileDialog)
    name = dialog.findChild(QLineEdit, "fileNameEdit")
    assert name.text() == "aircraft-variant", "a free name beside the aircraft's own"
    name.selectAll()
    QTest.keyClicks(name, "my-merrow")
    QTest.keyClick(name, Qt.Key.Key_Return)
    assert read_project(tmp_path / "my-merrow") == window.session.project
    assert window.session.folder == tmp_path / "my-merrow"


def test_a_file_that_cannot_be_read_is_told_of_and_the_old_aircraft_stays(window: MainWindow, tmp_path: Path):
    project = window.session.project
    bad = tmp_path / "bad" / "project.json"
    bad.parent.mkdir()
    bad.write_bytes(b'{"format": "bayfold-project", "version": 1, "aircraft": ')
    before = bad.read_bytes()
    window.keeping.open_guarded(bad)
    assert window.notice.isVisible()
    assert str(bad) in window.notice.text
    assert "\n" not in window.notice.text
    assert window.session.project is project
    assert bad.read_bytes() == before
    window.notice.put_away()
    assert not window.notice.isVisible()


def test_another_aircrafts_folder_is_not_written_over(window: MainWindow, tmp_path: Path):
    other = tmp_path / "other" / "project.json"
    other.parent.mkdir()
    other.write_text("kept")
    window.commands["save-as"].trigger()
    answer_file_dialog(window, other.parent)
    assert "another aircraft" in window.notice.text
    assert other.read_text() == "kept"


def typed_duration(window: MainWindow, text: str) -> None:
    window.session.choose("leg-up")
    field = window.details.form.fields["duration"]
    field.line.selectAll()
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def test_leaving_keeps_every_edit_without_asking(window: MainWindow, tmp_path: Path):
    typed_duration(window, "6")
    window.close()
    assert not window.isVisible()
    assert read_project(tmp_path / "aircraft").sequences[0].steps[1].duration == 6.0


def test_leaving_where_the_disk_refuses_asks_first(window: MainWindow, tmp_path: Path, monkeypatch):
    def full(*_arguments):
        raise UnwritableProject("project.json: could not be written: No space left on device")

    monkeypatch.setattr("app.keeper.write_project", full)
    typed_duration(window, "6")
    window.close()
    assert window.isVisible(), "it stays until it is answered"
    assert "No space left" in window.question.text
    question = dialog_of(window, UnsavedChanges)
    save = next(button for button in question.findChildren(QPushButton) if button.text() == "Save")
    QTest.mouseClick(save, LEFT)
    assert not window.isVisible()
    assert read_project(tmp_path / "aircraft").sequences[0].steps[1].duration == 6.0


def test_the_layout_is_kept_until_the_next_day(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.commands["look-dark"].trigger()
        window.commands["show-details"].trigger()
        window.regions.across.setSizes([400, 900, 0])
        kept = window.regions.across.sizes()[0]
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        assert window.theme.dark
        assert not window.details.isVisible()
        assert window.regions.across.sizes()[0] == pytest.approx(kept, abs=8)


def test_a_strip_is_drawn_from_the_window(window: MainWindow, qtbot, tmp_path: Path):
    window.commands["strip"].trigger()
    question = dialog_of(window, StripFrames)
    question.slider.setValue(4)
    QTest.mouseClick(next(one for one in question.findChildren(QPushButton) if one.isDefault()), LEFT)
    with qtbot.waitSignal(window.errands.done) as said:
        answer_file_dialog(window, tmp_path / "retract.svg")
    assert said.args == [f"The strip is drawn: retract.svg, in {tmp_path}"]
    assert (tmp_path / "retract.svg").read_text(encoding="utf-8").startswith("<?xml")


def test_a_strip_that_cannot_be_written_says_why(window: MainWindow, qtbot, tmp_path: Path):
    session = window.session
    with qtbot.waitSignal(window.errands.failed):
        window.strips.draw(session.study, session.sequence_study, 3, tmp_path / "no-such-folder" / "strip.svg")
    assert "no-such-folder" in window.notice.text


def test_closing_while_a_check_runs_waits_for_it(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.session.push(SetStepDuration("retract", "leg-up", 40.0))
        assert window.runner.working
        window.session.mark_saved(tmp_path / "aircraft")
        window.close()
        assert window.runner.shut_down(), "nothing runs any more"


def test_a_number_that_makes_no_sense_is_refused_beside_its_field(window: MainWindow):
    window.session.choose("leg-up")
    field = window.details.form.fields["duration"]
    field.line.selectAll()
    QTest.keyClicks(field.line, "3599")
    QTest.keyClick(field.line, Qt.Key.Key_Return)
    assert "3600 s" in field.reason, "the sequence as a whole would be longer than an hour"
    assert window.session.sequence.steps[1].duration == 4.0
    assert not window.notice.isVisible(), "it is said where it was typed"
