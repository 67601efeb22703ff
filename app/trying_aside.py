"""Trying many faults away from the window's thread, and in a process of their own, so that the sheet stays quick."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from app.study_process import StudyProcess
from core.document.project import Project
from core.errors import CheckCancelled
from core.study import Asked, Cancelled, Study, run
from core.trials.every import pairs_of, trials_of
from core.trials.told import duration_words
from core.trials.trying import Outcome, singles_of, try_all

Progress = Callable[[str, float], None]
FEW = 3
"""After so many one can tell how long the rest takes."""


@dataclass(frozen=True, slots=True)
class Every:
    """Every fault of a sequence, or every pair of them."""

    sequence: str
    waits: bool
    pairs: bool


@dataclass(slots=True)
class Pace:
    """How fast it goes: written where the work is done, and read in the window."""

    count: int = 0
    begun: float = 0.0

    def words(self, share: float) -> str:
        """How many are done, and how long the rest takes, as far as that can be told."""
        done = round(share * self.count)
        if not self.count:
            return ""
        took = time.monotonic() - self.begun
        left = f", {duration_words(took / share * (1.0 - share))} to go" if done >= FEW else ""
        return f"{done} of {self.count} tried{left}"


@dataclass(frozen=True, slots=True, eq=False)
class Request:
    """All that is needed to try faults, or without `every` only to study the project as it is."""

    project: Project
    sound: Study | None
    every: Every | None = None
    stop: threading.Event = field(default_factory=threading.Event)
    pace: Pace = field(default_factory=Pace)


@dataclass(frozen=True, slots=True)
class Answer:
    sound: Study
    outcomes: tuple[Outcome, ...]
    each: float
    """Seconds that a trial took."""


def work(request: Request, progress: Progress) -> Answer | None:
    """None where it was stopped."""
    stopped = request.stop.is_set
    try:
        sound = request.sound
        if sound is None or sound.project is not request.project:
            sound = run(request.project, previous=sound, cancelled=stopped)
        if request.every is None:
            return Answer(sound, (), 0.0)
        return _try(request, request.every, sound, progress)
    except CheckCancelled:
        return None


def _try(request: Request, every: Every, sound: Study, progress: Progress) -> Answer:
    listed = pairs_of if every.pairs else trials_of
    trials = listed(request.project, every.sequence, waits=every.waits)
    singles = {one for trial in trials for one in singles_of(trial)} if every.pairs else set()
    request.pace.count, request.pace.begun = len(trials) + len(singles), time.monotonic()
    process = StudyProcess()

    def study(project: Project, previous: Study, cancelled: Cancelled | None) -> Study:
        return process(Asked(project), previous=previous, cancelled=cancelled or request.stop.is_set)

    try:
        outcomes = try_all(sound, trials, study=study, progress=progress, cancelled=request.stop.is_set)
    finally:
        process.shut_down()
    return Answer(sound, outcomes, (time.monotonic() - request.pace.begun) / max(1, request.pace.count))
