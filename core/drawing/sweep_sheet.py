"""Sweeps on paper: what a body passes over, with the walls beside it, at one true scale, to cut a bay by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.document.lengths import small_length
from core.document.project import Project
from core.drawing.drawing import Drawing
from core.drawing.extent import Bounds, extent, grown, joined
from core.drawing.paper import Scale
from core.drawing.scene import Scene
from core.drawing.situation import poses_between
from core.drawing.strip import Frame, Strip, choose_layout, place_views, stand_of
from core.drawing.strip_words import FrameWords, sheet_drawing
from core.drawing.sweeps import room_labels, room_marks, sweep_marks
from core.errors import SenselessRequest
from core.findings.sentences import Names
from core.interference.placement import Parts
from core.interference.sweeps import TOLERANCE, Room, Sweep, rooms_left, swept_by
from core.interference.track import track_of
from core.study import SequenceStudy, Study

MOST_WALLS = 4
"""To how many walls the room that one sweep leaves is told; of several sweeps on a sheet, to the nearest one each."""
ROOM_AROUND = 0.03
"""Of the view's size, left about what is drawn."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Swept:
    """A sweep, and what is left between it and each fixed part beside it, least first."""

    sweep: Sweep
    rooms: dict[str, Room]
    stale: bool = False
    """It is of a state of the project that is past; what room it leaves is not told any more."""


def sweeps_of(
    study: Study,
    sequence: SequenceStudy,
    wanted: Sequence[str] | None,
    *,
    step: str | None = None,
    tolerance: float = TOLERANCE,
) -> tuple[Swept, ...]:
    """What parts, by id, sweep over a sequence or one of its steps; of every one that moves where none is named.

    Raises SenselessRequest as `swept_by` does.
    """
    track = sequence.interference.track
    if track is None:  # a study that another process made comes without it
        track = track_of(study.parts, sequence.motion)
    found = swept_by(track, wanted, step=step, tolerance=tolerance)
    return tuple(Swept(sweep=one, rooms=rooms_left(one, study.parts)) for one in found)


def with_sweeps(drawing: Drawing, swept: Sequence[Swept], project: Project, view: str) -> Drawing:
    """A view's drawing with what is swept in it underneath, and the narrowest room that is left to each wall."""
    mine = [one for one in swept if one.sweep.view == view]
    walls = MOST_WALLS if len(mine) == 1 else 1
    nearest = [room for one in mine if not one.stale for room in list(one.rooms.values())[:walls]]
    under = [mark for one in mine for mark in sweep_marks(one.sweep, project, stale=one.stale)]
    over = [mark for room in nearest for mark in room_marks(room)]
    labels = [label for room in nearest for label in room_labels(project, room)]
    return replace(drawing, marks=(*under, *drawing.marks, *over), labels=(*drawing.labels, *labels))


def lay_out_sweeps(study: Study, sequence: SequenceStudy, swept: Sequence[Swept]) -> Strip:
    """A sheet with what is swept of a studied sequence in each view, and the bodies where they stand when it begins.

    Full size where the sheet has room for it, smaller where not, never larger. Raises SenselessRequest where nothing
    is swept.
    """
    project, parts = study.project, study.parts
    bounds = _bounds(project, sequence, parts, swept)
    if not bounds:
        raise SenselessRequest("nothing is swept, so there is nothing to draw")
    begin = min(one.sweep.begin for one in swept)
    poses = poses_between(sequence.motion, begin)
    words = FrameWords(number=1, time=begin, step="", drives=tuple(swept_words(project, swept)))
    layout = choose_layout(bounds, [words])
    if layout.scale.ratio > 1.0:
        layout = replace(layout, scale=Scale(1, 1))
    scene = Scene(project, parts)
    views = tuple(
        replace(placed, drawing=with_sweeps(placed.drawing, swept, project, placed.view))
        for placed in place_views(scene, poses, None, bounds, layout.cells[0], layout)
    )
    names = Names(project)
    title = f"{project.aircraft.name}: swept by {names.listed(tuple(one.sweep.part for one in swept))}"
    stands = [[stand_of(view, layout.scale.ratio) for view in views]]
    sheet = sheet_drawing(project, sequence, title, layout.paper, layout.scale, layout.cells, [words], stands)
    return Strip(
        paper=layout.paper, scale=layout.scale, title=title, frames=(Frame(words=words, views=views),), sheet=sheet
    )


def swept_words(project: Project, swept: Sequence[Swept]) -> list[str]:
    """Of each sweep who, when, how exact, and the least room that it leaves."""
    names = Names(project)
    said = []
    for one in swept:
        sweep = one.sweep
        span = f"from {sweep.begin:.2f} to {sweep.end:.2f} s"
        exact = f"within {small_length(project, sweep.tolerance)}"
        said.append(f"{names(sweep.part)} {span}, {exact}{_room_words(project, one.rooms, names)}")
    return said


def _room_words(project: Project, rooms: dict[str, Room], names: Names) -> str:
    if not rooms:
        return ""
    part, room = next(iter(rooms.items()))
    if room.left <= 0.0:
        return f", runs into {names(part)}"
    return f", {small_length(project, room.left)} left to {names(part)}"


def _bounds(project: Project, study: SequenceStudy, parts: Parts, swept: Sequence[Swept]) -> dict[str, Bounds]:
    found: dict[str, Bounds] = {}
    for view in dict.fromkeys(one.sweep.view for one in swept if not one.sweep.area.is_empty):
        whole = extent(project, parts, study.motion.poses, view)
        for one in swept:
            if one.sweep.view == view and not one.sweep.area.is_empty:
                whole = joined(whole, one.sweep.area.bounds)
        if whole is not None:
            found[view] = grown(whole, ROOM_AROUND * max(whole[2] - whole[0], whole[3] - whole[1]))
    return found
