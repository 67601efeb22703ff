"""How numbers are written for other programs."""

from __future__ import annotations

from typing import overload

DIGITS = 9
"""Decimals: finer than the solver's tolerance, without the noise of the last binary digits."""


@overload
def number(value: float) -> float: ...


@overload
def number(value: float | None) -> float | None: ...


def number(value: float | None) -> float | None:
    """A number as every JSON answer has it: there is no minus nought."""
    return None if value is None else round(float(value), DIGITS) + 0.0
