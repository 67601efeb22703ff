"""Bad files at the command line: status 2, one line on standard error, nothing else said, the file untouched."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app.command_line import main
from tests.formats.merrow import FILE, find, tree

TEXT = FILE.read_text(encoding="utf-8")


def bent(change: Callable[[dict[str, Any]], object]) -> bytes:
    changed = tree()
    del find(changed, "side")["drawing"]
    change(changed)
    return json.dumps(changed).encode()


CROSSED = {"kind": "polygon", "points": [[0, 0], [10, 10], [10, 0], [0, 10]]}
BAD: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "empty"),
    "truncated": (TEXT.encode()[:1000], "breaks off"),
    "binary": (bytes(range(256)) * 16, "not text"),
    "byte order mark": (b"\xef\xbb\xbf" + TEXT.encode(), "byte order mark"),
    "other JSON": (b'{"type": "FeatureCollection", "features": []}', "not a project"),
    "a list": (b"[1, 2, 3]", "not a project"),
    "NaN": (TEXT.replace("[0, 7.5]", "[0, NaN]").encode(), "connections[5].limits[1]"),
    "infinite": (TEXT.replace("[0, 7.5]", "[0, 1e999]").encode(), "connections[5].limits[1]"),
    "unknown id": (bent(lambda tree: find(tree, "gear").update(on="leg-pvot")), "did you mean 'leg-pivot'?"),
    "unknown kind": (bent(lambda tree: find(tree, "oleo").update(kind="spring")), "connections[5].kind (oleo)"),
    "self-crossing": (bent(lambda tree: find(tree, "leg").update(shapes=[CROSSED])), "edges 0 and 2"),
    "impossible number": (bent(lambda tree: find(tree, "tube").update(ratio=0)), "connections[9].ratio (tube)"),
    "deep": (b'{"a":' * 100_000 + b"1" + b"}" * 100_000, "nested"),
    "missing drawing": (TEXT.encode(), "drawings/side.png"),
    "ring of steps": (bent(lambda tree: find(tree, "doors-open").update(after="leg-up")), "waits for"),
    "no version": (b'{"format": "bayfold-project"}', "version"),
}


@pytest.mark.parametrize(
    "arguments", [["check"], ["check", "--json"], ["poses", "--sequence", "retract", "--time", "1"]]
)
@pytest.mark.parametrize(("data", "says"), BAD.values(), ids=BAD)
def test_a_bad_file_is_one_line(tmp_path: Path, capsys, data: bytes, says: str, arguments: list[str]):
    file = tmp_path / "project.json"
    file.write_bytes(data)
    status = main([arguments[0], str(tmp_path), *arguments[1:]])
    out, err = capsys.readouterr()
    assert (status, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert err.startswith(str(file))
    assert says in err
    assert file.read_bytes() == data
    assert [path.name for path in tmp_path.iterdir()] == ["project.json"]


def test_the_same_from_a_process_of_its_own(tmp_path: Path):
    """Where warnings are not turned into errors, and the stack is as deep as it is for a builder."""
    (tmp_path / "project.json").write_bytes(BAD["deep"][0])
    ended = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys; from app.command_line import main; sys.exit(main())",
            "check",
            str(tmp_path),
        ],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ended.returncode, ended.stdout) == (2, "")
    assert len(ended.stderr.splitlines()) == 1


def test_a_missing_folder(tmp_path: Path, capsys):
    assert main(["check", str(tmp_path / "nowhere")]) == 2
    out, err = capsys.readouterr()
    assert (out, len(err.splitlines())) == ("", 1)
    assert "nowhere" in err
