"""Things sent over and over between two processes with little of them changed: of their arrays goes what changed.

The sender pickles a thing with its arrays beside it (pickle's protocol 5), lays these one after another, and sends the
blocks that are not as in the parcel before. The receiver, who has seen every parcel, patches what it had before.
"""

from __future__ import annotations

import io
import pickle
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.lending import Rooms

Bytes = NDArray[np.uint8]

BLOCK = 1024
"""Bytes that are sent together."""
ALIGNED = 64
"""Where an array may begin, for the processor's sake."""
COUNT = 8
"""Bytes that say how many the head of a parcel has."""


class Sender:
    """Keeps what lay in the parcel before. In place of things of some kinds others are sent, of the same kind."""

    def __init__(self, instead: Mapping[type, object] | None = None) -> None:
        self._instead = dict(instead or {})
        self._before, self._spare = _blank(0), _blank(0)

    def parcel(self, thing: object) -> bytes:
        """A thing as the receiver of all parcels before this one needs it."""
        beside: list[pickle.PickleBuffer] = []
        stream = io.BytesIO()
        _Pickler(stream, beside.append, self._instead).dump(thing)
        arrays = [buffer.raw() for buffer in beside]
        sizes = [array.nbytes for array in arrays]
        begins, size = _laid_out(sizes)
        if len(self._before) != size:
            self._before, self._spare = _blank(size), _blank(size)
        here = self._spare
        for begin, array in zip(begins, arrays, strict=True):
            here[begin : begin + array.nbytes] = np.frombuffer(array, dtype=np.uint8)
        changed = np.flatnonzero((_words(here) != _words(self._before)).any(axis=1)).astype(np.int32)
        self._before, self._spare = here, self._before
        head = pickle.dumps((stream.getvalue(), sizes, changed.tobytes()))
        return b"".join((len(head).to_bytes(COUNT, "little"), head, _blocks(here)[changed].tobytes()))


class Receiver:
    """Keeps what lay in the parcels before."""

    def __init__(self) -> None:
        self._rooms = Rooms(BLOCK)
        self._known: dict[tuple[str, str], Any] = {}

    def unpack(self, parcel: bytes) -> object:
        """The thing that was sent, with arrays that cannot be written to.

        Parcels are unpacked in the order in which they were made, and none is left out.
        """
        end = COUNT + int.from_bytes(parcel[:COUNT], "little")
        pickled, sizes, changed = pickle.loads(parcel[COUNT:end])
        begins, size = _laid_out(sizes)
        blocks = np.frombuffer(parcel, dtype=np.uint8, offset=end)
        here = self._rooms.filled(size, np.frombuffer(changed, dtype=np.int32), blocks)
        arrays = [here[begin : begin + length] for begin, length in zip(begins, sizes, strict=True)]
        return _Unpickler(pickled, arrays, self._known).load()


class _Pickler(pickle.Pickler):
    """Takes dataclasses apart by their fields at once, which pickle leaves to slow methods of theirs."""

    def __init__(
        self, stream: io.BytesIO, beside: Callable[[pickle.PickleBuffer], object], instead: Mapping[type, object]
    ) -> None:
        super().__init__(stream, pickle.HIGHEST_PROTOCOL, buffer_callback=beside)
        self._instead = instead

    def reducer_override(self, obj: Any) -> Any:
        fields = getattr(type(obj), "__dataclass_fields__", None)
        if fields is None:
            return NotImplemented
        sent = self._instead.get(type(obj), obj)
        return _made, (type(obj), tuple([getattr(sent, name) for name in fields]))


class _Unpickler(pickle.Unpickler):
    """Looks for each class once, and not once a parcel: other libraries may make imports slow."""

    def __init__(self, pickled: bytes, arrays: Sequence[Bytes], known: dict[tuple[str, str], Any]) -> None:
        super().__init__(io.BytesIO(pickled), buffers=arrays)
        self._known = known

    def find_class(self, module: str, name: str) -> Any:
        if (module, name) not in self._known:
            self._known[module, name] = super().find_class(module, name)
        return self._known[module, name]


def _made(kind: Any, values: tuple[object, ...]) -> object:
    """A dataclass again, as it was, without asking it to check or derive anything."""
    thing: object = object.__new__(kind)
    put = object.__setattr__
    for name, value in zip(kind.__dataclass_fields__, values, strict=True):
        put(thing, name, value)
    return thing


def _blank(size: int) -> Bytes:
    return np.zeros(size, dtype=np.uint8)


def _laid_out(sizes: Sequence[int]) -> tuple[list[int], int]:
    """Where arrays of so many bytes begin one after another, and how many bytes they take in whole blocks."""
    ends = np.cumsum([0, *(-(-size // ALIGNED) * ALIGNED for size in sizes)])
    return ends[:-1].tolist(), int(-(-ends[-1] // BLOCK) * BLOCK)


def _blocks(laid: Bytes) -> Bytes:
    return laid.reshape(-1, BLOCK)


def _words(laid: Bytes) -> NDArray[np.uint64]:
    return laid.view(np.uint64).reshape(-1, BLOCK // 8)
