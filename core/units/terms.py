"""The terms of a typed quantity: numbers with their units and signs, and at which size each is meant.

A term is one number and its unit, or feet and inches, or degrees, minutes and seconds; a sum has several. Whatever
could be read in two ways is refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import NoReturn

from core.errors import UnreadableQuantity
from core.units.kinds import Kind
from core.units.tokens import Token, amount_of

SIZES = ("full", "model")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A number and its unit; the unit is None where none was given."""

    amount: Fraction
    unit: str | None
    whole: bool
    fraction: bool
    """Whether it is a fraction alone."""
    step: Fraction
    """What the last figure counts: 1/100 of 3.25, 1/64 of 27/64."""
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    parts: tuple[Part, ...]
    sign: int
    size: str | None
    """`full` or `model` where it is said."""

    @property
    def start(self) -> int:
        return self.parts[0].start

    @property
    def end(self) -> int:
        return self.parts[-1].end

    @property
    def unit(self) -> str | None:
        return self.parts[-1].unit

    def step(self, kind: Kind, unit: str) -> Fraction:
        """What the last figure counts, in the unit used inside."""
        return self.parts[-1].step * kind.worth[self.parts[-1].unit or unit]

    def worth(self, kind: Kind, unit: str) -> Fraction:
        """In the unit used inside, without its size; a number alone is in `unit`."""
        return self.sign * sum((part.amount * kind.worth[part.unit or unit] for part in self.parts), Fraction(0))


