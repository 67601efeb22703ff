"""A sequence, a moment and a finding are looked at, whatever becomes of what is shown."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from app.looked_at import LookedAt
from core.document.step_time_edits import SetStepDuration
from core.study import DRAWN_POSITION, run
from tests.app.small_aircraft import small_aircraft

PROJECT = small_aircraft()


def test_a_moment_is_kept_within_what_is_shown():
    it = LookedAt(PROJECT)
    end = it.schedule(PROJECT).seconds
    assert it.scrub(1e9, PROJECT)
    assert it.moment == end
    assert not it.scrub(end + 1.0, PROJECT)
    assert it.scrub(-1.0, PROJECT)
    assert it.moment == 0.0
    assert not it.scrub(1.0, None), "of nothing there is no other moment than its start"


def test_a_sequence_is_laid_out_once_as_long_as_it_is_the_same():
    it = LookedAt(PROJECT)
    laid_out = it.schedule(PROJECT)
    assert it.schedule(replace(PROJECT, targets=())) is laid_out
    assert it.schedule(SetStepDuration("retract", "leg-up", 9.0).apply(PROJECT)) is not laid_out


def test_a_sequence_that_is_gone_gives_way_to_the_first():
    it = LookedAt(PROJECT)
    it.sequence_id = PROJECT.sequences[1].id
    assert not it.stay_within(PROJECT)
    assert it.stay_within(replace(PROJECT, sequences=PROJECT.sequences[:1]))
    assert it.sequence(PROJECT) is PROJECT.sequences[0]
    without = replace(PROJECT, sequences=())
    assert it.stay_within(without)
    assert it.sequence(without) is DRAWN_POSITION


def test_each_sequence_is_found_at_the_moment_at_which_it_was_left():
    retract, hold = (one.id for one in PROJECT.sequences)
    it = LookedAt(PROJECT)
    it.scrub(2.0, PROJECT)
    it.turn_to(hold)
    assert it.left_at == 0.0
    it.scrub(1.5, PROJECT)
    it.turn_to(retract)
    assert it.left_at == 2.0
    it.scrub(it.left_at, PROJECT)
    it.turn_to("gone")
    assert it.stay_within(PROJECT)
    assert (it.sequence_id, it.left_at) == (retract, 2.0), "and not merely the first"
    it.turn_to(hold)
    it.scrub(it.left_at, PROJECT)
    it.turn_to("gone")
    it.stay_within(PROJECT)
    assert (it.sequence_id, it.left_at) == (hold, 1.5)


@pytest.fixture(scope="module")
def found():
    return run(PROJECT).sequences[0]


def test_a_finding_that_a_draft_does_away_with_comes_back(found):
    it, finding = LookedAt(PROJECT), found.findings[0]
    it.choose(finding)
    assert it.find_again(None, for_good=False)
    assert it.finding is None
    assert it.find_again(found, for_good=False)
    assert it.finding is finding
    it.find_again(None, for_good=True)
    assert not it.find_again(found, for_good=True), "what was done away with for good stays away"


def test_the_moment_goes_along_with_its_finding_once(found):
    it, finding = LookedAt(PROJECT), next(one for one in found.findings if one.time)
    it.choose(finding)
    it.note_whether_at_finding()
    assert it.moment_found_again() is None, "the moment was another"
    it.scrub(finding.time, PROJECT)
    it.note_whether_at_finding()
    assert [it.moment_found_again(), it.moment_found_again()] == [finding.time, None]
