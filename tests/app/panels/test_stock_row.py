"""Jacks and servos kept in the builder's catalogue from one aircraft and taken up in another."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from core.document.catalogue import FILE_NAME, Catalogue, StockServo, read_catalogue, write_catalogue
from core.document.project import Jack
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window

ENDS = ((20.0, 20.0), (60.0, 0.0))
HATCH = StockServo(name="Hatch servo", torque=180.0, travel=120.0, arms=(8.0, 10.5), speed=0.11)


def with_a_jack(**sizes: float):
    jack = Jack(id="jack", name="Door jack", bodies=("airframe", "door"), ends=ENDS, **sizes)
    project = small_aircraft()
    return replace(project, connections=(*project.connections, jack))


def test_a_jack_is_kept_in_one_aircraft_and_taken_in_another(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, with_a_jack(closed=30.0, stroke=18.0, barrel=6.0, force=4.5)) as window:
        row = window.details.stock
        assert row.isHidden()
        window.session.choose("jack")
        assert row.pick.count() == 1
        row.keep.click()
        assert row.pick.currentText() == "Door jack: 30 mm closed, stroke 18 mm"
        assert row.keep.isHidden()
        home = window.settings.home
    assert [one.name for one in read_catalogue(home).jacks] == ["Door jack"]
    with opened_window(qtbot, tmp_path, with_a_jack(closed=32.0, stroke=15.0)) as window:
        window.session.choose("jack")
        row = window.details.stock
        assert row.pick.currentIndex() == 0
        row.pick.activated.emit(1)
        jack = window.session.project.connections[-1]
        assert (jack.closed, jack.stroke, jack.barrel, jack.force) == (30.0, 18.0, 6.0, 4.5)
        assert window.session.undo_label == "Size by the catalogue Door jack"
        assert window.details.entries.fields["force"].line.text() == "4.5"


def test_a_servo_is_chosen_for_a_drive_and_kept_from_one(qtbot, tmp_path: Path):
    write_catalogue(Catalogue(servos=(HATCH,)), tmp_path / "home")
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        row, session = window.details.stock, window.session
        session.choose("gear")
        assert (row.pick.currentText(), row.keep.isHidden()) == ("no servo", True)
        row.pick.activated.emit(1)
        drive = next(one for one in session.project.drives if one.id == "gear")
        assert drive.servo == HATCH.as_servo()
        assert session.project.connections[0].limits == (0.0, 120.0)
        assert row.pick.currentText() == "Hatch servo: 120°, 180 N·mm"
        fields = window.details.entries.fields
        assert (fields["torque"].line.text(), fields["arm"].line.text()) == ("180", "8")
        fields["torque"].line.setFocus()
        fields["torque"].line.selectAll()
        qtbot.keyClicks(fields["torque"].line, "2 kg cm\r")
        drive = next(one for one in session.project.drives if one.id == "gear")
        assert round(drive.servo.torque, 3) == 196.133
        assert row.pick.currentText() == "a servo of its own: Hatch servo"
        row.keep.click()
        assert round(read_catalogue(window.settings.home).servos[0].torque, 3) == 196.133
        session.choose(drive.on)
        assert row.isVisible(), "it is chosen by its pivot as well"
        row.pick.activated.emit(0)
        assert next(one for one in session.project.drives if one.id == "gear").servo is None
        for _ in range(3):
            session.undo()
        assert session.project == small_aircraft()


def test_a_catalogue_that_cannot_be_read_is_told_and_not_written_over(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, with_a_jack(closed=30.0, stroke=18.0)) as window:
        home = window.settings.home
        home.mkdir(parents=True, exist_ok=True)
        (home / FILE_NAME).write_text("{")
        window.session.choose("jack")
        window.details.stock.keep.click()
        assert FILE_NAME in window.notice.text
    assert (home / FILE_NAME).read_text() == "{"
