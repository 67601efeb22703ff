"""What the command line answers, and with which status, asked in this process."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from app.command_line import main, window
from app.command_line.output import printable
from app.command_line.window import SAMPLE


@pytest.fixture
def ask(capsys):
    """Ask the command line; answers status, standard output and standard error."""

    def asked(*arguments: object) -> tuple[int, str, str]:
        status = main([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        return status, out, err

    return asked


def write(folder: Path, **changes: object) -> Path:
    """A leg that swings from straight down to level in two seconds, and what stands in its way."""
    project = {
        "format": "bayfold-project",
        "version": 1,
        "aircraft": {"name": "Pellow 3", "scale": 8},
        "views": [{"id": "side"}],
        "bodies": [
            {"id": "keel", "view": "side", "fixed": True, "shapes": []},
            {"id": "leg", "name": "Tail leg", "view": "side", "role": "leg",
             "shapes": [{"kind": "polygon", "points": [[-1, 0], [1, 0], [1, -10], [-1, -10]]}]},
        ],
        "connections": [{"id": "leg-pivot", "kind": "pivot", "bodies": ["keel", "leg"], "at": [0, 0]}],
        "drives": [{"id": "gear", "on": "leg-pivot"}],
        "sequences": [
            {"id": "retract", "start": {"gear": 0},
             "steps": [{"id": "up", "duration": 2, "moves": [{"drive": "gear", "to": 90}]}]}
        ],
    }  # fmt: skip
    (folder / "project.json").write_text(json.dumps(project | changes), encoding="utf-8")
    return folder


def block(*corners: tuple[float, float]) -> list[dict[str, object]]:
    """The bodies with a fixed block."""
    shape = {"kind": "polygon", "points": [list(corner) for corner in corners]}
    leg = {"kind": "polygon", "points": [[-1, 0], [1, 0], [1, -10], [-1, -10]]}
    return [
        {"id": "keel", "view": "side", "fixed": True, "shapes": [shape]},
        {"id": "leg", "view": "side", "role": "leg", "shapes": [leg]},
    ]


STRUCK = {
    "bodies": block((6, -1.5), (8, -1.5), (8, -0.5), (6, -0.5)),
    "pairs": [{"bodies": ["keel", "leg"], "rule": "check", "beyond": 2}],
}


class TestCheck:
    def test_nothing_found_is_status_0(self, ask, tmp_path):
        status, out, err = ask("check", write(tmp_path), "--json")
        assert (status, err) == (0, "")
        assert json.loads(out)["sequences"][0]["findings"] == []

    def test_something_found_is_status_1_in_words_and_in_json(self, ask, tmp_path):
        project = write(tmp_path, **STRUCK)
        status, out, _ = ask("check", project, "--json")
        (finding,) = json.loads(out)["sequences"][0]["findings"]
        assert (status, finding["kind"], sorted(finding["bodies"])) == (1, "clash", ["keel", "leg"])
        status, out, _ = ask("check", project / "project.json")
        assert status == 1
        assert "clash" in out

    @pytest.mark.parametrize(("plus_minus", "status"), [("1 mm", 0), ("0.9 mm", 1), (None, 0)])
    def test_a_figure_outside_its_published_tolerance_is_something_found(self, ask, tmp_path, plus_minus, status):
        """The leg is 10 mm long as drawn, and 11 mm are published; a figure without a tolerance judges nothing."""
        ends = [{"body": "leg", "point": [0, 0]}, {"body": "leg", "point": [0, -10]}]
        figure = {"id": "long", "quantity": "distance", "between": ends, "published": "11 mm"}
        figure |= {"plus_minus": plus_minus} if plus_minus else {}
        said, out, _ = ask("check", write(tmp_path, figures=[figure]), "--json")
        answer = json.loads(out)
        assert answer["sequences"][0]["findings"] == []
        assert answer["figures"][0]["within_published"] is (None if plus_minus is None else status == 0)
        assert said == status

    def test_frames_are_as_many_as_asked(self, ask, tmp_path):
        _, out, _ = ask("check", write(tmp_path), "--frames", 7, "--json")
        assert json.loads(out)["sequences"][0]["frames"] == 7

    def test_project_without_sequences_is_checked_as_drawn(self, ask, tmp_path):
        status, out, _ = ask("check", write(tmp_path, sequences=[]), "--json")
        assert status == 0
        assert [one["frames"] for one in json.loads(out)["sequences"]] == [1]


class TestPoses:
    def test_says_where_everything_is_in_the_order_asked(self, ask, tmp_path):
        status, out, _ = ask("poses", write(tmp_path), "--sequence", "retract", "--time", 2, "--time", 0.5, "--json")
        assert status == 0
        assert json.loads(out) == {
            "poses": [
                {
                    "time": time,
                    "bodies": {"keel": {"x": 0, "y": 0, "turn": 0}, "leg": {"x": 0, "y": 0, "turn": turn}},
                    "drives": {"gear": turn},
                    "connections": {"leg-pivot": turn},
                }
                for time, turn in ((2, 90), (0.5, 22.5))
            ]
        }

    def test_in_words(self, ask, tmp_path):
        status, out, _ = ask("poses", write(tmp_path), "--sequence", "retract", "--time", 1)
        assert status == 0
        assert "Tail leg" in out
        assert "45.000" in out

    def test_body_that_cannot_be_brought_along_is_told_of(self, ask):
        flawed = SAMPLE.with_name("merrow-t2-flawed")
        status, out, _ = ask("poses", flawed, "--sequence", "retract", "--time", 0, "--time", 4, "--json")
        before, jammed = json.loads(out)["poses"]
        assert status == 1
        assert "held" not in before
        assert jammed["held"] == ["valve-lever"]
        _, out, _ = ask("poses", flawed, "--sequence", "retract", "--time", 4)
        assert out.count("held: its connections cannot meet") == 1

    def test_time_past_the_end_makes_no_sense(self, ask, tmp_path):
        status, out, err = ask("poses", write(tmp_path), "--sequence", "retract", "--time", 2.1)
        assert (status, out) == (2, "")
        assert "2.1" in err
        assert "2 s" in err


class TestMoves:
    def test_says_what_moves_each_body(self, ask, tmp_path):
        status, out, err = ask("moves", write(tmp_path))
        assert (status, err) == (0, "")
        assert "Tail leg: gear moves Tail leg at leg-pivot." in out

    def test_one_body_in_json(self, ask, tmp_path):
        status, out, _ = ask("moves", write(tmp_path), "--body", "leg", "--sequence", "retract", "--json")
        (sequence,) = json.loads(out)["sequences"]
        (chain,) = sequence["bodies"]["leg"]
        assert (status, list(sequence["bodies"])) == (0, ["leg"])
        assert chain["routes"] == [{"drive": "gear", "moves": True, "connections": ["leg-pivot"], "bodies": ["leg"]}]

    def test_something_loose_is_status_1(self, ask, tmp_path):
        project = write(tmp_path, drives=[], sequences=[])
        status, out, _ = ask("moves", project)
        assert status == 1
        assert "Only friction at leg-pivot would hold it." in out
        assert ask("moves", project, "--body", "keel")[0] == 0

    def test_a_body_that_does_not_exist_is_refused(self, ask, tmp_path):
        status, out, err = ask("moves", write(tmp_path), "--body", "leq")
        assert (status, out) == (2, "")
        assert "no body 'leq'; the project has keel, leg" in err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["chek", "x"], "did you mean check?"),
        (["nothing-here"], "no command or project 'nothing-here'"),
        (["P", "--json"], "did you mean bayfold check"),
        (["--jsn"], "no option '--jsn'"),
        (["check"], "needs PROJECT"),
        (["check", "P", "Q"], "no use for 'Q'"),
        (["check", "P", "--frame", "9"], "did you mean --frames?"),
        (["check", "P", "--frames", "1"], "--frames: 1 makes no sense"),
        (["check", "P", "--frames", "-5"], "--frames: -5 makes no sense"),
        (["check", "P", "--frames", "2.5"], "whole number"),
        (["check", "P", "--frames", "99999999"], "makes no sense"),
        (["check", "P", "--sequence", "retrakt"], "retract"),
        (["check", "/nowhere/at/all"], "/nowhere/at/all"),
        (["poses", "P", "--time", "1"], "needs --sequence"),
        (["poses", "P", "--sequence", "retract"], "needs --time"),
        (["poses", "P", "--sequence", "retract", "--time", "nan"], "'nan' is no moment"),
        (["poses", "P", "--sequence", "retract", "--time", "inf"], "'inf' is no moment"),
        (["poses", "P", "--sequence", "retract", "--time", "-1"], "its start is 0"),
        (["poses", "P", "--sequence", "retract", "--time", "soon"], "not a number of seconds"),
        (["strip", "P", "--sequence", "retract"], "needs -o"),
        (["strip", "P", "--sequence", "retract", "-o", "a.bmp"], ".png, .svg, .pdf"),
        (["strip", "P", "--sequence", "retract", "-o", "/nowhere/a.png"], "no folder '/nowhere'"),
        (["sweep", "P", "--sequence", "retract"], "needs -o"),
        (["sweep", "P", "--sequence", "retract", "-o", "a.dxf"], ".csv, .png, .svg, .pdf"),
        (["sweep", "P", "--sequence", "retract", "--tolerance", "0", "-o", "a.csv"], "no tolerance to cut by"),
        (["sweep", "P", "--sequence", "retract", "--body", "lg", "-o", "a.csv"], "'lg' has no outline"),
        (["sweep", "P", "--sequence", "retract", "--step", "flap", "-o", "a.csv"], "no step 'flap'"),
        (["strip", "P", "--sequence", "retract", "--times", "1,9", "-o", "a.png"], "9"),
        (["strip", "P", "--sequence", "retract", "--times", "1,", "-o", "a.png"], "not a number of seconds"),
    ],
)
def test_what_makes_no_sense_is_told_in_one_line(ask, tmp_path, monkeypatch, arguments, said):
    project = write(tmp_path)
    monkeypatch.chdir(tmp_path)
    status, out, err = ask(*[str(project) if argument == "P" else argument for argument in arguments])
    assert (status, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1
    assert not err.startswith(f"bayfold {arguments[0]}: ")  # a line begins with what is wrong
    assert "usage" not in err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["project.json"]


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (ZeroDivisionError("division by zero"), "please report it"),
        (RecursionError(), "nested"),
        (MemoryError(), "memory"),
        (PermissionError(13, "Permission denied", "bay.json"), "bay.json: permission denied"),
        (ImportError("libEGL.so.1: cannot open shared object file"), "libEGL.so.1"),
        (ValueError("one\ntwo"), "one two"),
    ],
)
def test_whatever_goes_wrong_is_one_line_and_no_traceback(ask, tmp_path, monkeypatch, error, said):
    def fail(*_arguments: object, **_options: object) -> None:
        raise error

    monkeypatch.setattr("core.study.run", fail)
    status, out, err = ask("check", write(tmp_path), "--json")
    assert (status, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1


def test_a_fault_shows_its_traceback_to_who_asks(tmp_path, monkeypatch):
    monkeypatch.setattr("core.study.run", lambda *_, **__: 1 / 0)
    monkeypatch.setenv("BAYFOLD_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        main(["check", str(write(tmp_path))])


def test_interruption_is_status_130(ask, tmp_path, monkeypatch):
    def interrupt(*_arguments: object, **_options: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("core.study.run", interrupt)
    assert ask("check", write(tmp_path))[0] == 130


def test_a_sweep_tells_the_room_left_and_writes_its_corners(ask, tmp_path):
    merrow = Path(__file__).resolve().parents[2] / "sample_projects" / "merrow-t2"
    file = tmp_path / "leg.csv"
    status, out, err = ask("sweep", merrow, "--sequence", "retract", "--body", "leg", "-o", file, "--json")
    assert (status, err) == (0, "")
    (one,) = json.loads(out)["sweeps"]
    assert (one["body"], one["tolerance"]) == ("leg", 0.05)
    assert one["rooms"][0]["to"] == "airframe"
    assert file.read_text().startswith("part,piece,ring,x mm,y mm\nleg,1,1,")
    status, out, _ = ask("sweep", merrow, "--sequence", "retract", "--body", "leg", "--step", "leg-up", "-o", file)
    assert status == 0
    assert "left to Keel and bay walls, at x " in out


def test_strip_of_a_sample_that_cannot_be_written_to_goes_elsewhere(tmp_path, monkeypatch):
    monkeypatch.setattr(window, "SAMPLE", tmp_path / "nowhere")
    folder = window._exports()
    assert folder.is_dir()
    assert tmp_path not in folder.parents
    folder.rmdir()


def test_window_without_a_display_is_refused_with_what_works(ask, tmp_path):
    status, _, err = ask(write(tmp_path))
    assert status == 2
    assert f"bayfold check {tmp_path}" in err


@pytest.mark.parametrize(
    "arguments",
    [
        ["--help"],
        ["-h"],
        ["check", "--help"],
        ["poses", "-h"],
        ["moves", "-h"],
        ["strip", "--help"],
        ["sweep", "--help"],
        ["curves", "--help"],
        ["paths", "--help"],
    ],
)
def test_help_reads_well_in_a_terminal(ask, arguments):
    status, out, _ = ask(*arguments)
    assert status == 0
    assert "PROJECT" in out
    assert out.isascii()
    assert max(len(line) for line in out.splitlines()) <= 120


def test_letters_that_a_terminal_lacks_are_told_with_those_it_has():
    terminal = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    assert printable("3.2 mm² at 45° – Ångström “x”", terminal) == '3.2 mm2 at 45 deg - Angstrom "x"'
    assert printable("3.2 mm²", io.TextIOWrapper(io.BytesIO(), encoding="latin-1")) == "3.2 mm²"
    assert printable("日", terminal) == "?"


def test_names_cannot_steer_the_terminal():
    terminal = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    assert printable("leg\x1b[2J\x07 and\tdoor\n", terminal) == "leg[2J and\tdoor\n"


def test_started_without_a_terminal(tmp_path, monkeypatch):
    monkeypatch.setattr("sys.stdout", None)
    monkeypatch.setattr("sys.stderr", None)
    assert main(["check", str(write(tmp_path))]) == 0
    assert main(["check", str(tmp_path / "nowhere")]) == 2
