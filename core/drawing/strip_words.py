"""What is written on a frame strip: a heading and small text for each frame, and the title with its scale bar."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from core.document.lengths import length_unit, plain_unit, shown_length, small_length, unit_words
from core.document.looks import hidden_in, hidden_words
from core.document.names import name_of
from core.document.project import Pivot, Project
from core.drawing.drawing import Drawing, Geometry, Label, Line, Mark, Tint
from core.drawing.paper import BORDER, FILING_BORDER, Paper, Scale
from core.drawing.pieces import lines_of
from core.drawing.situation import Situation
from core.findings.finding import Finding, Kind
from core.findings.sentences import Names
from core.motion.schedule import active_step
from core.motion.trouble import Jam
from core.study import SequenceStudy
from core.units import LENGTH_UNITS, format_angle

CAUTION = "Checks a drawing, not an aeroplane."
HEAD = 8.0
"""Height of a frame's heading, mm."""
LINE = 3.4
"""Height of a line of small text."""
PAD = 3.0
SMALL, PLAIN, LARGE = 1.8, 2.5, 3.5
"""Heights of capitals, from ISO 3098's series."""
LETTER = 0.8
"""How wide a letter is reckoned, in heights of capitals."""
APART = "   "
NAMED = 2
"""Of the connections that are jammed, so many are named, and the others counted."""
STILL = 1e-9
"""A drive that changes by no more over the sequence is not told of."""
BAR = 45.0
"""Millimetres on paper that the scale bar comes to at the most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """The part of the sheet that one frame has, from its lower left, mm."""

    left: float
    bottom: float
    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameWords:
    """What is written of one frame."""

    number: int
    time: float
    step: str
    drives: tuple[str, ...]
    wrong: tuple[str, ...] = ()
    """A line each for what overlaps, what is jammed, and which latch has not taken hold."""


def frame_words(
    project: Project, study: SequenceStudy, told: Situation, time: float, number: int, views: set[str]
) -> FrameWords:
    step = active_step(study.schedule, time)
    return FrameWords(
        number=number,
        time=time,
        step=study.schedule.step(step).name if step is not None else "",
        drives=tuple(_drive_values(project, study, time)),
        wrong=tuple(_wrong_words(project, study, told, time, views)),
    )


def text_lines(words: Sequence[FrameWords], cell: Cell, *, several_views: bool) -> int:
    """How many lines of small text frames need under their drawings in cells of one size."""
    return len(_lines(words, cell)) + max((len(frame.wrong) for frame in words), default=0) + int(several_views)


def sheet_drawing(
    project: Project,
    study: SequenceStudy,
    title: str,
    paper: Paper,
    scale: Scale,
    cells: Sequence[Cell],
    words: Sequence[FrameWords],
    stands: Sequence[Sequence[tuple[str, float, float]]],
) -> Drawing:
    """Everything on the sheet but the frames' drawings; `stands`: each frame's views, their middles and widths."""
    names = {view.id: name_of(view) for view in project.views}
    labels: list[Label] = []
    lines = _lines(words, cells[0])
    for cell, frame, views in zip(cells, words, stands, strict=True):
        labels.extend(_frame_labels(cell, frame, lines))
        if len(views) > 1:
            at_y = cell.bottom + PAD + LINE * (text_lines(words, cell, several_views=True) - 1)
            labels.extend(
                Label(text=names[view], at=(x, at_y), anchor=(0.5, 0.0), size=SMALL, within=wide, faint=True)
                for view, x, wide in views
            )
    bar_marks, bar_labels = _scale_bar(project, paper, scale)
    return Drawing(
        marks=(*_sheet_lines(paper, cells), *bar_marks),
        labels=(*labels, *_title_labels(project, study, title, paper, scale, len(words)), *bar_labels),
        bounds=(0.0, 0.0, paper.width, paper.height),
    )


FOUND: Mapping[Kind, tuple[str, str]] = MappingProxyType({
    Kind.JAMMED: ("jam", "jams"),
    Kind.CLASH: ("clash", "clashes"),
    Kind.LOOSE: ("loose", "loose"),
    Kind.LATCH: ("latch out of reach", "latches out of reach"),
    Kind.TRAVEL: ("beyond its travel", "beyond their travel"),
    Kind.EARLY: ("step that begins too soon", "steps that begin too soon"),
    Kind.TARGET: ("off its target", "off their targets"),
    Kind.TIGHT: ("nearer than wanted", "nearer than wanted"),
    Kind.DEAD_CENTRE: ("dead centre", "dead centres"),
    Kind.REDUNDANT: ("connection more than needed", "connections more than needed"),
})  # fmt: skip
"""What is counted of each kind: one, and several."""


def found_words(findings: Sequence[Finding]) -> str:
    """What a check found, by kind, worst first: a strip may show none of it, since it shows moments only."""
    if not findings:
        return "The check of this sequence found nothing."
    counts = Counter(finding.kind for finding in findings)
    told = (f"{counts[kind]} {FOUND[kind][counts[kind] > 1]}" for kind in Kind if counts[kind])
    return f"The check of this sequence found: {', '.join(told)}"


def _drive_values(project: Project, study: SequenceStudy, time: float) -> Iterator[str]:
    motion = study.motion
    drives = {drive.id: drive for drive in project.drives}
    pivots = {one.id for one in project.connections if isinstance(one, Pivot)}
    for number, drive_id in enumerate(motion.drive_ids):
        if np.ptp(motion.drives[:, number]) < STILL:
            continue
        drive = drives[drive_id]
        value = float(np.interp(time, motion.times, motion.drives[:, number]))
        turns = drive.on in pivots
        text = format_angle(value, decimals=1) if turns else shown_length(project, value)
        yield f"{name_of(drive)} {text}"


def _wrong_words(
    project: Project, study: SequenceStudy, told: Situation, time: float, views: set[str]
) -> Iterator[str]:
    if clash := _clash_words(project, told, views):
        yield clash
    names = Names(project)
    jams = [one for one in study.motion.troubles if isinstance(one, Jam) and one.begin <= time <= one.end]
    if jams:
        yield f"Jammed: {_few((thing for jam in jams for thing in jam.connections or jam.bodies), names)}"
    if told.missed:
        yield f"Not locked: {_few(sorted(told.missed), names)}"


def _few(things: Iterable[str], names: Names) -> str:
    """The first two by name, and how many more."""
    known = tuple(dict.fromkeys(things))
    if len(known) <= NAMED + 1:
        return names.listed(known)
    return f"{', '.join(map(names, known[:NAMED]))} and {len(known) - NAMED} more"


def _clash_words(project: Project, told: Situation, views: set[str]) -> str:
    overlaps = [one for one in told.overlaps if one.view in views and frozenset(one.parts) not in told.accepted]
    if not overlaps:
        return ""
    names, first = Names(project), overlaps[0]
    more = f", and {len(overlaps) - 1} more" if len(overlaps) > 1 else ""
    depth = small_length(project, first.depth)
    return f"Clash: {names.listed(first.parts)}, {depth}{more}"


def _frame_labels(cell: Cell, frame: FrameWords, lines: Sequence[Sequence[int]]) -> Iterator[Label]:
    room, left = cell.width - 2.0 * PAD, cell.left + PAD
    top = cell.bottom + cell.height - HEAD + 2.6
    yield Label(text=str(frame.number), at=(left, top), size=LARGE, strong=True)
    yield Label(text=f"{frame.time:.2f} s", at=(left + 10.0, top), size=PLAIN)
    if frame.step:
        at = (left + room, top)
        yield Label(text=frame.step, at=at, anchor=(1.0, 0.0), size=PLAIN, within=max(room - 25.0, 5.0))
    low = cell.bottom + 0.7 * PAD
    for number, line in enumerate(reversed(lines)):
        text = APART.join(frame.drives[drive] for drive in line)
        yield Label(text=text, at=(left, low + LINE * number), size=SMALL, within=room, faint=True)
    for number, text in enumerate(reversed(frame.wrong), len(lines)):
        yield Label(text=text, at=(left, low + LINE * number), size=SMALL, within=room, clash=True)


def _lines(words: Sequence[FrameWords], cell: Cell) -> list[list[int]]:
    """Which drives' values stand on each line: as few lines as hold them in every frame, and the same in all."""
    room = (cell.width - 2.0 * PAD) / (LETTER * SMALL)
    lines: list[list[int]] = []
    used = 0.0
    for drive in range(len(words[0].drives)):
        longest = max(len(frame.drives[drive]) for frame in words)
        if lines and used + len(APART) + longest <= room:
            lines[-1].append(drive)
            used += len(APART) + longest
        else:
            lines.append([drive])
            used = longest
    return lines


