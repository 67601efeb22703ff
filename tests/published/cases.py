"""Published and reference cases: kinematics.json beside this file, one case a key.

`standing` says how a number was come by: `seen` (read in the source or in a public transcription of it), `memory` (a
printed figure recalled) or `computed` (a closed form evaluated to 45 digits). `tolerance` is in the
unit of its value, half the last printed digit as a rule.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

FILE = Path(__file__).with_name("kinematics.json")
TO_MM = {"mm": 1.0, "m": 1000.0, "in": 25.4, "length": 10.0}
"""Millimetres a unit; a case without one is taken at ten millimetres."""


@dataclass(frozen=True, slots=True)
class Case:
    id: str
    givens: dict[str, Any]
    expected: dict[str, Any]
    tolerance: dict[str, float]

    def given(self, *names: str) -> list[Any]:
        return [self.givens[name]["value"] for name in names]

    def unit(self, name: str) -> float:
        """Millimetres in the unit that a given is printed in."""
        return TO_MM[self.givens[name]["unit"]]

    def agrees(self, name: str, got: float, *, numerical: float = 0.0) -> None:
        """`got` is in the printed unit; `numerical` is what a stated derivative may add, relative to the value."""
        wanted = self.expected[name]["value"]
        assert got == pytest.approx(wanted, abs=self.tolerance[name], rel=numerical), f"{self.id}: {name}"

    def agrees_turned(self, name: str, got: float, *, numerical: float = 0.0) -> None:
        """The same for an angle in degrees, whole turns apart."""
        wanted = self.expected[name]["value"]
        off = (got - wanted + 180.0) % 360.0 - 180.0
        assert abs(off) <= max(self.tolerance[name], numerical), f"{self.id}: {name} is off by {off} degrees"


@cache
def _file() -> dict[str, Any]:
    return dict(json.loads(FILE.read_text(encoding="utf-8")))


def case(name: str) -> Case:
    entry = _file()[name]
    return Case(name, entry["givens"], entry["expected"], entry["tolerance"])


def every_id() -> list[str]:
    return list(_file())
