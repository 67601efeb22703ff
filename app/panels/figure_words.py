"""The words by which quantities and the ways to take them are chosen."""

from __future__ import annotations

from core.document.project import Quantity

OF_WORDS: dict[Quantity, str] = {
    "travel": "travel",
    "stroke": "stroke used",
    "length": "length of a rod",
    "diameter": "diameter",
}
"""The quantities that are of one thing, as they are chosen from."""
COMPARED = (("used", "the stroke used"), ("available", "the stroke available"))
ACROSS = (("circle", "its circle, about its hub"), ("outline", "its long side, seen edge on"))
