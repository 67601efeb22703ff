"""The command line as a builder's terminal meets it: a process of its own, its pipes, its exit status."""

from __future__ import annotations

import json
import math
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
SECONDS, SWING = 2.0, 90.0


def bayfold(*arguments: object, **changes: str) -> subprocess.CompletedProcess[str]:
    outer = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")}
    return subprocess.run(
        [sys.executable, str(ROOT / "app"), *map(str, arguments)],
        env=outer | changes,
        text=True, capture_output=True, timeout=240, encoding="utf-8",
    )  # fmt: skip


@pytest.fixture
def project(tmp_path) -> Path:
    """A leg that swings up a quarter turn at a constant rate, into the lower near corner of a block."""
    leg = {"kind": "polygon", "points": [[-1, 0], [1, 0], [1, -10], [-1, -10]]}
    block = {"kind": "polygon", "points": [[6, -1.5], [8, -1.5], [8, -0.5], [6, -0.5]]}
    told = {
        "format": "bayfold-project",
        "version": 1,
        "aircraft": {"name": "Pellow 3 – Versuchsträger", "scale": 8},
        "views": [{"id": "side"}],
        "bodies": [
            {"id": "keel", "view": "side", "fixed": True, "shapes": []},
            {"id": "block", "name": "Träger", "view": "side", "fixed": True, "shapes": [block]},
            {"id": "leg", "view": "side", "role": "leg", "shapes": [leg]},
        ],
        "connections": [{"id": "leg-pivot", "kind": "pivot", "bodies": ["keel", "leg"], "at": [0, 0]}],
        "drives": [{"id": "gear", "on": "leg-pivot"}],
        "sequences": [
            {"id": "retract", "steps": [{"id": "up", "duration": SECONDS, "moves": [{"drive": "gear", "to": SWING}]}]}
        ],
    }
    (tmp_path / "project.json").write_text(json.dumps(told, ensure_ascii=False), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("frames", [2, 5, 81])
def test_contact_begins_when_geometry_says_however_few_the_frames(project, frames):
    # The leg's leading edge is the line n·p = 1 with n = (cos a, sin a); it meets the corner (6, -1.5) when
    # 6 cos a - 1.5 sin a = 1, so a = arccos(1 / hypot(6, 1.5)) - atan2(1.5, 6): elementary, worked here by hand.
    angle = math.degrees(math.acos(1 / math.hypot(6, 1.5)) - math.atan2(1.5, 6))
    done = bayfold("check", project, "--frames", frames, "--json")
    assert (done.returncode, done.stderr) == (1, "")
    (sequence,) = json.loads(done.stdout)["sequences"]
    (clash,) = [finding for finding in sequence["findings"] if finding["kind"] == "clash"]
    assert sequence["frames"] == frames
    assert clash["from"] == pytest.approx(angle / SWING * SECONDS, abs=SECONDS / 1000)
    assert clash["to"] == pytest.approx(SECONDS, abs=SECONDS / 1000)


@pytest.mark.parametrize("command", [["check"], ["poses", "--sequence", "retract", "--time", "1"], ["trials"]])
def test_qt_is_not_loaded_by_a_command_that_shows_nothing(project, command):
    word, *options = command
    script = (
        f"import sys; from app.command_line import main; main({[word, str(project), *options]!r})\n"
        "print([name for name in sys.modules if name.split('.')[0] in ('PySide6', 'shiboken6', 'pyqtgraph')])"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, text=True, capture_output=True, encoding="utf-8")
    assert done.stdout.splitlines()[-1] == "[]", done.stderr


@pytest.mark.parametrize(
    ("suffix", "start"),
    [(".png", b"\x89PNG\r\n\x1a\n"), (".svg", b"<?xml"), (".pdf", b"%PDF-1."), (".PNG", b"\x89PNG")],
)
def test_strip_is_written_in_the_kind_its_name_says(project, tmp_path, suffix, start):
    file = tmp_path / f"strip{suffix}"
    done = bayfold("strip", project, "--sequence", "retract", "--times", "0,1,1.9", "-o", file, "--json")
    assert (done.returncode, done.stderr) == (1, "")
    assert json.loads(done.stdout) == {"file": str(file), "sequence": "retract", "times": [0, 1, 1.9]}
    assert file.read_bytes().startswith(start)
    assert file.stat().st_size > 2000


def test_words_reach_a_terminal_that_knows_ascii_only(project):
    done = bayfold("check", project, PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.isascii()
    assert "Pellow 3 - Versuchstrager" in done.stdout


@pytest.mark.skipif(os.name == "nt", reason="pipes break otherwise there")
@pytest.mark.parametrize("as_json", [[], ["--json"]])
def test_a_reader_who_goes_away_is_no_error(project, as_json):
    reading, writing = os.pipe()
    os.close(reading)
    command = [sys.executable, str(ROOT / "app"), "check", str(project), *as_json]
    done = subprocess.run(command, stdout=writing, stderr=subprocess.PIPE, text=True, timeout=240)
    os.close(writing)
    assert (done.returncode, done.stderr) == (1, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_is_told_in_one_line(project):
    with Path("/dev/full").open("w") as full:
        command = [sys.executable, str(ROOT / "app"), "check", str(project)]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, timeout=240)
    assert done.returncode == 2
    assert done.stderr.startswith("standard output: no space left")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize(
    "content",
    [
        b"", b"{", b"\x89PNG\r\n\x1a\n\x00\x00", b"[]", b'{"hello": 1}', b"null",
        b'{"format": "bayfold-project", "version": 1, "aircraft": {"name": "x", "scale": NaN}}',
        b'{"format": "bayfold-project", "version": 1, "aircraft": {"name": "x", "scale": 1e999}}',
        b'{"a":' * 100_000, b"[" * 100_000 + b"]" * 100_000,
    ],
    ids=["empty", "cut off", "binary", "list", "other JSON", "null", "NaN", "infinite", "deep objects", "deep lists"],
)  # fmt: skip
def test_a_file_that_is_no_project_is_refused_in_one_line_and_left_as_it_was(tmp_path, content):
    file = tmp_path / "project.json"
    file.write_bytes(content)
    done = bayfold("check", tmp_path, "--json")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(str(file))
    assert done.stderr.count("\n") == 1
    assert file.read_bytes() == content


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="displays have no names elsewhere")
def test_a_display_that_does_not_answer_is_told_and_no_abort(project):
    done = bayfold(project, DISPLAY=":9999", QT_QPA_PLATFORM="")
    assert done.returncode == 2
    assert f"bayfold check {project}" in done.stderr.splitlines()[-1]


def test_without_arguments_or_display_the_sample_is_checked_and_its_strip_drawn():
    done = bayfold()
    assert (done.returncode, done.stderr) == (0, "")
    assert "Merrow T.2" in done.stdout
    assert "no display" in done.stdout
    (strip,) = re.findall(r"^(.+\.png): ", done.stdout, flags=re.MULTILINE)
    assert Path(strip).read_bytes().startswith(b"\x89PNG")
