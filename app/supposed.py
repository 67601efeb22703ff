"""What is supposed in the project's place: what the hand would make of it, and a trial of either."""

from __future__ import annotations

from core.document.edits import Edit
from core.document.project import Project


class Supposed:
    """Nothing of it reaches the history or the disk."""

    def __init__(self) -> None:
        self.draft: Project | None = None
        """What the hand proposes; None where it proposes nothing that can be."""
        self.senseless = ""
        """Why what the hand proposes can not be; empty where it can, or where nothing is proposed."""
        self.trial: Edit | None = None
        self._tried: tuple[Project, Project] | None = None

    @property
    def by_hand(self) -> bool:
        """Whether the hand proposes something, sensible or not."""
        return self.draft is not None or bool(self.senseless)

    @property
    def nothing(self) -> bool:
        """Whether the project itself is shown."""
        return self.draft is None and self.trial is None

    def shown(self, project: Project | None) -> Project | None:
        """What is shown in a project's place, the same object as long as nothing else is supposed."""
        base = project if self.draft is None else self.draft
        if self.trial is None or base is None:
            return base
        if self._tried is None or self._tried[0] is not base:
            self._tried = (base, self.trial.apply(base))
        return self._tried[1]

    def propose(self, draft: Project | None, why: str = "") -> None:
        """Suppose a draft, or with none that it can not be, and why; with neither, what stands."""
        self.draft, self.senseless = draft, why

    def try_out(self, trial: Edit | None) -> None:
        self.trial, self._tried = trial, None
