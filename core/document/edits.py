"""What an edit is: a small value with a label and `apply(project) -> project`; they stand in `*_edits.py`."""

from __future__ import annotations

from typing import Protocol

from core.document.project import Project


class Edit(Protocol):
    """A change of the project. `apply` keeps what it does not touch as the same objects.

    An edit that changes nothing (what it names is not there, has that value already, or the number is none) gives back
    the same project. Whether what it makes has sense is for `checks.problems` to say.
    """

    @property
    def label(self) -> str: ...

    def apply(self, project: Project) -> Project: ...
