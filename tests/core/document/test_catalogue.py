"""The builder's own jacks: kept, replaced by name, and never lost to a bad file."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.document.catalogue import FILE_NAME, StockJack, read_catalogue, with_jack, write_catalogue
from core.document.project import Jack
from core.errors import UnreadableProject, UnwritableProject

DOOR = StockJack(name="Door jack", closed=38.8, stroke=20.5, barrel=5.5, rod=2.0)
SMALL = StockJack(name="brake jack", closed=20.0, stroke=6.0, force=4.5)


def test_it_comes_back_as_it_was_kept(tmp_path: Path):
    assert read_catalogue(tmp_path / "new") == ()
    write_catalogue((SMALL, DOOR), tmp_path / "new")
    assert read_catalogue(tmp_path / "new") == (SMALL, DOOR)


def test_one_of_the_same_name_is_replaced_and_names_are_in_order():
    longer = StockJack(name="Door jack", closed=40.0, stroke=21.0)
    assert with_jack(with_jack((DOOR,), SMALL), longer) == (SMALL, longer)


def test_sizes_are_put_into_a_jack_and_known_again():
    jack = Jack(id="j", bodies=("a", "b"), ends=((0.0, 0.0), (50.0, 0.0)), closed=30.0, stroke=25.0, pin=2.0)
    sized = DOOR.put_into(jack)
    assert (sized.closed, sized.stroke, sized.barrel, sized.rod, sized.pin) == (38.8, 20.5, 5.5, 2.0, 2.0)
    assert DOOR.fits(sized)
    assert not DOOR.fits(jack)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "mend it"),
        ('{"format": "bayfold-catalogue", "version": 1, "jacks": [{"name": "A", "closed": -3, "stroke": 1}]}', "> 0"),
        ('{"format": "bayfold-catalogue", "version": 1, "jacks": [{"name": "A", "closed": 3}]}', "jacks[0]"),
        ('{"format": "other", "version": 1}', "no catalogue"),
    ],
)
def test_a_bad_file_is_told_in_one_line_and_left_alone(tmp_path: Path, text: str, said: str):
    file = tmp_path / FILE_NAME
    file.write_text(text)
    with pytest.raises(UnreadableProject) as refused:
        read_catalogue(tmp_path)
    assert said in str(refused.value)
    assert str(file) in str(refused.value)
    assert "\n" not in str(refused.value)
    assert file.read_text() == text


def test_a_folder_that_cannot_be_is_told(tmp_path: Path):
    (tmp_path / "file").write_text("")
    with pytest.raises(UnwritableProject, match="could not be written"):
        write_catalogue((DOOR,), tmp_path / "file")