def _sheet_lines(paper: Paper, cells: Sequence[Cell]) -> Iterator[Mark]:
    """The sheet's frame, the line above its title, and thin ones about the cells."""
    left, right, low, high = FILING_BORDER, paper.width - BORDER, BORDER, paper.height - BORDER
    foot = min(cell.bottom for cell in cells)
    for cell in cells:
        x, y = cell.left + cell.width, cell.bottom
        yield Mark(geometry=lines_of([(x, y + cell.height), (x, y), (cell.left, y)]), line=Line.THIN)
    yield Mark(geometry=lines_of([(left, foot), (right, foot)]), line=Line.OUTLINE)
    yield Mark(geometry=Geometry(rings=(np.array([(left, low), (right, low), (right, high), (left, high)]),)))


def _title_labels(
    project: Project, study: SequenceStudy, title: str, paper: Paper, scale: Scale, frames: int
) -> Iterator[Label]:
    left, right = FILING_BORDER + PAD, paper.width - BORDER - PAD
    upper, lower = BORDER + 11.6, BORDER + 6.2
    room = 0.5 * (right - left)
    yield Label(text=title, at=(left, upper), size=LARGE, strong=True, within=room)
    count = "1 frame" if frames == 1 else f"{frames} frames"
    model = f"model at 1 : {project.aircraft.scale:g}" if project.aircraft.scale != 1.0 else "full-size model"
    yield Label(
        text=f"{count} over {study.schedule.seconds:.2f} s{APART}{model}{APART}{CAUTION}",
        at=(left, lower),
        size=SMALL,
        within=room,
    )
    hidden = hidden_words(len(hidden_in(project)))
    found = APART.join(words for words in (found_words(study.findings), hidden) if words)
    yield Label(text=found, at=(left, lower - 3.6), size=SMALL, within=room, clash=bool(study.findings))
    yield Label(text=f"Scale {scale}", at=(right, upper), anchor=(1.0, 0.0), size=LARGE, strong=True)
    said = f"{paper.name}, lengths in {unit_words(length_unit(project))}"
    yield Label(text=said, at=(right, lower), anchor=(1.0, 0.0), size=SMALL, faint=True)


