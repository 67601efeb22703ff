"""The only mutable state of the program: the project, its history, its study, and what the user looks at.

Everything else listens. `push` is the only way to change the project, so no change can slip past undo, saving or
the check.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from app.edited import Edited
from app.leisure import Follower, Leisure
from app.looked_at import LookedAt
from app.studied import Studied
from app.supposed import Supposed
from core.document.aircraft_edits import TakeState
from core.document.checks import new_problems
from core.document.edits import Edit
from core.document.history import History
from core.document.looks import why_locked
from core.document.problem_words import in_words
from core.document.project import Project, Sequence
from core.findings.finding import Finding, Kind
from core.motion.schedule import Schedule
from core.study import DRAWN_POSITION, SequenceStudy, Study

UNTRIED = ("sequences", "targets", "accepted")
"""What of a project is not changed while a trial of it is shown, which has others in their place."""
IN_TRIAL = "A trial is shown: go back to the sequence as drawn first (Esc) to change its steps or answer its findings"

REST_MS = 150
"""A hand that has not moved for so long rests."""


class Session(QObject):
    """One open project in one window."""

    project_opened = Signal()
    """Another project altogether; `project_changed` follows."""
    project_changed = Signal()
    """The project is a new value: opened, edited, undone or redone. Never for a draft."""
    shown_changed = Signal()
    """What is shown is a new value: the project, or what the hand would make of it; follows `project_changed`."""
    study_changed = Signal()
    """A new study has come, or it became stale or current."""
    sequence_changed = Signal()
    moment_changed = Signal(float)
    selection_changed = Signal()
    finding_changed = Signal()
    """The finding to show has changed; it may be None."""
    history_changed = Signal()
    """Undo, redo or the saved mark changed."""
    pushed = Signal(str)
    """An edit went in; its label."""
    undone = Signal()
    redone = Signal()
    trouble = Signal(str)
    """One line that the user has to read."""
    past = Signal(str)
    """A line that no longer holds: it said why something was not done, and something else is asked for since."""
    rested = Signal()
    """The hand that proposes something has not moved for a moment."""
    trial_changed = Signal()
    """Another trial is shown in place of the project, or none any more."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.study_changed)
        self._rest.timeout.connect(self.rested)
        self._leisure = Leisure(self)
        self._edited, self._supposed, self._studied, self._looked_at = Edited(), Supposed(), Studied(), LookedAt()
        self._folder: Path | None = None
        self._chosen: tuple[str, ...] = ()
        self._looked_at_only = ""
        self._turned_down = ""
        self.ahead: Callable[[], Iterable[float]] = tuple
        """The moments that come next if nothing comes between, seconds: whoever solves one may solve them with it."""

    # ---- the project -------------------------------------------------------------------------------------------

    @property
    def project(self) -> Project | None:
        return self._edited.project

    @property
    def folder(self) -> Path | None:
        """The project's folder; None before it has one."""
        return self._folder

    @property
    def unsaved(self) -> bool:
        return self._edited.unsaved

    @property
    def looked_at_only(self) -> str:
        """Why nothing may be changed; empty where it may."""
        return self._looked_at_only

    def look_only(self, why: str) -> None:
        """Refuse every change from now on, or with no reason, none."""
        self._looked_at_only = why
        self.history_changed.emit()

    @property
    def history(self) -> History | None:
        """Where the project stands, and the way there and on."""
        return self._edited.history

    def open(self, project: Project, folder: Path | None, history: History | None = None) -> None:
        """Take up another project; `folder` holds project.json and drawings. With a history, `project` is what is
        saved of it, and where it stands may be further on."""
        self._folder, self._looked_at_only = folder, ""
        project = self._edited.open(project, history)
        self._supposed, self._studied, self._looked_at, self._chosen = Supposed(), Studied(), LookedAt(project), ()
        self.project_opened.emit()
        self.project_changed.emit()
        self.shown_changed.emit()
        self.sequence_changed.emit()
        self.selection_changed.emit()
        self.finding_changed.emit()
        self.moment_changed.emit(self.moment)
        self.study_changed.emit()
        self.history_changed.emit()
        self.trial_changed.emit()

    def mark_saved(self, folder: Path) -> None:
        """The project as it is now stands in `folder`."""
        self._folder = folder
        self._edited.mark_saved()
        self.history_changed.emit()

    def push(self, edit: Edit) -> None:
        """Change the project by an edit; the only way in. An edit that changes nothing leaves no trace.

        One that would make the project senseless, so that its file could not be opened again, or that would change what
        is locked, is refused and said.
        """
        project = self.project
        if project is None:
            return
        changed = edit.apply(project)
        if changed == project:
            self.withdraw()
            return
        if barred := self._barred(project, changed, whole=isinstance(edit, TakeState)):
            self._refuse(barred)
            return
        if changed == self._supposed.draft:
            changed = self._supposed.draft  # what was made of it so far stays good
        elif broken := new_problems(project, changed):
            self._refuse(f"{edit.label} was refused. {in_words(changed, broken[0])}")
            return
        self._edited.go_on(edit.label, changed)
        self._follow()
        self.pushed.emit(edit.label)

    def _barred(self, project: Project, changed: Project, *, whole: bool = False) -> str:
        """Why a change may not be made now; empty where it may. A whole state says itself what is locked in it."""
        if self.trial is not None and any(getattr(project, key) is not getattr(changed, key) for key in UNTRIED):
            return IN_TRIAL
        return self._looked_at_only or ("" if whole else why_locked(project, changed))

    def _refuse(self, why: str) -> None:
        self.withdraw()
        self.turn_down(why)
        self.project_changed.emit()  # whoever shows the refused value shows the old one again

    def turn_down(self, why: str) -> None:
        """Say why what was just asked for is not done; that holds until something else is asked for."""
        self._turned_down = why
        self.trouble.emit(why)

    def ask_anew(self) -> None:
        """A click of a tool, a command, a gesture: what was turned down before is past."""
        if self._turned_down:
            line, self._turned_down = self._turned_down, ""
            self.past.emit(line)

    def undo(self) -> None:
        if not self._looked_at_only and self._edited.undo():
            self._follow()
            self.undone.emit()

    def redo(self) -> None:
        if not self._looked_at_only and self._edited.redo():
            self._follow()
            self.redone.emit()

    @property
    def undo_label(self) -> str | None:
        return self._edited.undo_label

    @property
    def redo_label(self) -> str | None:
        return self._edited.redo_label

    def _follow(self) -> None:
        """All else follows the project, which is another now."""
        self._supposed.propose(None)
        self._studied.failure = None
        if self._supposed.nothing and self.study_current:  # a draft's, which has become the project
            self._studied.settle()
            self._looked_at.choose(self.finding)
        moment = self._looked_at.moment
        if self._looked_at.stay_within(self.project):
            moment = self._looked_at.left_at
            self.sequence_changed.emit()
        self.project_changed.emit()
        self.shown_changed.emit()
        self.study_changed.emit()  # what is shown is now stale, but for a draft that was studied
        self.history_changed.emit()
        self.set_moment(moment)

    # ---- what the hand would make of it --------------------------------------------------------------------------

    @property
    def shown(self) -> Project | None:
        """What is drawn, solved and checked: the draft while the hand proposes one, else the project; of either the
        trial while one is shown."""
        return self._supposed.shown(self.project)

    @property
    def drafting(self) -> bool:
        """Whether the hand proposes something, sensible or not."""
        return self._supposed.by_hand

    @property
    def senseless(self) -> str:
        """Why what the hand proposes can not be; empty where it can, or where nothing is proposed."""
        return self._supposed.senseless

    def propose(self, edit: Edit) -> None:
        """Show what an edit would make of the project while the hand is not done; `push` or `withdraw` ends it.

        Nothing of it reaches the history or the disk. What makes no sense is no draft, and `senseless` says why.
        """
        project = self.project
        if project is None:
            return
        changed = edit.apply(project)
        if changed == project:
            self.withdraw()
        elif changed != self._supposed.draft:
            why = self._barred(project, changed)
            why = why or "".join(in_words(changed, one) for one in new_problems(project, changed)[:1])
            self._show_draft(None if why else changed, why)

    def withdraw(self) -> None:
        """Take back what was proposed: the project is shown again, with the study that it had."""
        if self.drafting:
            self._show_draft(None, "")

    @property
    def moving(self) -> bool:
        """Whether the hand that proposes something moved a moment ago. What is shown as clear only when it is checked
        waits for it to rest, and does not come and go at every move."""
        return self.drafting and self._rest.isActive()

    def _show_draft(self, draft: Project | None, why: str) -> None:
        was_current, study = self.study_current, self.study
        self._supposed.propose(draft, why)
        self._studied.failure = None
        if self.drafting:
            self._rest.start()
        else:
            self._rest.stop()
        if self._supposed.nothing:
            self._studied.go_back()
        self.shown_changed.emit()
        if self.study is not study or self.study_current:
            self._take_findings()
        elif was_current:
            self.study_changed.emit()

    # ---- what would happen ---------------------------------------------------------------------------------------

    @property
    def trial(self) -> Edit | None:
        """What is tried: it is applied to whatever is shown, and nothing of it reaches the history or the disk."""
        return self._supposed.trial

    def try_out(self, trial: Edit | None) -> None:
        """Show a trial in place of the project, or with None the project again, with the study that it had.

        What the trial is about – sequences, what is measured in them, and what was accepted of them – is not changed
        meanwhile; of all else that is, the trial shown is the trial of what it has become.
        """
        if trial == self.trial:
            return
        self._looked_at.note_whether_at_finding()
        self._supposed.try_out(trial)
        self._studied.failure = None
        if self._supposed.nothing:
            self._studied.go_back()
        self.trial_changed.emit()
        self.shown_changed.emit()
        self.sequence_changed.emit()
        self._take_findings()
        self._go_along()
        self.set_moment(self._looked_at.moment)

    def _go_along(self) -> None:
        """Where a finding was looked at when a trial was shown or left, its moment is that of the same finding now."""
        if self.study_current and (moment := self._looked_at.moment_found_again()) is not None:
            self.set_moment(moment)

    @property
    def sound(self) -> Study | None:
        """The study of the project itself, whatever is shown; None while there is none of it as it is now."""
        return self._studied.sound(self.project)

    # ---- who follows -------------------------------------------------------------------------------------------

    def follow(self, owner: QObject, work: Callable[[], object]) -> Callable[[], None]:
        """Have some work done, as long as its owner lives, whenever what is shown or its study is another: at once, but
        while the hand proposes something once the window has painted that. What is shown as checked and no longer is
        never waits. Answered is what asks for it on other grounds."""
        checked = lambda: self.study_current and not self.moving  # noqa: E731
        follower = Follower(owner, work, self._leisure, hurried=lambda: self.drafting, checked=checked)
        for signal in (self.shown_changed, self.study_changed):
            signal.connect(follower.look)
        return follower.look

    def at_leisure(self, work: Callable[[], object]) -> None:
        """Do some work, once, when the window has nothing else to do."""
        self._leisure.ask(work)

    # ---- the study ---------------------------------------------------------------------------------------------

    @property
    def study(self) -> Study | None:
        """The newest study there is; it may be of an earlier state of what is shown, see `study_current`."""
        return self._studied.newest

    @property
    def study_current(self) -> bool:
        """Whether the study is of what is shown, and whole; never while what the hand proposes makes no sense."""
        return self._studied.is_of(self.shown) and not self.senseless

    @property
    def following(self) -> bool:
        """Whether the study is of what the hand proposed a moment ago: what was wrong then may be shown, and nothing as
        clear."""
        return self.drafting and self.study is not None and not self.senseless and not self.study_current

    def put_study(self, study: Study) -> None:
        """A new study of what is shown; while the hand proposes something, also of what it proposed a moment ago."""
        self._studied.put(study, self.project)
        self._take_findings()
        self._go_along()

    def _take_findings(self) -> None:
        """The finding that is looked at, as the study has it; what a draft does away with comes back without it."""
        is_met = self._looked_at.find_again(self.sequence_study, for_good=self._supposed.draft is None)
        self.study_changed.emit()
        if is_met:
            self.finding_changed.emit()

    @property
    def failure(self) -> str | None:
        """Why what is shown could not be studied, in one line; None when it was, or is being studied."""
        return self._studied.failure

    def put_failure(self, why: str) -> None:
        self._studied.failure = why
        self.study_changed.emit()
        if self._supposed.draft is None:
            self.trouble.emit(why)

    @property
    def sequence_study(self) -> SequenceStudy | None:
        """The study of the sequence that is looked at."""
        if self.study is None:
            return None
        return self.study.sequence(self._looked_at.sequence_id or DRAWN_POSITION.id)

    # ---- what the user looks at ----------------------------------------------------------------------------------

    @property
    def sequence(self) -> Sequence | None:
        """The sequence that is looked at, as it is shown."""
        return self._looked_at.sequence(self.shown)

    @property
    def schedule(self) -> Schedule | None:
        """The looked-at sequence laid out in time, as it is shown."""
        return self._looked_at.schedule(self.shown)

    def choose_sequence(self, sequence_id: str) -> None:
        """Look at a sequence, at the moment at which it was left."""
        self.try_out(None)
        if sequence_id != self._looked_at.sequence_id:
            self._looked_at.turn_to(sequence_id)
            self._looked_at.choose(None)
            self.sequence_changed.emit()
            self.finding_changed.emit()
            self.set_moment(self._looked_at.left_at)

    @property
    def moment(self) -> float:
        """The scrubbed moment, seconds; a draft that ends sooner does not change it for good."""
        schedule, moment = self.schedule if self._supposed.draft is not None else None, self._looked_at.moment
        return moment if schedule is None else min(moment, schedule.seconds)

    def set_moment(self, seconds: float) -> None:
        if self._looked_at.scrub(seconds, self.shown):
            self.moment_changed.emit(self._looked_at.moment)

    @property
    def selection(self) -> str | None:
        """The id of the chosen body, connection, drive or step; of several, the one chosen last."""
        return self._chosen[-1] if self._chosen else None

    @property
    def chosen(self) -> tuple[str, ...]:
        """Everything that is chosen, each once; what was chosen last stands last."""
        return self._chosen

    def choose(self, thing: str | None) -> None:
        """One thing and no other; None for nothing."""
        self.choose_several(() if thing is None else (thing,))

    def choose_several(self, things: Iterable[str]) -> None:
        """These things and no others."""
        chosen = tuple(dict.fromkeys(things))
        if chosen != self._chosen:
            self._chosen = chosen
            self.selection_changed.emit()

    def choose_also(self, thing: str) -> None:
        """One thing more; one that is chosen already is let go."""
        others = tuple(one for one in self._chosen if one != thing)
        self.choose_several(others if thing in self._chosen else (*others, thing))

    @property
    def finding(self) -> Finding | None:
        return self._looked_at.finding

    def show_finding(self, finding: Finding | None) -> None:
        """Scrub to a finding's moment and show its place; what is loose or begins too soon is chosen as well."""
        self._looked_at.choose(finding)
        if finding is not None:
            if finding.kind is Kind.LOOSE and not set(finding.bodies) & set(self._chosen):
                self.choose(finding.bodies[0])
            if finding.begun is not None:
                self.choose(finding.begun)
            if finding.sequence not in (self._looked_at.sequence_id, DRAWN_POSITION.id):
                self._looked_at.turn_to(finding.sequence)
                self.sequence_changed.emit()
            if finding.time is not None:
                self.set_moment(finding.time)
        self.finding_changed.emit()
