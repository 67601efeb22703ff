"""One function a step of the file format, from the tree of one version to the tree of the next."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import Any

from core.document.project import VERSION

Upgrade = Callable[[dict[str, Any]], dict[str, Any]]

UPGRADES: MappingProxyType[int, Upgrade] = MappingProxyType({})
"""By the version they start from; version 1 is the first, so there is none yet."""


def upgraded(tree: dict[str, Any], version: int) -> dict[str, Any]:
    """The tree of an older version as the present version writes it."""
    for step in range(version, VERSION):
        tree = UPGRADES[step](tree)
    return tree
