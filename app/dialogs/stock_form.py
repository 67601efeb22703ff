"""What can be typed of a jack or a servo of the catalogue: its rows, and how each is read and written."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType
from typing import Any

from app.widgets.offers import Offers
from core.document.catalogue import StockJack, StockServo
from core.errors import UnreadableQuantity
from core.sizes.cylinders import forces
from core.sizes.offer import Offer, lines_of
from core.sizes.offers import bores, piston_rods
from core.units import format_angle, format_number, parse_angle, parse_length, parse_number
from core.units.loads import format_force, format_torque, parse_force, parse_torque

SIDES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class StockField:
    key: str
    words: str
    read: Callable[[str], Any] = str.strip
    write: Callable[[Any], str] = str
    unit: str = ""
    text: bool = False
    prose: bool = False
    """Words that may take several lines."""
    offers: Callable[[Any], Offers] | None = None
    """Sizes that are often meant, of the jack or servo that is chosen."""


def _read(parse: Callable[[str], float], text: str) -> float:
    try:
        return parse(text)
    except UnreadableQuantity as error:
        raise ValueError(f"{error.wrong}; {error.right}") from None


def _maybe(parse: Callable[[str], float], text: str) -> float | None:
    return _read(parse, text) if text.strip() else None


def _words(text: str) -> str:
    """On one line."""
    return " ".join(text.split())


def _name(text: str) -> str:
    name = _words(text)
    if not name:
        raise ValueError("a name to choose it by is needed")
    return name


def _seconds(text: str) -> float:
    return parse_number(re.sub(r"\s*s(ec|econds)?$", "", text.strip(), flags=re.IGNORECASE))


def _lengths(text: str) -> tuple[float, ...]:
    return tuple(_read(parse_length, part) for part in re.split(r"\s*;\s*|,\s+|\s+[x×]\s+", text.strip()) if part)


def _sides(text: str) -> tuple[float, ...] | None:
    if not text.strip():
        return None
    sides = _lengths(text)
    if len(sides) != SIDES:
        raise ValueError("length, width and height are wanted, such as 23 x 12 x 24")
    return sides


def _plain(value: float | None) -> str:
    return "" if value is None else format_number(value, decimals=3)


def _loaded(write: Callable[[float], str], value: float | None) -> str:
    return "" if value is None else write(value).partition(" ")[0]


def _joined(between: str, values: tuple[float, ...] | None) -> str:
    return between.join(_plain(one) for one in values or ())


def _length(key: str, words: str, *, needed: bool = False, offers: Sequence[Offer] = ()) -> StockField:
    read = partial(_read if needed else _maybe, parse_length)
    offered = (lambda _stock: lines_of(offers)) if offers else None
    return StockField(key=key, words=words, read=read, write=_plain, unit="mm", offers=offered)


NAME = StockField(key="name", words="Name", read=_name, text=True)
NOTE = StockField(key="note", words="Note", text=True, prose=True, read=_words)
JACK = (
    NAME,
    _length("closed", "Closed length", needed=True),
    _length("stroke", "Stroke", needed=True),
    _length("barrel", "Barrel width"),
    _length("rod", "Piston width", offers=piston_rods()),
    _length("bore", "Bore", offers=bores()),
    StockField(
        key="force", words="Force", read=partial(_maybe, parse_force), write=partial(_loaded, format_force), unit="N",
        offers=lambda jack: lines_of(forces(jack.bore, jack.rod)),
    ),
    NOTE,
)  # fmt: skip
SERVO = (
    NAME,
    StockField(
        key="torque", words="Torque", read=partial(_maybe, parse_torque), write=partial(_loaded, format_torque),
        unit="N·mm",
    ),
    StockField(
        key="travel", words="Travel", read=partial(_read, parse_angle),
        write=lambda value: format_angle(value).removesuffix("°"), unit="°",
    ),
    StockField(key="arms", words="Arms, to each hole", read=_lengths, write=partial(_joined, ", "), unit="mm"),
    StockField(key="size", words="Body, l x w x h", read=_sides, write=partial(_joined, " x "), unit="mm"),
    StockField(key="speed", words="Time for 60°", read=partial(_maybe, _seconds), write=_plain, unit="s"),
    NOTE,
)  # fmt: skip
FIELDS: Mapping[type, tuple[StockField, ...]] = MappingProxyType({StockJack: JACK, StockServo: SERVO})
