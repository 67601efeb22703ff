"""A project at one moment as a drawing: bodies, connections, overlaps, what is loose, and ghosts of other moments."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import shapely

from core.document.lengths import small_length
from core.document.looks import not_drawn
from core.document.names import by_id, name_of
from core.document.project import Project, Target
from core.drawing.drawing import DRAWN, Drawing, Label, Line, Mark, Picture, Sign, Symbol
from core.drawing.extent import Bounds, extent
from core.drawing.ghosts import Ghost, KeptGhosts, at_one_place, ghost_labels, ghost_marks, outlines
from core.drawing.overlaps import KeptOverlapMarks, overlap_label
from core.drawing.piece_marks import KeptPieceMarks
from core.drawing.pieces import Piece, lines_of, pieces_after, pieces_of
from core.drawing.placing import piece_pose
from core.drawing.signs import Signs
from core.drawing.situation import Situation, brought_back
from core.findings.finding import Finding, Kind
from core.geometry.places import Places
from core.geometry.planar import Floats
from core.geometry.poses import carried_point
from core.interference.interference import Clearance
from core.interference.placement import Parts

NAME_OFFSET = (5.0, 3.5)
"""Millimetres on paper by which a name stands off its body where it has no room on it."""


@dataclass(frozen=True, slots=True)
class _Kept:
    """What was drawn of a view last, and may be drawn again."""

    ghosts: KeptGhosts = field(default_factory=KeptGhosts)
    pieces: KeptPieceMarks = field(default_factory=KeptPieceMarks)
    overlaps: KeptOverlapMarks = field(default_factory=KeptOverlapMarks)


class Scene:
    """Draws one project at any moment; what does not change from moment to moment is made once.

    `previous` lends the geometry of bodies and connections that an edit left alone, so that painters keep their paths.
    """

    def __init__(self, project: Project, parts: Parts, *, previous: Scene | None = None) -> None:
        self.project = project
        self.parts = parts
        self.pieces: tuple[Piece, ...] = (
            pieces_of(project, parts)
            if previous is None
            else pieces_after(project, parts, previous.project, previous.pieces)
        )
        self._signs: Signs = Signs(project, previous._signs if previous is not None else None)
        self._places = Places(project)
        self._hidden = not_drawn(project)
        same = previous is not None and previous.project.bodies is project.bodies
        self._inside: dict[str, tuple[float, float]]
        self._inside = previous._inside if previous is not None and same else _inside(project, parts)
        self._kept: dict[str, _Kept] = previous._kept if previous is not None else {}
        """By view."""
        self._targets = {target.id: target for target in project.targets}

    def drawing(
        self,
        poses: Floats,
        *,
        view: str,
        situation: Situation | None = None,
        chosen: str | None = None,
        ghosts: Sequence[Ghost] = (),
        swung: Floats | None = None,
        names: bool = False,
        folder: Path | None = None,
        bounds: Bounds | None = None,
    ) -> Drawing:
        """The view when the bodies stand at (B, 3) `poses`; `ghosts` show other moments.

        `swung`, (B, 3), is a ghost that is looked at for itself, and stands out. The traced drawing lies under it all
        where `folder`, the project's own, is given.
        """
        told = situation or Situation()
        back = brought_back(self._hidden, told, chosen)
        every = [piece for piece in self.pieces if piece.view == view]
        pieces = [piece for piece in every if piece.owner not in self._hidden]
        overlaps = [overlap for overlap in told.overlaps if overlap.view == view]
        ghosts, kept = at_one_place(ghosts), self._kept.setdefault(view, _Kept())
        marks = [
            *kept.ghosts.marks(pieces, poses, ghosts),
            *ghost_marks(every, poses, () if swung is None else (Ghost(swung),), chosen=True),
            *self._target_marks(every, told.finding, chosen),
            *kept.pieces.marks(pieces, poses, chosen),
            *_hidden_marks([piece for piece in every if piece.owner in back], poses, chosen),
            *kept.overlaps.marks(overlaps, told.accepted),
            *_gap_marks(told.gap, view),
        ]
        moving = {number: at for number, at in self._inside_of(view) if ghosts and self._has_ghosts(number)}
        labels = [
            *ghost_labels(moving, poses, ghosts),
            *(self._name_labels(view, poses, chosen) if names else ()),
            *self._loose_labels(view, poses, told.loose),
            *(overlap_label(self.project, overlap, told.accepted) for overlap in overlaps),
            *_gap_labels(self.project, told.gap, view),
        ]
        return Drawing(
            pictures=_pictures(self.project, view, folder),
            marks=tuple(marks),
            signs=tuple(
                replace(sign, owner=None) if sign.owner in self._hidden else sign
                for sign in self._all_signs(view, poses, told, chosen, self._hidden - back)
            ),
            labels=tuple(labels),
            bounds=bounds or extent(self.project, self.parts, poses[None], view) or (0.0, 0.0, 1.0, 1.0),
        )

    # ---- parts of it -------------------------------------------------------------------------------------------

    def _target_marks(self, pieces: list[Piece], finding: Finding | None, chosen: str | None) -> Iterator[Mark]:
        """Where a body ought to be: the chosen one, or that whose missing its target is shown."""
        missed = self._target(finding)
        for target in self._targets.values():
            if target is not missed and target.body != chosen:
                continue
            for piece in pieces:
                if piece.owner == target.body and piece.ends is None:
                    yield from outlines(piece, (target.x, target.y, math.radians(target.turn)), Line.HIDDEN)

    def _target(self, finding: Finding | None) -> Target | None:
        return self._targets.get(finding.target or "") if finding is not None and finding.kind is Kind.TARGET else None

    def _all_signs(
        self, view: str, poses: Floats, told: Situation, chosen: str | None, left_out: Collection[str]
    ) -> Iterator[Sign]:
        for sign in self._signs.at(poses, view, told.held, left_out):
            yield replace(sign, chosen=True) if chosen is not None and sign.owner == chosen else sign
        for body_id, at in self._bodies_at(view, poses) if told.loose else ():
            if body_id in told.loose:
                yield Sign(symbol=Symbol.LOOSE, at=at, owner=body_id)
        for one in sorted(told.jammed):
            place = self._places.connection(one, poses) if self._places.view_of_connection(one) == view else None
            if place is not None:
                yield Sign(symbol=Symbol.JAMMED, at=place, owner=one)
        finding = told.finding
        if finding is not None and finding.at is not None and finding.view in (view, None):
            yield Sign(symbol=Symbol.PLACE, at=finding.at)
        if finding is not None and finding.other_at is not None and finding.other_view == view:
            yield Sign(symbol=Symbol.PLACE, at=finding.other_at)

    def _loose_labels(self, view: str, poses: Floats, loose: Collection[str]) -> Iterator[Label]:
        for body_id, at in self._bodies_at(view, poses) if loose else ():
            if body_id in loose:
                yield Label(text="loose", at=at, offset=(4.0, 3.0), boxed=True, clash=True, owner=body_id)

    def _name_labels(self, view: str, poses: Floats, chosen: str | None) -> Iterator[Label]:
        """The chosen body's first, since what comes first finds room."""
        names = {body.id: name_of(body) for body in self.project.bodies}
        for body_id, at in sorted(self._bodies_at(view, poses), key=lambda one: one[0] != chosen):
            if body_id in self._hidden:
                continue
            yield Label(
                text=names[body_id], at=at, anchor=(0.5, 0.5), offset=NAME_OFFSET, optional=True,
                faint=body_id != chosen, boxed=True, owner=body_id,
            )  # fmt: skip

    def _bodies_at(self, view: str, poses: Floats) -> Iterator[tuple[str, tuple[float, float]]]:
        for index, inside in self._inside_of(view):
            yield self.project.bodies[index].id, carried_point(poses[index], inside)

    def _has_ghosts(self, number: int) -> bool:
        body = self.project.bodies[number]
        return not body.fixed and body.id not in self._hidden

    def _inside_of(self, view: str) -> Iterator[tuple[int, tuple[float, float]]]:
        """The number of each body of a view that has an outline, and a drawn point within it."""
        for index, body in enumerate(self.project.bodies):
            inside = self._inside.get(body.id)
            if body.view == view and inside is not None:
                yield index, inside