def _scale_bar(project: Project, paper: Paper, scale: Scale) -> tuple[list[Mark], list[Label]]:
    """A bar of a round length on the model, in parts filled by turns."""
    unit = LENGTH_UNITS[plain_unit(project)]
    longest = BAR / scale.ratio / unit
    power = 10.0 ** math.floor(math.log10(longest))
    length = next(power * step for step in (5.0, 2.0, 1.0) if power * step <= longest)
    on_paper = length * unit * scale.ratio
    left, low, high = paper.width - BORDER - PAD - 34.0 - BAR, BORDER + 8.2, BORDER + 10.2
    step = on_paper / 5.0
    marks = [
        Mark(geometry=_box(left + step * part, low, left + step * (part + 1), high), line=Line.THIN, tint=tint)
        for part, tint in enumerate((Tint.INK, Tint.PAPER, Tint.INK, Tint.PAPER, Tint.INK))
    ]
    end = shown_length(project, length * unit)
    labels = [
        Label(text="0", at=(left, low - 2.9), anchor=(0.5, 0.0), size=SMALL),
        Label(text=end, at=(left + on_paper, low - 2.9), anchor=(0.5, 0.0), size=SMALL),
    ]
    return marks, labels


def _box(left: float, low: float, right: float, high: float) -> Geometry:
    return Geometry(rings=(np.array([(left, low), (right, low), (right, high), (left, high)]),))
