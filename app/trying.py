"""Trials in the window: one shown in place of the sequence, every fault tried away from the window's thread, and a
trial kept as a sequence of its own.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QObject, Signal

from app.aside import Newest
from app.session import Session
from app.trying_aside import Answer, Every, Request, work
from core.document.names import name_of
from core.document.project import Project
from core.document.sequence_edits import AddSequence
from core.errors import SenselessRequest
from core.findings.finding import Finding
from core.findings.sentences import joined
from core.study import Study
from core.trials.comparing import change_of
from core.trials.every import count_of_pairs
from core.trials.told import duration_words, verdict
from core.trials.trial import Trial, kept_sequence, trial_project
from core.trials.trying import Outcome, outcome_of


class Trying(QObject):
    changed = Signal()
    """The trial that is shown, what it came to, or the list of all that was tried."""
    progressed = Signal(str, float)
    """What is being tried, and how much of all is done, 0 to 1."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._newest = Newest(self)
        self._newest.done.connect(self._on_done)
        self._newest.failed.connect(self._on_failed)
        self._sound: Study | None = None
        self._outcome: Outcome | None = None
        self._outcomes: tuple[Outcome, ...] = ()
        self._tried: Project | None = None
        self._each = 0.0
        session.project_changed.connect(self._on_project_changed)
        session.project_opened.connect(self._forget)
        session.study_changed.connect(self._on_study_changed)
        session.trial_changed.connect(self._judge)

    # ---- what there is -------------------------------------------------------------------------------------------

    @property
    def trial(self) -> Trial | None:
        """The trial that is shown."""
        trial = self._session.trial
        return trial if isinstance(trial, Trial) else None

    @property
    def outcome(self) -> Outcome | None:
        """What it came to; None while that is not known."""
        return self._outcome

    @property
    def outcomes(self) -> tuple[Outcome, ...]:
        """What every fault, or every pair of them, came to, worst first."""
        return self._outcomes

    @property
    def outdated(self) -> bool:
        """Whether the aircraft has been changed since all was tried."""
        return bool(self._outcomes) and self._tried is not self._session.project

    @property
    def working(self) -> bool:
        """Whether every fault, or every pair of them, is being tried."""
        return self._running is not None and self._running.every is not None

    @property
    def _running(self) -> Request | None:
        asked = self._newest.asked
        return asked if isinstance(asked, Request) else None

    def left_words(self, share: float) -> str:
        """How much is done of what is being tried, and how long the rest takes."""
        return "" if self._running is None else self._running.pace.words(share)

    @property
    def pairs_words(self) -> str:
        """How many pairs of faults there are, and how long they would take; nothing where there are none."""
        project, sequence = self._session.project, self._session.sequence
        if project is None or sequence is None or all(one.id != sequence.id for one in project.sequences):
            return ""
        count = count_of_pairs(project, sequence.id)
        takes = duration_words(self._each * count) if self._each else "how long is told when the first are done"
        return f"Every pair: up to {count} of them, {takes}." if count else ""

    @property
    def words(self) -> tuple[str, str]:
        """What is said of the trial that is shown: what it is, and what it comes to; nothing where none is."""
        trial, project = self.trial, self._session.project
        if trial is None or project is None:
            return "", ""
        title = f"Trial: {trial.words(project)} – not the sequence as drawn"
        if self._outcome is None:
            return title, "Checking…"
        never = [name_of(step) for one in project.sequences for step in one.steps if step.id in self._outcome.never]
        begins = f"; never begins: {joined(never)}" if never else ""
        return title, f"Findings beside those of the sequence as drawn: {verdict(self._outcome)}{begins}."

    # ---- one -----------------------------------------------------------------------------------------------------

    def show(self, trial: Trial) -> None:
        """Show a trial in place of the sequence, or say why it makes no sense."""
        project = self._session.project
        if project is None:
            return
        try:
            trial_project(project, trial)
        except SenselessRequest as error:
            self._session.turn_down(str(error))
            return
        if trial.sequence != (self._session.sequence.id if self._session.sequence is not None else None):
            self._session.choose_sequence(trial.sequence)
        self._session.try_out(trial)

    def leave(self) -> None:
        """Back to the sequence as drawn."""
        self._session.try_out(None)

    def keep(self) -> None:
        """Add what is tried to the project as a sequence of its own, and look at that."""
        trial, project = self.trial, self._session.project
        if trial is None or project is None:
            return
        made = kept_sequence(project, trial)
        self.leave()
        self._session.push(AddSequence(made))
        after = self._session.project
        if after is not None and made in after.sequences:
            self._session.choose_sequence(made.id)

    def _on_study_changed(self) -> None:
        """Without a trial nobody has anything to hear: it comes at every move of a hand that drags something."""
        if self.trial is not None:
            self._judge()

    def _judge(self) -> None:
        """Compare what is shown with the sound sequence, once both are known."""
        trial, session = self.trial, self._session
        sound = self._sound_study()
        found = session.study.sequence(trial.sequence) if session.study is not None and trial is not None else None
        self._outcome = None
        if trial is not None and found is not None and session.study_current and not session.drafting:
            if sound is not None and session.shown is not session.project:
                self._outcome = replace(outcome_of(sound, trial, found), together=self._known_together(trial))
            elif sound is None:
                self._study_sound()
        self.changed.emit()

    def _known_together(self, trial: Trial) -> tuple[Finding, ...] | None:
        """What its faults bring only together, where every pair has been tried."""
        listed = () if self.outdated else self._outcomes
        return next((one.together for one in listed if one.trial == trial), None)

    def _sound_study(self) -> Study | None:
        """Of the project as it is, without a fault."""
        if self._session.sound is not None:
            return self._session.sound
        own = self._sound
        return own if own is not None and own.project is self._session.project else None

    def _study_sound(self) -> None:
        """The project was changed while a trial of it was shown, and nobody has studied it as it is."""
        project = self._session.project
        if project is not None and self._running is None:
            self._ask(Request(project, self._session.study))

    def _on_project_changed(self) -> None:
        """A trial of what is no longer there ends."""
        trial, project = self.trial, self._session.project
        if trial is not None and project is not None and trial.apply(project) is project:
            self.leave()
        self.changed.emit()

    def change_of(self, finding: Finding) -> str:
        """`new` or `worse` of what the trial finds beyond the sound sequence."""
        return "" if self._outcome is None else change_of(self._outcome.compared, finding)

    # ---- every one -----------------------------------------------------------------------------------------------

    def try_all(self, *, waits: bool, pairs: bool = False) -> None:
        """Try every fault of the sequence that is looked at, or every pair of them; what is under way already is given
        up."""
        project, sequence = self._session.project, self._session.sequence
        if project is None or sequence is None or all(one.id != sequence.id for one in project.sequences):
            self._session.turn_down("There is no sequence to try a fault in: add a step first")
            return
        self.stop()
        self._ask(Request(project, self._sound_study(), Every(sequence.id, waits, pairs)))

    def stop(self) -> None:
        """Give up what is under way."""
        if self._running is not None:
            self._running.stop.set()
            self._newest.forget()
            self.changed.emit()

    def shut_down(self) -> bool:
        """Cancel and wait; True when nothing runs any more."""
        self.stop()
        return self._newest.shut_down()

    def _ask(self, request: Request) -> None:
        self._newest.ask(request, partial(work, request, self.progressed.emit))
        self.changed.emit()

    def _on_done(self, request: Request, answer: Answer | None) -> None:
        if answer is not None:
            self._sound = answer.sound
            if request.every is not None:
                self._outcomes, self._tried, self._each = answer.outcomes, request.project, answer.each
        self._judge()

    def _on_failed(self, _request: Request, why: str) -> None:
        self._session.trouble.emit(why)
        self.changed.emit()

    def _forget(self) -> None:
        self.stop()
        self._outcomes, self._tried, self._sound, self._each = (), None, None, 0.0
