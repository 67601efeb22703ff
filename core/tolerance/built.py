"""A mechanism as S models of it come out: the same connections, each with its own points and lengths."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Complexes, Floats
from core.mechanism.mechanism import Kind, Link, Mechanism
from core.tolerance.dimensions import Dimension, Sort

Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Built:
    """`mechanism` has (S,) arrays where a drawn one has single points and lengths: its rows come out (..., S)."""

    mechanism: Mechanism
    samples: int

    def only(self, which: Ints) -> Built:
        """Some of the models, each as often as it is named."""
        links = tuple(
            replace(link, p=_some(link.p, which), q=_some(link.q, which), length=_some(link.length, which))
            for link in self.mechanism.links
        )
        return Built(replace(self.mechanism, links=links), len(which))


def built(mechanism: Mechanism, dimensions: tuple[Dimension, ...], deviations: Floats) -> Built:
    """The models that deviate by (S, N) from a mechanism."""
    samples = len(deviations)
    points = [[np.full(samples, link.p), np.full(samples, link.q)] for link in mechanism.links]
    lengths = [np.full(samples, link.length) for link in mechanism.links]
    for one in dimensions:
        if one.sort is Sort.EDGE:
            continue
        number, off = mechanism.link_of[one.of], deviations[:, one.columns]
        if one.sort is Sort.LENGTH:
            lengths[number] = lengths[number] + off[:, 0]
        else:
            points[number][one.end] = points[number][one.end] + (off[:, 0] + 1j * off[:, 1])
    links = tuple(
        _moved(link, ends[0], ends[1], length)
        for link, ends, length in zip(mechanism.links, points, lengths, strict=True)
    )
    return Built(replace(mechanism, links=links), samples)


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
