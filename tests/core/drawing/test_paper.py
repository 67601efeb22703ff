"""Scales and sheets against the standards' own lists."""

from __future__ import annotations

import math

import pytest

from core.drawing.paper import A3, A4, scale_within
from core.errors import SenselessRequest

ISO_5455 = ((50, 1), (20, 1), (10, 1), (5, 1), (2, 1), (1, 1), (1, 2), (1, 5), (1, 10), (1, 20), (1, 50), (1, 100))
"""ISO 5455:1979, table 1, recommended scales (from memory): enlargement, full size, reduction."""


@pytest.mark.parametrize(("paper", "model"), ISO_5455)
def test_each_recommended_scale_is_taken_where_it_just_fits(paper: int, model: int):
    scale = scale_within(paper / model)
    assert (scale.paper, scale.model) == (paper, model)
    assert str(scale) == f"{paper} : {model}"


@pytest.mark.parametrize("largest", [0.011, 0.3, 0.9, 1.7, 4.99, 33.0])
def test_never_larger_than_what_fits_and_always_the_next_below(largest: float):
    ratio = scale_within(largest).ratio
    assert ratio <= largest
    assert not any(ratio < paper / model <= largest for paper, model in ISO_5455)


@pytest.mark.parametrize("largest", [0.0, -1.0, math.nan, math.inf])
def test_no_room_is_said(largest: float):
    with pytest.raises(SenselessRequest, match="no room"):
        scale_within(largest)


def test_sheets_are_those_of_iso_216():
    """ISO 216: A4 is 210 x 297 mm, A3 297 x 420 mm; they lie on their long sides here."""
    assert (A4.width, A4.height) == (297.0, 210.0)
    assert (A3.width, A3.height) == (420.0, 297.0)
