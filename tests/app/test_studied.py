"""Which study stands for what, when drafts come and go."""

from __future__ import annotations

from msgspec.structs import replace

from app.studied import Studied
from tests.app.empty_study import empty_study
from tests.app.small_aircraft import small_aircraft

PROJECT = small_aircraft()
DRAFT = replace(PROJECT, bodies=PROJECT.bodies[:2])


def test_a_draft_s_study_leaves_the_projects_own_to_come_back():
    it, sound = Studied(), empty_study(PROJECT)
    it.put(sound, PROJECT)
    it.put(empty_study(DRAFT), PROJECT)
    assert (it.is_of(DRAFT), it.is_of(PROJECT)) == (True, False)
    assert it.sound(PROJECT) is sound
    it.go_back()
    assert it.newest is sound
    assert it.is_of(PROJECT)


def test_what_is_behind_in_a_sequence_is_of_nothing():
    it = Studied()
    it.put(empty_study(PROJECT, ["extend"]), PROJECT)
    assert not it.is_of(PROJECT)
    assert it.sound(PROJECT) is None


def test_a_draft_that_became_the_project_has_its_study():
    it = Studied()
    it.put(empty_study(PROJECT), PROJECT)
    it.put(empty_study(DRAFT), PROJECT)
    it.settle()
    assert it.sound(DRAFT) is it.newest
    assert it.sound(PROJECT) is None


def test_the_project_before_its_first_study_goes_back_to_what_there_is():
    it, of_draft = Studied(), empty_study(DRAFT)
    it.put(of_draft, PROJECT)
    it.go_back()
    assert it.newest is of_draft
