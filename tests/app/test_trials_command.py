"""What `bayfold trials` answers, and with which status, asked in this process."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.command_line import main
from core.document.project_file import write_project
from tests.core.trials.gear import TOUCHES, gear


@pytest.fixture
def ask(capsys, tmp_path: Path):
    """Ask about the small gear; answers status, standard output and standard error."""
    write_project(gear(), tmp_path)

    def asked(*arguments: str) -> tuple[int, str, str]:
        status = main(["trials", str(tmp_path), *arguments])
        out, err = capsys.readouterr()
        return status, out, err

    return asked


def test_a_fault_that_brings_nothing_is_status_0(ask):
    status, out, err = ask("--late", "doors=0.5", "--json")
    assert (status, err) == (0, "")
    (sequence,) = json.loads(out)["sequences"]
    assert sequence == {
        "id": "run",
        "trials": [{
            "fault": {"kind": "late", "drive": "doors", "by": 0.5}, "waits": False, "words": "Doors late by 0.50 s",
            "seconds": 18.0, "new": [], "worse": [], "gone": [],
        }],
    }  # fmt: skip


def test_one_that_brings_a_clash_is_status_1_in_words_and_in_json(ask):
    status, out, _ = ask("--stuck", "doors", "--json")
    ((trial,),) = [one["trials"] for one in json.loads(out)["sequences"]]
    (clash,) = trial["new"]
    assert (status, clash["kind"], sorted(clash["bodies"])) == (1, "clash", ["door", "leg"])
    assert clash["from"] == pytest.approx(1.0 + TOUCHES / 10.0, abs=0.02)
    status, out, _ = ask("--stuck", "doors")
    assert status == 1
    assert "Run: 1 fault tried, 1 brings anything new" in out
    assert "1. Doors not moving at all (17.50 s): 1 new." in out


def test_what_waits_for_ever_is_told_and_brings_nothing(ask):
    status, out, _ = ask("--stuck", "doors", "--waits")
    assert status == 0
    assert "Doors not moving at all, the rest waiting" in out
    assert "never begins: Up and Shut" in out


def test_every_kind_of_fault_can_be_named(ask):
    options = ("--late", "gear=2", "--slow", "gear=0.25", "--stuck", "gear=8.5", "--no-engage", "uplock", "--back", "4")
    _, out, _ = ask(*options, "--json")
    ((*trials,),) = [one["trials"] for one in json.loads(out)["sequences"]]
    assert sorted(trial["fault"]["kind"] for trial in trials) == ["back", "late", "not-engaging", "slow", "stuck"]


def test_without_a_fault_every_one_is_tried_worst_first(ask):
    status, out, _ = ask("--json")
    ((*trials,),) = [one["trials"] for one in json.loads(out)["sequences"]]
    brings = [bool(trial["new"] or trial["worse"]) for trial in trials]
    assert (status, brings) == (1, sorted(brings, reverse=True))
    assert len(trials) == 13


@pytest.mark.parametrize(
    ("options", "line"),
    [
        (
            ("--late", "doors"),
            "--late: 'doors' does not say a drive and how many seconds late it is, such as",
        ),
        (("--slow", "doors=x"), "--slow: 'doors=x' does not say a drive and what share of its speed it has"),
        (("--stuck", "=nan"), "--stuck: '=nan' does not say a drive and from when on it is stuck"),
        (("--back", "-1"), "--back: '-1' is no moment of a sequence; its start is 0"),
        (("--back", "99"), "Run cannot stop at 99 s and run back; it runs from 0 to 17.5 s"),
        (("--late", "door=1"), "Run moves no drive 'door'; it moves doors, gear"),
        (("--no-release", "uplock"), "Run never releases Uplock; nothing would differ"),
        (("--sequence", "rum"), "there is no sequence 'rum'; the project has run"),
        (
            ("--together", "--late", "doors=1"),
            "--together needs two faults or more, such as",
        ),
        (("--pairs", "--late", "doors=1"), "--pairs needs two faults or more"),
        (("--together", "--pairs"), "not allowed with"),
        (
            ("--together", "--late", "doors=1", "--late", "doors=2"),
            "Doors late by 1.00 s and Doors late by 2.00 s cannot be tried together: one of them is enough",
        ),
        (
            ("--together", "--stuck", "doors", "--slow", "doors=0.5"),
            "Doors at half speed makes no difference beside Doors not moving at all",
        ),
        (("--late", "doors=1", "--late", "door=1"), "Run moves no drive 'door'; it moves doors, gear"),
    ],
)
def test_what_makes_no_sense_is_one_line_and_status_2(ask, options: tuple[str, ...], line: str):
    status, out, err = ask(*options)
    assert (status, out) == (2, "")
    assert line in err
    assert err.count("\n") == 1


def test_faults_that_are_named_are_tried_at_once(ask):
    status, out, err = ask("--late", "doors=16", "--slow", "gear=0.5", "--together", "--json")
    ((trial,),) = [one["trials"] for one in json.loads(out)["sequences"]]
    assert trial["fault"] == {
        "kind": "together",
        "faults": [{"kind": "late", "drive": "doors", "by": 16.0}, {"kind": "slow", "drive": "gear", "share": 0.5}],
    }
    assert (err, status) == ("", int(bool(trial["new"])))
    _, out, _ = ask("--late", "doors=0.5", "--no-engage", "uplock", "--together")
    assert "Run: 1 pair of faults tried, none brings anything that neither fault brings alone" in out


def test_every_two_of_the_faults_that_are_named_are_tried_by_what_comes_only_together(ask):
    """The leg comes to where the shut door would be 8.6 s after it was told to open: late by 8 s or slow it is open."""
    status, out, _ = ask("--late", "doors=8", "--slow", "doors=0.125", "--no-engage", "uplock", "--pairs", "--json")
    ((*trials,),) = [one["trials"] for one in json.loads(out)["sequences"]]
    assert status == 1
    assert [len(trial["fault"]["faults"]) for trial in trials] == [2, 2, 2]
    together = [len(trial["together"]) for trial in trials]
    assert together[0] > 0
    assert together[1:] == [0, 0]


def test_a_fault_is_tried_in_the_sequences_that_it_makes_sense_in(capsys, tmp_path: Path):
    project = Path(__file__).resolve().parents[2] / "sample_projects" / "pellow-3"
    main(["trials", str(project), "--stuck", "roll", "--json"])
    assert [one["id"] for one in json.loads(capsys.readouterr().out)["sequences"]] == ["to-water"]


def test_a_project_without_a_sequence_says_what_to_do(capsys, tmp_path: Path):
    project = {"format": "bayfold-project", "version": 1, "aircraft": {"name": "Pellow 3"}}
    (tmp_path / "project.json").write_text(json.dumps(project), encoding="utf-8")
    assert main(["trials", str(tmp_path)]) == 2
    assert "Pellow 3 has no sequence to try a fault in; add a step to it first" in capsys.readouterr().err
