"""Rows as comma-separated values, and a table in its file."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

FINER = 2
"""Decimals more than lengths are shown with."""


def table(header: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """The text of a table, a line a row."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()


def write_table(file: Path, text: str) -> None:
    """Put a table into a file, with its line ends the same on every machine; raises OSError."""
    file.write_text(text, encoding="utf-8", newline="")
