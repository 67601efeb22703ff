"""Units that are said after every number."""

from __future__ import annotations

import pytest

from core.units import parse_measured_length, with_unit


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("231", "231 mm"),
        ("231 full size", "231 mm full size"),
        ("13 27/64", "13 27/64 mm"),
        ("12.5 + 3/8 in", "12.5 mm + 3/8 in"),
        ("352 ± 1", "352 mm ± 1 mm"),
        ("25 +0.2/-0.1", "25 mm +0.2 mm/-0.1 mm"),
        ("1' 1 7/8\"", "1' 1 7/8\""),
        ("1½", "1½ mm"),
        ("1½ in. + ⅜", "1½ in. + ⅜ mm"),
        ("352mm ± 1/2 mm", "352mm ± 1/2 mm"),
    ],
)
def test_a_number_alone_gets_the_unit_and_keeps_its_size(text: str, said: str):
    assert with_unit(text, "mm") == said
    assert parse_measured_length(said, unit="in", scale=12.0) == parse_measured_length(text, unit="mm", scale=12.0)
