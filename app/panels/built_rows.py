"""The rows of the table of built models: what has to be so, the weakest first, and where parts come to stand."""

from __future__ import annotations

import re
from dataclasses import dataclass

from core.document.lengths import shown_length
from core.document.project import Project
from core.tolerance.measures import What
from core.tolerance.spread import Cause, Spread, Spreads
from core.tolerance.told import DROWNS, dimension_words, drawn_words, share_words, what_words

HEADINGS = ("What has to be so", "As drawn", "As built ±", "At worst ±", "In 100 models", "Hangs most on")
TIPS = (
    "What has to be so for a model to work; the one that fails most stands first",
    "How it is as drawn, and how it has to be",
    "How far off it may be: the root of the sum of the squares",
    "How far off it may be when all goes the wrong way at once",
    "In how many models of 100 it is as it has to be, give or take one standard error",
    "Which dimension makes most of that, and its share of the variance",
)
BEFORE_UNITS = re.compile(r"(?<=\d) (?=s$|%|mm\b|in\b)")
PLACES = "Where parts come to stand at the end: 97 models in 100 are no farther off than this"


@dataclass(frozen=True, slots=True)
class BuiltRow:
    spread: Spread | None
    """None of a line that heads the rows below it."""
    texts: tuple[str, ...]
    tip: str


def rows_of(project: Project, found: Spreads) -> tuple[BuiltRow, ...]:
    """All of them in the table's order."""
    judged = [one for one in found.spreads if one.what is not What.PLACE]
    places = [one for one in found.spreads if one.what is What.PLACE]
    heading = (BuiltRow(None, (PLACES,), ""),) if places else ()
    return (*(_row(project, one) for one in judged), *heading, *(_row(project, one) for one in places))


def things_of(one: Spread) -> tuple[str, ...]:
    """The bodies and connections that a row is about."""
    return one.of[1:] if one.what is What.TARGET else one.of


def _row(project: Project, one: Spread) -> BuiltRow:
    share = f"≤ {shown_length(project, one.high)}" if one.what is What.PLACE else share_words(one)
    texts = (
        f"{'▲ ' if one.drowns else ''}{what_words(one, project)}",
        drawn_words(one, project),
        *(shown_length(project, off) for off in (one.usual, one.worst)),
        share,
        _cause(project, one.causes[0]) if one.causes else "nothing",
    )
    tip = "\n".join([*([DROWNS] if one.drowns else []), *(_cause(project, cause) for cause in one.causes)])
    return BuiltRow(one, tuple(map(unbroken, texts)), tip)


def unbroken(text: str) -> str:
    """With numbers and their units on one line."""
    return BEFORE_UNITS.sub("\N{NO-BREAK SPACE}", text)


def _cause(project: Project, cause: Cause) -> str:
    return f"{dimension_words(cause.dimension, project)}, {round(100 * cause.share)} %"
