"""The one window: the sheet in the middle, the sequence under everything, findings and details at the sides."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QGuiApplication, QStatusTipEvent
from PySide6.QtWidgets import QApplication, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from app import __version__
from app.actions import Actions, key_groups
from app.arranging import Arranging
from app.asking import Asking
from app.built_window import BuiltModels
from app.clipboard import Clipboard
from app.dialogs.about import About
from app.dialogs.catalogue import CatalogueDialog
from app.dialogs.files import ask_for_curves, where_to_write
from app.dialogs.keys import KeyList
from app.dialogs.new_aircraft import NewAircraft
from app.drops import dropped_path, dropped_sheet
from app.errands import Errands
from app.figuring import Figuring
from app.keeping import Keeping
from app.laying import Laying
from app.menus import Menus
from app.painting.theme import Theme
from app.palette import palette_of, style_of, theme_of
from app.panels.details import DetailsPanel
from app.panels.findings import FindingsPanel
from app.recent_pictures import RecentPictures
from app.recent_rows import row_of
from app.regions import Regions
from app.samples import SAMPLE_ROWS
from app.seeking import Seeking
from app.sequence.panel import SequencePanel
from app.sequence.playback import Playback
from app.session import Session
from app.settings import Look, Settings
from app.sheet.sheet import Sheet
from app.sheet.toolbox import TOOLS
from app.sketching import Sketching
from app.standing import check_of, title_of
from app.strips import Strips
from app.study_runner import StudyRunner, Work, run_here
from app.sweeping import Sweeping
from app.tracing import Tracing
from app.trials_window import Trials
from app.uses import Uses
from app.widgets.notice import Notice
from app.widgets.question import Question
from app.widgets.start_page import StartPage
from app.widgets.title_block import TitleBlock

CELLS = ("Scale", "Check")


class MainWindow(QMainWindow):
    def __init__(self, settings: Settings, *, work: Work = run_here) -> None:
        super().__init__()
        self.setObjectName("window")
        self.settings = settings
        self.session = Session(self)
        self.runner = StudyRunner(self.session, work=work, parent=self)
        self.playback = Playback(self.session, self)
        self.keeping = Keeping(self.session, settings, self)
        self.errands = Errands(self)
        self.strips = Strips(self.session, self.errands, self)
        self.commands = Actions(self)
        self.theme: Theme = theme_of(settings.look)
        self._leaving = False
        self.sketching = Sketching(self.session, self)
        self.seeking = Seeking(self.session, self)
        self._make_parts()
        self.arranging = Arranging(self.session, self.commands, self)
        self.menus = Menus(self, self.commands, self.session, self.settings)
        self._bind()
        self._listen()
        self.setAcceptDrops(True)
        self.setMinimumSize(900, 480)
        self._wear(self.theme)
        if not self.restoreGeometry(settings.layout("window")):
            self.resize(1440, 900)
        self.regions.restore()
        self.menus.fill_recent()
        self._refresh()

    # ---- parts ---------------------------------------------------------------------------------------------------

    def _make_parts(self) -> None:
        self.sheet = Sheet(self.session)
        self.start = StartPage(SAMPLE_ROWS)
        self.recent_pictures = RecentPictures(self)
        self.findings = FindingsPanel(self.session, self.theme)
        self.details = DetailsPanel(self.session, self.theme)
        self.details.stock.keep_in(self.settings.home)
        self.sequence = SequencePanel(self.session, self.playback, self.commands, self.theme)
        self.clipboard = Clipboard(self.session, self.sheet, self)
        self.laying = Laying(self.session, self.keeping, self.sheet, self)
        self.sweeping = Sweeping(self.session, self.sheet.shown, self.details.sweep, self.errands, self)
        self.figuring = Figuring(self.session, self.sheet.bench, self.errands, self)
        self.tracing = Tracing(self.session, self.sheet.shown, self.details.path, self.errands, self)
        self.trials = Trials(self.session, self)
        self.built = BuiltModels(self.session, self)
        self.notice = Notice()
        self.question = Question()
        self.asking = Asking(self.session, self.keeping, self.question, self)
        self.block = TitleBlock(CELLS)

        self.regions = Regions(self.settings, self.commands, self.sheet, self.findings, self.details, self.sequence)

        self.stack = QStackedWidget()
        self.stack.addWidget(self.start)
        self.stack.addWidget(self.regions)
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.question)
        column.addWidget(self.notice)
        column.addWidget(self.trials.banner)
        column.addWidget(self.stack, 1)
        column.addWidget(self.block)
        self.setCentralWidget(page)

    def _bind(self) -> None:
        for part in (
            self.keeping,
            self.clipboard,
            self.sketching,
            self.arranging,
            self.laying,
            self.sheet,
            self.playback,
            self.sequence.pins,
            self.sequence.lanes.commands,
            self.sequence.transport.commands,
            self.trials,
            self.seeking,
        ):
            self.commands.bind(part.uses)
        for switched in (self.sheet, self.playback, self.regions, self.arranging):
            self.commands.bind_switches(switched.switches)
        self.sheet.things_menu.use(self.commands.__getitem__)
        self.commands.bind(self._own_uses)
        self.commands.bind_switches({"full-screen": lambda on: self.showFullScreen() if on else self.showNormal()})

    @property
    def _own_uses(self) -> Uses:
        """What concerns the whole window, or joins its parts."""
        return {
            "new": self._ask_for_new,
            "catalogue": self._show_catalogue,
            "strip": self.strips.ask,
            "quit": self.close,
            "undo": self.session.undo,
            "redo": self.session.redo,
            "add-curve": self.sequence.offer_curves,
            "write-paths": self.tracing.ask_to_write,
            "write-curves": self.sequence.curves.ask_to_write,
            "figures": self.figuring.show,
            "built": self.built.show,
            "look-system": lambda: self.set_look(Look.SYSTEM),
            "look-light": lambda: self.set_look(Look.LIGHT),
            "look-dark": lambda: self.set_look(Look.DARK),
            "rename": self._rename,
            "keys": self.show_keys,
            "about": lambda: About(__version__, self).open(),
        }

    def _listen(self) -> None:
        self._listen_to_session()
        self._listen_to_parts()
        self._listen_for_aircraft()
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._on_desktop_changed)

    def _listen_to_session(self) -> None:
        session = self.session
        for signal in (
            session.shown_changed, session.history_changed, session.study_changed, session.sequence_changed,
            session.finding_changed, session.selection_changed, self.runner.state_changed,
        ):  # fmt: skip
            signal.connect(self._refresh)
        session.trouble.connect(self.notice.say)
        session.past.connect(self.notice.take_back)
        self.commands.asked.connect(session.ask_anew)
        for done in (session.pushed, session.undone, session.redone, self.keeping.keeper.kept_by_hand):
            done.connect(self.notice.put_away)  # something was done since, and it went well
        session.trial_changed.connect(self._on_trial_changed)
        session.project_opened.connect(self._on_opened)
        session.finding_changed.connect(self._on_finding_changed)
        for signal in (session.project_changed, session.sequence_changed, session.selection_changed):
            signal.connect(self.regions.order_tabs_soon)

    def _listen_to_parts(self) -> None:
        self.sheet.views_changed.connect(lambda: self.commands["two-views"].setChecked(self.sheet.panes.two))
        self.sheet.tool_changed.connect(self._show_tool)
        self.details.stock.catalogue_wanted.connect(self._show_catalogue)
        lists = self.details.lists
        lists.view.menu_wanted.connect(self.sheet.things_menu.offer_for_chosen)
        lists.view.look_wanted.connect(self.arranging.set_look)
        lists.view.lay_wanted.connect(self.arranging.lay_over)
        lists.show_all_wanted.connect(self.arranging.show_everything)
        self.details.moved_by.film_wanted.connect(self.sheet.swing.play)
        self.built.looked.connect(self.playback.pause)
        self.trials.trying.changed.connect(lambda: self.findings.show_changes(self.trials.trying.change_of))
        self.sequence.pins.previewed.connect(self.sheet.shown.preview_pins)
        self.sequence.curves.write_wanted.connect(self._ask_to_write_curves)
        self.errands.done.connect(self.block.say)
        self.errands.failed.connect(self.session.trouble)

    def _listen_for_aircraft(self) -> None:
        """Whatever opens one, and what is said of it."""
        self.keeping.saved.connect(lambda name: self.block.say(f"Saved in {name}"))
        self.keeping.done.connect(self.block.say)
        self.start.new_wanted.connect(self._ask_for_new)
        self.start.open_wanted.connect(self.keeping.ask_to_open)
        self.start.sample_wanted.connect(self.keeping.open_sample)
        self.menus.recent_changed.connect(self._show_recent)
        self.menus.sample_wanted.connect(self.keeping.open_sample)
        self.recent_pictures.made.connect(self._show_recent)
        self.menus.recent_wanted.connect(self.keeping.open_guarded)
        self.start.recent_wanted.connect(lambda where: self.keeping.open_guarded(Path(where)))

    def _show_tool(self, tool: str) -> None:
        for one in TOOLS:
            self.commands[f"tool-{one}"].setChecked(one == tool)

    def _ask_for_new(self) -> None:
        def ask() -> None:
            question = NewAircraft(self)
            question.made.connect(self.keeping.begin)
            question.open()

        self.keeping.guard("begin another aircraft", ask)

    def _show_catalogue(self) -> None:
        dialog = CatalogueDialog(self.settings.home, self)
        dialog.changed.connect(self.details.stock.read)
        dialog.open()

    def _ask_to_write_curves(self, name: str) -> None:
        ask_for_curves(self, where_to_write(self.session.folder) / name, self._write_curves)

    def _write_curves(self, file: Path) -> None:
        """A picture is of what stands in the window, so that it is written here and not away from it."""
        try:
            self.sequence.curves.write(file)
        except OSError as error:
            self.session.trouble.emit(f"{file} could not be written: {error.strerror or error}")
        else:
            self.block.say(f"The curves are written: {file.name}, in {file.parent}")

    # ---- what is shown -------------------------------------------------------------------------------------------

    def _refresh(self) -> None:
        """The title, the menus, the title block: whatever says how things stand."""
        session = self.session
        project = session.project
        if session.drafting:  # nothing else is different from what it was before something was taken in hand
            self.block.put("Check", self.standing)
            return
        self.commands.refresh(session)
        self.stack.setCurrentWidget(self.start if project is None else self.regions)
        self.setWindowTitle("Bayfold" if project is None else f"{title_of(session)}[*] – Bayfold")
        self.setWindowModified(project is not None and session.unsaved)
        self.block.put("Scale", "" if project is None else f"scale 1 : {project.aircraft.scale:g}")
        self.block.put("Check", self.standing if session.trial is None else f"trial: {self.standing}")
        self.menus.fill_sequences()

    @property
    def standing(self) -> str:
        """How the check stands."""
        return check_of(self.session)

    def _show_recent(self) -> None:
        if self.session.project is None:  # nobody sees the start page again after that
            folders = self.settings.recent
            self.start.show_recent(tuple(row_of(folder, dark=self.theme.dark) for folder in folders))
            self.recent_pictures.want(folders)

    def _on_opened(self) -> None:
        self.notice.put_away()
        QTimer.singleShot(0, self.regions.share_height)
        self.sequence.lanes.setFocus(Qt.FocusReason.OtherFocusReason)
        QTimer.singleShot(0, self.menus.fill_recent)

    def _on_trial_changed(self) -> None:
        """What was said of a trial that could not be shown is past."""
        if self.session.trial is not None:
            self.notice.put_away()

    def _on_finding_changed(self) -> None:
        finding = self.session.finding
        if finding is not None:
            self.playback.pause()

    def _rename(self) -> None:
        """A step over its bar, anything else in the details."""
        if self.commands["step-rename"].isEnabled():
            self.commands["step-rename"].trigger()
            return
        if self.details.isHidden():
            self.commands["show-details"].trigger()
        self.details.rename()

    def show_keys(self) -> None:
        KeyList(key_groups(), self).open()

    # ---- light and dark ------------------------------------------------------------------------------------------

    def set_look(self, look: Look) -> None:
        self.settings.look = look
        self._wear(theme_of(look))

    def _on_desktop_changed(self) -> None:
        if self.settings.look == Look.SYSTEM:
            self._wear(theme_of(Look.SYSTEM))

    def _wear(self, theme: Theme) -> None:
        self.theme = theme
        QApplication.setPalette(palette_of(theme))
        self.setPalette(palette_of(theme))
        self.setStyleSheet(style_of(theme))
        for part in (self.sheet, self.findings, self.details, self.sequence, self.arranging):
            part.set_theme(theme)
        self.commands[f"look-{self.settings.look}"].setChecked(True)
        self._show_recent()

    # ---- events --------------------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QStatusTipEvent):
            self.block.help(event.tip())
            return True
        return super().event(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        urls = event.mimeData().urls()
        if dropped_path(urls) is not None or (self.session.project is not None and dropped_sheet(urls) is not None):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        path = dropped_path(event.mimeData().urls())
        if path is not None:
            event.acceptProposedAction()
            self.keeping.open_guarded(path)
        elif self.session.project is not None and (sheet := dropped_sheet(event.mimeData().urls())) is not None:
            event.acceptProposedAction()
            if sheet.suffix.lower() == ".dxf":
                self.laying.take_outlines(sheet)
            else:
                self.laying.lay(sheet)

    def closeEvent(self, event: QCloseEvent) -> None:
        self.keeping.keeper.flush()
        if not self._leaving and self.session.unsaved and not self.session.looked_at_only:
            event.ignore()
            self.keeping.guard("leave", self._leave)
            return
        self.playback.pause()
        self.settings.keep_layout("window", self.saveGeometry())
        self.regions.keep()
        works = (self.sweeping, self.tracing, self.details.remedy, self.details.moved_by, self.sequence.curves)
        for worker in (self.runner, self.trials, self.built, self.recent_pictures, self.errands, *works):
            worker.shut_down()
        self.keeping.keeper.let_go()
        event.accept()

    def _leave(self) -> None:
        self._leaving = True
        self.close()
