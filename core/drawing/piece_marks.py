"""The marks of what is drawn, where it stands at a moment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.drawing.drawing import Line, Mark
from core.drawing.pieces import Piece
from core.drawing.placing import piece_pose
from core.geometry.planar import Floats


class KeptPieceMarks:
    """The marks of a view's pieces: the same objects as before of what is the same and stands in the same poses, so
    that a hand that moves one thing has the marks of that made anew."""

    def __init__(self) -> None:
        self._poses: Floats | None = None
        self._chosen: str | None = None
        self._marks: dict[Piece, tuple[Mark, ...]] = {}

    def marks(self, pieces: Sequence[Piece], poses: Floats, chosen: str | None) -> Iterator[Mark]:
        """`poses` (B, 3) are known again by which they are, so they must not be written to."""
        same = poses is self._poses and chosen == self._chosen
        known = self._marks if same else {}
        self._marks = {
            piece: known[piece] if piece in known else tuple(_marks_of(piece, poses, chosen)) for piece in pieces
        }
        self._poses, self._chosen = poses, chosen
        for marks in self._marks.values():
            yield from marks


def _marks_of(piece: Piece, poses: Floats, chosen: str | None) -> Iterator[Mark]:
    pose = piece_pose(piece, poses)
    for detail in piece.details:
        yield Mark(
            geometry=detail.geometry,
            pose=pose,
            line=detail.line,
            tint=detail.tint,
            chosen=piece.owner == chosen and detail.line is Line.OUTLINE,
            owner=piece.owner,
        )
