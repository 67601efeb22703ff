"""How well things come out of a workshop, by how they are made and driven."""

from __future__ import annotations

from core.document.project import Drive, Gearing, Made, Pivot, Project, Workshop
from core.sizes.driving import LENGTHS, PIVOTS, Exactness
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


def backlash_of(project: Project, gearing: Gearing) -> float:
    """How far its second pivot turns while its first is held, degrees."""
    return workshop_of(project).backlash if gearing.backlash is None else gearing.backlash


def turns(project: Project, drive: Drive) -> bool:
    """Whether a drive's terms are degrees, and not millimetres."""
    return any(isinstance(one, Pivot) and one.id == drive.on for one in project.connections)


def usual_of(project: Project, drive: Drive) -> Exactness:
    """How exactly drives of its kind come to a value, in their terms."""
    return PIVOTS if turns(project, drive) else LENGTHS


def exactness_of(project: Project, drive: Drive) -> tuple[float, float]:
    """Resolution and hysteresis of a drive, in its terms."""
    usual = usual_of(project, drive)
    return (
        usual.resolution if drive.resolution is None else drive.resolution,
        usual.hysteresis if drive.hysteresis is None else drive.hysteresis,
    )
