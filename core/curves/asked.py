"""Quantities by a word, as they are asked for on the command line: `leg-pivot`, `gap:leg,door`, `speed:leg@10,-30`."""

from __future__ import annotations

import math

from core.curves.quantities import Quantity, Sort
from core.document.names import ids_of
from core.document.problem import nearest
from core.document.project import Project
from core.errors import SenselessRequest

OF_POINTS = frozenset({Sort.WAY, Sort.ACROSS, Sort.UP, Sort.SPEED})
"""Sorts that may be of a point of a body, and by the id of a path of the point that it is drawn of."""
COUNTS = {Sort.GAP: 2, Sort.TRANSMISSION: 2}
"""How many ids a sort is of, where that is not one; a dead centre is of as many as stand in line."""


def word_of(quantity: Quantity) -> str:
    """A quantity as `quantity_from` reads it."""
    at = "" if quantity.at is None else f"@{quantity.at[0]:g},{quantity.at[1]:g}"
    return f"{quantity.sort}:{','.join(quantity.of)}{at}"


def quantity_from(word: str, project: Project) -> Quantity:
    """What a word asks for: a sort and the ids that it is of, or the id alone of a drive or a connection.

    Raises SenselessRequest where it means nothing, with what would.
    """
    before, colon, after = word.partition(":")
    if not colon:
        return _by_id(word, project)
    if before not in list(Sort):
        raise SenselessRequest(f"there is no curve of {before!r}; {nearest(before, [one.value for one in Sort])}")
    sort = Sort(before)
    ids, at, point = after.partition("@")
    of = tuple(part.strip() for part in ids.split(","))
    _check_count(word, sort, of)
    if at and sort not in OF_POINTS:
        raise SenselessRequest(f"{word!r}: only {', '.join(sorted(OF_POINTS))} are of a point")
    path = next((one for one in project.paths if (one.id,) == of), None) if sort in OF_POINTS else None
    if path is not None:
        return Quantity(sort, (path.body,), path.point)
    _check_ids(word, of, project)
    return Quantity(sort, of, _point(word, point) if at else None)


def _by_id(word: str, project: Project) -> Quantity:
    for sort, things in ((Sort.DRIVE, project.drives), (Sort.VALUE, project.connections)):
        if any(one.id == word for one in things):
            return Quantity(sort, (word,))
    known = [one.id for one in (*project.drives, *project.connections)]
    raise SenselessRequest(f"there is no drive or connection {word!r}; {nearest(word, known)}")


def _check_count(word: str, sort: Sort, of: tuple[str, ...]) -> None:
    wanted = COUNTS.get(sort, 1)
    if sort is not Sort.DEAD_CENTRE and len(of) != wanted:
        ids = "two ids with a comma between" if wanted == 2 else "one id"
        raise SenselessRequest(f"{word!r}: {sort} is of {ids}")


def _check_ids(word: str, of: tuple[str, ...], project: Project) -> None:
    kinds = ids_of(project).kinds
    for one in of:
        if one not in kinds:
            raise SenselessRequest(f"{word!r}: nothing is called {one!r}; {nearest(one, set(kinds))}")


def _point(word: str, text: str) -> tuple[float, float]:
    try:
        x, y = (float(part) for part in text.split(","))
    except ValueError:
        x = y = math.nan
    if not (math.isfinite(x) and math.isfinite(y)):
        raise SenselessRequest(f"{word!r}: {text!r} is no point; x and y in mm as drawn are needed, such as 10,-30")
    return (x, y)
