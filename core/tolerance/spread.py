"""How far built models spread: by worst case, by root sum of squares, and by models made at random and solved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.findings.finding import Kind
from core.geometry.planar import Floats
from core.motion.trouble import Jam
from core.study import SequenceStudy, Study
from core.tolerance.built import built
from core.tolerance.dimensions import Dimension, dimensions_of, drawn_at_random, one_at_a_time
from core.tolerance.measures import Measured, Subject, What, measures_of, times_of
from core.tolerance.solve import solve_built

MODELS = 1000
FRAMES = 60
PROBED = 0.1
"""Of its tolerance: how far each dimension is put off to see what hangs on it. So little leaves gaps open."""
SEED = 20261129
"""The same aircraft spreads the same way every time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    dimension: Dimension
    share: float
    """Of the variance, 0 to 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Of one thing that is measured; mm."""

    what: What
    of: tuple[str, ...]
    time: float
    drawn: float
    least: float | None
    most: float | None
    worst: float
    """By how much it may be off when all that is allowed goes the wrong way at once, to first order."""
    usual: float
    """The same as the root of the sum of squares."""
    expected: float
    """The standard deviation to first order, in all directions together."""
    sigma: float
    """The standard deviation over the models."""
    low: float
    high: float
    """Between which 95 of 100 models lie, as many above as below."""
    works: float
    """The share of models in which it is as it has to be."""
    error: float
    """The standard error of that share."""
    causes: tuple[Cause, ...]
    """What it hangs on, the most first."""

    @property
    def drowns(self) -> bool:
        """Whether an over-centre offset is less than it may be off."""
        return self.what is What.OVER_CENTRE and self.drawn <= self.worst


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreads:
    """Of one sequence."""

    sequence: str
    models: int
    dimensions: tuple[Dimension, ...]
    together: float
    """The share of models that can be put together and driven all the way."""
    works: float
    """The share in which all is as it has to be."""
    error: float
    """The standard error of that share."""
    spreads: tuple[Spread, ...]
    """Those that have to be so, the one that fails most first; then where parts come to stand."""
    matters: Cause | None
    """The one dimension on which most hangs of what fails, or else of what is nearest to failing."""
    clashes: int = 0
    """How many pairs clash as drawn; no gap of theirs is looked at in models."""
    jams: float | None = None
    """When it jams as drawn, seconds; no model is built of that."""


Progress = Callable[[float], None]
"""Is told how much is done, 0 to 1; what it raises ends the work."""


def spread(study: Study, sequence: SequenceStudy, *, models: int = MODELS, progress: Progress | None = None) -> Spreads:
    """What becomes of a studied sequence when the model is built."""
    subject = Subject(study=study, sequence=sequence)
    dimensions = dimensions_of(study.project)
    jams = [one.time for one in sequence.motion.troubles if isinstance(one, Jam)]
    if jams:
        return Spreads(
            sequence=sequence.sequence.id, models=models, dimensions=dimensions, together=0.0, works=0.0, error=0.0,
            spreads=(), matters=None, jams=min(jams),
        )  # fmt: skip
    probes = PROBED * one_at_a_time(dimensions)
    deviations = np.concatenate([probes, drawn_at_random(dimensions, models, SEED)])
    built_models = built(study.mechanism, dimensions, deviations)
    found = solve_built(built_models, sequence.motion, study.mechanism, times_of(subject, FRAMES), progress)
    measured = measures_of(subject, built_models, found, dimensions, deviations)
    made = slice(len(probes), None)
    together = found.assembled[made]
    works = together.copy()
    for one in measured:
        works &= one.works[made]
    spreads = sorted(
        (_spread(one, dimensions, len(probes), together) for one in measured),
        key=lambda one: (one.what is What.PLACE, one.works, _ease(one)),
    )
    return Spreads(
        sequence=sequence.sequence.id,
        models=models,
        dimensions=dimensions,
        together=float(together.mean()),
        works=float(works.mean()),
        error=standard_error(float(works.mean()), models),
        spreads=tuple(spreads),
        matters=_matters(spreads),
        clashes=sum(one.kind is Kind.CLASH for one in sequence.findings),
    )


def standard_error(share: float, models: int) -> float:
    """By how much a share of models made at random may be off, one standard deviation of the binomial distribution."""
    return float(np.sqrt(share * (1.0 - share) / models))


def _spread(one: Measured, dimensions: tuple[Dimension, ...], probes: int, together: np.ndarray) -> Spread:
    slopes = _slopes(one.off[:probes], dimensions)
    amounts = np.array([np.linalg.norm(slopes[:, dim.columns], 2) * dim.within for dim in dimensions])
    variances = np.array([np.sum(slopes[:, dim.columns] ** 2) * dim.sigma**2 for dim in dimensions])
    values, off = one.values[probes:], one.off[probes:]
    low, high = np.percentile(values, [2.5, 97.5])
    whole, works = float(variances.sum()), float((one.works[probes:] & together).mean())
    order = np.argsort(-variances, kind="stable")[:3]
    return Spread(
        what=one.what, of=one.of, time=one.time, drawn=one.drawn, least=one.least, most=one.most,
        worst=float(amounts.sum()), usual=float(np.sqrt(np.sum(amounts**2))),
        expected=float(np.sqrt(whole)), sigma=float(np.sqrt(off.var(axis=0).sum())), low=float(low), high=float(high),
        works=works, error=standard_error(works, len(together)),
        causes=tuple(
            Cause(dimension=dimensions[at], share=float(variances[at] / whole)) for at in order if whole > 0.0
        ),
    )  # fmt: skip


def _slopes(off: Floats, dimensions: tuple[Dimension, ...]) -> Floats:
    """(k, N) how each component changes with each column, from (2 N, k) of models off by one column each."""
    half = len(off) // 2
    size = np.zeros(half)
    for one in dimensions:
        size[one.columns] = PROBED * one.within
    return np.asarray((off[:half] - off[half:]).T / (2.0 * size))


def _ease(one: Spread) -> float:
    """How many of its usual spreads it is away from failing."""
    rooms = [one.drawn - one.least] if one.least is not None else []
    rooms += [one.most - one.drawn] if one.most is not None else []
    return min(rooms) / max(one.usual, 1e-12) if rooms else np.inf


def _matters(spreads: list[Spread]) -> Cause | None:
    judged = [one for one in spreads if one.what is not What.PLACE and one.causes]
    failing = [one for one in judged if one.works < 1.0]
    weights: dict[Dimension, float] = {}
    chosen = failing or sorted(judged, key=_ease)[:1]
    for one in chosen:
        for cause in one.causes:
            weights[cause.dimension] = weights.get(cause.dimension, 0.0) + cause.share * (1.0 - one.works or 1.0)
    if not weights:
        return None
    most = max(weights, key=lambda dimension: weights[dimension])
    whole = sum(1.0 - one.works or 1.0 for one in chosen)
    return Cause(dimension=most, share=weights[most] / whole)
