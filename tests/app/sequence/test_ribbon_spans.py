"""The spans of a ribbon: contacts begin and end where they do, also between frames."""

from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from app.sequence.ribbon_spans import State, spans

TIMES = np.linspace(0.0, 4.0, 5)


def states(*spanned) -> list[tuple[str, float, float]]:
    return [(span.state.name, span.begin, span.end) for span in spanned]


def test_a_pair_that_is_always_clear_is_one_span():
    assert states(*spans(TIMES, np.zeros(5, bool), [])) == [("CLEAR", 0.0, 4.0)]


def test_touching_begins_and_ends_where_contact_does_and_not_at_a_frame():
    tight = np.array([False, True, True, True, False])
    assert states(*spans(TIMES, tight, [(1.25, 2.75)])) == [
        ("CLEAR", 0.0, 0.5), ("TIGHT", 0.5, 1.25), ("TOUCHING", 1.25, 2.75), ("TIGHT", 2.75, 3.5), ("CLEAR", 3.5, 4.0),
    ]  # fmt: skip


def test_a_contact_between_two_frames_is_not_lost():
    assert ("TOUCHING", 2.4, 2.401) in states(*spans(TIMES, np.zeros(5, bool), [(2.4, 2.401)]))


def test_a_tight_moment_between_two_frames_is_not_lost():
    shown = spans(TIMES, np.zeros(5, bool), [], tightest=2.3)
    assert any(one.state == State.TIGHT and one.begin <= 2.3 <= one.end for one in shown)


@given(
    tight=st.lists(st.booleans(), min_size=5, max_size=5),
    ends=st.lists(st.tuples(st.floats(0, 4), st.floats(0, 4)), max_size=4),
)
def test_spans_cover_the_sequence_without_gaps(tight: list[bool], ends: list[tuple[float, float]]):
    contacts = [(min(pair), max(pair)) for pair in ends]
    shown = spans(TIMES, np.array(tight), contacts)
    assert (shown[0].begin, shown[-1].end) == (0.0, 4.0)
    for one, after in pairwise(shown):
        assert one.end == after.begin
        assert one.state != after.state
