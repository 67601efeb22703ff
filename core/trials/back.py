"""A sequence that stops at a moment and runs back to its start the way it came."""

from __future__ import annotations

from msgspec.structs import replace

from core.document.fresh import fresh_id
from core.document.names import name_of
from core.document.project import Move, Project, Sequence, Step
from core.document.sequence_checks import partner
from core.mechanism.build import build
from core.motion.inputs import Inputs, Span, inputs_of
from core.motion.reverse import move_back, still_needed
from core.motion.schedule import Schedule, ScheduledStep, lay_out
from core.trials.pieces import Piece, cut


def run_back(project: Project, sequence: Sequence, at: float) -> tuple[Piece, ...]:
    """The steps as far as they come, and the same ones backwards, the last first: drives go back to what they were
    before, latches that had taken hold let go, and those that had let go take hold again."""
    return _Turn(project, sequence, at).pieces()


class _Turn:
    def __init__(self, project: Project, sequence: Sequence, at: float) -> None:
        self._project, self._sequence, self._at = project, sequence, at
        mechanism = build(project)
        self._schedule: Schedule = lay_out(sequence)
        self._inputs: Inputs = inputs_of(mechanism, self._schedule)
        self._numbers = {drive: number for number, drive in enumerate(mechanism.drives)}
        self._taken: set[str] = set()

    def pieces(self) -> tuple[Piece, ...]:
        there = [
            self._as_far(step, meant, partner(self._sequence, place))
            for place, (step, meant) in enumerate(zip(self._sequence.steps, self._schedule.steps, strict=True))
            if meant.begin < self._at or meant.end <= self._at
        ]
        last_first = sorted(there, key=lambda piece: (-piece.end, -piece.begin))
        back: list[Piece] = []
        for piece in last_first:
            above = back[-1].step.id if back else there[-1].step.id
            back.append(self._back(piece, above))
        return (*there, *back)

    def _as_far(self, step: Step, meant: ScheduledStep, waits_for: str | None) -> Piece:
        """A step up to where the sequence stops; what was not done by then is not done."""
        if meant.end <= self._at:
            return Piece(step=step, begin=meant.begin, end=meant.end, waits_for=waits_for)
        moves = (cut(move, self._span(move, meant), self._at) for move in step.moves)
        short = replace(step, moves=tuple(move for move in moves if move is not None), engage=())
        return Piece(step=short, begin=meant.begin, end=self._at, waits_for=waits_for)

    def _back(self, piece: Piece, above: str) -> Piece:
        step, meant = piece.step, self._schedule.step(piece.step.id)
        name = fresh_id(self._project, f"{step.id}-back", self._taken)
        self._taken.add(name)
        mirrored = Step(
            id=name, name=f"{name_of(step)}, back", duration=step.duration,
            moves=tuple(move_back(move, self._span(move, meant).value) for move in step.moves),
            engage=step.release, release=step.engage, needs=still_needed(step),
        )  # fmt: skip
        return Piece(step=mirrored, begin=2.0 * self._at - piece.end, end=2.0 * self._at - piece.begin, waits_for=above)

    def _span(self, move: Move, step: ScheduledStep) -> Span:
        """How the whole move goes."""
        spans = self._inputs.spans[self._numbers[move.drive]]
        return next(span for span in spans if (span.begin, span.end) == (step.begin, step.end))
