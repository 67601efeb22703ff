"""What README.md and DEVELOPERS.md name is there, and what they show works as it is told."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

import pytest

from app.command_line.arguments import OVERVIEW
from app.command_line.command_table import COMMANDS

ROOT = Path(__file__).resolve().parent.parent
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
FENCED = re.compile(r"^```(\w*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)


def quoted(text: str) -> set[str]:
    """All that stands in backquotes, outside of blocks of its own."""
    return set(re.findall(r"`([^`]+)`", FENCED.sub("", text)))


def test_every_file_that_is_named_is_there():
    named = {one for one in quoted(DEVELOPERS) if re.fullmatch(r"[\w/]+\.(py|toml|lock)", one)}
    there = [
        file.relative_to(ROOT).as_posix() for room in ("app", "core", "tests") for file in (ROOT / room).rglob("*.py")
    ]
    there += [file.name for file in ROOT.iterdir()]
    ends = {file[at:] for file in there for at in (0, *(slash.end() for slash in re.finditer("/", file)))}
    assert len(named) > 90
    assert named - ends == set()


def test_the_core_is_used_from_python_as_is_shown(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    (shown,) = [code for language, code in FENCED.findall(DEVELOPERS) if language == "python"]
    monkeypatch.chdir(ROOT)
    exec(shown, {})
    assert "jammed: Sequence valve" in capsys.readouterr().out


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_is_told_where_commands_are(command: str):
    assert f"  bayfold {command} " in OVERVIEW
    (row,) = re.findall(rf"^\| `bayfold {command} (.*?)` \|", README, re.MULTILINE)
    parser = argparse.ArgumentParser()
    COMMANDS[command].add_options(parser)
    known = {name for action in parser._actions for name in action.option_strings}
    assert set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", row)) <= known
