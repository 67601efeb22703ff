"""Where the newest check has the bodies at the scrubbed moment."""

from __future__ import annotations

import numpy as np

from app.session import Session
from core.document.project import Project, Sequence
from core.drawing.placing import settled
from core.drawing.situation import poses_at_each
from core.geometry.planar import Floats
from core.motion.motion import Motion, in_order


class SolvedMoment:
    """Answers with the same objects as long as nothing stands otherwise: what is drawn is told by them."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._drawn: Floats = np.zeros((0, 3))
        self._solved: tuple[Motion | None, dict[float, Floats]] = (None, {})
        """Poses by their time: those that were asked for last, and those that come next."""
        self._stood: tuple[Sequence | None, float, Floats] | None = None
        """Where bodies stood last, and when."""
        self._ordered: tuple[Motion, tuple[str, ...], Motion | None] | None = None
        """The motion known so far by the order of bodies that it was asked for in."""

    def motion(self, project: Project) -> Motion | None:
        """The newest motion there is of bodies like a project's."""
        study = self._session.sequence_study
        if study is None:
            return None
        bodies = tuple(body.id for body in project.bodies)
        if study.motion.bodies == bodies:
            return study.motion
        if self._ordered is None or self._ordered[0] is not study.motion or self._ordered[1] != bodies:
            self._ordered = (study.motion, bodies, in_order(study.motion, bodies))
        return self._ordered[2]

    def time(self, motion: Motion) -> float:
        """The moment, or the motion's end where that comes sooner."""
        return min(self._session.moment, float(motion.times[-1]))

    def poses(self, motion: Motion | None, count: int) -> Floats:
        """(B, 3) at the moment, and what comes next is solved with it; of so many bodies as drawn without a motion."""
        if motion is None:
            return self._as_drawn(count)
        time, sequence = self.time(motion), self._session.sequence
        if self._solved[0] is not motion or time not in self._solved[1]:
            times = (time, *self._session.ahead())
            self._solved = (motion, dict(zip(times, settled(poses_at_each(motion, times)), strict=True)))
        poses, stood = self._solved[1][time], self._stood
        if stood is None or stood[:2] != (sequence, time) or not np.array_equal(stood[2], poses, equal_nan=True):
            stood = self._stood = (sequence, time, poses)
        return stood[2]

    def _as_drawn(self, count: int) -> Floats:
        if len(self._drawn) != count:
            self._drawn = np.zeros((count, 3))
        return self._drawn
