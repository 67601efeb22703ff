"""The `curves` and `paths` commands, asked in this process."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest

from app.command_line import main
from core.document.path_edits import AddPath
from core.document.project import PointPath
from core.document.project_file import write_project
from tests.app.small_aircraft import small_aircraft

ROOT = Path(__file__).resolve().parents[2]
TIP = PointPath(id="tip", name="Path of the tip", body="leg", point=(0.0, -60.0))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_project(AddPath(TIP).apply(small_aircraft()), tmp_path / "aircraft")
    return tmp_path / "aircraft"


@pytest.fixture
def ask(capsys, folder: Path):
    def asked(command: str, *arguments: object) -> tuple[int, str, str]:
        status = main([command, str(folder), "--sequence", "retract", *map(str, arguments)])
        out, err = capsys.readouterr()
        return status, out, err

    return asked


def test_without_a_word_all_that_has_a_value_is_listed(ask):
    status, out, _ = ask("curves")
    assert status == 0
    for word in ("drive:gear", "value:hinge", "gap:leg,door", "turn:leg", "speed:leg@0,-60"):
        assert f"  {word}: " in out
    assert "speed:leg@0,-60: Path of the tip, speed" in out


def test_every_word_that_is_listed_can_be_asked_for(ask):
    _, out, _ = ask("curves", "--json")
    words = [one["of"] for one in json.loads(out)["curves"]]
    wanted = [part for word in words for part in ("--of", word)]
    status, again, _ = ask("curves", *wanted, "--json")
    assert status == 0
    assert json.loads(again)["curves"] == json.loads(out)["curves"]


def test_a_curve_over_another_value_is_written_as_a_table(ask, tmp_path: Path):
    file = tmp_path / "hinge.csv"
    status, out, _ = ask("curves", "--of", "hinge", "--over", "gear", "-o", file)
    assert (status, out.splitlines()[0]) == (0, f"{file}: 1 curve over Leg angle")
    rows = list(csv.reader(file.read_text(encoding="utf-8").splitlines()))
    assert rows[0] == ["seconds", "Leg angle (deg)", "Main door hinge (deg)"]
    assert float(rows[-1][1]) == pytest.approx(92.0)


def test_what_is_told_in_json_is_what_the_curve_does(ask):
    _, out, _ = ask("curves", "--of", "gear", "--of", "speed:tip", "--json")
    gear, speed = json.loads(out)["curves"]
    assert (gear["least"], gear["greatest"], gear["unit"]) == (0.0, 92.0, "deg")
    assert speed["name"] == "Path of the tip, speed"
    assert speed["greatest"] > 0.0 < speed["greatest_at"]


@pytest.mark.parametrize("kind", ["svg", "png"])
def test_a_picture_is_drawn_without_a_display(folder: Path, tmp_path: Path, kind: str):
    file = tmp_path / f"curves.{kind}"
    arguments = [
        "curves",
        str(folder),
        "--sequence",
        "retract",
        "--of",
        "hinge",
        "--of",
        "gap:leg,door",
        "-o",
        str(file),
    ]
    code = "import sys; from app.command_line import main; sys.exit(main(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments], cwd=ROOT, capture_output=True, text=True, check=False,
        env={"PATH": "/usr/bin:/bin", "HOME": str(tmp_path)},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert file.stat().st_size > 5000


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--of", "hing"], "did you mean 'hinge'?"),
        (["--of", "sped:leg"], "did you mean 'speed'?"),
        (["--of", "gap:leg"], "two ids with a comma between"),
        (["--of", "turn:leg,door"], "turn is of one id"),
        (["--of", "turn:leg@1,2"], "are of a point"),
        (["--of", "speed:leg@1,x"], "x and y in mm"),
        (["--of", "speed:lag"], "did you mean 'leg'?"),
        (["--of", "transmission:leg,door"], "has no value in sequence 'retract'"),
        (["--of", "speed:hinge"], "has no value"),
        (["--over", "nothing"], "there is no drive or connection 'nothing'"),
        (["-o", "curves.pdf"], "should end in"),
    ],
)
def test_what_makes_no_sense_is_told_in_one_line(ask, arguments: list[str], said: str):
    status, out, err = ask("curves", *arguments)
    assert (status, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1


def test_more_curves_than_can_be_told_apart_are_no_picture(ask, tmp_path: Path):
    status, _, err = ask("curves", "-o", tmp_path / "all.svg")
    assert status == 2
    assert "a table takes any number" in err
    three = ("--of", "gear", "--of", "speed:tip", "--of", "way:tip")
    status, _, err = ask("curves", *three, "-o", tmp_path / "three.svg")
    assert status == 2
    assert "two axes" in err
    assert ask("curves", *three, "-o", tmp_path / "three.csv")[0] == 0


# ---- paths -----------------------------------------------------------------------------------------------------------


def test_the_project_s_paths_are_written(ask, tmp_path: Path):
    file = tmp_path / "paths.csv"
    status, out, _ = ask("paths", "-o", file)
    assert status == 0
    assert "Path of the tip: " in out
    assert "within 0.01 mm, proved between frames" in out
    rows = list(csv.reader(file.read_text(encoding="utf-8").splitlines()))
    assert rows[0] == ["path", "seconds", "x mm", "y mm"]
    assert [float(value) for value in rows[1][1:]] == pytest.approx([0.0, 0.0, -60.0])


def test_any_point_of_a_body_is_traced(ask, tmp_path: Path):
    status, out, _ = ask("paths", "--of", "door@86,0", "--of", "tip", "-o", tmp_path / "paths.csv", "--json")
    assert status == 0
    edge, tip = json.loads(out)["paths"]
    assert (edge["path"], edge["body"], edge["proved"]) == ("door@86,0", "door", True)
    assert tip["path"] == "Path of the tip"


@pytest.mark.parametrize(
    ("word", "said"),
    [("tap", "BODY@X,Y asks for any point"), ("hinge@1,2", "is no body"), ("leg@1", "x and y in mm")],
)
def test_a_path_that_is_none_is_told_in_one_line(ask, tmp_path: Path, word: str, said: str):
    status, _, err = ask("paths", "--of", word, "-o", tmp_path / "paths.csv")
    assert status == 2
    assert said in err
    assert not (tmp_path / "paths.csv").exists()
