"""What stands in a project's place, and that it is the same object as long as nothing else is supposed."""

from __future__ import annotations

from msgspec.structs import replace

from app.supposed import Supposed
from core.document.step_time_edits import SetStepDuration
from tests.app.small_aircraft import small_aircraft

PROJECT = small_aircraft()
DRAFT = replace(PROJECT, bodies=PROJECT.bodies[:2])
SLOWER = SetStepDuration("retract", "leg-up", 30.0)


def test_where_nothing_is_supposed_the_project_itself_is_shown():
    it = Supposed()
    assert (it.nothing, it.by_hand) == (True, False)
    assert it.shown(PROJECT) is PROJECT
    assert it.shown(None) is None


def test_a_draft_is_shown_until_the_hand_proposes_nothing_any_more():
    it = Supposed()
    it.propose(DRAFT)
    assert it.shown(PROJECT) is DRAFT
    assert (it.nothing, it.by_hand) == (False, True)
    it.propose(None, "it can not be")
    assert it.shown(PROJECT) is PROJECT
    assert (it.by_hand, it.senseless) == (True, "it can not be")
    it.propose(None)
    assert (it.by_hand, it.senseless) == (False, "")


def test_a_trial_is_of_the_draft_where_there_is_one_and_is_made_once():
    it = Supposed()
    it.try_out(SLOWER)
    tried = it.shown(PROJECT)
    assert tried == SLOWER.apply(PROJECT)
    assert it.shown(PROJECT) is tried
    it.propose(DRAFT)
    assert it.shown(PROJECT) == SLOWER.apply(DRAFT)
    it.propose(None)
    assert (it.nothing, it.by_hand) == (False, False)


def test_another_trial_of_the_same_project_is_made_anew():
    it = Supposed()
    it.try_out(SLOWER)
    it.shown(PROJECT)
    quicker = SetStepDuration("retract", "leg-up", 3.0)
    it.try_out(quicker)
    assert it.shown(PROJECT) == quicker.apply(PROJECT)
