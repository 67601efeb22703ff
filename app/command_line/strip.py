"""Drawing a sequence as a frame strip into a file, without a window."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.errors import SenselessRequest

LATE = 1e-6
"""Seconds by which a time may pass the end: what adding up a sequence's steps may lose."""


def moments_to_draw(seconds: float, frames: int, times: Sequence[float] | None) -> tuple[float, ...]:
    """The times asked for, or as many as asked for, evenly spread from start to end."""
    if times is None:
        return tuple(float(time) for time in np.linspace(0.0, seconds, frames if seconds > 0 else 1))
    for time in times:
        if time > seconds + LATE:
            raise SenselessRequest(f"--times: {time:g} is past the end of the sequence, which takes {seconds:g} s")
    return tuple(times)
