"""What the sheet shows of the session: the scene of its project, and where everything stands at the scrubbed moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum, auto

from PySide6.QtCore import QObject, Signal

from app.session import Session
from app.sheet.solved_moment import SolvedMoment
from app.sheet.standing import Stand
from core.document.looks import not_drawn
from core.document.project import Project
from core.drawing.drawing import Drawing
from core.drawing.extent import Bounds, extent
from core.drawing.ghosts import Ghost, ghosts_of
from core.drawing.paths import TracedPath, with_paths
from core.drawing.scene import Scene
from core.drawing.situation import Situation, situation_at
from core.drawing.sweep_sheet import Swept, with_sweeps
from core.geometry.planar import Floats
from core.interference.overlap import KeptOverlaps
from core.interference.placement import parts_after, parts_of
from core.mechanism.constraints import Grip
from core.motion.moments import moment_of
from core.motion.motion import Motion
from core.pulling.ends import EndHeld, hold_end
from core.pulling.grab import grips_at
from core.study import SequenceStudy, Study


class Standing(Enum):
    """How far what is shown has been checked."""

    NOTHING = auto()
    CHECKING = auto()
    UNCHECKED = auto()
    """The check failed, and what it would say is not known."""
    SENSELESS = auto()
    """What the hand proposes can not be, and is not checked."""
    CHECKED = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the user wants to see besides the moment."""

    start_ghost: bool = False
    end_ghost: bool = False
    pinned_ghosts: bool = True
    names: bool = False
    tracing: bool = True


