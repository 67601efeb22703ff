"""One trial, studied and compared in one go."""

from __future__ import annotations

from core.study import Study, run
from core.trials.trial import Trial, trial_project
from core.trials.trying import Outcome, outcome_of


def try_out(sound: Study, trial: Trial) -> tuple[Outcome, Study]:
    """What a trial comes to, and its study; `sound` is a study of the project that has the sequence."""
    study = run(trial_project(sound.project, trial), previous=sound)
    return outcome_of(sound, trial, study.sequences[0]), study
