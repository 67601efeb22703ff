"""A step whose drives at fault go at other times than the rest of it, as pieces that each begin and end at once."""

from __future__ import annotations

from dataclasses import dataclass
from dataclasses import replace as with_fields

from msgspec.structs import replace

from core.document.fresh import fresh_id
from core.document.names import name_of
from core.document.project import Move, Project, Step
from core.trials.ailing import NEVER, Own
from core.trials.pieces import Piece


@dataclass(slots=True)
class Told:
    """A step with when it is told to begin, and when the moves of its sound drives are over."""

    step: Step
    begin: float
    end: float
    over: float
    """When what waits for its end may begin."""
    own: tuple[Own, ...] = ()
    """The moves of drives at fault."""

    @property
    def astray(self) -> tuple[Own, ...]:
        """Those that go at another time than the step, or not as they should."""
        times = (self.begin, self.end)
        return tuple(
            one for one in self.own if one.move not in self.step.moves or (one.span.begin, one.span.end) != times
        )

    @property
    def others(self) -> tuple[Move, ...]:
        astray = {one.drive for one in self.astray}
        return tuple(move for move in self.step.moves if move.drive not in astray)


@dataclass(frozen=True, slots=True)
class _Part:
    words: str
    sort: str
    begin: float
    end: float
    moves: tuple[Move, ...]
    release: tuple[str, ...] = ()

    @property
    def idle(self) -> bool:
        return not self.moves and not self.release


def parted(project: Project, told: Told, waits_for: str | None, taken: set[str]) -> tuple[Piece, ...]:
    """The step as one piece, or as several where a drive at fault goes at another time than the rest of it.

    The one that ends last keeps its id, and the others go along with it. What the step needs it needs when it is told
    to begin.
    """
    step = told.step
    if not told.astray:
        return (Piece(step=step, begin=told.begin, end=told.end, waits_for=waits_for),)
    parts = _parts(project, told)
    last = max(parts, key=lambda part: part.end)
    kept = [part for part in parts if part is last or not part.idle]
    needing = min(kept, key=lambda part: (part.begin, part.sort != "rest"))
    main = replace(step, moves=last.moves, release=last.release, needs=step.needs if last is needing else ())
    pieces = [Piece(step=main, begin=last.begin, end=last.end, waits_for=waits_for)]
    for part in kept:
        if part is last:
            continue
        name = fresh_id(project, f"{step.id}-{part.sort}", taken)
        taken.add(name)
        other = Step(
            id=name, name=f"{name_of(step)}, {part.words}", together_with=step.id, duration=part.end - part.begin,
            moves=part.moves, release=part.release, needs=step.needs if part is needing else (),
        )  # fmt: skip
        pieces.append(Piece(step=other, begin=part.begin, end=part.end, waits_for=step.id))
    return tuple(pieces)


def _parts(project: Project, told: Told) -> list[_Part]:
    """Each move that goes astray, and then the rest, where there is one: what goes as told, and latches that let go."""
    step, astray, others = told.step, told.astray, told.others
    names = {one.id: name_of(one) for one in project.drives}
    parts = [
        _Part(
            "as far as it goes" if len(astray) == 1 else names[one.drive], "part", one.span.begin, one.span.end,
            () if one.move is None else (one.move,),
        )
        for one in astray
    ]  # fmt: skip
    first = min(astray, key=lambda one: one.span.begin)
    if others or told.over == NEVER:
        return [*parts, _Part("the rest", "rest", told.begin, told.end, others, step.release)]
    if step.release and first.span.begin > told.begin:
        return [*parts, _Part("the rest", "rest", told.begin, first.span.begin, (), step.release)]
    place = astray.index(first)
    parts[place] = with_fields(parts[place], release=step.release)
    return parts