class ShownMoment(QObject):
    """Listens to the session and answers with drawings; says when they are no longer what they were."""

    changed = Signal()
    """Something that is drawn is different."""
    reframed = Signal()
    """Another project: what was in sight means nothing now."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._wishes = Wishes()
        self._scene: Scene | None = None
        self._poses: Floats | None = None
        self._solved = SolvedMoment(session)
        self._drawings: dict[str, tuple[tuple[object, ...], Drawing]] = {}
        """The last one of each view, with what it is made of."""
        self._situation: Situation | None = None
        self._told: tuple[tuple[object, ...], Situation] | None = None
        """The last that a check said, and of what."""
        self._overlaps = KeptOverlaps()
        self._bounds: dict[str, Bounds | None] = {}
        self._ghost: Floats | None = None
        self._pins: tuple[float, ...] | None = None
        self._made_ghosts: tuple[Motion, tuple[Wishes, tuple[float, ...]], tuple[Ghost, ...]] | None = None
        self._swept: tuple[Swept, ...] = ()
        self._paths: Mapping[str, TracedPath] = {}
        self._pulled: Floats | None = None
        self._as_drawn = False
        self._stand: tuple[Floats, Stand] | None = None
        session.project_opened.connect(self._open)
        session.shown_changed.connect(self._remake)
        session.study_changed.connect(self._restudy)
        session.sequence_changed.connect(self._restudy)
        session.moment_changed.connect(self._rescrub)
        session.finding_changed.connect(self._rescrub)
        session.selection_changed.connect(self.changed)
        self._remake()

    # ---- what is asked -----------------------------------------------------------------------------------------

    @property
    def session(self) -> Session:
        return self._session

    @property
    def scene(self) -> Scene | None:
        return self._scene

    @property
    def wishes(self) -> Wishes:
        return self._wishes

    def wish(self, **changes: bool) -> None:
        wishes = replace(self._wishes, **changes)
        if wishes != self._wishes:
            self._wishes = wishes
            self.changed.emit()

    def show_ghost(self, poses: Floats | None) -> None:
        """Draw bodies at (B, 3) poses as a ghost that stands out, until told otherwise."""
        if poses is not self._ghost:
            self._ghost = poses
            self.changed.emit()

    def preview_pins(self, pins: tuple[float, ...] | None) -> None:
        """Show the ghosts of other moments than are pinned while a pin is dragged; None when it is let go."""
        if pins != self._pins:
            self._pins = pins
            self.changed.emit()

    @property
    def as_drawn(self) -> bool:
        """Whether bodies stand where they were drawn, whatever the moment."""
        return self._as_drawn

    def show_as_drawn(self, on: bool) -> None:
        """Show the drawn position while something is drawn or changed in it."""
        if on != self._as_drawn:
            self._as_drawn = on
            self._remake()

    @property
    def pulled(self) -> bool:
        """Whether bodies stand where a hand has pulled them, and not where the sequence has them."""
        return self._pulled is not None and len(self._pulled) == len(self.own_poses)

    def show_pulled(self, poses: Floats | None) -> None:
        """Show bodies at (B, 3) poses that a hand has pulled them to, beside a ghost of where the sequence has them."""
        if poses is not self._pulled:
            self._pulled, self._situation = poses, None
            self.changed.emit()

    @property
    def swept(self) -> tuple[Swept, ...]:
        return self._swept

    def show_paths(self, paths: Mapping[str, TracedPath]) -> None:
        """Draw the paths of points, by their ids, until told otherwise."""
        if paths != self._paths:
            self._paths = paths
            self.changed.emit()

    def show_swept(self, swept: tuple[Swept, ...]) -> None:
        """Draw sweeps under the bodies, until told otherwise."""
        if swept != self._swept:
            self._swept = swept
            self.changed.emit()

    @property
    def standing(self) -> Standing:
        if self._scene is None:
            return Standing.NOTHING
        if self._session.study_current:
            return Standing.CHECKED
        if self._session.senseless:
            return Standing.SENSELESS
        return Standing.CHECKING if self._session.failure is None else Standing.UNCHECKED

    @property
    def situation(self) -> Situation:
        """What the check says of the moment; nothing while there is no check of what is drawn, but for what was wrong a
        moment ago while something is dragged."""
        if self._situation is None:
            study, sequence = self._session.study, self.checked_sequence()
            if study is None or sequence is None or self._scene is None or self._as_drawn:
                self._situation = Situation(finding=self._session.finding)
            else:
                self._situation = self._told_by(study, sequence)
        return self._situation

    def _told_by(self, study: Study, sequence: SequenceStudy) -> Situation:
        """What a check says of the moment: the same object while that is the same, and worked out once while the check
        and the moment are, though the hand moves on."""
        finding = None if self.pulled else self._session.finding
        of = (study, sequence, self.poses, finding)
        if self._told is None or any(one is not other for one, other in zip(self._told[0], of, strict=True)):
            time = self._solved.time(sequence.motion)
            told = situation_at(
                sequence, study.parts, study.pairs, self.poses, time, finding=finding, kept=self._overlaps
            )
            if self.pulled:  # a hand pulls nothing to where connections cannot meet
                told = replace(told, jammed=frozenset())
            before = self._told[1] if self._told is not None else None
            self._told = (of, before if before is not None and before == told else told)
        return self._told[1]

    @property
    def poses(self) -> Floats:
        """(B, 3) as shown: where the moment has the bodies, or where a hand has pulled them."""
        return self._pulled if self._pulled is not None and self.pulled else self.own_poses

    @property
    def own_poses(self) -> Floats:
        """(B, 3) at the scrubbed moment; as drawn while nothing has been solved."""
        if self._poses is None:
            motion = None if self._as_drawn else self._motion()
            count = len(self._scene.project.bodies) if self._scene is not None else 0
            self._poses = self._solved.poses(motion, count)
        return self._poses

    @property
    def stand(self) -> Stand:
        """Where the bodies stand for the hand, and at which moment; the same object while that is so."""
        poses, motion, sequence = self.poses, self._motion(), self._session.sequence
        if self._stand is None or self._stand[0] is not poses:
            there = Stand()
            if motion is not None and sequence is not None and not self._as_drawn:
                placed = dict(zip(motion.bodies, map(tuple, poses.tolist()), strict=True))
                there = Stand(moment=moment_of(sequence, self._solved.time(motion)), poses=placed)
            if self._stand is not None and self._stand[1] == there:
                there = self._stand[1]
            self._stand = (poses, there)
        return self._stand[1]

    @property
    def grips(self) -> Mapping[int, Grip]:
        """The latches that hold at the moment, as they took hold."""
        checked = self.checked_sequence()
        course = None if checked is None else checked.motion.course
        return {} if course is None else grips_at(course, self._session.moment)

    def hold_end(self, connection: str, number: int) -> EndHeld | None:
        """Take a point of a connection in hand where it stands at the moment; None where nothing holds together there,
        so that it stands nowhere."""
        project, sequence, motion = self._session.project, self._session.sequence, self._motion()
        if project is None or sequence is None or motion is None or len(self.poses) != len(project.bodies):
            return None
        return hold_end(
            project, sequence, self._solved.time(motion), self.poses,
            connection=connection, number=number, grips=self.grips,
        )  # fmt: skip

    def solved(self, held: EndHeld) -> EndHeld:
        """What is in hand, standing where the check of what the hand proposes has it, once there is one."""
        current = self._session.drafting and self._session.study_current and len(self.poses) == len(held.poses)
        return replace(held, poses=self.poses) if current else held

    def drawing(self, view: str) -> Drawing:
        """The view at the moment, with its ghosts; its pictures are left out where they are not wanted. The same object
        where nothing of it has changed, as in the drawn position while a check comes and goes."""
        made_of, made = self._made_of(view), self._drawings.get(view)
        if (
            made is None
            or len(made[0]) != len(made_of)
            or any(a is not b for a, b in zip(made[0], made_of, strict=True))
        ):
            made = self._drawings[view] = (made_of, self._made(view))
        return made[1]

    def _made_of(self, view: str) -> tuple[object, ...]:
        """What a drawing of a view is made of; another object where it has changed."""
        session, ghosts = self._session, self._ghosts()
        told = session.finding if self._as_drawn else self.situation
        what = (self._scene, self.poses, told, session.selection, session.folder, self.bounds(view), self._wishes)
        return (*what, self._pulled, self._ghost, self._swept, self._paths, *ghosts)

    def _made(self, view: str) -> Drawing:
        if self._scene is None:
            return Drawing()
        drawing = self._scene.drawing(
            self.poses,
            view=view,
            situation=self.situation,
            chosen=self._session.selection,
            ghosts=(*self._left_behind(), *self._ghosts()),
            swung=self._ghost if self._ghost is not None and len(self._ghost) == len(self.poses) else None,
            names=self._wishes.names,
            folder=self._session.folder if self._wishes.tracing else None,
            bounds=self.bounds(view) or (0.0, 0.0, 1.0, 1.0),
        )
        if self._scene.project.paths:
            paths = {} if self._as_drawn else self._paths
            chosen = self._session.selection
            drawing = with_paths(drawing, self._scene.project, paths, self.poses, view, chosen=chosen)
        swept = () if self._as_drawn else self._swept
        return with_sweeps(drawing, swept, self._scene.project, view) if swept else drawing

    def bounds(self, view: str) -> Bounds | None:
        """The room that a view needs over the whole sequence; None where nothing is drawn in it."""
        if self._scene is None:
            return None
        if view not in self._bounds:
            motion = self._motion()
            poses = self.poses[None] if motion is None else motion.poses
            project, parts = self._scene.project, self._scene.parts
            seen = extent(project, parts, poses, view, not_drawn(project))
            self._bounds[view] = seen or extent(project, parts, poses, view)
        return self._bounds[view]

    # ---- what the session says ---------------------------------------------------------------------------------

    def _open(self) -> None:
        self._scene = None
        self._remake()
        self.reframed.emit()

    def _remake(self) -> None:
        """A new project value: only what an edit touched is made anew."""
        project, old = self._drawn, self._scene
        if project is not self._session.shown and old is not None and old.project is project:
            return
        if project is None:
            self._scene = None
        elif old is None or old.project is not project:
            parts = parts_of(project) if old is None else parts_after(project, old.project, old.parts)
            self._scene = Scene(project, parts, previous=old)
        self._restudy()

    @property
    def _drawn(self) -> Project | None:
        """In the drawn position the tool draws what a hand would make of bodies, over what there is: so a sheet of many
        corners follows the hand as fast as one of few."""
        project, shown = self._session.project, self._session.shown
        by_tool = self._as_drawn and project is not None and shown is not None and shown.bodies is not project.bodies
        return project if by_tool else shown

    def _restudy(self) -> None:
        if not self._session.drafting:  # the room that is shown stays as it is under the hand
            self._bounds.clear()
        self._rescrub()

    def _rescrub(self) -> None:
        self._poses = self._situation = None
        self.changed.emit()

    # ---- from the study ----------------------------------------------------------------------------------------

    def _motion(self) -> Motion | None:
        """The newest motion there is of bodies like the present ones."""
        return None if self._scene is None else self._solved.motion(self._scene.project)

    def checked_sequence(self) -> SequenceStudy | None:
        """The sequence's study, where it was made of the bodies and connections that are drawn."""
        study, sequence, project = self._session.study, self._session.sequence_study, self._session.shown
        if study is None or sequence is None or project is None or self._motion() is None:
            return None
        alike = study.project.bodies is project.bodies and study.project.connections is project.connections
        return sequence if alike or self._session.following else None

    def _left_behind(self) -> tuple[Ghost, ...]:
        """Where the sequence has what a hand has pulled elsewhere."""
        return (Ghost(self.own_poses),) if self.pulled else ()

    def _ghosts(self) -> tuple[Ghost, ...]:
        motion = self._motion()
        if motion is None or self._as_drawn:
            return ()
        wishes, sequence = self._wishes, self._session.sequence
        pinned: tuple[float, ...] = ()
        if wishes.pinned_ghosts and sequence is not None:
            pinned = sequence.pinned if self._pins is None else self._pins
        made = self._made_ghosts
        if made is None or made[0] is not motion or made[1] != (wishes, pinned):
            ghosts = ghosts_of(motion, start=wishes.start_ghost, end=wishes.end_ghost, pinned=pinned)
            made = self._made_ghosts = (motion, (wishes, pinned), ghosts)
        return made[2]
