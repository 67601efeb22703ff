"""A typed length with its unit said after every number, so that it is the same length whatever unit is usual."""

from __future__ import annotations

from collections.abc import Sequence

from core.units.kinds import LENGTH
from core.units.tokens import Token, tokens_of


def with_unit(text: str, unit: str) -> str:
    """The same text with `unit` after each number that has none: `231 full size` is `231 mm full size`.

    Raises UnreadableQuantity for what is no quantity.
    """
    tokens = tokens_of(text, LENGTH.what)
    for number in reversed(range(len(tokens))):
        if tokens[number].is_amount and not _is_followed(tokens, number):
            end = tokens[number].end
            text = f"{text[:end]} {unit}{text[end:]}"
    return text


def _is_followed(tokens: Sequence[Token], number: int) -> bool:
    """Whether a unit follows, or the fraction of a mixed number, which the unit follows."""
    after = tokens[number + 1] if number + 1 < len(tokens) else None
    if after is None or after.kind == "sign":
        return False
    return after.kind == "fraction" or after.text.lower() in LENGTH.words
