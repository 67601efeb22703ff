"""Null spaces of small matrices that can be read by eye."""

from __future__ import annotations

import numpy as np

from core.mechanism.freedom import Space, named, null_spaces


def test_a_column_that_no_row_speaks_of_is_free() -> None:
    matrix = np.array([[[1.0, 0.0, 2.0, 0.0], [0.0, 0.0, 1.0, 0.0]]])
    free, surplus = null_spaces(matrix)
    assert set(free) == {Space((1,), 1), Space((3,), 1)}
    assert surplus == ()


def test_columns_that_must_move_together_are_one_space() -> None:
    matrix = np.array([[[1.0, -1.0, 0.0, 0.0], [0.0, 1.0, -1.0, 0.0], [0.0, 0.0, 0.0, 1.0]]])
    free, surplus = null_spaces(matrix)
    assert free == (Space((0, 1, 2), 1),)
    assert surplus == ()


def test_rows_that_say_the_same_are_named_and_no_others() -> None:
    matrix = np.array([[[1.0, 1.0, 0.0], [2.0, 2.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]]])
    free, surplus = null_spaces(matrix)
    assert free == ()
    assert surplus == (Space((0, 1), 1),)


def test_the_frame_of_highest_rank_counts() -> None:
    """At a dead centre the rank falls for a moment."""
    dead, alive = np.array([[1.0, 0.0], [1.0, 0.0]]), np.array([[1.0, 0.0], [1.0, 0.5]])
    assert null_spaces(np.stack([dead, alive, dead])) == ((), ())
    free, surplus = null_spaces(np.stack([dead, dead]))
    assert (free, surplus) == ((Space((1,), 1),), (Space((0, 1), 1),))


def test_without_rows_all_is_free() -> None:
    free, surplus = null_spaces(np.zeros((1, 0, 3)))
    assert free == (Space((0,), 1), Space((1,), 1), Space((2,), 1))
    assert surplus == ()


def test_owners_are_named_once() -> None:
    assert named(Space((0, 1, 4), 1), [7, 7, 7, 3, 3]) == (3, 7)
