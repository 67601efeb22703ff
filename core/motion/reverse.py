"""A sequence run backwards: extending made from retracting."""

from __future__ import annotations

from types import MappingProxyType

from msgspec.structs import replace

from core.document.fresh import fresh_id, fresh_name
from core.document.names import name_of
from core.document.project import Move, Need, Project, Sequence, Step
from core.mechanism.build import build
from core.motion.schedule import Schedule, lay_out
from core.units.times import tidy

_PAIRS = (
    ("up", "down"), ("open", "close"), ("opens", "closes"), ("retract", "extend"), ("raise", "lower"),
    ("lock", "unlock"), ("engage", "release"), ("in", "out"), ("on", "off"), ("fold", "unfold"),
)  # fmt: skip
_OTHER_WAY = MappingProxyType({one: other for pair in _PAIRS for one, other in (pair, pair[::-1])})


def reversed_sequence(project: Project, sequence: Sequence) -> Sequence:
    """The sequence from its end to its start, in steps of its own: what ended last begins first.

    Each step takes as long as it did and begins as long after the start as it used to end before the end. Drives go
    back to what they were before it. A latch that took hold at its end lets go at its start, and the other way about.
    Pinned moments stay where everything stands alike.
    """
    schedule = lay_out(sequence)
    order = sorted(schedule.steps, key=lambda step: (-step.end, -step.begin))
    mechanism = build(project)
    start = {**dict(zip(mechanism.drives, mechanism.drawn, strict=True)), **schedule.start}
    before, end = _values(schedule, start)
    names = {step.id: step for step in sequence.steps}
    steps: list[Step] = []
    last_end = 0.0
    for number, one in enumerate(order):
        step_id = fresh_id(project, f"{one.id}-back", frozenset(step.id for step in steps))
        begin, old = schedule.seconds - one.end, names[one.id]
        steps.append(
            Step(
                id=step_id,
                name=_fresh(opposite(name_of(old)), steps),
                delay=tidy(begin - (last_end if number else 0.0)),
                duration=old.duration,
                moves=tuple(move_back(move, before[one.id][move.drive]) for move in one.moves),
                engage=one.release,
                release=one.engage,
                needs=still_needed(old),
            )
        )
        last_end = begin + old.duration
    sequence_names = {one.name for one in project.sequences}
    return Sequence(
        id=fresh_id(project, f"{sequence.id}-back", frozenset(step.id for step in steps)),
        name=fresh_name(sequence_names, opposite(name_of(sequence))),
        start=end,
        steps=tuple(steps),
        pinned=tuple(sorted(tidy(max(schedule.seconds - one, 0.0)) for one in sequence.pinned)),
    )


def opposite(words: str) -> str:
    """A name with what it says turned round, `Leg down` for `Leg up`; `Weight off, back` where nothing in it turns."""
    turned = [_turned(word) for word in words.split(" ")]
    return " ".join(turned) if turned != words.split(" ") else f"{words}, back"


def _turned(word: str) -> str:
    other = _OTHER_WAY.get(word.lower(), word)
    return other.capitalize() if word[:1].isupper() else other


def _fresh(name: str, steps: list[Step]) -> str:
    return fresh_name({one.name for one in steps}, name)


def move_back(move: Move, to: float) -> Move:
    """A move run backwards, to where it began; both profiles are the same from either end."""
    first, last = move.part
    return replace(move, to=to, part=(1.0 - last, 1.0 - first))


def _values(schedule: Schedule, start: dict[str, float]) -> tuple[dict[str, dict[str, float]], dict[str, float]]:
    """What each drive that a step moves stood at before it, by step; and what all stand at when the sequence ends."""
    values = dict(start)
    before: dict[str, dict[str, float]] = {}
    for step in sorted(schedule.steps, key=lambda one: (one.begin, one.end)):
        before[step.id] = {move.drive: values[move.drive] for move in step.moves}
        values.update({move.drive: move.to for move in step.moves})
    return before, values


def still_needed(step: Step) -> tuple[Need, ...]:
    """What a step needs on its way back as well: all but what it moves or works itself, which stands otherwise then."""
    own = {*(move.drive for move in step.moves), *step.engage, *step.release}
    return tuple(need for need in step.needs if not {need.drive, need.latch} & own)
