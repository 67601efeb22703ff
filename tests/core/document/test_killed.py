"""Killed at any moment of editing and saving: no edit is lost after its gesture ended, and no file is unreadable."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from core.document.journal import open_folder
from core.document.project import Aircraft, Project
from core.document.project_file import read_project, write_project
from tests.core.document.edits_until_killed import standing

ROOT = Path(__file__).resolve().parents[3]
KILLS, KILLS_LONG = 30, 1000
MOST = 5
"""So many times as many at most, until enough fell amid a gesture."""
LATEST = 0.05
"""Seconds after its first gesture by which a child is killed: some tens of gestures."""
AT_OPENING = 0.2
"""How many are killed earlier yet, while they open the folder."""

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal, and no fork")


@dataclass(slots=True)
class Killer:
    """Starts children that edit, kills them, and says what they had said."""

    process: subprocess.Popen[str]
    told: Path
    chance: random.Random = field(default_factory=lambda: random.Random(5))

    def kill_one(self, folder: Path, seed: int) -> list[str]:
        self.told.write_text("")
        self._say(f"{folder} {seed} {self.told}")
        child = int(self._hear())
        if self.chance.random() > AT_OPENING:
            self._wait_for_a_gesture()
        time.sleep(self.chance.uniform(0.0, LATEST))
        os.kill(child, signal.SIGKILL)
        assert self._hear() == "ended"
        return self.told.read_text().splitlines()

    def _wait_for_a_gesture(self) -> None:
        limit = time.monotonic() + 240.0
        while "done" not in (told := self.told.read_text()):
            assert "locked" not in told, "the lock of a killed process was not taken over"
            assert time.monotonic() < limit, "the child edits nothing"
            time.sleep(0.001)

    def _say(self, line: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()

    def _hear(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()


@pytest.fixture
def killer(tmp_path: Path) -> Iterator[Killer]:
    command = [sys.executable, "-m", "tests.core.document.edits_until_killed"]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, text=True) as process:
        yield Killer(process=process, told=tmp_path / "told")
        assert process.stdin is not None
        process.stdin.close()


def test_no_finished_edit_is_lost_and_no_file_unreadable(
    killer: Killer, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """Asked for: 1,000 kills; those are taken with --long."""
    folder = tmp_path / "aircraft"
    write_project(Project(aircraft=Aircraft(name="Merrow T.2", scale=12)), folder)
    stood, gestures, amid = "0 0 0", 0, 0
    kills = KILLS_LONG if request.config.getoption("--long") else KILLS
    for seed in range(1, MOST * kills + 1):
        if seed > kills and amid > kills // 20:
            break
        lines = killer.kill_one(folder, seed)
        done = [line.removeprefix("done ") for line in lines if line.startswith("done ")]
        last = lines[-1] if lines else ""
        allowed = {done[-1] if done else stood}
        if last.startswith("will "):  # killed amid a gesture: it is there whole, or not at all
            allowed.add(last.removeprefix("will "))
            amid += 1
        found = open_folder(folder, read_project(folder))
        stood = standing(found.history)
        assert stood in allowed, f"after kill {seed}"
        assert not found.changed_outside, f"after kill {seed}"
        gestures += len(done)
    assert gestures > kills
    assert amid > kills // 20
