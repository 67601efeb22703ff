"""Where an oleo stands under its aircraft: how much of its stroke is used, from full extension."""

from __future__ import annotations

from core.sizes.offer import Offer
from core.units import format_length

CUSTOM = "Raymer, ch. 11, from memory, unconfirmed"
RATIOS = "Currey's ratios, from memory, unconfirmed; gas at one temperature"
_STATIC = ((0.6, "light aircraft", CUSTOM), (0.66, "most", CUSTOM), (0.84, "large transports", CUSTOM))
_COMPRESSED = ((4.0, 3.0), (2.1, 1.9))
"""The gas's pressure static to extended, and compressed to static."""


def used_when_static(extension: float, compression: float) -> float:
    """The share of the stroke that is used while it stands, of gas whose pressure rises by these ratios from extended
    to static and from static to compressed; pressure times room stays the same."""
    return (extension - 1.0) * compression / (extension * compression - 1.0)


def statics(extended: float, compressed: float, unit: str = "mm") -> tuple[Offer, ...]:
    """Where an oleo stands, in its slide's terms, of one that is extended and compressed at these, mm."""
    shares = [(share, f"{words} stand at {share:.0%}", source) for share, words, source in _STATIC]
    for extension, compression in _COMPRESSED:
        share = used_when_static(extension, compression)
        shares.append((share, f"gas of {extension:g} and {compression:g} to 1: {share:.0%}", RATIOS))
    return tuple(
        Offer(format_length(extended + share * (compressed - extended), unit=unit, decimals=3), source, words)
        for share, words, source in sorted(shares)
    )
