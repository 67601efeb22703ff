"""The `curves` and `paths` commands: what has a value over a sequence, and where points of bodies go."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from core.curves.asked import quantity_from, word_of
from core.curves.quantities import Quantity, quantities, series_of
from core.curves.series import Series
from core.curves.shown import shown
from core.document.lengths import shown_length, small_length
from core.document.names import by_id, name_of
from core.document.project import PointPath, Project
from core.drawing.paths import TracedPath, traced_path
from core.errors import SenselessRequest
from core.study import SequenceStudy, Study, run
from core.units import number

Json = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """Curves of a sequence, by the words that asked for them."""

    project: Project
    sequence: SequenceStudy
    words: tuple[str, ...]
    curves: tuple[Series, ...]
    over: Series | None

    def shown(self) -> tuple[tuple[Series, ...], Series | None]:
        """The curves and what they are over, in the aircraft's unit, as all but JSON tells them."""
        over = None if self.over is None else shown(self.project, self.over)
        return tuple(shown(self.project, one) for one in self.curves), over


def asked_for(project: Project, sequence: str, of: Sequence[str] | None, over: str | None) -> Asked:
    """The curves that are asked for, or of everything that has a value; raises SenselessRequest for what has none."""
    wanted = None if of is None else [quantity_from(word, project) for word in of]
    along = None if over is None else quantity_from(over, project)
    study = run(project, sequence=sequence)
    (one,) = study.sequences
    if wanted is None:
        wanted = list(quantities(study, one))
        of = [word_of(quantity) for quantity in wanted]
    assert of is not None
    curves = tuple(_series(study, one, quantity, word) for quantity, word in zip(wanted, of, strict=True))
    x = None if along is None or over is None else _series(study, one, along, over)
    return Asked(project=project, sequence=one, words=tuple(of), curves=curves, over=x)


def _series(study: Study, sequence: SequenceStudy, quantity: Quantity, word: str) -> Series:
    series = series_of(study, sequence, quantity)
    if series is None:
        raise SenselessRequest(
            f"{word!r} has no value in sequence {sequence.sequence.id!r}; `bayfold curves` without --of lists what has"
        )
    return series


def write_curves(asked: Asked, file: Path) -> None:
    """A table or a picture, by the file's ending; raises OSError where it cannot be written."""
    curves, over = asked.shown()
    if file.suffix.lower() == ".csv":
        from core.exports.curves import curves_table
        from core.exports.table import write_table

        write_table(file, curves_table(curves, over))
        return
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from app.application import make_application
    from app.sequence.curve_pens import MOST
    from app.sequence.curve_picture import write_picture

    if len(asked.curves) > MOST:
        raise SenselessRequest(f"{MOST} curves at the most can be told apart in a picture; a table takes any number")
    if len({one.unit for one in asked.curves}) > 2:
        raise SenselessRequest("a picture has two axes, and these curves need three; a table takes any number")
    application = make_application()
    if not write_picture(file, curves, over, asked.sequence.schedule.seconds):
        raise OSError(f"{file} could not be written")
    del application


def curves_json(file: Path | None, asked: Asked) -> Json:
    curves = [
        {"of": word, "name": one.name, "unit": one.unit.plain, **_reach(one)}
        for word, one in zip(asked.words, asked.curves, strict=True)
    ]
    over = {} if asked.over is None else {"over": asked.over.name}
    written = None if file is None else str(file)
    return {"file": written, "sequence": asked.sequence.sequence.id, **over, "curves": curves}


def _reach(one: Series) -> Json:
    """Least and greatest value, and when."""
    low, high = int(np.nanargmin(one.values)), int(np.nanargmax(one.values))
    return {
        "least": number(float(one.values[low])), "least_at": number(float(one.times[low])),
        "greatest": number(float(one.values[high])), "greatest_at": number(float(one.times[high])),
    }  # fmt: skip


def curves_in_words(file: Path | None, asked: Asked) -> str:
    over = "" if asked.over is None else f" over {asked.over.name}"
    curves = "1 curve" if len(asked.curves) == 1 else f"{len(asked.curves)} curves"
    lines = [] if file is None else [f"{file}: {curves}{over}"]
    for word, one in zip(asked.words, asked.shown()[0], strict=True):
        low, high = float(np.nanmin(one.values)), float(np.nanmax(one.values))
        lines.append(f"  {word}: {one.name}, from {one.written(low)} to {one.written(high)}")
    return "\n".join(lines)


# ---- paths -----------------------------------------------------------------------------------------------------------


def paths_asked(project: Project, sequence: str, of: Sequence[str] | None) -> tuple[TracedPath, ...]:
    """The paths of points over a sequence: the project's own, or those asked for by id, or as BODY@X,Y."""
    wanted = project.paths if of is None else tuple(_path(word, project) for word in of)
    if not wanted:
        raise SenselessRequest("the project has no path; ask for a point with --of BODY@X,Y, mm as drawn")
    (one,) = run(project, sequence=sequence).sequences
    found = (traced_path(path, one.motion) for path in wanted)
    return tuple(path for path in found if path is not None)


def _path(word: str, project: Project) -> PointPath:
    """A path of the project, or a new one that is nowhere kept; its name is what was asked for."""
    known = by_id(project.paths, word)
    if known is not None:
        return known
    if "@" not in word:
        ids = ", ".join(one.id for one in project.paths) or "none"
        raise SenselessRequest(f"there is no path {word!r}: the project has {ids}, and BODY@X,Y asks for any point")
    quantity = quantity_from(f"way:{word}", project)
    if quantity.at is None or all(one.id != quantity.of[0] for one in project.bodies):
        raise SenselessRequest(f"{word!r}: {quantity.of[0]!r} is no body")
    return PointPath(id="asked", name=word, body=quantity.of[0], point=quantity.at)


def paths_json(file: Path, sequence: str, found: Sequence[TracedPath]) -> Json:
    return {"file": str(file), "sequence": sequence, "paths": [_path_json(one) for one in found]}


def _path_json(one: TracedPath) -> Json:
    trace = one.trace
    return {
        "path": name_of(one.path), "body": one.path.body, "length": number(trace.length),
        "tolerance": number(trace.tolerance), "proved": trace.proved,
    }  # fmt: skip


def paths_in_words(project: Project, file: Path, found: Sequence[TracedPath]) -> str:
    lines = [f"{file}: 1 path" if len(found) == 1 else f"{file}: {len(found)} paths"]
    for one in found:
        sure = "proved between frames" if one.trace.proved else "as seen, not proved"
        exact = f"within {small_length(project, one.trace.tolerance)}, {sure}"
        lines.append(f"  {name_of(one.path)}: {shown_length(project, one.trace.length)} gone; {exact}")
    return "\n".join(lines)
