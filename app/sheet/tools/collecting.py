"""Tools that follow the hand, and those that take one thing after another until they have what they need."""

from __future__ import annotations

from typing import Generic, TypeVar

from app.sheet.bench import Bench
from app.sheet.tools.tool import Hand, Tool

Taken = TypeVar("Taken")


class Following(Tool):
    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._hand: Hand | None = None

    def move(self, hand: Hand) -> None:
        self._hand = hand
        self._bench.changed.emit()


class Collecting(Following, Generic[Taken]):
    """Backspace lets go of what was taken last, and giving up of it all."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._taken: list[Taken] = []

    def back(self) -> bool:
        if not self._taken:
            return False
        self._taken.pop()
        self._bench.changed.emit()
        return True

    def cancel(self) -> bool:
        begun = bool(self._taken)
        self._taken = []
        self._bench.changed.emit()
        return begun
