"""One size that is offered where one is asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Offer:
    text: str
    """As it may be typed."""
    source: str
    words: str = ""
    """What else is to be said of it."""

    @property
    def line(self) -> str:
        return ", ".join(one for one in (self.text, self.words) if one) + f"  –  {self.source}"


def lines_of(offers: Iterable[Offer]) -> tuple[tuple[str, str], ...]:
    """What is typed of each, and the line that offers it, as a field shows them."""
    return tuple((one.text, one.line) for one in offers)
