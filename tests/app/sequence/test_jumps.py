"""From one finding to the next in time, through all sequences and round again."""

from dataclasses import dataclass

import pytest

from app.sequence.jumps import in_time, next_finding
from core.findings.finding import Finding, Kind


@dataclass(frozen=True)
class Named:
    id: str


@dataclass(frozen=True)
class Part:
    sequence: Named
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Whole:
    sequences: tuple[Part, ...]


def finding(sequence: str, time: float | None, sentence: str) -> Finding:
    return Finding(kind=Kind.CLASH, sequence=sequence, sentence=sentence, time=time)


A1, A3, A3B, B2 = finding("a", 1.0, "1"), finding("a", 3.0, "3"), finding("a", 3.0, "3b"), finding("b", 2.0, "2")
STUDY = Whole(
    (
        Part(Named("a"), (A3, A3B, finding("a", None, "always"), A1)),
        Part(Named("b"), (B2,)),
        Part(Named("c"), ()),
    )
)


def test_by_sequence_and_then_by_time():
    assert in_time(STUDY) == (A1, A3, A3B, B2)


@pytest.mark.parametrize(
    ("sequence", "moment", "way", "wanted"),
    [
        ("a", 0.0, 1, A1), ("a", 1.0, 1, A3), ("a", 2.0, 1, A3), ("a", 3.5, 1, B2), ("b", 2.0, 1, A1),
        ("c", 0.0, 1, A1), ("c", 0.0, -1, B2), ("a", 2.0, -1, A1), ("a", 0.5, -1, B2), ("b", 0.0, -1, A3B),
    ],
)  # fmt: skip
def test_from_a_moment_to_the_nearest_that_way_and_round_again(sequence, moment, way, wanted):
    assert next_finding(STUDY, sequence, moment, None, way) == wanted


def test_two_findings_of_one_moment_are_both_gone_to():
    assert next_finding(STUDY, "a", 3.0, A3, 1) == A3B
    assert next_finding(STUDY, "a", 3.0, A3B, -1) == A3


def test_scrubbed_away_from_the_shown_finding_the_moment_counts():
    assert next_finding(STUDY, "a", 0.5, A3B, 1) == A1


def test_nothing_found_goes_nowhere():
    assert next_finding(Whole((Part(Named("a"), ()),)), "a", 0.0, None, 1) is None
