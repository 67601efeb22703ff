"""`bayfold pack` and `bayfold unpack`: what they say, what they leave on disk, and their exit statuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.command_line import main
from core.document.project_file import read_project, write_project
from tests.app.small_aircraft import small_aircraft


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_project(small_aircraft(), tmp_path / "merrow")
    return tmp_path / "merrow"


def test_there_and_back(folder: Path, tmp_path: Path, capsys):
    assert main(["pack", str(folder)]) == 0
    assert "merrow.bayfold: packed, " in capsys.readouterr().out
    packed = tmp_path / "merrow.bayfold"
    assert main(["unpack", str(packed), "--out", str(tmp_path / "back")]) == 0
    assert "back: " in capsys.readouterr().out
    assert read_project(tmp_path / "back") == read_project(folder)


def test_as_json(folder: Path, tmp_path: Path, capsys):
    out = tmp_path / "one.bayfold"
    assert main(["pack", str(folder), "--out", str(out), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"file": str(out), "bytes": out.stat().st_size}
    assert main(["unpack", str(out), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told == {"folder": str(tmp_path / "one"), "project": small_aircraft().aircraft.name}


def test_another_folder_is_never_unpacked_over(folder: Path, tmp_path: Path, capsys):
    main(["pack", str(folder)])
    before = (folder / "project.json").read_bytes()
    capsys.readouterr()
    assert main(["unpack", str(tmp_path / "merrow.bayfold")]) == 2  # its own folder stands beside it
    assert "something is there already" in capsys.readouterr().err
    assert (folder / "project.json").read_bytes() == before


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["pack"], "needs FOLDER as well"),
        (["pack", "FOLDER", "--out", "merrow.zip"], "should end in .bayfold"),
        (["pack", "nowhere"], "there is no such file"),
        (["unpack", "nowhere.bayfold"], "there is no such file"),
        (["unpack", "FOLDER/project.json"], "cannot be unpacked"),
        (["unpack", "FOLDER", "--out", "new"], "Is a directory"),
    ],
)
def test_a_slip_has_one_line_and_status_2(folder: Path, capsys, arguments: list[str], said: str):
    assert main([one.replace("FOLDER", str(folder)) for one in arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert err.count("\n") == 1
