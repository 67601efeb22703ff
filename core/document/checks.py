"""Checks of meaning: what the file's form allows and yet makes no sense, as values."""

from __future__ import annotations

from pathlib import Path

from core.document.number_checks import number_problems
from core.document.outline_checks import outline_problems
from core.document.problem import Problem
from core.document.project import Project
from core.document.reference_checks import reference_problems
from core.document.sequence_checks import sequence_problems
from core.document.drawing_checks import drawing_problems


def problems(project: Project, folder: Path | None = None) -> tuple[Problem, ...]:
    """Everything that makes no sense, names first; with the project's folder, its drawings are looked for as well."""
    return (
        *reference_problems(project),
        *number_problems(project),
        *outline_problems(project),
        *sequence_problems(project),
        *drawing_problems(project, folder),
    )


__all__ = ["Problem", "problems"]
