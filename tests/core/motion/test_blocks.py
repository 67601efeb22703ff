"""How systems fall apart: small patterns whose parts can be read off."""

from __future__ import annotations

from core.motion.blocks import fall_apart, knot_of


def whole(*groups: int) -> frozenset[int]:
    return frozenset(3 * group + part for group in groups for part in range(3))


def test_as_many_rows_as_unknowns_are_square() -> None:
    parts = fall_apart([whole(0)] * 3 + [whole(0, 1)] * 3, 6)
    assert (parts.over, parts.under) == (frozenset(), frozenset())
    assert parts.square == whole(0, 1)
    assert knot_of(parts) == {0}


def test_what_needs_each_other_is_one_knot() -> None:
    parts = fall_apart([whole(0)] + [whole(1)] * 2 + [whole(0, 1)] * 3, 6)
    assert parts.square == whole(0, 1)
    assert knot_of(parts) == {0, 1}


def test_too_few_rows_leave_nothing_to_find() -> None:
    parts = fall_apart([whole(0)] * 2 + [whole(0, 1)] * 3, 6)
    assert parts.under == whole(0, 1)
    assert knot_of(parts) == frozenset()


def test_what_is_firm_is_found_though_something_loose_hangs_on_it() -> None:
    parts = fall_apart([whole(0)] * 3 + [whole(0, 1)], 6)
    assert parts.square == whole(0)
    assert parts.under == whole(1)
    assert knot_of(parts) == {0}


def test_too_many_rows_are_found_first() -> None:
    parts = fall_apart([whole(0)] * 5 + [whole(0, 1)] * 3, 6)
    assert parts.over == whole(0)
    assert parts.square == whole(1)
    assert knot_of(parts) == {0}


def test_no_rows_at_all() -> None:
    parts = fall_apart([], 3)
    assert parts.under == whole(0)
    assert knot_of(parts) == frozenset()
