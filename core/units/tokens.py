"""A typed quantity cut into numbers, fractions, units and signs; what is none of these is refused with its place."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from unicodedata import normalize

from core.errors import UnreadableQuantity

VULGAR = MappingProxyType({
    one: normalize("NFKC", one).replace("\N{FRACTION SLASH}", "/") for one in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞↉"
})  # fmt: skip
"""Fractions that are one letter, and how they are typed: those of Unicode's blocks Latin-1 Supplement and Number Forms.
"""
_ONE_OVER = "\N{FRACTION NUMERATOR ONE}"
_TOKEN = re.compile(
    rf"""(?P<fraction>[0-9]+/[0-9]+(?![.,]?[0-9])|{_ONE_OVER}[0-9]+) | (?P<vulgar>[{"".join(VULGAR)}]) |
    (?P<number>(?:[0-9]|[.,](?=[0-9]))+) |
    (?P<unit>(?:(?![{"".join(VULGAR)}])[^\W\d_])+|''|["″'′°])(?:\.(?![0-9]))? |
    (?P<either>±|\+/[-\N{{MINUS SIGN}}]) | (?P<sign>[-+\N{{MINUS SIGN}}]) |
    (?P<slash>/(?=\s*[-+\N{{MINUS SIGN}}]))""",
    re.VERBOSE,
)
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_TYPESET = str.maketrans("’”⁄º", "'\"/°")
"""Marks that printed and copied text has in place of those of a keyboard, letter for letter."""
LONGEST = 40
"""Digits in a number."""


@dataclass(frozen=True, slots=True)
class Token:
    kind: str
    """fraction, number, unit, sign, either (±) or slash."""
    text: str
    """As it is typed on a plain keyboard: 1/2 for ½, and a unit without a point after it."""
    start: int
    end: int
    sticks: bool = False
    """Whether it may follow a whole number without a space: 1½."""

    @property
    def is_amount(self) -> bool:
        return self.kind in ("number", "fraction")

    @property
    def is_whole(self) -> bool:
        return self.text.isdigit()

    @property
    def step(self) -> Fraction:
        """What its last figure counts."""
        if self.kind == "fraction":
            return Fraction(1, int(self.text.partition("/")[2]))
        places = len(self.text) - 1 - max(self.text.rfind("."), self.text.rfind(","))
        return Fraction(1, 10 ** (places if places < len(self.text) else 0))

    def touches(self, after: Token) -> bool:
        return self.end == after.start


def tokens_of(text: str, what: str) -> tuple[Token, ...]:
    """The tokens of a text; `what` is wanted there. Raises UnreadableQuantity for anything else and for nothing."""
    tokens: list[Token] = []
    place, plain = 0, text.translate(_TYPESET)
    while place < len(text):
        if text[place].isspace():
            place += 1
            continue
        match = _TOKEN.match(plain, place)
        if match is None:
            raise UnreadableQuantity(text, place, place + 1, *_stray(text, place, what))
        tokens.append(_token(match))
        place = match.end()
    if not tokens:
        raise UnreadableQuantity(text, 0, len(text), "nothing stands here", f"{what} is needed")
    return tuple(tokens)


def _token(match: re.Match[str]) -> Token:
    start, end = match.span()
    if match["vulgar"] is not None:
        return Token("fraction", VULGAR[match[0]], start, end, sticks=True)
    if match["unit"] is not None:
        return Token("unit", match["unit"], start, end)
    return Token(str(match.lastgroup), match[0].replace(_ONE_OVER, "1/"), start, end)


def amount_of(text: str, token: Token) -> Fraction:
    """What a number or a fraction is worth, exactly; raises UnreadableQuantity where it can be read in two ways."""
    if len(token.text) > LONGEST:
        raise UnreadableQuantity(text, token.start, token.end, "the number is endless", "fewer digits")
    marks = [letter for letter in token.text if letter in ".,"]
    wrong, right = "", ""
    if len(set(marks)) == 2 or (len(marks) > 1 and marks[0] == ","):
        wrong, right = "points and commas may part thousands or decimals", "thousands unparted, such as 1234.5"
    elif len(marks) > 1:
        wrong, right = f"{token.text!r} is no number", "a number such as 3.2 or 27/64"
    elif _THOUSANDS.fullmatch(token.text):
        plain = token.text.replace(",", "")
        wrong, right = "a comma may part thousands or decimals", f"{plain} or {token.text.replace(',', '.')}"
    elif token.kind == "fraction" and not int(token.text.partition("/")[2]):
        wrong, right = "nothing can be divided by 0", "a fraction such as 27/64"
    if wrong:
        raise UnreadableQuantity(text, token.start, token.end, wrong, right)
    return Fraction(token.text.replace(",", "."))


def _stray(text: str, place: int, what: str) -> tuple[str, str]:
    if text[place] in ".,":
        mark = "point" if text[place] == "." else "comma"
        return f"a {mark} stands without digits after it", "leave it out, or write the digits"
    if text[place] == "/":
        return "a fraction is not whole", "whole numbers above and below, such as 27/64"
    return f"{text[place]!r} is not understood", f"{what} is needed"
