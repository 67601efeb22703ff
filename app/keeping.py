"""Opening, saving and leaving an aircraft, with the questions that go with it. Nothing here waits for an answer."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.dialogs.files import ask_for_folder, ask_to_open, ask_where_to_pack
from app.dialogs.unsaved import UnsavedChanges
from app.files import SAMPLE, SAMPLES, is_packed, lost_words, open_aircraft, save_aircraft
from app.keeper import Keeper, dated
from app.painting.thumbnail import keep_thumbnails
from app.session import Session
from app.settings import Settings
from app.uses import Uses
from core.document.fresh import fresh_path, id_from
from core.document.journal import Journal
from core.document.newer import notice
from core.document.packing import pack, packed_name, unpack
from core.document.project import Project
from core.document.project_file import FILE_NAME, write_project
from core.errors import BayfoldError

Then = Callable[[], object]


class Keeping(QObject):
    """What happens to the open aircraft's folder. An error leaves what is open as it was, and is said in one line."""

    opened = Signal()
    saved = Signal(str)
    """The folder's name."""
    done = Signal(str)
    """Something went well, in words."""
    rescue_wanted = Signal(object, str)
    """A folder whose file cannot be read, and why, though its journal has the aircraft as it last stood here."""

    def __init__(self, session: Session, settings: Settings, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._settings, self._window = session, settings, window
        self.keeper = Keeper(session, self)
        self.keeper.leaving.connect(self._keep_picture)
        self.keeper.kept_by_hand.connect(self._keep_picture)

    # ---- opening -------------------------------------------------------------------------------------------------

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        return {
            "open": self.ask_to_open,
            "save": self.save,
            "save-as": self.ask_where_to_save,
            "pack": self.ask_where_to_pack,
            "variant": self.copy_as_variant,
        }

    def ask_to_open(self) -> None:
        self.guard("open another aircraft", lambda: ask_to_open(self._window, self._near(), self.open))

    def open_guarded(self, path: Path) -> None:
        """Open, after the changes of the open aircraft have been seen to."""
        self.guard("open another aircraft", lambda: self.open(path))

    def open_sample(self, name: str = SAMPLE.name) -> None:
        self.open_guarded(SAMPLES / name)

    def open(self, path: Path) -> bool:
        """A sample is copied to where new aircraft go, and the copy opened: the sample itself is never changed.

        A packed aircraft is unpacked there, into a new folder.
        """
        try:
            if is_packed(path):
                path = unpack(path, fresh_path(self._settings.home, id_from(path.stem)))
            project, folder = open_aircraft(path)
            if folder.parent == SAMPLES.resolve():
                project, folder = self._copy_of(project, folder)
        except BayfoldError as error:
            self._tell_unreadable(path, str(error))
            return False
        if folder.parent == SAMPLES.resolve():
            self._look_at_sample(project, folder)
            return True
        self.keeper.take_up(project, folder)
        self._settings.remember(folder)
        self.opened.emit()
        if said := " ".join(filter(None, (notice(project), lost_words(project, folder)))):
            self._session.trouble.emit(said)
        return True

    def _tell_unreadable(self, path: Path, why: str) -> None:
        """In one line; where the journal has what the file has not, that is offered."""
        folder = path.parent if path.name == FILE_NAME else path
        if (folder / FILE_NAME).is_file() and Journal(folder).read() is not None:
            self.rescue_wanted.emit(folder, why)
        else:
            self._session.trouble.emit(why)

    def rescue(self, folder: Path) -> bool:
        """Open what a folder's journal has, in place of a file that cannot be read, which is kept beside it."""
        told = Journal(folder).read()
        if told is None:
            return False
        file, beside = folder / FILE_NAME, dated(folder)
        try:
            shutil.copyfile(file, beside)
            write_project(told.history.project, folder)
        except (BayfoldError, OSError) as error:
            self._session.trouble.emit(str(error))
            return False
        opened = self.open(folder)
        self.done.emit(f"The file that cannot be read is kept as {beside.name}")
        return opened

    def _copy_of(self, project: Project, sample: Path) -> tuple[Project, Path]:
        """The builder's own copy of a sample, made when there is none yet; the sample where none can be made."""
        copy = self._settings.home / sample.name
        if not (copy / FILE_NAME).exists():
            try:
                save_aircraft(project, copy, sample)
            except BayfoldError:
                return project, sample
        return open_aircraft(copy)

    def _look_at_sample(self, project: Project, sample: Path) -> None:
        """Where no copy can be made, the sample is only looked at: it is never changed."""
        self.keeper.let_go()
        self._session.open(project, sample)
        why = f"No copy of the sample can be made in {self._settings.home}; it can be looked at, or saved elsewhere"
        self._session.look_only(why)
        self._session.trouble.emit(why)
        self.opened.emit()

    def begin(self, project: Project) -> None:
        """A new aircraft, in a folder of its own from the start, so that every edit is on disk at once.

        Where none can be made, it is open without one, and saving asks.
        """
        folder = fresh_path(self._settings.home, id_from(project.aircraft.name))
        try:
            write_project(project, folder)
        except BayfoldError as error:
            self._session.open(project, None)
            self._session.trouble.emit(str(error))
            return
        self.keeper.take_up(project, folder)
        self._settings.remember(folder)
        self.opened.emit()

    # ---- saving --------------------------------------------------------------------------------------------------

    def save(self, then: Then | None = None) -> None:
        """Into the aircraft's folder; asks for one where there is none yet."""
        if self._session.folder is None or self._session.looked_at_only:
            self.ask_where_to_save(then)
        elif self.save_to(self._session.folder) and then is not None:
            then()

    def ask_where_to_save(self, then: Then | None = None) -> None:
        def answer(folder: Path) -> None:
            if self._may_go_into(folder) and self.save_to(folder) and then is not None:
                then()

        ask_for_folder(self._window, self._another(), answer)

    def save_to(self, folder: Path) -> bool:
        project = self._session.project
        if project is None:
            return False
        here = self._session.folder
        try:
            if here is not None and folder.resolve() == here.resolve():
                self.keeper.put_theirs_beside(folder)
            save_aircraft(project, folder, here)
        except (BayfoldError, OSError) as error:
            self._session.trouble.emit(str(error))
            return False
        self._session.mark_saved(folder)
        self.keeper.note_saved(folder)
        self._settings.remember(folder)
        self.saved.emit(folder.name)
        return True

    def _may_go_into(self, folder: Path) -> bool:
        """Another aircraft's folder is never written over."""
        here = self._session.folder
        if (folder / FILE_NAME).exists() and (here is None or folder.resolve() != here.resolve()):
            self._session.trouble.emit(f"{folder}: another aircraft is kept there; choose or make an empty folder")
            return False
        return True

    # ---- sending, and variants -----------------------------------------------------------------------------------

    def ask_where_to_pack(self) -> None:
        """Pack the aircraft as it stands; what has no folder yet is kept in one first."""
        folder = self._session.folder
        if folder is None:
            self.ask_where_to_save(self.ask_where_to_pack)
        elif self.keeper.flush():
            ask_where_to_pack(self._window, packed_name(folder), self.pack_to)

    def pack_to(self, file: Path) -> bool:
        folder = self._session.folder
        if folder is None or not self.keeper.flush():
            return False
        try:
            pack(folder, file)
        except BayfoldError as error:
            self._session.trouble.emit(str(error))
            return False
        self.done.emit(f"Packed: {file.name}, in {file.parent}")
        return True

    def copy_as_variant(self) -> None:
        """The aircraft as it stands, in a new folder beside its own, and that opened; the first stays as it was."""
        self.guard("go on with a variant", self._copy_and_open)

    def _copy_and_open(self) -> None:
        project, here = self._session.project, self._session.folder
        if project is None:
            return
        copy = self._another()
        try:
            save_aircraft(project, copy, here)
        except BayfoldError as error:
            self._session.trouble.emit(str(error))
            return
        if self.open(copy):
            self.done.emit(f"This is the variant, in {copy.name}")

    def _keep_picture(self) -> None:
        project, folder = self._session.project, self._session.folder
        if project is not None and folder is not None and not self._session.looked_at_only:
            keep_thumbnails(project, folder)

    # ---- leaving -------------------------------------------------------------------------------------------------

    def guard(self, what_next: str, then: Then) -> None:
        """Do something that leaves the aircraft, once its unsaved changes are saved or given up."""
        project = self._session.project
        self.keeper.flush()
        if project is None or not self._session.unsaved or self._session.looked_at_only:
            then()
            return
        question = UnsavedChanges(project.aircraft.name, what_next, self._window)
        question.discard.connect(then)
        question.save.connect(lambda: self.save(then))
        question.open()

    def _another(self) -> Path:
        """A folder that is not there yet, beside the aircraft's own and named after it."""
        here = self._session.folder
        first = "" if here is None else re.sub(r"-variant(-\d+)?$", "", here.name)
        return fresh_path(self._near(), f"{first}-variant" if first else "aircraft")

    def _near(self) -> Path:
        """Where a file dialog starts: beside the open aircraft, or the one opened last."""
        if self._session.folder is not None:
            return self._session.folder.parent
        recent = self._settings.recent
        return recent[0].parent if recent else Path.home()
