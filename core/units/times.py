"""Model time and prototype time.

A model that flies under the same gravity moves as its prototype does when both have one Froude number, V² / g L: then
whatever falls, swings or rolls passes through the same shapes. With lengths at 1 : n, speeds are at 1 : √n and so are
times: what takes a second on the model takes √n seconds on the prototype. (Froude scaling of free-flight models: C. H.
Wolowicz, J. S. Bowman, W. P. Gilbert, Similitude Requirements and Scaling Relationships as Applied to Model Testing,
NASA Technical Paper 1435, 1979; its table of factors from memory. Builders of flying scale models time their gear by
the same rule.)
"""

from __future__ import annotations

import math


def prototype_seconds(seconds: float, scale: float) -> float:
    """How long what takes so many seconds on a model at 1 : `scale` takes on the prototype."""
    return seconds * math.sqrt(scale)


def model_seconds(seconds: float, scale: float) -> float:
    """How long what takes so many seconds on the prototype takes on a model at 1 : `scale`."""
    return seconds / math.sqrt(scale)


def tidy(seconds: float) -> float:
    """Without the last bits that sums leave."""
    return round(seconds, 9) + 0.0
