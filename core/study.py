"""The only code that walks the row: project, mechanism, motion, interference, findings.

Each stage is a pure function of the one before it and is kept while its input stays the same.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.looks import plain
from core.document.project import Drawn, Project, Sequence
from core.errors import CheckCancelled, SenselessRequest
from core.figures.evaluate import evaluate
from core.figures.result import FigureResult
from core.findings.collect import collect
from core.findings.finding import Finding
from core.interference.check import interfere
from core.interference.earlier import Checked
from core.interference.interference import Interference
from core.interference.pairs import Pairs, checked_pairs
from core.interference.placement import Parts, parts_of
from core.mechanism.build import build
from core.mechanism.mechanism import Mechanism
from core.motion.motion import Motion
from core.motion.schedule import Schedule, frame_times, lay_out
from core.motion.solve import solve_motion

DRAWN_POSITION = Sequence(id="drawn", name="Drawn position")
"""What is studied of a project that has no sequence yet."""

Progress = Callable[[str, float], None]
"""Called with what is being done and how much of the whole is done, 0 to 1."""
Cancelled = Callable[[], bool]


class StudyCancelled(Exception):
    """The study was asked to stop; nothing of it is kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SequenceStudy:
    """One sequence, solved and checked."""

    sequence: Sequence
    schedule: Schedule
    motion: Motion
    interference: Interference
    findings: tuple[Finding, ...]
    """What is wrong and not accepted, worst first."""
    accepted: tuple[Finding, ...] = ()
    """What the builder lives with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """A project, solved and checked."""

    project: Project
    mechanism: Mechanism
    parts: Parts
    pairs: Pairs
    sequences: tuple[SequenceStudy, ...]
    figures: tuple[FigureResult, ...] = ()

    def sequence(self, sequence_id: str) -> SequenceStudy | None:
        return next((part for part in self.sequences if part.sequence.id == sequence_id), None)


def sequences_of(project: Project, wanted: str | None = None) -> tuple[Sequence, ...]:
    """The sequences to study: all, or the one that is named."""
    sequences = project.sequences or (DRAWN_POSITION,)
    if wanted is None:
        return sequences
    for sequence in sequences:
        if sequence.id == wanted:
            return (sequence,)
    known = ", ".join(sequence.id for sequence in sequences)
    raise SenselessRequest(f"there is no sequence {wanted!r}; the project has {known}")


def run(
    project: Project,
    *,
    sequence: str | None = None,
    frames: int | None = None,
    previous: Study | None = None,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
) -> Study:
    """Solve and check every sequence of a project, or the one named, at `frames` moments each.

    `previous` is a study of an earlier state, in general of the same project: what is still alike is taken from it.
    Raises SenselessRequest for a sequence that does not exist, StudyCancelled when `cancelled` answers yes.
    """
    wanted = sequences_of(project, sequence)
    kept = _what_stays(previous, project)
    mechanism = build(project) if kept.mechanism is None else kept.mechanism
    parts = parts_of(project, previous.parts if previous is not None else None) if kept.parts is None else kept.parts
    pairs = checked_pairs(project, parts) if kept.pairs is None else kept.pairs

    studies: list[SequenceStudy] = []
    for number, one in enumerate(wanted):
        _stop_if(cancelled)
        if progress is not None:
            progress(one.name or one.id, number / len(wanted))
        before = earlier = previous.sequence(one.id) if previous is not None else None
        schedule = lay_out(one)
        times = frame_times(schedule, frames)
        if before is not None and (not _same_course(before.sequence, one) or len(before.motion.times) != len(times)):
            before = None
        motion = (
            before.motion
            if before and kept.mechanism
            else solve_motion(mechanism, schedule, times, None if before is None else before.motion)
        )
        _stop_if(cancelled)
        interference = (
            before.interference
            if before and kept.outlines
            else _check(parts, pairs, motion, _checked(previous, earlier), cancelled)
        )
        _stop_if(cancelled)
        findings = collect(project, one, motion, interference)
        studies.append(
            SequenceStudy(
                sequence=one,
                schedule=schedule,
                motion=motion,
                interference=interference,
                findings=tuple(finding for finding in findings if finding.accepted is None),
                accepted=tuple(finding for finding in findings if finding.accepted is not None),
            )
        )
    figures = evaluate(project, _motions(project, mechanism, studies, frames))
    if progress is not None:
        progress("done", 1.0)
    return Study(
        project=project, mechanism=mechanism, parts=parts, pairs=pairs, sequences=tuple(studies), figures=figures
    )


def _motions(
    project: Project, mechanism: Mechanism, studies: list[SequenceStudy], frames: int | None
) -> Callable[[str], Motion]:
    """The motion of a sequence by its id; one that a figure asks for and that was not studied is solved for it."""
    solved = {one.sequence.id: one.motion for one in studies}

    def motion_of(sequence_id: str) -> Motion:
        if sequence_id not in solved:
            (sequence,) = sequences_of(project, sequence_id)
            schedule = lay_out(sequence)
            solved[sequence_id] = solve_motion(mechanism, schedule, frame_times(schedule, frames))
        return solved[sequence_id]

    return motion_of


def _check(
    parts: Parts, pairs: Pairs, motion: Motion, previous: Checked | None, cancelled: Cancelled | None
) -> Interference:
    try:
        return interfere(parts, pairs, motion, previous=previous, cancelled=cancelled)
    except CheckCancelled:
        raise StudyCancelled from None


def _checked(study: Study | None, sequence: SequenceStudy | None) -> Checked | None:
    """What was checked of a sequence before, of which some pairs may stay as they are."""
    if study is None or sequence is None:
        return None
    return Checked(pairs=study.pairs, found=sequence.interference)


def _stop_if(cancelled: Cancelled | None) -> None:
    if cancelled is not None and cancelled():
        raise StudyCancelled


@dataclass(frozen=True, slots=True)
class _Kept:
    """What an earlier study lends to this one; None and False where it has to be made anew."""

    mechanism: Mechanism | None = None
    parts: Parts | None = None
    pairs: Pairs | None = None
    outlines: bool = False
    """Whether what is checked against what, and its shape, stayed the same."""


def _what_stays(previous: Study | None, project: Project) -> _Kept:
    """Compares by value, and by identity first, since an edit keeps what it does not touch as the same object."""
    if previous is None or not _alike(previous.project, project, ("bodies", "connections", "drives")):
        return _Kept()
    outlines = _alike(previous.project, project, ("views", "pairs", "least_clearance"))
    # Parts carry names for people, so a new name makes new parts, though nothing has to be solved or checked for it.
    renamed = (previous.project.bodies, previous.project.connections) != (project.bodies, project.connections)
    if not outlines or renamed:
        return _Kept(previous.mechanism, outlines=outlines)
    return _Kept(previous.mechanism, previous.parts, previous.pairs, outlines=True)


def _same_course(before: Sequence, now: Sequence) -> bool:
    """Whether two sequences move alike; what they are called and which moments are pinned moves nothing."""
    return before == now or replace(before, name="", pinned=()) == replace(now, name="", pinned=())


def _alike(before: Project, now: Project, fields: tuple[str, ...]) -> bool:
    """Whether these fields are the same but for names and looks."""
    return all(
        getattr(before, name) is getattr(now, name) or _plain(getattr(before, name)) == _plain(getattr(now, name))
        for name in fields
    )


def _plain(things: object) -> object:
    if not isinstance(things, tuple):
        return things
    return tuple(
        plain(thing) if isinstance(thing, Drawn) else replace(thing, name="") if hasattr(thing, "name") else thing
        for thing in things
    )
