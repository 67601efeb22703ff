"""The saved Merrow of format version 1 as tests bend it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "version-1" / "merrow-t2"
FILE = FOLDER / "project.json"


def tree() -> dict[str, Any]:
    """The file's content, to be changed at will."""
    return json.loads(FILE.read_text(encoding="utf-8"))


def find(tree: dict[str, Any], thing: str) -> dict[str, Any]:
    """The object with this id, wherever it is."""
    found = [one for one in _objects(tree) if one.get("id") == thing]
    assert len(found) == 1, thing
    return found[0]


def _objects(node: Any) -> list[dict[str, Any]]:
    if isinstance(node, dict):
        return [node, *(one for value in node.values() for one in _objects(value))]
    if isinstance(node, list):
        return [one for value in node for one in _objects(value)]
    return []
