"""The paths of points: traced away from the window's thread, shown on the sheet, and written to a file."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.aside import Aside
from app.dialogs.files import ask_for_paths, where_to_write
from app.errands import Errands
from app.panels.path_form import PathForm
from app.session import Session
from app.sheet.moment import ShownMoment
from core.document.names import by_id
from core.document.project import Point, PointPath, Project
from core.drawing.paths import TracedPath, traced_path
from core.exports.paths import paths_table
from core.exports.table import write_table
from core.motion.motion import Motion


@dataclass(frozen=True, slots=True, eq=False)
class _Request:
    """Paths that have not been traced over a motion yet."""

    era: object
    """Of one project and one sequence."""
    motion: Motion
    paths: tuple[PointPath, ...]

    def answer(self) -> tuple[TracedPath, ...]:
        found = (traced_path(one, self.motion) for one in self.paths)
        return tuple(one for one in found if one is not None)


class Tracing(QObject):
    """Listens to the session; what is traced already of the same motion stays."""

    def __init__(
        self, session: Session, shown: ShownMoment, form: PathForm, errands: Errands, window: QWidget
    ) -> None:  # fmt: skip
        super().__init__(window)
        self._session, self._shown, self._form = session, shown, form
        self._errands, self._window = errands, window
        self._motion: Motion | None = None
        self._traced: dict[tuple[str, Point], TracedPath] = {}
        self._newest: _Request | None = None
        self._era = object()
        self._aside = Aside(self)
        self._aside.done.connect(self._on_done)
        self._aside.failed.connect(lambda _request, why: session.trouble.emit(why))
        form.write_wanted.connect(self.ask_to_write)
        session.project_opened.connect(self._begin_anew)
        session.sequence_changed.connect(self._begin_anew)
        for signal in (session.shown_changed, session.study_changed, session.sequence_changed):
            signal.connect(self._renew)
        session.selection_changed.connect(self._tell)
        self._tell()

    @property
    def working(self) -> bool:
        return self._aside.busy

    def shut_down(self) -> bool:
        """Wait; True when nothing is traced any more."""
        return self._aside.shut_down()

    def _begin_anew(self) -> None:
        """What was asked of another sequence is of no use any more."""
        self._era, self._newest = object(), None

    @property
    def traced(self) -> tuple[TracedPath, ...]:
        """The project's paths that are traced over the motion that is looked at."""
        project = self._session.shown
        if project is None:
            return ()
        found = ((one, self._traced.get(_key(one))) for one in project.paths)
        return tuple(replace(traced, path=one) for one, traced in found if traced is not None)

    def _renew(self) -> None:
        """Ask for what is not traced yet; meanwhile the paths of the motion before stay in sight."""
        project, study = self._session.shown, self._session.sequence_study
        if project is None or study is None or not project.paths:
            self._newest = None
            self._show()
            return
        same = study.motion is self._motion
        there = (one for one in project.paths if one.body in study.motion.bodies)
        missing = tuple(one for one in there if not same or _key(one) not in self._traced)
        asked = self._newest
        if not missing:
            self._newest = None
            self._show()
        elif asked is None or asked.motion is not study.motion or asked.paths != missing:
            self._newest = _Request(self._era, study.motion, missing)
            self._aside.forget_waiting()
            self._aside.ask(self._newest, self._newest.answer)

    def _on_done(self, request: _Request, answer: tuple[TracedPath, ...]) -> None:
        """While the hand drags something there may always be a newer motion: the one that is traced is nearer to it
        than what is shown."""
        if request.era is self._era:
            kept = self._traced if request.motion is self._motion else {}
            self._motion = request.motion
            self._newest = None if request is self._newest else self._newest
            self._traced = kept | {_key(one.path): one for one in answer}
            self._show()
            if self._newest is None:
                self._renew()  # what was traced of the motion before may be wanted of this one too

    def _show(self) -> None:
        self._shown.show_paths({one.path.id: one for one in self.traced})
        self._tell()

    def _tell(self) -> None:
        """Of the chosen path, what its ticks are and how exact it is."""
        session = self._session
        chosen = None if session.shown is None else by_id(session.shown.paths, session.selection)
        found = next((one for one in self.traced if chosen is not None and one.path.id == chosen.id), None)
        self._form.show_path(session.project, chosen, found if session.study_current else None)

    # ---- writing -------------------------------------------------------------------------------------------------

    def ask_to_write(self) -> None:
        """Have it asked where the paths go; where none is known, say so."""
        sequence = self._session.sequence
        if not self.traced or sequence is None or not self._session.study_current:
            self._session.turn_down("No path is known yet: show the path of a point first, and wait for the check")
            return
        traced, start, project = self.traced, where_to_write(self._session.folder), self._session.project
        assert project is not None
        ask_for_paths(self._window, start / f"{sequence.id}-paths.csv", lambda file: self.write(project, traced, file))

    def write(self, project: Project, traced: tuple[TracedPath, ...], file: Path) -> None:
        """Write where the points are at every moment."""

        def write() -> str:
            write_table(file, paths_table(project, traced))
            return f"The paths are written: {file.name}, in {file.parent}"

        self._errands.run(write)


def _key(path: PointPath) -> tuple[str, Point]:
    """What its course hangs on."""
    return path.body, path.point