@dataclass(slots=True)
class TermReader:
    """Reads tokens from the left; `unit` is what a number alone is in."""

    text: str
    tokens: tuple[Token, ...]
    kind: Kind
    unit: str
    at: int = 0

    def terms(self) -> tuple[Term, ...]:
        """Every term; raises UnreadableQuantity where something else stands."""
        sign = self._sign()
        found = [self._term(1 if sign is None or sign.text == "+" else -1)]
        while (token := self._next()) is not None:
            if token.kind != "sign":
                self._refuse_token(token)
            self.at += 1
            term = self._term(1 if token.text == "+" else -1)
            self._refuse_two_meanings(found[-1], token, term)
            found.append(term)
        return tuple(found)

    # ---- one term --------------------------------------------------------------------------------------------------

    def _term(self, sign: int) -> Term:
        parts = [self._part()]
        while (token := self._next()) is not None and (token.is_amount or self._is_dash_of_feet(parts[-1])):
            self.at += not token.is_amount
            parts.append(self._part())
        if len(parts) > 1:
            self._check_stair(parts)
        return Term(parts=tuple(parts), sign=sign, size=self._size())

    def _part(self) -> Part:
        first = self._next()
        if first is None:
            self._refuse(0, len(self.text), "there is no number", self.kind.wanted)
        if not first.is_amount:
            self._refuse_token(first)
        self.at += 1
        amount, end, mixed = amount_of(self.text, first), first.end, False
        extra = self._next()
        if extra is not None and extra.is_amount and first.touches(extra) and not extra.sticks:
            wrong = f"{first.text + extra.text!r} is no number"
            self._refuse(first.start, extra.end, wrong, "a number such as 3.2 or 27/64")
        if extra is not None and extra.kind == "fraction":
            amount, end, mixed = self._mixed(first, extra), extra.end, True
            self.at += 1
        whole, fraction = first.is_whole and not mixed, first.kind == "fraction"
        step = (extra if mixed and extra is not None else first).step
        unit, end = self._unit(end)
        return Part(amount=amount, unit=unit, whole=whole, fraction=fraction, step=step, start=first.start, end=end)

    def _mixed(self, first: Token, extra: Token) -> Fraction:
        part = amount_of(self.text, extra)
        if not first.is_whole or part >= 1:
            wrong = f"{first.text} {extra.text} is no mixed number"
            self._refuse(first.start, extra.end, wrong, "a whole number and a fraction less than 1")
        return amount_of(self.text, first) + part

    def _unit(self, end: int) -> tuple[str | None, int]:
        token = self._next()
        if token is None or token.kind != "unit" or self._at_size():
            return None, end
        unit = self.kind.words.get(token.text.lower())
        if unit is None:
            self._refuse(token.start, token.end, f"{token.text!r} is not {self.kind.unit}", self.kind.known)
        self.at += 1
        return unit, token.end

    def _at_size(self) -> bool:
        words = [token.text.lower() for token in self.tokens[self.at : self.at + 2]]
        return self.kind.sized and words in ([one, "size"] for one in SIZES)

    def _size(self) -> str | None:
        if not self._at_size():
            return None
        self.at += 2
        return self.tokens[self.at - 2].text.lower()

    # ---- what goes together ----------------------------------------------------------------------------------------

    def _check_stair(self, parts: list[Part]) -> None:
        """Only the units of a stair go together, from the largest, each once and none so many as the next is worth."""
        stair = self.kind.stair
        places = [stair.index(part.unit) if part.unit in stair else -1 for part in parts]
        start, end = parts[0].start, parts[-1].end
        if -1 in places or any(after <= one for one, after in pairwise(places)):
            missing = any(part.unit is None for part in parts)
            wrong = "numbers follow each other without units" if missing else "these units do not go together"
            right = f"one number and its unit, or {self.kind.example}" if stair else self.kind.wanted
            self._refuse(start, end, wrong, right)
        for part in parts[:-1]:
            if not part.whole:
                self._refuse(start, end, "only the last of several units may have decimals", self.kind.example)
        for part in parts[1:]:
            most = self.kind.steps[str(part.unit)]
            if part.amount >= most:
                self._refuse(start, end, f"there are {most} {part.unit} and more", f"less than {most} {part.unit}")

    def _is_dash_of_feet(self, before: Part) -> bool:
        """Whether a dash parts feet and inches as drawings print them, 1'-2", touching both."""
        if self.kind.stair != ("ft", "in") or before.unit != "ft" or self.at + 1 >= len(self.tokens):
            return False
        dash, after = self.tokens[self.at], self.tokens[self.at + 1]
        return dash.kind == "sign" and dash.text != "+" and before.end == dash.start and dash.touches(after)

    def _refuse_two_meanings(self, before: Term, sign: Token, term: Term) -> None:
        """A dash before a fraction or after feet may be part of the number."""
        one, other = before.parts[-1], term.parts[0]
        same = sign.text == "+" and other.unit in (None, self.unit)
        if one.whole and one.unit is None and other.fraction and not same:
            wrong = "this may be a mixed number or a sum"
            self._refuse(one.start, other.end, wrong, "3 1/2 in, or a unit after each number: 3 in - 1/2 in")
        if one.unit == "ft" and other.unit == "in" and sign.text != "+" and self.kind.stair == ("ft", "in"):
            wrong = "this may be feet and inches or a difference"
            self._refuse(one.start, other.end, wrong, "1 ft 2 in, or both in inches: 12 in - 2 in")

    # ---- small parts -----------------------------------------------------------------------------------------------

    def _next(self) -> Token | None:
        return self.tokens[self.at] if self.at < len(self.tokens) else None

    def _sign(self) -> Token | None:
        token = self._next()
        if token is None or token.kind != "sign":
            return None
        self.at += 1
        return token

    def _refuse(self, start: int, end: int, wrong: str, right: str) -> NoReturn:
        raise UnreadableQuantity(self.text, start, end, wrong, right)

    def _refuse_token(self, token: Token) -> NoReturn:
        right = self.kind.wanted
        if token.kind in ("sign", "slash", "either"):
            self._refuse(token.start, token.end, "a sign stands where a number should", right)
        if token.text.lower() in self.kind.words:
            self._refuse(token.start, token.end, f"{token.text!r} has no number before it", right)
        self._refuse(token.start, token.end, f"{token.text!r} is not understood here", right)
