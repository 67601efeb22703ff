"""The only code that walks the row: project, mechanism, motion, interference, findings.

Each stage is a pure function of the one before it and is kept while its input stays the same.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.looks import plain
from core.document.names import name_of
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


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """What is to be studied."""

    project: Project
    looked_at: str | None = None
    """The sequence that cannot wait, by id; None where none can."""


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
    pairs: Pairs | None = None
    """What was checked against what, for the next check to take over from; None where it is not kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """A project, solved and checked."""

    project: Project
    mechanism: Mechanism
    parts: Parts
    pairs: Pairs
    sequences: tuple[SequenceStudy, ...]
    figures: tuple[FigureResult, ...] = ()
    behind: frozenset[str] = frozenset()
    """The sequences of which this is what was found of an earlier state of the project, as are the figures then."""

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
    looked_at: str | None = None,
    previous: Study | None = None,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
) -> Study:
    """Solve and check every sequence of a project, or the one named, at `frames` moments each.

    `previous` is a study of an earlier state, in general of the same project: what is still alike is taken from it.
    With a sequence that is `looked_at`, by id, others that would have to be found anew stand as `previous` found them,
    and are said to be behind. Raises SenselessRequest for a sequence that does not exist, CheckCancelled when
    `cancelled` answers yes.
    """
    wanted = sequences_of(project, sequence)
    kept = _what_stays(previous, project)
    mechanism = build(project) if kept.mechanism is None else kept.mechanism
    parts = parts_of(project, previous.parts if previous is not None else None) if kept.parts is None else kept.parts
    pairs = checked_pairs(project, parts) if kept.pairs is None else kept.pairs
    of_one = _OfOne(project, mechanism, parts, pairs, previous, kept, frames, cancelled)

    studies: list[SequenceStudy] = []
    behind: set[str] = set()
    for number, one in enumerate(wanted):
        _stop_if(cancelled)
        if progress is not None:
            progress(name_of(one), number / len(wanted))
        waits = of_one.as_it_was(one) if looked_at not in (None, one.id) else None
        if waits is not None:
            behind.add(one.id)
        studies.append(of_one.studied(one) if waits is None else waits)
    if previous is not None and behind:
        figures = previous.figures
    else:
        figures = evaluate(project, _motions(project, mechanism, studies, frames))
    if progress is not None:
        progress("done", 1.0)
    return Study(
        project=project,
        mechanism=mechanism,
        parts=parts,
        pairs=pairs,
        sequences=tuple(studies),
        figures=figures,
        behind=frozenset(behind),
    )


@dataclass(frozen=True, slots=True)
class _OfOne:
    """What a sequence is studied with."""

    project: Project
    mechanism: Mechanism
    parts: Parts
    pairs: Pairs
    previous: Study | None
    kept: _Kept
    frames: int | None
    cancelled: Cancelled | None

    def as_it_was(self, sequence: Sequence) -> SequenceStudy | None:
        """What was found of a sequence before, where it would have to be found anew and tells of the same things."""
        before = None if self.previous is None else self.previous.sequence(sequence.id)
        if before is None or self.previous is None or _things(self.previous.project) != _things(self.project):
            return None
        stands = self._is_fresh(sequence) and self.kept.mechanism and self.kept.outlines
        return None if stands and _same_course(before.sequence, sequence) else before

    def studied(self, sequence: Sequence) -> SequenceStudy:
        earlier = None if self.previous is None else self.previous.sequence(sequence.id)
        schedule = lay_out(sequence)
        times = frame_times(schedule, self.frames)
        before = earlier
        if before is not None and (
            not _same_course(before.sequence, sequence) or len(before.motion.times) != len(times)
        ):
            before = None
        fresh = before if self._is_fresh(sequence) else None
        motion = (
            fresh.motion
            if fresh and self.kept.mechanism
            else solve_motion(self.mechanism, schedule, times, None if before is None else before.motion)
        )
        _stop_if(self.cancelled)
        interference = (
            fresh.interference
            if fresh and self.kept.outlines
            else interfere(self.parts, self.pairs, motion, previous=_checked(earlier), cancelled=self.cancelled)
        )
        _stop_if(self.cancelled)
        findings = collect(self.project, sequence, motion, interference, self.parts)
        return SequenceStudy(
            sequence=sequence,
            schedule=schedule,
            motion=motion,
            interference=interference,
            findings=tuple(finding for finding in findings if finding.accepted is None),
            accepted=tuple(finding for finding in findings if finding.accepted is not None),
            pairs=self.pairs,
        )

    def _is_fresh(self, sequence: Sequence) -> bool:
        """Whether what was found of a sequence before is of the same state as the rest."""
        return self.previous is not None and sequence.id not in self.previous.behind


def _things(project: Project) -> tuple[tuple[str, ...], ...]:
    """The ids of what a sequence's findings tell of."""
    return tuple(tuple(one.id for one in things) for things in (project.bodies, project.connections, project.drives))


def figures_of(project: Project) -> tuple[FigureResult, ...]:
    """A project's figures alone: only the sequences that they ask for are solved, and nothing is checked."""
    return evaluate(project, _motions(project, build(project), [], None))


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


def _checked(earlier: SequenceStudy | None) -> Checked | None:
    """What was checked of a sequence before, of which some pairs may stay as they are."""
    if earlier is None or earlier.pairs is None:
        return None
    return Checked(pairs=earlier.pairs, found=earlier.interference)


def _stop_if(cancelled: Cancelled | None) -> None:
    if cancelled is not None and cancelled():
        raise CheckCancelled


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
