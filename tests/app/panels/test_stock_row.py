"""Jacks kept in the builder's catalogue from one aircraft and taken up in another."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from core.document.catalogue import FILE_NAME, read_catalogue
from core.document.project import Jack
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window

ENDS = ((20.0, 20.0), (60.0, 0.0))


def with_a_jack(**sizes: float):
    jack = Jack(id="jack", name="Door jack", bodies=("airframe", "door"), ends=ENDS, **sizes)
    project = small_aircraft()
    return replace(project, connections=(*project.connections, jack))


def test_a_jack_is_kept_in_one_aircraft_and_taken_in_another(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, with_a_jack(closed=30.0, stroke=18.0, barrel=6.0)) as window:
        row = window.details.stock
        assert row.isHidden()
        window.session.choose("jack")
        assert (row.pick.count(), row.forget.isHidden()) == (1, True)
        row.keep.click()
        assert row.pick.currentText() == "Door jack: 30 closed, stroke 18 mm"
        assert row.keep.isHidden()
        home = window.settings.home
    assert [one.name for one in read_catalogue(home)] == ["Door jack"]
    with opened_window(qtbot, tmp_path, with_a_jack(closed=32.0, stroke=15.0)) as window:
        window.session.choose("jack")
        row = window.details.stock
        assert row.pick.currentIndex() == 0
        row.pick.activated.emit(1)
        jack = window.session.project.connections[-1]
        assert (jack.closed, jack.stroke, jack.barrel) == (30.0, 18.0, 6.0)
        assert window.session.undo_label == "Size by the catalogue Door jack"
        row.forget.click()
        assert read_catalogue(home) == ()
        assert row.pick.currentIndex() == 0


def test_a_catalogue_that_cannot_be_read_is_told_and_not_written_over(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, with_a_jack(closed=30.0, stroke=18.0)) as window:
        home = window.settings.home
        home.mkdir(parents=True, exist_ok=True)
        (home / FILE_NAME).write_text("{")
        window.session.choose("jack")
        window.details.stock.keep.click()
        assert FILE_NAME in window.notice.text
    assert (home / FILE_NAME).read_text() == "{"
