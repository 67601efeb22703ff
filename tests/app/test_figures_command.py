"""`bayfold figures`: what it says, what it writes, and its exit statuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from msgspec.structs import replace

from app.command_line import main
from core.document.project_file import read_project, write_project

SAMPLES = Path(__file__).resolve().parents[2] / "sample_projects"


def test_a_sound_aircraft_meets_its_figures(capsys):
    assert main(["figures", str(SAMPLES / "merrow-t2")]) == 0
    said = capsys.readouterr().out
    assert "Nosewheel diameter is 30 mm, as published." in said
    assert "It uses 19.26 mm of 20.5 mm: 1.06 mm left when closed, 0.18 mm left when open." in said


def test_a_rod_that_was_cut_short_counts_as_found(capsys, tmp_path: Path):
    file = tmp_path / "figures.csv"
    assert main(["figures", str(SAMPLES / "merrow-t2-flawed"), "-o", str(file), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    rod = next(one for one in told["figures"] if one["id"] == "valve-rod-length")
    assert (rod["model"], rod["within_published"], rod["within_shop"]) == (pytest.approx(14.0, abs=1e-3), False, False)
    assert (told["file"], len(told["figures"])) == (str(file), len(file.read_text(encoding="utf-8").splitlines()) - 1)


def test_text_follows_the_aircrafts_unit_and_json_does_not(capsys, tmp_path: Path):
    sample = read_project(SAMPLES / "merrow-t2")
    bare = tuple(replace(view, drawing=None) for view in sample.views)
    write_project(replace(sample, views=bare, length_unit="in"), tmp_path / "inches")
    assert main(["figures", str(tmp_path / "inches")]) == 0
    assert "It uses 0.758 in of 0.807 in: 0.042 in left when closed" in capsys.readouterr().out
    assert main(["figures", str(tmp_path / "inches"), "--json"]) == 0
    told = {one["id"]: one for one in json.loads(capsys.readouterr().out)["figures"]}
    assert (told["brace-has"]["available"], told["wheel-across"]["model"]) == (20.5, 30.0)


def test_figures_that_contradict_each_other_count_as_found(capsys, tmp_path: Path):
    sample = read_project(SAMPLES / "pellow-3")
    across = next(one for one in sample.figures if one.id == "wheel-across")
    other = replace(across, id="again", published="195 mm", plus_minus=None, source="a photograph")
    views = tuple(replace(view, drawing=None) for view in sample.views)
    figures = (replace(across, plus_minus=None), other)
    write_project(replace(sample, views=views, figures=figures), tmp_path / "two")
    assert main(["figures", str(tmp_path / "two")]) == 1
    assert "Two figures of one size differ (sheet 1 against a photograph)" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [(["-o", "figures.pdf"], ".csv"), (["--sequence", "retract"], "has no option --sequence")],
)
def test_a_slip_has_one_line_and_status_2(capsys, arguments: list[str], said: str):
    assert main(["figures", str(SAMPLES / "pellow-3"), *arguments]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1


def test_an_aircraft_without_figures_says_so(capsys, tmp_path: Path):
    sample = read_project(SAMPLES / "pellow-3")
    views = tuple(replace(view, drawing=None) for view in sample.views)
    write_project(replace(sample, views=views, figures=()), tmp_path / "none")
    assert main(["figures", str(tmp_path / "none")]) == 0
    assert "It has no published figures." in capsys.readouterr().out
