"""Ghosts: where what moves stands at other moments, in the line of extreme positions (ISO 128-2, long-dashed
double-dotted), each told by its moment."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.drawing.drawing import Label, Line, Mark, Pose
from core.drawing.pieces import Piece
from core.drawing.placing import piece_pose, settled
from core.geometry.planar import Floats
from core.geometry.poses import carried, carried_point
from core.motion.motion import Motion
from core.units import format_number

Point = tuple[float, float]

SAME_PLACE = 1e-4
"""A ghost no further off than this, mm and radians, is not drawn."""
LABEL_OFFSET = (5.0, 4.0)
"""Millimetres on paper by which a ghost's moment stands off its body."""


@dataclass(frozen=True, slots=True, eq=False)
class Ghost:
    """Where the bodies stand, (B, 3), at a moment, and what is said of it."""

    poses: Floats
    words: str = ""


def ghosts_of(motion: Motion, *, start: bool, end: bool, pinned: Sequence[float] = ()) -> tuple[Ghost, ...]:
    """Ghosts of the ends that are wanted and of pinned moments, seconds; one after the end means the end."""
    first, last = float(motion.times[0]), float(motion.times[-1])
    ends = ((start, "start", first), (end, "end", last))
    wanted = [(words, time) for is_wanted, words, time in ends if is_wanted]
    wanted += [(seconds_text(time), time) for time in (min(one, last) for one in pinned)]
    if not wanted:
        return ()
    poses = settled(motion.poses_at(np.array([time for _, time in wanted])))
    return tuple(Ghost(at, words) for at, (words, _) in zip(poses, wanted, strict=True))


def seconds_text(time: float) -> str:
    """A moment to a thousandth of a second, without noughts that say nothing."""
    return f"{format_number(time, decimals=3)} s"


def at_one_place(ghosts: Sequence[Ghost]) -> tuple[Ghost, ...]:
    """The ghosts without those that stand where an earlier one does, which says their moments as well."""
    kept: list[Ghost] = []
    for ghost in ghosts:
        same = next((n for n, one in enumerate(kept) if np.all(np.abs(one.poses - ghost.poses) <= SAME_PLACE)), None)
        if same is None:
            kept.append(ghost)
        elif ghost.words:
            kept[same] = replace(kept[same], words=", ".join(filter(None, (kept[same].words, ghost.words))))
    return tuple(kept)


def ghost_marks(pieces: Sequence[Piece], poses: Floats, ghosts: Sequence[Ghost], *, chosen: bool) -> Iterator[Mark]:
    """Outlines of what moves, where it stands elsewhere than at (B, 3) `poses`."""
    for ghost in ghosts:
        yield from _marks_of(ghost, _elsewhere(poses, ghost), pieces, chosen=chosen)


class KeptGhosts:
    """The marks of ghosts in a view: those of a ghost's pieces are the same objects for as long as it has them at one
    place, and their bodies do not pass it."""

    def __init__(self) -> None:
        self._kept: list[tuple[Ghost, list[bool], dict[Piece, tuple[Mark, ...]]]] = []
        """Each ghost with which bodies stood elsewhere."""

    def marks(self, pieces: Sequence[Piece], poses: Floats, ghosts: Sequence[Ghost]) -> Iterator[Mark]:
        """As `ghost_marks`."""
        kept, self._kept = self._kept, []
        for number, ghost in enumerate(ghosts):
            elsewhere = _elsewhere(poses, ghost)
            known: dict[Piece, tuple[Mark, ...]] = {}
            same = [False] * len(elsewhere)
            if number < len(kept) and len(kept[number][1]) == len(elsewhere):
                last, were, known = kept[number]
                stays = np.all(last.poses == ghost.poses, axis=1) & (np.array(were) == elsewhere)
                same = stays.tolist()
            made = {
                piece: known[piece]
                if piece in known and same[piece.bodies[0]] and same[piece.bodies[1]]
                else tuple(_marks_of(ghost, elsewhere, (piece,), chosen=False))
                for piece in pieces
            }
            self._kept.append((ghost, elsewhere, made))
            for marks in made.values():
                yield from marks


def _marks_of(ghost: Ghost, elsewhere: list[bool], pieces: Sequence[Piece], *, chosen: bool) -> Iterator[Mark]:
    for piece in pieces:
        if piece.moves and (elsewhere[piece.bodies[0]] or elsewhere[piece.bodies[1]]):
            yield from outlines(piece, piece_pose(piece, ghost.poses), Line.GHOST, chosen=chosen)


def outlines(piece: Piece, pose: Pose, line: Line, *, chosen: bool = False) -> Iterator[Mark]:
    for detail in piece.details:
        if detail.line is Line.OUTLINE:
            yield Mark(geometry=detail.geometry, pose=pose, line=line, faint=not chosen, chosen=chosen)


def ghost_labels(inside: Mapping[int, Point], poses: Floats, ghosts: Sequence[Ghost]) -> Iterator[Label]:
    """Each ghost's moment, once a view, on the body by which the ghosts are told apart best.

    `inside` has a point within each moving body of the view, by its number.
    """
    number = _told_best(inside, poses, ghosts)
    for ghost in ghosts:
        if number is not None and ghost.words and _elsewhere(poses, ghost)[number]:
            at = carried_point(ghost.poses[number], inside[number])
            yield Label(text=ghost.words, at=at, offset=LABEL_OFFSET, faint=True, boxed=True)


def _told_best(inside: Mapping[int, Point], poses: Floats, ghosts: Sequence[Ghost]) -> int | None:
    """The body that goes farthest from one ghost to another, of those that go as far the first; with one alone, from
    where it stands.

    That does not change while a moment is scrubbed, so that labels do not jump from body to body.
    """
    stands = [ghost.poses for ghost in ghosts]
    if len(stands) == 1:
        stands.append(poses)
    if not inside or not stands:
        return None
    numbers = list(inside)
    places = carried(np.stack(stands)[:, numbers], np.array([inside[number] for number in numbers]))
    off = places - places[0]
    gone = np.nan_to_num(np.hypot(off[..., 0], off[..., 1])).max(axis=0)
    farthest = float(gone.max())
    return numbers[int(np.argmax(gone >= farthest - SAME_PLACE))] if farthest > SAME_PLACE else None


def _elsewhere(poses: Floats, ghost: Ghost) -> list[bool]:
    elsewhere: list[bool] = np.any(np.abs(poses - ghost.poses) > SAME_PLACE, axis=1).tolist()
    return elsewhere
