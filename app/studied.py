"""What was found: the newest study, the newest of the project itself, and why there is none of what is shown."""

from __future__ import annotations

from core.document.project import Project
from core.study import Study


class Studied:
    """Which project is looked at, and when it is another, is for the session to say."""

    def __init__(self) -> None:
        self.newest: Study | None = None
        self.failure: str | None = None
        """Why what is shown could not be studied, in one line; None when it was, or is being studied."""
        self._settled: Study | None = None

    def is_of(self, project: Project | None) -> bool:
        """Whether the newest study is of this very project, and whole."""
        study = self.newest
        return study is not None and study.project is project and not study.behind

    def sound(self, project: Project | None) -> Study | None:
        """The newest study of the project itself, where it is of the project as it is now."""
        settled = self._settled
        return settled if settled is not None and settled.project is project else None

    def put(self, study: Study, project: Project | None) -> None:
        """A study of what is shown in the project's place, or of the project."""
        self.newest = study
        if self.is_of(project):
            self._settled = study

    def settle(self) -> None:
        """What the newest study is of has become the project."""
        self._settled = self.newest

    def go_back(self) -> None:
        """The project itself is shown again."""
        if self._settled is not None:
            self.newest = self._settled
