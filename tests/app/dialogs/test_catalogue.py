"""The catalogue looked through, searched, added to, changed and taken from; and a bad file met."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QLabel, QWidget

from app.dialogs.catalogue import CatalogueDialog
from core.document.catalogue import FILE_NAME, Catalogue, StockJack, StockServo, read_catalogue, write_catalogue

DOOR = StockJack(name="Door jack", closed=38.8, stroke=20.5, note="brass")
HATCH = StockServo(name="Hatch servo", torque=180.0, travel=120.0, arms=(8.0, 10.5))
HELD = Catalogue(jacks=(DOOR,), servos=(HATCH,))


@pytest.fixture
def dialog(qtbot, tmp_path: Path):
    write_catalogue(HELD, tmp_path)
    parent = QWidget()
    qtbot.addWidget(parent)
    shown = CatalogueDialog(tmp_path, parent)
    shown.open()
    yield shown
    shown.reject()


def names(dialog: CatalogueDialog) -> list[str]:
    return [dialog.list.item(row).text() for row in range(dialog.list.count())]


def type_into(qtbot, dialog: CatalogueDialog, key: str, text: str) -> None:
    line = dialog.fields[key].line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, text + "\r")


def test_it_lists_and_finds_by_name_kind_and_note(dialog):
    assert names(dialog) == ["Door jack  –  jack", "Hatch servo  –  servo"]
    dialog.search.setText("servo")
    assert names(dialog) == ["Hatch servo  –  servo"]
    dialog.search.setText("brass jack")
    assert names(dialog) == ["Door jack  –  jack"]
    dialog.search.setText("tank")
    assert names(dialog) == []
    assert not dialog.remove.isEnabled()


def test_a_long_name_goes_on_below_and_a_note_is_seen_whole(qtbot, dialog):
    line = dialog.list.fontMetrics().lineSpacing()
    assert dialog.list.visualItemRect(dialog.list.item(0)).height() < 1.5 * line
    dialog.list.setCurrentRow(0)
    note = dialog.fields["note"].line
    low = note.height()
    type_into(qtbot, dialog, "note", "of brass tube, with its ends soldered, after the third trial in the bay")
    type_into(qtbot, dialog, "name", "Door jack of the forward main undercarriage, with its end fittings, left hand")
    qtbot.waitUntil(lambda: dialog.list.visualItemRect(dialog.list.item(0)).height() > 1.5 * line)
    assert dialog.list.visualItemRect(dialog.list.item(0)).right() <= dialog.list.viewport().width()
    assert note.height() > low + line / 2


def test_why_something_was_refused_of_one_is_not_told_beside_another(qtbot, dialog, tmp_path: Path):
    write_catalogue(Catalogue(jacks=(DOOR, replace(DOOR, name="Spare door jack"))), tmp_path)
    dialog = CatalogueDialog(tmp_path, dialog)
    dialog.open()
    dialog.list.setCurrentRow(0)
    type_into(qtbot, dialog, "stroke", "long")
    assert "“long” is not taken" in dialog.fields["stroke"].reason
    dialog.list.setCurrentRow(1)
    assert dialog.fields["stroke"].reason == ""


def test_a_change_is_in_the_file_at_once(qtbot, dialog, tmp_path: Path):
    dialog.list.setCurrentRow(1)
    type_into(qtbot, dialog, "torque", "45 oz-in")
    type_into(qtbot, dialog, "arms", "8, 10,5; 13")
    type_into(qtbot, dialog, "size", "23 x 12 x 24.5")
    type_into(qtbot, dialog, "name", "Hatch servo, large")
    (servo,) = read_catalogue(tmp_path).servos
    assert servo.name == "Hatch servo, large"
    assert round(servo.torque, 1) == 317.8
    assert (servo.arms, servo.size) == ((8.0, 10.5, 13.0), (23.0, 12.0, 24.5))


def test_what_cannot_be_is_refused_beside_its_field(qtbot, dialog, tmp_path: Path):
    type_into(qtbot, dialog, "force", "strong")
    assert "is not taken" in dialog.fields["force"].reason
    type_into(qtbot, dialog, "stroke", "0")
    assert "cannot be" in dialog.says.text()
    assert read_catalogue(tmp_path) == HELD


def test_bores_rods_and_forces_are_offered(dialog, tmp_path: Path):
    dialog.list.setCurrentRow(0)
    bore = next(one for one in dialog.fields["bore"].offers.menu_now().actions() if one.text().startswith("16 mm"))
    bore.trigger()
    force = next(one for one in dialog.fields["force"].offers.menu_now().actions() if "100 psi" in one.text())
    assert force.text().startswith("138.63 N, bore of 16 mm at 100 psi")
    force.trigger()
    kept = next(one for one in read_catalogue(tmp_path).jacks if one.bore == 16.0)
    assert kept.force == 138.63
    assert dialog.fields["closed"].offers is None


def test_a_name_that_is_taken_is_refused(qtbot, dialog, tmp_path: Path):
    dialog.add_jack.click()
    type_into(qtbot, dialog, "name", "Door jack")
    assert "of that name already" in dialog.says.text()
    assert [one.name for one in read_catalogue(tmp_path).jacks] == ["Door jack", "Jack"]


def test_added_removed_and_put_back(dialog, tmp_path: Path):
    dialog.add_servo.click()
    assert [one.name for one in read_catalogue(tmp_path).servos] == ["Hatch servo", "Servo"]
    assert dialog.fields["name"].line.text() == "Servo"
    dialog.list.setCurrentRow(0)
    dialog.remove.click()
    assert read_catalogue(tmp_path).jacks == ()
    dialog.put_back.click()
    assert read_catalogue(tmp_path).jacks == (DOOR,)
    assert not dialog.put_back.isVisible()


def test_what_another_window_wrote_meanwhile_stays(qtbot, dialog, tmp_path: Path):
    other = StockJack(name="Other", closed=10.0, stroke=5.0)
    write_catalogue(HELD.having(other), tmp_path)
    type_into(qtbot, dialog, "bore", "6")
    assert {one.name for one in read_catalogue(tmp_path).jacks} == {"Door jack", "Other"}


def test_a_bad_file_is_told_and_put_aside_when_asked(dialog, tmp_path: Path):
    (tmp_path / FILE_NAME).write_text("{")
    dialog.add_jack.click()
    assert FILE_NAME in dialog.says.text()
    assert not dialog.add_jack.isEnabled()
    assert (tmp_path / FILE_NAME).read_text() == "{"
    dialog.aside.click()
    (aside,) = tmp_path.glob("catalogue-*.json")
    assert aside.read_text() == "{"
    assert aside.name in dialog.says.text()
    dialog.add_jack.click()
    assert [one.name for one in read_catalogue(tmp_path).jacks] == ["Jack"]


def test_an_empty_one_says_what_it_is_for(qtbot, tmp_path: Path):
    parent = QWidget()
    qtbot.addWidget(parent)
    shown = CatalogueDialog(tmp_path, parent)
    shown.open()
    said = [label.text() for label in shown.findChildren(QLabel) if label.isVisible() and label.objectName() == "soft"]
    assert said == ["What is bought or made once is kept here for every aircraft. Add one, with its sizes."]
    shown.reject()
