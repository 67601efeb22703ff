"""How well things come out of a workshop, by how they are made."""

from __future__ import annotations

from core.document.project import Made, Project, Workshop
from core.sizes.making import USUAL


def workshop_of(project: Project) -> Workshop:
    return project.workshop or Workshop()


def tolerance_of(project: Project, made: Made | None) -> float:
    """How far off, plus or minus mm, what is made so comes out; None as the workshop makes things."""
    workshop = workshop_of(project)
    how = made or workshop.made
    return workshop.tolerances.get(how, USUAL[how].within)


def play_of(project: Project, play: float | None) -> float:
    """How much wider a hole is than its pin, mm."""
    return workshop_of(project).play if play is None else play
