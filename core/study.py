"""The only code that walks the row: project, mechanism, motion, interference, findings.

Each stage is a pure function of the one before it and is kept while its input stays the same.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from core.document.project import Project, Sequence
from core.errors import SenselessRequest
from core.findings.collect import collect
from core.findings.finding import Finding
from core.interference.check import interfere
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """A project, solved and checked."""

    project: Project
    mechanism: Mechanism
    parts: Parts
    pairs: Pairs
    sequences: tuple[SequenceStudy, ...]

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

    `previous` is a study of an earlier state of the same project: what its edit left alone is taken from it.
    Raises SenselessRequest for a sequence that does not exist, StudyCancelled when `cancelled` answers yes.
    """
    wanted = sequences_of(project, sequence)
    same_linkage = previous is not None and _same(previous.project, project, ("bodies", "connections", "drives"))
    same_outlines = same_linkage and _same(previous.project, project, ("views", "pairs", "least_clearance"))
    mechanism = previous.mechanism if same_linkage else build(project)
    parts = previous.parts if same_outlines else parts_of(project)
    pairs = previous.pairs if same_outlines else checked_pairs(project, parts)

    studies: list[SequenceStudy] = []
    for number, one in enumerate(wanted):
        if cancelled is not None and cancelled():
            raise StudyCancelled
        if progress is not None:
            progress(one.name or one.id, number / len(wanted))
        before = previous.sequence(one.id) if previous is not None else None
        studies.append(
            _study_sequence(
                project,
                one,
                mechanism,
                parts,
                pairs,
                frames=frames,
                before=before,
                same_linkage=same_linkage,
                same_outlines=same_outlines,
                cancelled=cancelled,
            )
        )
    if progress is not None:
        progress("done", 1.0)
    return Study(project=project, mechanism=mechanism, parts=parts, pairs=pairs, sequences=tuple(studies))


def _same(before: Project, now: Project, parts: tuple[str, ...]) -> bool:
    """Whether an edit left these parts of the project alone; an edit keeps what it does not touch, as the same object."""
    return all(getattr(before, part) is getattr(now, part) or getattr(before, part) == getattr(now, part) for part in parts)


def _study_sequence(
    project: Project,
    sequence: Sequence,
    mechanism: Mechanism,
    parts: Parts,
    pairs: Pairs,
    *,
    frames: int | None,
    before: SequenceStudy | None,
    same_linkage: bool,
    same_outlines: bool,
    cancelled: Cancelled | None,
) -> SequenceStudy:
    schedule = lay_out(sequence)
    times = frame_times(schedule, frames)
    unchanged = before is not None and before.sequence == sequence and len(before.motion.times) == len(times)
    if unchanged and same_linkage:
        motion = before.motion
    else:
        motion = solve_motion(mechanism, schedule, times)
    if cancelled is not None and cancelled():
        raise StudyCancelled
    if unchanged and same_outlines:
        interference = before.interference
    else:
        interference = interfere(parts, pairs, motion, cancelled=cancelled)
    if cancelled is not None and cancelled():
        raise StudyCancelled
    findings = collect(project, sequence, motion, interference)
    return SequenceStudy(
        sequence=sequence, schedule=schedule, motion=motion, interference=interference, findings=findings
    )
