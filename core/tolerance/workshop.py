"""How well things come out of a workshop, by how they are made."""

from __future__ import annotations

from collections.abc import Mapping

from core.document.project import Made, Project, Workshop

USUAL: Mapping[Made, float] = {
    "milled": 0.05,
    "drilled": 0.2,
    "turned": 0.02,
    "printed": 0.3,
    "resin": 0.1,
    "etched": 0.05,
    "filed": 0.2,
}
"""Plus or minus, mm. Milled, drilled after marking out, turned and filed: common practice of home workshops, from
memory. Printed of plastic thread below 100 mm, and of resin: what print services state. Etched: a tenth of a half
millimetre's sheet, as etching services state."""


def workshop_of(project: Project) -> Workshop:
    return project.workshop or Workshop()


def tolerance_of(project: Project, made: Made | None) -> float:
    """How far off, plus or minus mm, what is made so comes out; None as the workshop makes things."""
    workshop = workshop_of(project)
    how = made or workshop.made
    return workshop.tolerances.get(how, USUAL[how])


def play_of(project: Project, play: float | None) -> float:
    """How much wider a hole is than its pin, mm."""
    return workshop_of(project).play if play is None else play
