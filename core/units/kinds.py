"""What can be typed: the units of lengths and angles, their words, and what they are worth, exactly."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType

LENGTH_UNITS = MappingProxyType({"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8})
"""Millimetres each. The inch is 25.4 mm and the foot 304.8 mm exactly: the international agreement of 1959, and NIST
Special Publication 811, appendix B.8."""
TYPED_UNITS = MappingProxyType({"thou": 0.0254, "µm": 0.001})
"""Of lengths that are typed, and never told: a thou is a thousandth of an inch, as workshops say it."""
DECIMALS = MappingProxyType({"mm": 2, "cm": 3, "m": 5, "in": 3, "ft": 3})
"""Places shown unless others are asked for; of feet, places of the inches beside them."""


def _words(units: Mapping[str, str]) -> Mapping[str, str]:
    return MappingProxyType({word: unit for unit, words in units.items() for word in words.split()})


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of quantity: how its units are written and what each is worth in the unit that is used inside."""

    what: str
    """`a length`."""
    unit: str
    """`a unit of length`."""
    known: str
    """The units, for people."""
    words: Mapping[str, str]
    worth: Mapping[str, Fraction]
    stair: tuple[str, ...] = ()
    """Units that may follow each other in one quantity, the largest first."""
    steps: Mapping[str, int] = field(default_factory=dict)
    """Where in a stair each of these has to stay below."""
    example: str = ""
    """A quantity of several units."""
    tolerances: str = ""
    """How tolerances of it are written, alike and unlike to either side."""
    most: str = "less than a million"
    """What a quantity has to be where it is too large for anything."""
    sized: bool = False
    """Whether it is another on the prototype."""

    @property
    def wanted(self) -> str:
        return f"a number and {self.unit}: {self.known}" if self.words else f"{self.known}, such as 1.5"


LENGTH = Kind(
    what="a length",
    unit="a unit of length",
    known="mm, cm, m, µm, in, thou or ft",
    words=_words(
        {
            "mm": "mm millimetre millimetres millimeter millimeters",
            "cm": "cm centimetre centimetres centimeter centimeters",
            "m": "m metre metres meter meters",
            "in": "in inch inches \" ″ ''",
            "ft": "ft foot feet ' ′",
            "thou": "thou thous",
            "µm": "µm μm um micron microns micrometre micrometres",
        }
    ),
    worth=MappingProxyType({unit: Fraction(str(worth)) for unit, worth in (LENGTH_UNITS | TYPED_UNITS).items()}),
    stair=("ft", "in"),
    steps=MappingProxyType({"in": 12}),
    example="1 ft 2.3 in",
    tolerances="± 1 mm, or +0.2/-0.1 mm",
    most="a size that can be built",
    sized=True,
)
ANGLE = Kind(
    what="an angle",
    unit="a unit of angle",
    known="deg, min, sec or rad",
    words=_words(
        {
            "deg": "deg degree degrees °",
            "min": "min minute minutes ' ′",
            "sec": "sec second seconds \" ″ ''",
            "rad": "rad radian radians",
        }
    ),
    worth=MappingProxyType(
        {
            "deg": Fraction(1),
            "min": Fraction(1, 60),
            "sec": Fraction(1, 3600),
            "rad": Fraction(57.29577951308232),
        }
    ),
    stair=("deg", "min", "sec"),
    steps=MappingProxyType({"min": 60, "sec": 60}),
    example="12° 30.5'",
    tolerances="± 30', or +1/-0.5 deg",
)
NUMBER = Kind(
    what="a number",
    unit="a unit",
    known="a number alone",
    words=MappingProxyType({}),
    worth=MappingProxyType({"": Fraction(1)}),
)
