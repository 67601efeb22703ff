"""Overlaps as they are drawn: the common area itself, outlined and hatched, with its depth in figures."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from core.document.lengths import small_length
from core.document.project import Project
from core.drawing.drawing import Geometry, Label, Line, Mark, Tint
from core.drawing.pieces import rings_of
from core.interference.interference import Overlap

OFFSET = (6.0, 5.0)
"""Millimetres on paper by which a depth stands off its place."""
Pairs = Collection[frozenset[str]]


class KeptOverlapMarks:
    """The marks of one view's overlaps: with the same geometry as before where the overlap is the same."""

    def __init__(self) -> None:
        self._last: list[tuple[Overlap, Geometry]] = []

    def marks(self, overlaps: Sequence[Overlap], accepted: Pairs) -> Iterator[Mark]:
        """Those of accepted pairs are drawn more quietly."""
        self._last = [(one, self._geometry(one)) for one in overlaps]
        for overlap, geometry in self._last:
            if frozenset(overlap.parts) in accepted:
                yield Mark(geometry=geometry, line=Line.THIN, hatched=True)
            else:
                yield Mark(geometry=geometry, line=Line.CLASH, tint=Tint.CLASH, hatched=True)

    def _geometry(self, overlap: Overlap) -> Geometry:
        known = next((geometry for one, geometry in self._last if one is overlap), None)
        return known or Geometry(rings=rings_of(overlap.area))


def overlap_label(project: Project, overlap: Overlap, accepted: Pairs) -> Label:
    text = f"{small_length(project, overlap.depth)} deep"
    if frozenset(overlap.parts) in accepted:
        return Label(text=f"{text}, accepted", at=overlap.at, offset=OFFSET, faint=True)
    return Label(text=text, at=overlap.at, offset=OFFSET, clash=True, boxed=True)
