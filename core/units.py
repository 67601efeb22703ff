"""The door: lengths and angles as people type and print them, and as they are inside: millimetres and degrees.

Nothing is guessed: what is not understood to its last letter is refused, with the place marked.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType

from core.errors import UnreadableQuantity

LENGTH_UNITS = MappingProxyType({"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8})
"""Millimetres each. The inch has been 25.4 mm exactly since the international agreement of 1959 (BS 350)."""
DECIMALS = MappingProxyType({"mm": 2, "cm": 3, "m": 5, "in": 3, "ft": 2})
"""Places shown unless others are asked for; of feet, places of the inches beside them."""

_LENGTH_WORDS = MappingProxyType(
    {word: unit for unit, words in {
        "mm": "mm millimetre millimetres millimeter millimeters",
        "cm": "cm centimetre centimetres centimeter centimeters",
        "m": "m metre metres meter meters",
        "in": "in inch inches \" ″ ''",
        "ft": "ft foot feet ' ′",
    }.items() for word in words.split()}
)  # fmt: skip
_ANGLE_WORDS = MappingProxyType(
    {word: unit for unit, words in {
        "deg": "deg degree degrees °",
        "min": "min minute minutes ' ′",
        "sec": "sec second seconds \" ″ ''",
        "rad": "rad radian radians",
    }.items() for word in words.split()}
)  # fmt: skip
_DEGREES = MappingProxyType({"deg": 1.0, "min": 1.0 / 60.0, "sec": 1.0 / 3600.0, "rad": 57.29577951308232})
_LARGEST = 1e9

_TOKEN = re.compile(
    r"""(?P<fraction>[0-9]+/[0-9]+) | (?P<number>[0-9]+(?:\.[0-9]+)?|\.[0-9]+) |
    (?P<unit>[^\W\d_]+|''|["″'′°]) | (?P<sign>[-+\N{MINUS SIGN}])""",
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str
    text: str
    start: int

    @property
    def end(self) -> int:
        return self.start + len(self.text)


@dataclass(frozen=True, slots=True)
class _Part:
    """A number and its unit; the unit is None where none was given."""

    amount: Fraction
    unit: str | None
    whole: bool
    start: int
    end: int


def parse_length(text: str, *, unit: str = "mm", scale: float = 1.0) -> float:
    """Millimetres at model size of a length as typed.

    `3.2`, `1/8 in`, `13 27/64 in`, `1 ft 2.3 in`, `318 mm full size`. A number alone is in `unit`; `full size` says
    that it is the prototype's, `scale` times the model's. Raises UnreadableQuantity for anything else.
    """
    tokens = _tokens(text, "a length")
    full_size = len(tokens) > 2 and [token.text.lower() for token in tokens[-2:]] == ["full", "size"]
    if full_size:
        tokens = tokens[:-2]
    sign, parts = _signed_parts(text, tokens, _LENGTH_WORDS, "a unit of length", ", ".join(LENGTH_UNITS))
    if len(parts) > 1:
        _feet_and_inches(text, parts)
    millimetres = sum(float(part.amount) * LENGTH_UNITS[part.unit or unit] for part in parts)
    return sign * _in_range(text, millimetres) / (scale if full_size else 1.0)


def parse_angle(text: str) -> float:
    """Degrees of an angle as typed: `92`, `92.5°`, `12 deg 30 min`, `12° 30' 15"`, `0.5 rad`.

    Raises UnreadableQuantity for anything else.
    """
    tokens = _tokens(text, "an angle")
    sign, parts = _signed_parts(text, tokens, _ANGLE_WORDS, "a unit of angle", "deg, min, sec or rad")
    if len(parts) > 1:
        _degrees_and_minutes(text, parts)
    degrees = sum(float(part.amount) * _DEGREES[part.unit or "deg"] for part in parts)
    return sign * _in_range(text, degrees)


def format_length(
    millimetres: float,
    *,
    unit: str = "mm",
    scale: float = 1.0,
    full_size: bool = False,
    decimals: int | None = None,
    fraction: int | None = None,
    fixed: bool = False,
) -> str:
    """A length as people read it, and as `parse_length` reads it back: `26.5 mm`, `1 ft 2.3 in`, `318 mm full size`.

    `fraction` shows inches as the nearest of that many parts, a power of two such as 64. `fixed` keeps noughts at the
    end, so that a value that runs does not jump.
    """
    shown = millimetres * scale if full_size else millimetres
    places = DECIMALS[unit] if decimals is None else decimals
    if unit in ("in", "ft"):
        text = _imperial(shown / LENGTH_UNITS["in"], feet=unit == "ft", places=places, fraction=fraction, fixed=fixed)
    else:
        text = f"{format_number(shown / LENGTH_UNITS[unit], decimals=places, fixed=fixed)} {unit}"
    return text + (" full size" if full_size else "")


def format_angle(degrees: float, *, decimals: int = 2) -> str:
    """An angle as people read it: `92.5°`."""
    return format_number(degrees, decimals=decimals) + "°"


def format_number(value: float, *, decimals: int = 2, fixed: bool = False) -> str:
    """A number as people read it: with a true minus, and none before nought; `fixed` keeps noughts at the end."""
    text = f"{abs(value):.{decimals}f}"
    below = value < 0.0 and float(text) > 0.0
    if "." in text and not fixed:
        text = text.rstrip("0").rstrip(".")
    return f"\N{MINUS SIGN}{text}" if below else text


# ---- reading --------------------------------------------------------------------------------------------------------


def _tokens(text: str, what: str) -> list[_Token]:
    tokens: list[_Token] = []
    place = 0
    while place < len(text):
        if text[place].isspace():
            place += 1
            continue
        match = _TOKEN.match(text, place)
        if match is None:
            raise UnreadableQuantity(text, place, place + 1, *_stray(text, place, what))
        tokens.append(_Token(str(match.lastgroup), match[0], place))
        place = match.end()
    if not tokens:
        raise UnreadableQuantity(text, 0, len(text), "nothing stands here", f"{what} is needed")
    return tokens


def _stray(text: str, place: int, what: str) -> tuple[str, str]:
    if text[place] == ",":
        return "a comma may part thousands or decimals", "write decimals with a point, and thousands unparted"
    if text[place] == ".":
        return "a point stands without digits after it", "leave it out, or write the digits"
    if text[place] == "/":
        return "a fraction is not whole", "whole numbers above and below, such as 27/64"
    return f"{text[place]!r} is not understood", f"{what} is a number and its unit"


def _signed_parts(
    text: str, tokens: list[_Token], words: MappingProxyType[str, str], what: str, known: str
) -> tuple[float, list[_Part]]:
    sign = 1.0
    if tokens[0].kind == "sign":
        sign = 1.0 if tokens[0].text == "+" else -1.0
        tokens = tokens[1:]
    parts: list[_Part] = []
    while tokens:
        part, tokens = _part(text, tokens, words, what, known)
        parts.append(part)
    if not parts:
        raise UnreadableQuantity(text, 0, len(text), "there is no number", f"a number and {what}")
    return sign, parts


def _part(
    text: str, tokens: list[_Token], words: MappingProxyType[str, str], what: str, known: str
) -> tuple[_Part, list[_Token]]:
    first, start = tokens[0], tokens[0].start
    if first.kind not in ("number", "fraction"):
        wrong = "a sign stands within" if first.kind == "sign" else f"{first.text!r} has no number before it"
        raise UnreadableQuantity(text, start, first.end, wrong, f"a number and {what}: {known}")
    _apart(text, tokens)
    amount, whole, end, rest = _fraction_of(text, first), first.text.isdigit(), first.end, tokens[1:]
    if rest and rest[0].kind == "fraction":
        extra = _fraction_of(text, rest[0])
        if not whole or extra >= 1:
            wrong = f"{first.text} {rest[0].text} is no mixed number"
            raise UnreadableQuantity(text, start, rest[0].end, wrong, "a whole number and a fraction less than 1")
        amount, whole, end, rest = amount + extra, False, rest[0].end, rest[1:]
    if not rest or rest[0].kind != "unit":
        return _Part(amount, None, whole, start, end), rest
    unit = words.get(rest[0].text.lower())
    if unit is None:
        raise UnreadableQuantity(text, rest[0].start, rest[0].end, f"{rest[0].text!r} is not {what}", known)
    return _Part(amount, unit, whole, start, rest[0].end), rest[1:]


def _apart(text: str, tokens: list[_Token]) -> None:
    """Numbers that touch, such as 1.2.3 or 3/4/5, are no numbers."""
    for one, after in pairwise(tokens):
        if after.kind not in ("number", "fraction"):
            break
        if one.end == after.start:
            wrong = f"{one.text + after.text!r} is no number"
            raise UnreadableQuantity(text, one.start, after.end, wrong, "a number such as 3.2 or 27/64")


def _fraction_of(text: str, token: _Token) -> Fraction:
    if len(token.text) > 40:
        raise UnreadableQuantity(text, token.start, token.end, "the number is endless", "fewer digits")
    try:
        return Fraction(token.text)
    except ZeroDivisionError:
        wrong = "nothing can be divided by 0"
        raise UnreadableQuantity(text, token.start, token.end, wrong, "a fraction such as 27/64") from None


def _feet_and_inches(text: str, parts: list[_Part]) -> None:
    """Only feet and inches go together, and only so that nothing else can be meant."""
    feet, inches = parts[0], parts[1]
    if len(parts) > 2 or (feet.unit, inches.unit) != ("ft", "in"):
        missing = next((part for part in parts if part.unit is None), None)
        wrong = "numbers follow each other without units" if missing else "these units do not go together"
        right = "one number and its unit, or feet and inches"
        raise UnreadableQuantity(text, parts[0].start, parts[-1].end, wrong, right)
    if not feet.whole or inches.amount >= 12:
        wrong = "feet and inches are whole feet and less than 12 inches"
        raise UnreadableQuantity(text, feet.start, inches.end, wrong, "1 ft 2.3 in")


def _degrees_and_minutes(text: str, parts: list[_Part]) -> None:
    order = ["deg", "min", "sec"]
    units = [part.unit for part in parts]
    if any(unit not in order for unit in units) or [unit for unit in order if unit in units] != units:
        wrong = "these do not go together"
        raise UnreadableQuantity(text, parts[0].start, parts[-1].end, wrong, "one angle, or degrees, minutes, seconds")
    for part in parts[:-1]:
        if not part.whole:
            raise UnreadableQuantity(text, part.start, part.end, "only the last part may have decimals", "12° 30.5'")
    for part in parts[1:]:
        if part.amount >= 60:
            raise UnreadableQuantity(text, part.start, part.end, "60 and more", "minutes and seconds are less than 60")


def _in_range(text: str, amount: float) -> float:
    if amount > _LARGEST:
        raise UnreadableQuantity(text, 0, len(text), "this is too large", "a size that can be built")
    return amount


# ---- showing --------------------------------------------------------------------------------------------------------


def _imperial(inches: float, *, feet: bool, places: int, fraction: int | None, fixed: bool) -> str:
    """Rounded before it is parted, so that 11.999 in is shown as 1 ft and never as 0 ft 12 in."""
    rounded = round(abs(inches) * fraction) / fraction if fraction else round(abs(inches), places)
    sign = "\N{MINUS SIGN}" if inches < 0.0 and rounded > 0.0 else ""
    whole_feet = int(rounded // 12) if feet else 0
    left = rounded - 12 * whole_feet
    text = _mixed(left, fraction) if fraction else format_number(left, decimals=places, fixed=fixed)
    some = fixed or round(left, 9) > 0.0
    if not whole_feet:
        return f"{sign}{text} in" if not feet or some else "0 ft"
    return f"{sign}{whole_feet} ft" + (f" {text} in" if some else "")


def _mixed(inches: float, parts: int) -> str:
    whole, left = divmod(Fraction(round(inches * parts), parts), 1)
    return " ".join(str(piece) for piece in (whole, left) if piece) or "0"
