"""Typed lengths, angles and numbers to millimetres, degrees and numbers, with tolerances where these are asked for.

Nothing is guessed: what is not understood to its last letter, or can be read in two ways, is refused with the place.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from core.errors import UnreadableQuantity
from core.units.kinds import ANGLE, LENGTH, NUMBER, Kind
from core.units.terms import Term, TermReader
from core.units.tokens import VULGAR, Token, tokens_of

LARGEST = 10**6
"""A kilometre at model size; also more degrees, and more of anything else, than make sense."""
LONGEST = 10**9
"""Of the prototype, or of a term of a sum."""
LEAST_SCALE, MOST_SCALE = 1e-3, 1e5
_ONE_TO = re.compile(r"\s*1\s*[:/]")


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a size may be off, from `below` to `above`: millimetres at model size or degrees, with their signs."""

    below: float
    above: float

    def holds(self, off: float, rounding: float = 0.0) -> bool:
        return self.below - rounding <= off <= self.above + rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A size in millimetres at model size or degrees, and its tolerance where one was given."""

    value: float
    tolerance: Tolerance | None = None
    rounding: float = field(default=0.0, compare=False)
    """How far the printed figures may lie from what was meant: half of what the last one counts."""


def parse_length(text: str, *, unit: str = "mm", scale: float | None = None) -> float:
    """Millimetres at model size of a length as typed.

    `3.2`, `3,2`, `1/8 in`, `13 27/64 in`, `1½ in.`, `5 thou`, `1 ft 2.3 in`, `1' 2 1/8"`, `12.5 + 3/8 in`,
    `318 mm full size`. A number alone is in `unit`; `full size` says that it is the prototype's, `scale` times the
    model's, and is refused where no scale is given. Raises UnreadableQuantity for anything else.
    """
    return _without_tolerance(text, _Sizes(LENGTH, unit, scale))


def parse_measured_length(
    text: str, *, unit: str = "mm", scale: float | None = None, full_size: bool = False
) -> Measure:
    """A length and its tolerance, at model size: `352 mm ± 1 mm`, `25 +0.2/-0.1 mm`, `3/8 in +/- 0.01 in full size`.

    With `full_size` it is the prototype's unless it says `model size`.
    """
    return _measure(text, _Sizes(LENGTH, unit, scale, full_size))


def parse_length_tolerance(
    text: str, *, unit: str = "mm", scale: float | None = None, full_size: bool = False
) -> Tolerance:
    """A tolerance that stands alone, at model size: `1 mm` and `± 1 mm`, or `+0.2/-0.1 mm`."""
    return _tolerance_alone(text, _Sizes(LENGTH, unit, scale, full_size))


def parse_angle(text: str) -> float:
    """Degrees of an angle as typed: `92`, `92.5°`, `12 deg 30 min`, `12° 30' 15"`, `90° - 12° 30'`, `0.5 rad`.

    Raises UnreadableQuantity for anything else.
    """
    return _without_tolerance(text, _Sizes(ANGLE, "deg"))


def parse_measured_angle(text: str) -> Measure:
    """Degrees and their tolerance: `101° ± 30'`."""
    return _measure(text, _Sizes(ANGLE, "deg"))


def parse_angle_tolerance(text: str) -> Tolerance:
    """A tolerance in degrees that stands alone: `1°`, `± 15'`, `+1/-0.5 deg`."""
    return _tolerance_alone(text, _Sizes(ANGLE, "deg"))


def parse_number(text: str) -> float:
    """A number without a unit: `4.8`, `4,8`, `1/72`, `3 + 1/2`. Raises UnreadableQuantity for anything else."""
    return _without_tolerance(text, _Sizes(NUMBER, ""))


def parse_scale(text: str) -> float:
    """How many times its model a prototype is: `12`, `1:12`, `1/12`. Raises UnreadableQuantity for anything else."""
    text = VULGAR.get(text.strip(), text)  # a model at ½ is at 1/2, and not twice the prototype
    one_to = _ONE_TO.match(text)
    scale = parse_number(text[one_to.end() :] if one_to is not None else text)
    if not LEAST_SCALE <= scale <= MOST_SCALE:
        raise UnreadableQuantity(text, 0, len(text), "no model is built so", "a scale such as 12 or 1:12 is needed")
    return scale


# ---- sizes ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Sizes:
    """How a number without a unit or a size is meant."""

    kind: Kind
    unit: str
    scale: float | None = None
    full_size: bool = False

    def divisor(self, text: str, terms: Sequence[Term], size: str | None) -> Fraction:
        """What brings terms to model size, as they say themselves, or `size`."""
        said = {term.size for term in terms}
        if len(said) > 1:
            wrong = "it is not clear of which number the size is said"
            raise UnreadableQuantity(text, terms[0].start, len(text), wrong, "say full size after each, or after none")
        full = (said.pop() or size or ("full" if self.full_size else "model")) == "full"
        if full and self.scale is None:
            wrong, right = "there is no scale here", "the size that is meant, without full size"
            raise UnreadableQuantity(text, terms[0].start, len(text), wrong, right)
        return Fraction(self.scale or 1.0) if full else Fraction(1)

    def measure(self, text: str, terms: Sequence[Term], unit: str, size: str | None) -> Measure:
        half = max(term.step(self.kind, unit) for term in terms) / 2
        rounding = float(half / self.divisor(text, terms, size))
        return Measure(value=self.worth(text, terms, unit, size), rounding=rounding)

    def worth(self, text: str, terms: Sequence[Term], unit: str, size: str | None) -> float:
        divisor = self.divisor(text, terms, size)
        total = sum((term.worth(self.kind, unit) for term in terms), Fraction(0))
        longest = max(abs(term.worth(self.kind, unit)) for term in terms)
        if longest > LONGEST or abs(total / divisor) > LARGEST:
            raise UnreadableQuantity(text, 0, len(text), "this is too large", self.kind.most)
        return float(total / divisor)

    def terms(self, text: str, tokens: Sequence[Token]) -> tuple[Term, ...]:
        return TermReader(text, tuple(tokens), self.kind, self.unit).terms()


def _without_tolerance(text: str, sizes: _Sizes) -> float:
    tokens = tokens_of(text, sizes.kind.what)
    start, end = _tolerance_span(tokens)
    if start < end:
        wrong, right = "a tolerance has no place here", f"{sizes.kind.what} alone"
        raise UnreadableQuantity(text, tokens[start].start, tokens[end - 1].end, wrong, right)
    return sizes.worth(text, sizes.terms(text, tokens), sizes.unit, None)


def _measure(text: str, sizes: _Sizes) -> Measure:
    tokens = tokens_of(text, sizes.kind.what)
    start, end = _tolerance_span(tokens)
    if start == end:
        terms = sizes.terms(text, tokens)
        _refuse_a_riddle(text, terms, sizes)
        return sizes.measure(text, terms, sizes.unit, None)
    if start == 0:
        right = f"{sizes.kind.what}, then its tolerance"
        raise UnreadableQuantity(text, 0, tokens[0].end, "nothing stands before the tolerance", right)
    terms, bounds = sizes.terms(text, tokens[:start]), _bounds(text, sizes, tokens[start:])
    size = _shared_size(text, terms, bounds)
    given = next((term.unit for one in bounds for term in one if term.unit is not None), None)
    if given is None and any(len(term.parts) > 1 for term in terms):
        wrong, right = "the tolerance has no unit, and the size has several", "a unit after the tolerance"
        raise UnreadableQuantity(text, tokens[start].start, tokens[-1].end, wrong, right)
    bare = all(term.unit is None for term in terms)
    measure = sizes.measure(text, terms, (given if bare else None) or sizes.unit, size)
    return replace(measure, tolerance=_tolerance(text, sizes, bounds, terms[-1].unit or sizes.unit, size))


def _refuse_a_riddle(text: str, terms: Sequence[Term], sizes: _Sizes) -> None:
    """`25 +0.2 -0.1 mm` is 25.1 mm as a sum, and 25 mm with a tolerance as drawings print it; `348 - 352 mm` is less
    than nothing as a difference, and two limits in print."""
    if sizes.kind.sized and len(terms) == 2 and terms[1].sign < 0:
        unit = terms[1].unit or sizes.unit
        first, second = (abs(one.worth(sizes.kind, unit)) for one in terms)
        if second * 2 > first:
            wrong, right = "this may be two limits or a difference", "350 mm ± 2 mm for limits, or the difference"
            raise UnreadableQuantity(text, terms[0].start, len(text), wrong, right)
    if len(terms) > 2 and terms[-1].sign != terms[-2].sign:
        wrong, right = "this may be a tolerance or part of a sum", "+0.2/-0.1 with a stroke between, or the sum"
        raise UnreadableQuantity(text, terms[-2].start, len(text), wrong, right)


def _tolerance_alone(text: str, sizes: _Sizes) -> Tolerance:
    tokens = tokens_of(text, "a tolerance")
    start, end = _tolerance_span(tokens)
    if start != 0 and start < end:
        wrong, right = "only the tolerance is wanted here", sizes.kind.tolerances
        raise UnreadableQuantity(text, 0, tokens[start - 1].end, wrong, right)
    if start == end and tokens[0].text == "+":
        wrong, right = "it is not said how far it may be off to the other side", sizes.kind.tolerances
        raise UnreadableQuantity(text, 0, len(text), wrong, right)
    bounds = _bounds(text, sizes, tokens) if start < end else (_single(text, sizes, sizes.terms(text, tokens)),)
    return _tolerance(text, sizes, bounds, sizes.unit, bounds[-1][-1].size)


# ---- tolerances -----------------------------------------------------------------------------------------------------


def _tolerance_span(tokens: Sequence[Token]) -> tuple[int, int]:
    """From which token to which a tolerance stands; nowhere where both are the same."""
    for number, token in enumerate(tokens):
        if token.kind == "either":
            return number, len(tokens)
        if token.kind == "slash":
            signs = [before for before in range(number) if tokens[before].kind == "sign"]
            return (signs[-1] if signs else number), len(tokens)
    return len(tokens), len(tokens)


def _bounds(text: str, sizes: _Sizes, tokens: Sequence[Token]) -> tuple[tuple[Term, ...], ...]:
    """One bound of ± or two of +a/-b, each with its sign."""
    slash = next((number for number, token in enumerate(tokens) if token.kind == "slash"), None)
    if tokens[0].kind == "either":
        rest = tokens[1:]
        if rest and rest[0].kind == "sign":
            wrong, right = "a sign follows ±", "± and a number"
            raise UnreadableQuantity(text, tokens[0].start, rest[0].end, wrong, right)
        return (_single(text, sizes, sizes.terms(text, rest)),)
    assert slash is not None, "the span begins with ± or holds a slash"
    return (
        _single(text, sizes, sizes.terms(text, tokens[:slash])),
        _single(text, sizes, sizes.terms(text, tokens[slash + 1 :])),
    )


def _single(text: str, sizes: _Sizes, terms: tuple[Term, ...]) -> tuple[Term, ...]:
    if len(terms) > 1:
        wrong = "a tolerance is no sum"
        raise UnreadableQuantity(text, terms[0].start, terms[-1].end, wrong, sizes.kind.tolerances)
    return terms


def _shared_size(text: str, terms: Sequence[Term], bounds: Sequence[Sequence[Term]]) -> str | None:
    """A size said at the very end holds for all; one said of the number alone leaves the tolerance in the dark."""
    own, last = terms[-1].size, bounds[-1][-1].size
    if own is not None and last is None:
        wrong = "it is not said at which size the tolerance is"
        raise UnreadableQuantity(text, bounds[0][0].start, len(text), wrong, "say full size at the end, for both")
    return last


def _tolerance(text: str, sizes: _Sizes, bounds: Sequence[Sequence[Term]], unit: str, size: str | None) -> Tolerance:
    units = [term.unit for one in bounds for term in one]
    shared = next((one for one in reversed(units) if one is not None), unit)
    ends = [sizes.worth(text, one, shared, size) for one in bounds]
    if len(ends) == 1:
        if ends[0] < 0.0:
            term = bounds[0][0]
            raise UnreadableQuantity(text, 0, term.end, "a tolerance is less than nothing", "a size of 0 or more")
        return Tolerance(-ends[0] + 0.0, ends[0])
    return Tolerance(min(ends), max(ends))
