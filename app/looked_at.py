"""What the user looks at: a sequence, a moment of it, and a finding."""

from __future__ import annotations

from core.document.names import by_id
from core.document.project import Project, Sequence
from core.findings.finding import Finding
from core.motion.schedule import Schedule, lay_out
from core.study import DRAWN_POSITION, SequenceStudy


class LookedAt:
    """Told at each question what is shown; whether something is another now is answered, for whoever has to hear."""

    def __init__(self, project: Project | None = None) -> None:
        self.sequence_id = project.sequences[0].id if project is not None and project.sequences else None
        self.moment = 0.0
        """Seconds; what is shown may end sooner for a while."""
        self.finding: Finding | None = None
        self.followed: Finding | None = None
        """The finding that was looked at before something was supposed, which may do away with it for a while."""
        self._goes_along = False
        self._left: dict[str, float] = {}
        """At which moment each sequence was last left, the one that was left last standing last."""
        self._laid_out: tuple[Sequence, Schedule] | None = None

    # ---- a sequence and a moment of it ---------------------------------------------------------------------------

    def sequence(self, shown: Project | None) -> Sequence | None:
        if shown is None:
            return None
        return by_id(shown.sequences, self.sequence_id) or DRAWN_POSITION

    def schedule(self, shown: Project | None) -> Schedule | None:
        """The sequence laid out in time."""
        sequence = self.sequence(shown)
        if sequence is None:
            return None
        if self._laid_out is None or self._laid_out[0] is not sequence:  # asked for many times a frame
            self._laid_out = (sequence, lay_out(sequence))
        return self._laid_out[1]

    def turn_to(self, sequence_id: str) -> None:
        """Look at another sequence."""
        if self.sequence_id is not None:
            self._left.pop(self.sequence_id, None)
            self._left[self.sequence_id] = self.moment
        self.sequence_id = sequence_id

    @property
    def left_at(self) -> float:
        """The moment at which the sequence was last left; its begin where it never was."""
        return self._left.get(self.sequence_id or "", 0.0)

    def stay_within(self, project: Project | None) -> bool:
        """Look at the sequence that was looked at before, or the first one, where the project has it no longer; whether
        it is another now."""
        known = [one.id for one in project.sequences] if project is not None else []
        if self.sequence_id in known:
            return False
        before = (one for one in reversed(self._left) if one in known)
        self.sequence_id = next(before, known[0] if known else None)
        return True

    def scrub(self, seconds: float, shown: Project | None) -> bool:
        """Go to a moment, or to the end of the sequence that is nearer; whether it is another now."""
        schedule = self.schedule(shown)
        before, self.moment = self.moment, min(max(0.0, seconds), schedule.seconds if schedule is not None else 0.0)
        return self.moment != before

    # ---- a finding -----------------------------------------------------------------------------------------------

    def choose(self, finding: Finding | None) -> None:
        self.finding = self.followed = finding

    def find_again(self, study: SequenceStudy | None, *, for_good: bool) -> bool:
        """Look at the same finding as a study has it; whether one is or was looked at. What is not for good may do away
        with it, and it comes back without that."""
        before, self.finding = self.finding, _same(self.followed, study)
        if for_good:
            self.followed = self.finding
        return before is not None or self.finding is not None

    def note_whether_at_finding(self) -> None:
        """Where the moment is the finding's, it goes along when that is found at another."""
        self._goes_along = (
            self.finding is not None and self.finding.time is not None and self.finding.time == self.moment
        )

    def moment_found_again(self) -> float | None:
        """To which moment to go along, once; None where there is nothing to go along with."""
        goes_along, self._goes_along = self._goes_along, False
        return self.finding.time if goes_along and self.finding is not None else None


def _same(finding: Finding | None, study: SequenceStudy | None) -> Finding | None:
    if finding is None or study is None:
        return None
    return next((one for one in (*study.findings, *study.accepted) if one.about == finding.about), None)
