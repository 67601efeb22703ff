"""`bayfold tolerance`: what it says, and its exit statuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from msgspec.structs import replace

from app.command_line import main
from core.document.project import Workshop
from core.document.project_file import read_project, write_project

SAMPLES = Path(__file__).resolve().parents[2] / "sample_projects"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An aircraft from a workshop that drills after marking out."""
    project = read_project(SAMPLES / "pellow-3")
    bare = tuple(replace(view, drawing=None) for view in project.views)
    write_project(replace(project, views=bare, workshop=Workshop(made="drilled", play=0.1)), tmp_path / "pellow")
    return tmp_path / "pellow"


def test_the_workshop_goes_to_the_file_and_back(folder: Path):
    assert read_project(folder).workshop == Workshop(made="drilled", play=0.1)


def test_what_would_not_work_is_told_and_counts_as_found(folder: Path, capsys):
    assert main(["tolerance", str(folder), "--sequence", "to-water", "--models", "200"]) == 1
    said = capsys.readouterr().out
    assert "Of 200 models" in said
    assert "Most hangs on " in said
    assert "Holes and edges are drilled and pins have 0.1 mm of play" in said


def test_as_json(folder: Path, capsys):
    assert main(["tolerance", str(folder), "--sequence", "to-water", "--models", "200", "--json"]) == 1
    (told,) = json.loads(capsys.readouterr().out)["sequences"]
    assert (told["id"], told["models"]) == ("to-water", 200)
    assert 0.0 <= told["works"] <= told["together"] <= 1.0
    assert {one["what"] for one in told["spreads"]} >= {"clearance", "target", "place"}
    for one in told["spreads"]:
        assert one["usual"] <= one["worst"]
        assert one["low"] <= one["high"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--models", "5"], "100 to 100000 models do"),
        (["--models", "many"], "'many' is not a whole number of models"),
        (["--sequence", "nowhere"], "there is no sequence 'nowhere'"),
    ],
)
def test_a_slip_has_one_line_and_status_2(folder: Path, capsys, arguments: list[str], said: str):
    assert main(["tolerance", str(folder), *arguments]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1


def test_a_senseless_workshop_is_refused(folder: Path, capsys):
    file = folder / "project.json"
    file.write_text(file.read_text().replace('"play": 0.1', '"play": -0.1'))
    assert main(["tolerance", str(folder)]) == 2
    assert "workshop.play: -0.1 cannot be" in capsys.readouterr().err
