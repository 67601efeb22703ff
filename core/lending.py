"""Memory lent to arrays again and again: fresh memory of some megabytes takes longer to get than to fill."""

from __future__ import annotations

from dataclasses import dataclass
from weakref import WeakSet

import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]
Bools = NDArray[np.bool_]

MOST_KEPT = 3
"""Rooms that are kept while nobody has them; as many as a hand that goes on is done with at once."""


@dataclass(slots=True, eq=False, weakref_slot=True)
class Room:
    """Bytes in blocks, and which of the blocks are not as in the room that was filled last."""

    bytes: Bytes
    behind: Bools


class Rooms:
    """Rooms of one size, each filled by what changed since the one before; it comes back when the last array that was
    cut from it is gone."""

    def __init__(self, block: int) -> None:
        self._block, self._size = block, 0
        self._newest: Room | None = None
        self._every: WeakSet[Room] = WeakSet()
        self._free: list[Room] = []

    def filled(self, size: int, changed: NDArray[np.int32], blocks: Bytes) -> Bytes:
        """Of `size` bytes, as the last ones but for some changed blocks, given one after another; to be read only.
        What has another size than the last ones is nought but for these."""
        if size != self._size:
            self._size, self._newest, self._free, self._every = size, None, [], WeakSet()
        room = self._free.pop() if self._free else Room(np.zeros(size, np.uint8), np.ones(size // self._block, bool))
        self._every.add(room)
        laid = room.bytes.reshape(-1, self._block)
        if self._newest is not None and room is not self._newest:
            laid[room.behind] = self._newest.bytes.reshape(-1, self._block)[room.behind]
        laid[changed] = blocks.reshape(-1, self._block)
        for one in self._every:
            one.behind[changed] = True
        room.behind[:] = False
        self._newest = room
        return np.asarray(_Lease(room, self._free))


class _Lease:
    """What an array stands on while it is on lent room, as have all that are cut from it."""

    def __init__(self, room: Room, free: list[Room]) -> None:
        self._room, self._free = room, free
        whole = room.bytes.__array_interface__
        self.__array_interface__ = whole | {"data": (whole["data"][0], True)}

    def __del__(self) -> None:
        if len(self._free) < MOST_KEPT:
            self._free.append(self._room)
