"""A mechanism as S models of it come out: the same connections, each with its own points, lengths, drives and lags."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from core.geometry.planar import Complexes, Floats, Ints
from core.mechanism.mechanism import Kind, Link, Mechanism
from core.tolerance.dimensions import OF_DRIVES, Dimension, Sort


@dataclass(frozen=True, slots=True)
class Built:
    """`mechanism` has (S,) arrays where a drawn one has single points and lengths: its rows come out (..., S)."""

    mechanism: Mechanism
    samples: int
    drives: Floats
    """(S, D) by how much each drive's value is more than it is asked for, in its terms."""
    lags: Mapping[int, Floats]
    """By a gearing's number: (S,) by how much its second pivot has turned more than its ratio says, radians."""

    def only(self, which: Ints) -> Built:
        """Some of the models, each as often as it is named."""
        links = tuple(
            replace(link, p=_some(link.p, which), q=_some(link.q, which), length=_some(link.length, which))
            for link in self.mechanism.links
        )
        lags = {number: lag[which] for number, lag in self.lags.items()}
        return Built(replace(self.mechanism, links=links), len(which), self.drives[which], lags)


def built(mechanism: Mechanism, dimensions: tuple[Dimension, ...], deviations: Floats) -> Built:
    """The models that deviate by (S, N) from a mechanism."""
    samples = len(deviations)
    drives, lags = np.zeros((samples, len(mechanism.drives))), dict[int, Floats]()
    points = [[np.full(samples, link.p), np.full(samples, link.q)] for link in mechanism.links]
    lengths = [np.full(samples, link.length) for link in mechanism.links]
    for one in dimensions:
        off = deviations[:, one.columns]
        if one.sort in OF_DRIVES:
            drives[:, mechanism.drive_of[one.of]] += off[:, 0]
        elif one.sort is Sort.BACKLASH:
            lags[mechanism.link_of[one.of]] = np.deg2rad(off[:, 0])
        elif one.sort is Sort.LENGTH:
            lengths[mechanism.link_of[one.of]] += off[:, 0]
        elif one.sort is not Sort.EDGE:
            points[mechanism.link_of[one.of]][one.end] += off[:, 0] + 1j * off[:, 1]
    links = tuple(
        _moved(link, ends[0], ends[1], length)
        for link, ends, length in zip(mechanism.links, points, lengths, strict=True)
    )
    return Built(replace(mechanism, links=links), samples, drives, lags)


def _moved(link: Link, p: Complexes, q: Complexes, length: Floats) -> Link:
    """A slot's length is its line's, which takes part in nothing but its limits."""
    kept: Any = link.length if link.kind is Kind.SLOT else length
    first: Any = p
    second: Any = q
    return replace(link, p=first, q=second, length=kept)


def _some(value: Any, which: Ints) -> Any:
    return value[which] if isinstance(value, np.ndarray) else value


def edges_of(dimensions: tuple[Dimension, ...], deviations: Floats, body: str) -> Floats:
    """(S,) how far the edges of a body run outside of where they are drawn, mm."""
    for one in dimensions:
        if one.sort is Sort.EDGE and one.of == body:
            return deviations[:, one.first]
    return np.zeros(len(deviations))
