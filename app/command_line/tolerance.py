"""What becomes of an aircraft when it is built, for the terminal."""

from __future__ import annotations

from typing import Any

from core.document.names import name_of
from core.document.project import Project
from core.study import run
from core.tolerance.spread import MODELS, Spreads, spread
from core.tolerance.told import holds_up, to_json, to_text, workshop_words


def spreads_of(project: Project, sequence: str | None, models: int | None) -> list[Spreads]:
    """Of the sequences that are asked for; raises SenselessRequest for one that does not exist."""
    study = run(project, sequence=sequence)
    return [spread(study, one, models=models or MODELS) for one in study.sequences]


def spreads_json(project: Project, found: list[Spreads]) -> dict[str, Any]:
    return {"project": project.aircraft.name, "sequences": [to_json(one) for one in found]}


def spreads_in_words(project: Project, found: list[Spreads]) -> str:
    names = {one.id: name_of(one) for one in project.sequences}
    told = [f"{names.get(one.sequence, one.sequence)}\n{to_text(project, one)}" for one in found]
    return "\n\n".join([project.aircraft.name, *told, workshop_words(project)])


def any_weak(found: list[Spreads]) -> bool:
    return not all(holds_up(one) for one in found)
