"""The sign of each connection where it stands, after ISO 3952-1, and what is to be said of it there."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator

from core.document.project import Body, Connection, Gearing, Jack, Pivot, Project, Rod, Slide, Slot
from core.drawing.drawing import Sign, Symbol
from core.geometry.planar import Floats
from core.geometry.poses import carried_point

SAME_PLACE = 1e-3
"""Signs of one kind nearer than this, in mm, are drawn once."""


Key = tuple[Symbol, int, int]
"""By which signs of one kind at one place are told."""


class _Kept:
    """The signs of connections in one position of the bodies."""

    def __init__(self) -> None:
        self._at: tuple[Floats | None, frozenset[str]] = (None, frozenset())
        self.signs: dict[str, tuple[Connection, Body, Body, tuple[tuple[Key, Sign], ...]]] = {}
        """By connection, with it and the bodies that it joins."""

    def look(self, poses: Floats, held: frozenset[str]) -> None:
        """Forget what is of another position, or of other latches that hold."""
        if poses is not self._at[0] or held != self._at[1]:
            self._at = (poses, held)
            self.signs.clear()


class Signs:
    """The signs of one project's connections; `previous` ones lend those of what an edit left alone, in the same
    position."""

    def __init__(self, project: Project, previous: Signs | None = None) -> None:
        self._bodies = project.bodies
        self._index = {body.id: i for i, body in enumerate(project.bodies)}
        self._connections = project.connections
        same = previous is not None and list(previous._index) == list(self._index)
        self._kept: _Kept = previous._kept if previous is not None and same else _Kept()

    def at(
        self, poses: Floats, view: str, held: Collection[str] = (), left_out: Collection[str] = ()
    ) -> tuple[Sign, ...]:
        """The signs of a view without those of what is left out; `held` are the latches that hold."""
        signs: dict[Key, Sign] = {}
        self._kept.look(poses, frozenset(held))
        known = self._kept.signs
        for one in self._connections:
            if isinstance(one, Gearing) or one.id in left_out:
                continue
            first, second = self._bodies[self._index[one.bodies[0]]], self._bodies[self._index[one.bodies[1]]]
            if first.view != view:
                continue
            found = known.get(one.id)
            if found is None or found[0] is not one or found[1] is not first or found[2] is not second:
                found = known[one.id] = (one, first, second, tuple(self._with_keys(one, poses, held)))
            for key, sign in found[3]:
                signs.setdefault(key, sign)
        fixed = {key[1:] for key in signs if key[0] is Symbol.FIXED_PIVOT}
        return tuple(sign for key, sign in signs.items() if key[0] is not Symbol.PIVOT or key[1:] not in fixed)

    def _with_keys(self, one: Connection, poses: Floats, held: Collection[str]) -> Iterator[tuple[Key, Sign]]:
        for sign in self._of(one, poses, held):
            yield (sign.symbol, round(sign.at[0] / SAME_PLACE), round(sign.at[1] / SAME_PLACE)), sign

    def _of(self, one: Connection, poses: Floats, held: Collection[str]) -> Iterator[Sign]:
        if isinstance(one, Gearing):
            return
        numbers = [self._index[body] for body in one.bodies]
        first, second = (poses[number] for number in numbers)
        fixed = [self._bodies[number].fixed for number in numbers]
        if isinstance(one, Pivot):
            symbol = Symbol.FIXED_PIVOT if any(fixed) else Symbol.PIVOT
            yield Sign(symbol=symbol, at=carried_point(first if fixed[0] else second, one.at), owner=one.id)
        elif isinstance(one, Rod | Jack):
            for pose, end, grounded in zip((first, second), one.ends, fixed, strict=True):
                symbol = Symbol.FIXED_PIVOT if grounded else Symbol.PIVOT
                yield Sign(symbol=symbol, at=carried_point(pose, end), owner=one.id)
            if isinstance(one, Jack) and not one.barrel:
                yield self._jack_mouth(one, first, second)
        elif isinstance(one, Slide):
            symbol = Symbol.FIXED_SLIDE if fixed[0] else Symbol.SLIDE
            turn = float(first[2]) + math.atan2(one.along[1], one.along[0])
            yield Sign(symbol=symbol, at=carried_point(second, one.at), turn=turn, owner=one.id)
        elif isinstance(one, Slot):
            turn = float(first[2]) + math.atan2(one.end[1] - one.start[1], one.end[0] - one.start[0])
            yield Sign(symbol=Symbol.SLOT, at=carried_point(second, one.at), turn=turn, owner=one.id)
        else:
            symbol = Symbol.LATCH_HELD if one.id in held else Symbol.LATCH_OPEN
            hook, pin = carried_point(first, one.ends[0]), carried_point(second, one.ends[1])
            turn = math.atan2(pin[1] - hook[1], pin[0] - hook[0]) if math.dist(hook, pin) > one.reach else 0.0
            yield Sign(symbol=symbol, at=hook, turn=turn, owner=one.id)

    def _jack_mouth(self, one: Jack, first: Floats, second: Floats) -> Sign:
        """A jack drawn as lines shows where its piston rod goes in: at the barrel's end."""
        (x1, y1), (x2, y2) = carried_point(first, one.ends[0]), carried_point(second, one.ends[1])
        turn = math.atan2(y2 - y1, x2 - x1)
        at = (x1 + 0.9 * one.closed * math.cos(turn), y1 + 0.9 * one.closed * math.sin(turn))
        return Sign(symbol=Symbol.SLIDE, at=at, turn=turn, owner=one.id)
