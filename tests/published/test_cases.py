"""No case lies unused, and each says where it comes from and how far off it may be."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.published.cases import FILE, every_id

STANDINGS = {"seen", "memory", "computed"}


@pytest.mark.parametrize("name", every_id())
def test_every_case_is_asked_for(name: str) -> None:
    asked = "".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_*.py"))
    assert f'"{name}"' in asked


@pytest.mark.parametrize("name", every_id())
def test_every_case_has_a_source_a_standing_and_tolerances(name: str) -> None:
    one = json.loads(FILE.read_text(encoding="utf-8"))[name]
    assert one["source"]
    assert one["standing"] in STANDINGS
    assert set(one["tolerance"]) == set(one["expected"])
