"""A frame strip: one sheet of paper with a sequence drawn moment by moment, all at one true scale."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from core.document.looks import not_drawn
from core.document.names import name_of
from core.document.project import Project
from core.drawing.drawing import Drawing
from core.drawing.extent import Bounds, extent, grown, joined, moving_views
from core.drawing.paper import A3, A4, BORDER, FILING_BORDER, Paper, Scale, scale_within
from core.drawing.paths import TracedPath, path_bounds, traced_paths, with_paths
from core.drawing.scene import Scene
from core.drawing.situation import Situation, poses_between, situation_at
from core.drawing.strip_words import HEAD, LINE, PAD, SMALL, Cell, FrameWords, frame_words, sheet_drawing, text_lines
from core.errors import SenselessRequest
from core.findings.finding import Kind
from core.geometry.planar import Floats
from core.interference.placement import Parts
from core.motion.schedule import Schedule
from core.study import SequenceStudy, Study

MOST_FRAMES = 96
EVEN_FRAMES = 12
LARGEST_SCALE = 50.0
"""ISO 5455 recommends none larger than 50 : 1."""
FOOT = 17.5
"""Height of the title along the bottom of the sheet, mm."""
BETWEEN = 6.0
"""Between two views of one frame, mm on paper."""
LATE = 1e-6
"""Seconds by which a time may pass the end: what adding up a sequence's steps may lose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedDrawing:
    """A drawing laid on paper: its origin at (x, y) from the lower left, millimetres."""

    drawing: Drawing
    view: str
    x: float
    y: float
    room: Bounds
    """What its labels keep within."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """One moment of the sequence."""

    words: FrameWords
    views: tuple[PlacedDrawing, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    paper: Paper
    scale: Scale
    title: str
    frames: tuple[Frame, ...]
    sheet: Drawing
    """Frame lines, headings and the title, in millimetres of the paper from its lower left."""

    @property
    def times(self) -> tuple[float, ...]:
        return tuple(frame.words.time for frame in self.frames)


def lay_out_strip(
    study: Study, sequence: SequenceStudy, *, times: Sequence[float] | None = None, frames: int | None = None
) -> Strip:
    """A strip of a studied sequence at the moments `times`, or at `frames` evenly spread ones, or else at those that
    tell the most.

    It shows every view in which something moves. Raises SenselessRequest where the moments are none, too many, or
    beyond the sequence, and where nothing is drawn.
    """
    if times is None and frames is None:
        times = telling_times(sequence)
    project, parts, pairs = study.project, study.parts, study.pairs
    moments = strip_times(sequence.schedule, times=times, frames=frames)
    poses = [poses_between(sequence.motion, moment) for moment in moments]
    told = [situation_at(sequence, parts, pairs, at, moment) for at, moment in zip(poses, moments, strict=True)]
    paths = {one.path.id: one for one in traced_paths(project, sequence.motion)}
    bounds = _bounds(project, parts, sequence, paths)
    words = [
        frame_words(project, sequence, situation, moment, number + 1, set(bounds))
        for number, (moment, situation) in enumerate(zip(moments, told, strict=True))
    ]
    layout = choose_layout(bounds, words)
    scene = Scene(project, parts)
    placed = [
        Frame(words=said, views=tuple(place_views(scene, at, situation, bounds, cell, layout, paths)))
        for said, at, situation, cell in zip(words, poses, told, layout.cells, strict=True)
    ]
    title = f"{project.aircraft.name}: {name_of(sequence.sequence)}"
    stands = [[stand_of(view, layout.scale.ratio) for view in frame.views] for frame in placed]
    sheet = sheet_drawing(project, sequence, title, layout.paper, layout.scale, layout.cells, words, stands)
    return Strip(paper=layout.paper, scale=layout.scale, title=title, frames=tuple(placed), sheet=sheet)


def stand_of(placed: PlacedDrawing, ratio: float) -> tuple[str, float, float]:
    """A view, the middle of it on paper, and how wide its name may be."""
    x0, _, x1, _ = placed.drawing.bounds
    return (placed.view, placed.x + 0.5 * ratio * (x0 + x1), ratio * (x1 - x0) + BETWEEN - 1.0)


def strip_times(
    schedule: Schedule, *, times: Sequence[float] | None = None, frames: int | None = None
) -> tuple[float, ...]:
    """The moments of a strip, checked: those that are given, or `frames` evenly spread ones."""
    if times is not None and frames is not None:
        raise SenselessRequest("give a strip either times or a number of frames, not both")
    if times is not None:
        chosen = [_within(float(time), schedule) for time in times]
    else:
        frames = EVEN_FRAMES if frames is None else frames
        count = min(frames, 1) if schedule.seconds <= 0.0 else frames
        if count > MOST_FRAMES:
            raise SenselessRequest(f"a strip holds {MOST_FRAMES} frames at the most, and {count} were asked for")
        chosen = np.linspace(0.0, schedule.seconds, max(count, 0)).tolist()
    if not chosen:
        raise SenselessRequest("a strip needs one frame at the least")
    if len(chosen) > MOST_FRAMES:
        raise SenselessRequest(f"a strip holds {MOST_FRAMES} frames at the most, and {len(chosen)} were asked for")
    return tuple(chosen)


def _within(time: float, schedule: Schedule) -> float:
    if not -LATE <= time <= schedule.seconds + LATE:
        span = f"from 0 to {schedule.seconds:g} s"
        raise SenselessRequest(f"{time:g} s is not in sequence {schedule.sequence!r}, which goes {span}")
    return min(max(time, 0.0), schedule.seconds)


def telling_times(study: SequenceStudy) -> tuple[float, ...]:
    """The start, the middle and the end of every step, and the moment of every clash and jam."""
    schedule = study.schedule
    marks = {0.0, schedule.seconds}
    for step in schedule.steps:
        marks |= {step.end, 0.5 * (step.begin + step.end)}
    marks |= {one.time for one in study.findings if one.kind in (Kind.CLASH, Kind.JAMMED) and one.time is not None}
    apart: list[float] = []
    for mark in sorted(marks):
        if not apart or mark - apart[-1] > LATE:
            apart.append(mark)
    return tuple(apart) if len(apart) <= MOST_FRAMES else strip_times(schedule)


# ---- room on the paper ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    paper: Paper
    scale: Scale
    cells: tuple[Cell, ...]
    """One a frame."""
    lines: int
    """Of small text under each frame."""


def _bounds(
    project: Project, parts: Parts, study: SequenceStudy, paths: Mapping[str, TracedPath]
) -> dict[str, Bounds]:  # fmt: skip
    """Of every view that moves in the sequence, or of all where none does: what has to be in sight throughout."""
    poses = study.motion.poses
    wanted = moving_views(project, poses) or tuple(view.id for view in project.views)
    wrong = {thing for one in study.findings for thing in (*one.bodies, *one.connections)}  # hidden or not, it is seen
    left_out = not_drawn(project) - wrong
    found = {view: extent(project, parts, poses, view, left_out) for view in wanted}
    found = {view: joined(bound, path_bounds(project, paths, view)) for view, bound in found.items()}
    bounds = {view: bound for view, bound in found.items() if bound is not None}
    if not bounds:
        raise SenselessRequest("nothing is drawn in this project yet, so there is nothing for a strip to show")
    return {view: grown(bound, 0.02 * max(bound[2] - bound[0], bound[3] - bound[1])) for view, bound in bounds.items()}


def choose_layout(bounds: dict[str, Bounds], words: Sequence[FrameWords]) -> Layout:
    """The sheet and the number of columns that give the largest scale; A3 only where A4 has no room for full size."""
    best: tuple[tuple[float, float], Layout] | None = None
    for paper in (A4, A3):
        if best is not None and best[1].scale.ratio >= 1.0:
            break
        for columns in range(1, len(words) + 1):
            cells = _cells(paper, columns, len(words))
            lines = text_lines(words, cells[0], several_views=len(bounds) > 1)
            largest = _largest(bounds, cells[0], lines)
            if largest <= 0.0:
                continue
            scale = scale_within(min(largest, LARGEST_SCALE))
            # Of layouts with one scale the roomiest is best, but no larger paper is taken for the sake of room alone.
            merit = (scale.ratio, largest if best is None or paper is best[1].paper else 0.0)
            if best is None or merit > best[0]:
                best = (merit, Layout(paper=paper, scale=scale, cells=cells, lines=lines))
    if best is None:
        raise SenselessRequest(f"{len(words)} frames find no room on a sheet; ask for fewer")
    return best[1]


def _largest(bounds: dict[str, Bounds], cell: Cell, lines: int) -> float:
    """The ratio at which the views side by side just fill a cell; not positive where there is no room."""
    wide = sum(x1 - x0 for x0, _, x1, _ in bounds.values())
    tall = max(y1 - y0 for _, y0, _, y1 in bounds.values())
    room_x = cell.width - 2.0 * PAD - BETWEEN * (len(bounds) - 1)
    room_y = cell.height - HEAD - 2.0 * PAD - LINE * lines
    return min(room_x / max(wide, 1e-3), room_y / max(tall, 1e-3))


def _cells(paper: Paper, columns: int, count: int) -> tuple[Cell, ...]:
    """As many as there are frames, row by row from the upper left."""
    width = (paper.width - FILING_BORDER - BORDER) / columns
    height = (paper.height - 2.0 * BORDER - FOOT) / math.ceil(count / columns)
    top = paper.height - BORDER
    return tuple(
        Cell(
            left=FILING_BORDER + (number % columns) * width,
            bottom=top - (number // columns + 1) * height,
            width=width,
            height=height,
        )
        for number in range(count)
    )


def place_views(
    scene: Scene,
    poses: Floats,
    told: Situation | None,
    bounds: dict[str, Bounds],
    cell: Cell,
    layout: Layout,
    paths: Mapping[str, TracedPath] = MappingProxyType({}),
) -> Iterator[PlacedDrawing]:
    """Views side by side in the middle of the room that a cell leaves between its heading and its small text."""
    ratio = layout.scale.ratio
    low = cell.bottom + PAD + LINE * layout.lines
    high = cell.bottom + cell.height - HEAD - PAD
    whole = sum((x1 - x0) * ratio for x0, _, x1, _ in bounds.values()) + BETWEEN * (len(bounds) - 1)
    x = cell.left + 0.5 * (cell.width - whole)
    for view, (x0, y0, x1, y1) in bounds.items():
        drawing = scene.drawing(poses, view=view, situation=told, bounds=bounds[view])
        if paths:
            drawing = with_paths(drawing, scene.project, paths, poses, view, told=True)
        labels = tuple(replace(label, size=SMALL) for label in drawing.labels)
        yield PlacedDrawing(
            drawing=replace(drawing, labels=labels),
            view=view,
            x=x - x0 * ratio,
            y=0.5 * (low + high) - 0.5 * (y0 + y1) * ratio,
            room=(cell.left + 1.0, low - PAD, cell.left + cell.width - 1.0, high + PAD),
        )
        x += (x1 - x0) * ratio + BETWEEN
