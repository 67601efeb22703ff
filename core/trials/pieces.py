"""Steps taken apart and put elsewhere in time, and a sequence written of them again."""

from __future__ import annotations

from collections.abc import Sequence as SequenceOf
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.project import Move, Sequence, Step
from core.document.sequence_checks import LEAST_PART
from core.motion.inputs import Span, value_in

DIGITS = 12
"""Decimals of a second that are kept: without the last bits that sums leave."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A step, or a part of one, with when it begins and ends."""

    step: Step
    begin: float
    end: float
    waits_for: str | None = None
    """The step by which its begin is written; the begin of that one where `step` begins with it."""


def write(sequence: Sequence, pieces: SequenceOf[Piece]) -> Sequence:
    """The sequence with these steps in this order, each beginning and ending when its piece does."""
    spans = {piece.step.id: (piece.begin, piece.end) for piece in pieces}
    steps = []
    for place, piece in enumerate(pieces):
        above = pieces[place - 1].step.id if place else None
        named = piece.waits_for if piece.waits_for in spans else None
        along = named is not None and piece.step.together_with is not None
        partner = named or above
        base = 0.0 if partner is None else spans[partner][0 if along else 1]
        implied = named == above and piece.step.after is None
        steps.append(
            replace(
                piece.step,
                after=None if along or implied else named,
                together_with=named if along else None,
                delay=_tidy(piece.begin - base),
                duration=_tidy(piece.end - piece.begin),
            )
        )
    return replace(sequence, steps=tuple(steps))


def _tidy(seconds: float) -> float:
    return round(seconds, DIGITS) + 0.0


def cut(move: Move, span: Span, time: float) -> Move | None:
    """The move as far as it has come at a time within its span; None where it has hardly begun."""
    if span.end <= span.begin:
        return move
    share = min(max((time - span.begin) / (span.end - span.begin), 0.0), 1.0)
    first, last = move.part
    part = (first, first + (last - first) * share)
    if part[1] - first < LEAST_PART:
        return None
    reached = value_in(span, time)
    return replace(move, to=reached, part=move.part if move.profile == "steady" else part)
