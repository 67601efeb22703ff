"""No test waits for a time: on a machine that is slow or halts it is too short, and on every other one too long."""

from __future__ import annotations

import re
from pathlib import Path

TESTS = Path(__file__).resolve().parent
FOR_A_TIME = re.compile(r"qtbot\.wait\(|\.wait(?:Until|Signal|Exposed)\(.*timeout=")


def test_what_has_to_come_is_waited_for_and_as_long_as_it_takes():
    """See `settle` in tests/app/window.py, and the patience of `qtbot` in tests/conftest.py."""
    found = [
        f"{file.relative_to(TESTS)}:{number}: {line.strip()}"
        for file in sorted(TESTS.rglob("*.py"))
        if file != Path(__file__).resolve()
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if FOR_A_TIME.search(line)
    ]
    assert found == []
