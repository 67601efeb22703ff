"""The builder's own jacks and servos: kept, replaced by name, and never lost to a bad file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from core.document.catalogue import (
    FILE_NAME,
    Catalogue,
    StockJack,
    StockServo,
    put_aside,
    read_catalogue,
    write_catalogue,
)
from core.document.project import Jack, Servo
from core.errors import UnreadableProject, UnwritableProject

DOOR = StockJack(name="Door jack", closed=38.8, stroke=20.5, barrel=5.5, rod=2.0)
SMALL = StockJack(name="brake jack", closed=20.0, stroke=6.0, bore=4.0, force=4.5, note="from the flap drive")
HATCH = StockServo(
    name="Hatch servo", torque=180.0, travel=120.0, arms=(8.0, 10.5), size=(23.0, 12.0, 24.5), speed=0.11, note="metal"
)
BOTH = Catalogue(jacks=(SMALL, DOOR), servos=(HATCH,))
HEAD = '{"format": "bayfold-catalogue", "version": 1, '


def test_it_comes_back_as_it_was_kept(tmp_path: Path):
    assert read_catalogue(tmp_path / "new") == Catalogue()
    write_catalogue(BOTH, tmp_path / "new")
    assert read_catalogue(tmp_path / "new") == BOTH


def test_one_of_the_same_name_is_replaced_and_names_are_in_order():
    longer = StockJack(name="Door jack", closed=40.0, stroke=21.0)
    assert Catalogue(jacks=(DOOR,)).having(SMALL).having(longer).jacks == (SMALL, longer)
    renamed = StockJack(name="Other", closed=1.0, stroke=1.0)
    assert BOTH.having(renamed, instead_of="Door jack").jacks == (SMALL, renamed)
    assert BOTH.without(DOOR) == Catalogue(jacks=(SMALL,), servos=(HATCH,))
    namesake = StockServo(name="Door jack", travel=60.0)
    assert BOTH.having(namesake).jacks == BOTH.jacks, "a servo may be called as a jack is"


def test_sizes_are_put_into_a_jack_and_known_again():
    jack = Jack(id="j", bodies=("a", "b"), ends=((0.0, 0.0), (50.0, 0.0)), closed=30.0, stroke=25.0, pin=2.0)
    sized = SMALL.put_into(jack)
    assert (sized.closed, sized.stroke, sized.bore, sized.force, sized.pin) == (20.0, 6.0, 4.0, 4.5, 2.0)
    assert SMALL.fits(sized)
    assert not SMALL.fits(jack)
    assert StockJack.of(sized).put_into(jack) == sized


def test_a_servo_is_known_again_whichever_arm_is_used():
    assert HATCH.as_servo() == Servo(name="Hatch servo", torque=180.0, travel=120.0, arm=8.0, speed=0.11)
    assert HATCH.fits(HATCH.as_servo(10.5))
    assert not HATCH.fits(Servo(name="Hatch servo", torque=90.0, travel=120.0))
    assert StockServo.of(HATCH.as_servo()).arms == (8.0,)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "put it aside"),
        (HEAD + '"jacks": [{"name": "A", "closed": -3, "stroke": 1}]}', "jacks[0].closed: -3 cannot be"),
        (HEAD + '"jacks": [{"name": "A", "closed": 3}]}', "'stroke' is missing"),
        (HEAD + '"jacks": [{"name": "A", "closed": "3 mm", "stroke": 1}]}', "a number is needed"),
        (HEAD + '"servos": [{"name": "A", "travel": 90, "arms": [10, -1]}]}', "servos[0].arms: -1 cannot be"),
        (HEAD + '"servos": [{"name": " ", "travel": 90}]}', "the name is empty"),
        (HEAD + '"servos": {"name": "A"}}', "a list in [ ] is needed"),
        (HEAD + '"servos": [{"name": "A", "travel": 90, "size": [1, 2]}]}', "a list of 3 is needed"),
        (HEAD + '"servos": [{"name": "A", "travel": NaN}]}', "a finite number is needed"),
        ('{"format": "other", "version": 1}', "no catalogue"),
        ('{"format": "bayfold-catalogue", "version": "one"}', "no version"),
        ("[]", "no catalogue"),
    ],
)
def test_a_bad_file_is_told_in_one_line_of_the_formats_words_and_left_alone(tmp_path: Path, text: str, said: str):
    file = tmp_path / FILE_NAME
    file.write_text(text)
    with pytest.raises(UnreadableProject) as refused:
        read_catalogue(tmp_path)
    assert said in str(refused.value)
    assert str(file) in str(refused.value)
    assert "\n" not in str(refused.value)
    assert "Expected" not in str(refused.value)
    assert file.read_text() == text


def test_what_a_newer_version_added_is_written_back(tmp_path: Path):
    newer = {
        "format": "bayfold-catalogue", "version": 2, "tanks": [{"name": "Tank"}],
        "jacks": [{"name": "A", "closed": 3, "stroke": 1, "finish": "brass"}, {"name": "B", "lengths": [1, 2]}],
    }  # fmt: skip
    (tmp_path / FILE_NAME).write_text(json.dumps(newer))
    catalogue = read_catalogue(tmp_path)
    assert [one.name for one in catalogue.jacks] == ["A"]
    write_catalogue(catalogue.having(HATCH), tmp_path)
    written = json.loads((tmp_path / FILE_NAME).read_text())
    assert (written["version"], written["tanks"], written["jacks"]) == (2, newer["tanks"], newer["jacks"])
    assert [one["name"] for one in written["servos"]] == ["Hatch servo"]


def test_a_bad_file_is_put_aside_and_kept(tmp_path: Path):
    (tmp_path / FILE_NAME).write_text("{")
    aside = put_aside(tmp_path, "2026-11-29-120000")
    assert (aside.name, aside.read_text()) == ("catalogue-2026-11-29-120000.json", "{")
    assert read_catalogue(tmp_path) == Catalogue()


def test_a_folder_that_cannot_be_is_told(tmp_path: Path):
    (tmp_path / "file").write_text("")
    with pytest.raises(UnwritableProject, match="could not be written"):
        write_catalogue(BOTH, tmp_path / "file")