def scene(project: Project, parts: Parts, poses: Floats, *, view: str, situation: Situation | None = None) -> Drawing:
    """One drawing of a project whose next moment nobody asks for; poses (B, 3)."""
    return Scene(project, parts).drawing(poses, view=view, situation=situation)


def _inside(project: Project, parts: Parts) -> dict[str, tuple[float, float]]:
    """A drawn point within each body that has an outline."""
    known = {body.id for body in project.bodies}
    wanted = [i for i, part in enumerate(parts.ids) if part in known]
    points = shapely.get_coordinates(shapely.point_on_surface(parts.polygons[wanted])).tolist()
    return {parts.ids[i]: (x, y) for i, (x, y) in zip(wanted, points, strict=True)}


def _hidden_marks(pieces: list[Piece], poses: Floats, chosen: str | None) -> Iterator[Mark]:
    """What is not to be seen, dashed; it has no owner, since a hand takes hold of what is drawn and of nothing else."""
    for piece in pieces:
        yield from outlines(piece, piece_pose(piece, poses), Line.HIDDEN, chosen=piece.owner == chosen)


def _gap_points(gap: Clearance | None, view: str) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """The nearest points as this view shows them; of parts in different views the line may be shorter than the gap."""
    if gap is None or gap.least <= 0.0:
        return None
    if gap.view == view:
        return gap.points
    return gap.other_points if gap.other_view == view else None


def _gap_marks(gap: Clearance | None, view: str) -> Iterator[Mark]:
    points = _gap_points(gap, view)
    if points is not None:
        yield Mark(geometry=lines_of(points), pose=DRAWN, line=Line.DIMENSION)


def _gap_labels(project: Project, gap: Clearance | None, view: str) -> Iterator[Label]:
    points = _gap_points(gap, view)
    if gap is not None and points is not None:
        (x1, y1), (x2, y2) = points
        at = (0.5 * (x1 + x2), 0.5 * (y1 + y2))
        yield Label(text=small_length(project, gap.least), at=at, offset=(6.0, -5.0), boxed=True)


def _pictures(project: Project, view_id: str, folder: Path | None) -> tuple[Picture, ...]:
    view = by_id(project.views, view_id)
    if folder is None or view is None:
        return ()
    return tuple(
        Picture(file=str(folder / traced.file), pixel_to_mm=traced.pixel_to_mm, opacity=traced.opacity)
        for traced in view.drawings
        if not traced.hidden
    )
