"""Parcels: what is unpacked is what was packed, however little or much of it changed, and only that is sent."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import array_shapes, arrays

from core.parcels import BLOCK, Receiver, Sender

kinds = st.sampled_from([np.float64, np.complex128, np.int64, np.int32, np.bool_, np.uint8])
anything = st.lists(
    st.one_of(arrays(kinds, array_shapes(max_dims=3, min_side=0, max_side=40)), st.text(), st.integers()),
    max_size=5,
)


def same(one: list[object], other: list[object]) -> bool:
    return len(one) == len(other) and all(
        a.dtype == b.dtype and a.shape == b.shape and a.tobytes() == b.tobytes()
        if isinstance(a, np.ndarray) and isinstance(b, np.ndarray)
        else a == b
        for a, b in zip(one, other, strict=True)
    )


@given(st.lists(anything, min_size=1, max_size=6))
def test_things_come_out_as_they_went_in_one_after_another(things):
    sender, receiver = Sender(), Receiver()
    come = [receiver.unpack(sender.parcel(thing)) for thing in things]
    assert all(same(one, other) for one, other in zip(come, things, strict=True))


@given(st.data())
def test_of_a_large_array_only_the_blocks_that_changed_are_sent(data):
    sender, receiver = Sender(), Receiver()
    before = np.arange(64 * BLOCK, dtype=np.uint8)
    receiver.unpack(sender.parcel([before]))
    now = before.copy()
    changed = data.draw(st.lists(st.integers(0, len(now) - 1), max_size=4))
    now[changed] += 1
    parcel = sender.parcel([now])
    assert len(parcel) < (len({at // BLOCK for at in changed}) + 1) * BLOCK
    assert same(receiver.unpack(parcel), [now])


@dataclass(frozen=True, slots=True)
class Kept:
    name: str
    many: np.ndarray


@dataclass(frozen=True, slots=True)
class Left:
    many: np.ndarray


def test_in_place_of_some_things_others_are_sent():
    sender, receiver = Sender({Left: Left(np.zeros(0))}), Receiver()
    here = (Kept("door", np.arange(3.0)), Left(np.ones(5000)))
    parcel = sender.parcel(here)
    kept, left = receiver.unpack(parcel)
    assert (kept.name, kept.many.tolist(), len(left.many)) == ("door", [0.0, 1.0, 2.0], 0)
    assert type(left) is Left
    assert len(parcel) < 2 * BLOCK + 1000


def test_what_came_before_stays_as_it_was_and_cannot_be_written_to():
    sender, receiver = Sender(), Receiver()
    first = receiver.unpack(sender.parcel(np.zeros(5000)))
    second = receiver.unpack(sender.parcel(np.ones(5000)))
    assert (first == 0.0).all()
    assert (second == 1.0).all()
    with pytest.raises(ValueError, match="read-only"):
        second[0] = 2.0


@given(st.data())
def test_what_is_kept_stays_as_it_came_whatever_is_let_go_between(data):
    sender, receiver = Sender(), Receiver()
    kept: dict[int, tuple[np.ndarray, np.ndarray]] = {}
    now = np.zeros(6 * BLOCK, dtype=np.uint8)
    for number in range(data.draw(st.integers(1, 12))):
        now = now.copy()
        now[data.draw(st.lists(st.integers(0, len(now) - 1), max_size=3))] = number + 1
        kept[number] = now, receiver.unpack(sender.parcel([now, number]))[0][:: data.draw(st.sampled_from([1, 2]))]
        for gone in data.draw(st.sets(st.sampled_from(sorted(kept)))):
            del kept[gone]
        assert all(np.array_equal(was[:: len(was) // len(came)], came) for was, came in kept.values())


def test_room_that_nobody_has_any_more_is_lent_again():
    sender, receiver = Sender(), Receiver()
    first = receiver.unpack(sender.parcel(np.zeros(5000)))
    place = first.ctypes.data
    second = receiver.unpack(sender.parcel(np.ones(5000)))
    assert second.ctypes.data != place
    del first
    assert receiver.unpack(sender.parcel(np.full(5000, 2.0))).ctypes.data == place
