"""The one window: the sheet in the middle, the sequence under everything, findings and details at the sides."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer, QUrl
from PySide6.QtGui import QActionGroup, QCloseEvent, QDragEnterEvent, QDropEvent, QGuiApplication, QStatusTipEvent
from PySide6.QtWidgets import QApplication, QMainWindow, QMenu, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from app import __version__
from app.actions import MENUS, TABLE, Actions, shown_keys
from app.clipboard import Clipboard
from app.dialogs.about import About
from app.dialogs.files import ask_for_curves
from app.dialogs.keys import KeyGroup, KeyList
from app.dialogs.new_aircraft import NewAircraft
from app.errands import Errands
from app.files import is_packed
from app.keeping import Keeping
from app.laying import Laying
from app.painting.theme import Theme
from app.palette import palette_of, style_of, theme_of
from app.panels.details import DetailsPanel
from app.panels.finding_groups import all_findings, figures_off, groups_of
from app.panels.findings import FindingsPanel
from app.pictures import KINDS as DRAWING_KINDS
from app.recent_rows import row_of, short
from app.sequence.jumps import next_finding
from app.sequence.panel import SequencePanel
from app.sequence.playback import Playback
from app.session import Session
from app.settings import Look, Settings
from app.sheet.sheet import Sheet
from app.sheet.toolbox import TOOLS
from app.sketching import Sketching
from app.strips import Strips
from app.study_runner import StudyRunner, Work
from app.sweeping import Sweeping
from app.widgets.notice import Notice
from app.widgets.start_page import SampleRow, StartPage
from app.widgets.tab_order import order_tabs
from app.widgets.title_block import TitleBlock
from core.document.project import Project
from core.study import run

SAID_FOR_MS = 5000
CELLS = ("Scale", "Check")
MOST_NUMBERED = 9
SOUND, FLAWED = "An aircraft whose gear works", "The same with faults built in, to be found"
SAMPLE_ROWS = (
    SampleRow(id="merrow-t2", words="Merrow T.2", tip=SOUND),
    SampleRow(id="skarn-p9", words="Skarn P.9", tip=SOUND),
    SampleRow(id="pellow-3", words="Pellow 3", tip=SOUND),
    SampleRow(id="merrow-t2-flawed", words="Merrow, faulty", tip=FLAWED),
    SampleRow(id="skarn-p9-flawed", words="Skarn, faulty", tip=FLAWED),
    SampleRow(id="pellow-3-flawed", words="Pellow, faulty", tip=FLAWED),
)


class MainWindow(QMainWindow):
    def __init__(self, settings: Settings, *, work: Work = run) -> None:
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
        self._make_parts()
        self._make_menus()
        self._bind()
        self._listen()
        self.setAcceptDrops(True)
        self.setMinimumSize(900, 560)
        self._wear(self.theme)
        self._restore()
        self._refresh()

    # ---- parts ---------------------------------------------------------------------------------------------------

    def _make_parts(self) -> None:
        self.sheet = Sheet(self.session)
        self.start = StartPage(SAMPLE_ROWS)
        self.findings = FindingsPanel(self.session, self.theme)
        self.details = DetailsPanel(self.session, self.theme)
        self.details.stock.keep_in(self.settings.home)
        self.sequence = SequencePanel(self.session, self.playback, self.commands, self.theme)
        self.clipboard = Clipboard(self.session, self.sheet, self)
        self.laying = Laying(self.session, self.keeping, self.sheet, self)
        self.sweeping = Sweeping(self.session, self.sheet.shown, self.details.sweep, self.errands, self)
        self.notice = Notice()
        self.block = TitleBlock(CELLS)

        self.across = QSplitter(Qt.Orientation.Horizontal)
        for part in (self.findings, self.sheet, self.details):
            self.across.addWidget(part)
        self.across.setStretchFactor(1, 1)
        self.down = QSplitter(Qt.Orientation.Vertical)
        self.down.addWidget(self.across)
        self.down.addWidget(self.sequence)
        self.down.setStretchFactor(0, 1)
        for splitter in (self.across, self.down):
            splitter.setChildrenCollapsible(False)
        self.findings.setMinimumWidth(220)
        self.details.setMinimumWidth(240)
        self.sequence.setMinimumHeight(150)

        self.stack = QStackedWidget()
        self.stack.addWidget(self.start)
        self.stack.addWidget(self.down)
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.notice)
        column.addWidget(self.stack, 1)
        column.addWidget(self.block)
        self.setCentralWidget(page)

    def _make_menus(self) -> None:
        menus: dict[str, QMenu] = {title: self.menuBar().addMenu(title) for title in MENUS}
        groups: dict[str, QActionGroup] = {}
        for row in TABLE:
            action = self.commands[row.id]
            if row.new_group:
                menus[row.menu].addSeparator()
            menus[row.menu].addAction(action)
            self.addAction(action)
            if row.choice:
                groups.setdefault(row.choice, QActionGroup(self)).addAction(action)
        self._recent_menu = QMenu("Opened &lately", self)
        menus["&Aircraft"].insertMenu(self.commands["open-sample"], self._recent_menu)
        self._sequence_menu = QMenu("&Choose", self)
        menus["Se&quence"].insertMenu(self.commands["play"], self._sequence_menu)
        menus["Se&quence"].insertSeparator(self.commands["play"])

    def _bind(self) -> None:
        playback, session = self.playback, self.session
        self.commands.bind(
            {
                "new": self._ask_for_new,
                "lay-drawing": self.laying.ask_for_drawing,
                "drawing-fainter": self.laying.fainter,
                "drawing-stronger": self.laying.stronger,
                "drawing-mirror": self.laying.mirror,
                "drawing-lock": self.laying.lock,
                "drawing-away": self.laying.take_away,
                "datum": self.laying.ask_for_datum,
                "view-side": lambda: self.laying.add_view("side"),
                "view-front": lambda: self.laying.add_view("front"),
                "view-plan": lambda: self.laying.add_view("plan"),
                "outlines": self.laying.ask_for_outlines,
                "cut": self.clipboard.cut,
                "copy": self.clipboard.copy,
                "paste": self.clipboard.paste,
                "remove": self.sketching.remove,
                "drive": self.sketching.drive,
                "add-step": self.sketching.add_step,
                "join-bodies": self.sketching.join_bodies,
                "cut-away": self.sketching.cut_away,
                "tool-none": lambda: self.sheet.take_up(""),
                "choose-all": self.sheet.choose_all,
                "nudge-left": lambda: self.sheet.nudge(-1, 0),
                "nudge-right": lambda: self.sheet.nudge(1, 0),
                "nudge-up": lambda: self.sheet.nudge(0, 1),
                "nudge-down": lambda: self.sheet.nudge(0, -1),
                "open": self.keeping.ask_to_open,
                "open-sample": self.keeping.open_sample,
                "save": self.keeping.save,
                "save-as": self.keeping.ask_where_to_save,
                "pack": self.keeping.ask_where_to_pack,
                "variant": self.keeping.copy_as_variant,
                "strip": self.strips.ask,
                "quit": self.close,
                "undo": session.undo,
                "redo": session.redo,
                "play": playback.toggle,
                "fit": self.sheet.fit,
                "zoom-in": self.sheet.zoom_in,
                "zoom-out": self.sheet.zoom_out,
                "next-view": self.sheet.next_view,
                "place": self.sheet.show_place,
                "slower": lambda: playback.change_speed(-1),
                "faster": lambda: playback.change_speed(1),
                "to-start": playback.go_to_start,
                "frame-back": lambda: playback.step(-1),
                "frame-on": lambda: playback.step(1),
                "to-end": playback.go_to_end,
                "add-curve": self.sequence.offer_curves,
                "write-curves": self.sequence.curves.ask_to_write,
                "finding-back": lambda: self.jump(-1),
                "finding-on": lambda: self.jump(1),
                "worst": self.show_worst,
                "let-go": lambda: session.show_finding(None),
                "look-system": lambda: self.set_look(Look.SYSTEM),
                "look-light": lambda: self.set_look(Look.LIGHT),
                "look-dark": lambda: self.set_look(Look.DARK),
                "keys": self.show_keys,
                "about": lambda: About(__version__, self).open(),
            }
        )
        self.commands.bind_switches({f"tool-{tool}": partial(self._take_up, tool) for tool in TOOLS})
        self.sheet.things_menu.use(self.commands.__getitem__)
        self.commands.bind_switches(
            {
                "two-views": self.sheet.set_side_by_side,
                "ghosts": self._show_ghosts,
                "names": self._show_names,
                "tracing": self._show_tracing,
                "backwards": playback.set_backwards,
                "loop": playback.set_looping,
                "show-findings": lambda on: self._show_part("findings", on),
                "show-details": lambda on: self._show_part("details", on),
                "show-sequence": lambda on: self._show_part("sequence", on),
                "full-screen": lambda on: self.showFullScreen() if on else self.showNormal(),
            }
        )

    def _listen(self) -> None:
        session = self.session
        for signal in (
            session.project_changed, session.history_changed, session.study_changed, session.sequence_changed,
            session.finding_changed, session.selection_changed, self.runner.state_changed,
        ):  # fmt: skip
            signal.connect(self._refresh)
        session.trouble.connect(self.notice.say)
        for done in (session.pushed, session.undone, session.redone, self.keeping.keeper.kept_by_hand):
            done.connect(self.notice.put_away)  # something was done since, and it went well
        session.project_opened.connect(self._on_opened)
        session.finding_changed.connect(self._on_finding_changed)
        self.down.splitterMoved.connect(lambda: self.settings.keep_layout("down", self.down.saveState()))
        self.sheet.views_changed.connect(lambda: self.commands["two-views"].setChecked(self.sheet.side_by_side))
        self.sheet.tool_changed.connect(self._show_tool)
        self.details.moved_by.film_wanted.connect(self.sheet.swing.play)
        self.sequence.curves.write_wanted.connect(self._ask_to_write_curves)
        self.errands.done.connect(self._say)
        self.errands.failed.connect(session.trouble)
        self.keeping.saved.connect(lambda name: self._say(f"Saved in {name}"))
        self.keeping.done.connect(self._say)
        self.start.new_wanted.connect(self._ask_for_new)
        self.start.open_wanted.connect(self.keeping.ask_to_open)
        self.start.sample_wanted.connect(self.keeping.open_sample)
        self.start.recent_wanted.connect(lambda where: self.keeping.open_guarded(Path(where)))
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._on_desktop_changed)
        self._tabs_timer = QTimer(self)
        self._tabs_timer.setSingleShot(True)
        self._tabs_timer.setInterval(0)
        self._tabs_timer.timeout.connect(self._order_tabs)
        for signal in (session.project_changed, session.sequence_changed, session.selection_changed):
            signal.connect(self._tabs_timer.start)
        self._help_timer = QTimer(self)
        self._help_timer.setSingleShot(True)
        self._help_timer.setInterval(SAID_FOR_MS)
        self._help_timer.timeout.connect(lambda: self.block.help(""))

    def _take_up(self, tool: str, on: bool) -> None:
        self.sheet.take_up(tool if on else "")

    def _show_tool(self, tool: str) -> None:
        for one in TOOLS:
            self.commands[f"tool-{one}"].setChecked(one == tool)

    def _ask_for_new(self) -> None:
        def ask() -> None:
            question = NewAircraft(self)
            question.made.connect(self.keeping.begin)
            question.open()

        self.keeping.guard("begin another aircraft", ask)

    def _ask_to_write_curves(self, name: str) -> None:
        ask_for_curves(self, self.strips.exports() / name, self._write_curves)

    def _write_curves(self, file: Path) -> None:
        """A picture is of what stands in the window, so that it is written here and not away from it."""
        try:
            self.sequence.curves.write(file)
        except OSError as error:
            self.session.trouble.emit(f"{file} could not be written: {error.strerror or error}")
        else:
            self._say(f"The curves are written: {file.name}, in {file.parent}")

    # ---- what is shown -------------------------------------------------------------------------------------------

    def _refresh(self) -> None:
        """The title, the menus, the title block: whatever says how things stand."""
        session = self.session
        project = session.project
        self.commands.refresh(session)
        self.stack.setCurrentWidget(self.start if project is None else self.down)
        self.setWindowTitle("Bayfold" if project is None else f"{self._title(project)}[*] – Bayfold")
        self.setWindowModified(project is not None and session.unsaved)
        self.block.put("Scale", "" if project is None else f"scale 1 : {project.aircraft.scale:g}")
        self.block.put("Check", self.standing)
        self._fill_sequence_menu()

    def _title(self, project: Project) -> str:
        """The aircraft's name, and its folder's: twins have one name and two folders."""
        folder = self.session.folder
        name = project.aircraft.name if folder is None else f"{project.aircraft.name} ({folder.name})"
        return f"{name}, looked at only" if self.session.looked_at_only else name

    @property
    def standing(self) -> str:
        """How the check stands, in a word or two; never that all is clear while it is not known."""
        session = self.session
        if session.project is None:
            return ""
        if session.failure is not None:
            return "not checked"
        if session.study is None or not session.study_current:
            return "checking…"
        if not session.project.bodies:
            return "nothing to check"
        count = len(groups_of(session.study))
        found = "" if count == 0 else "1 finding" if count == 1 else f"{count} findings"
        return ", ".join(words for words in (found, figures_off(session.study)) if words) or "nothing found"

    def _fill_sequence_menu(self) -> None:
        project, shown = self.session.project, self.session.sequence
        rows = tuple((one.id, one.name or one.id) for one in project.sequences) if project is not None else ()
        current = shown.id if shown is not None else None
        if (rows, current) == getattr(self, "_sequence_rows", None):
            return
        self._sequence_rows = (rows, current)
        self._sequence_menu.clear()
        self._sequence_menu.setEnabled(bool(rows))
        for number, (sequence_id, name) in enumerate(rows, 1):
            action = self._sequence_menu.addAction(name)
            action.setCheckable(True)
            action.setChecked(sequence_id == current)
            if number <= MOST_NUMBERED:
                action.setShortcut(str(number))
            action.triggered.connect(lambda _on=False, one=sequence_id: self.session.choose_sequence(one))

    def _fill_recent(self) -> None:
        folders = self.settings.recent
        self._recent_menu.clear()
        self._recent_menu.setEnabled(bool(folders))
        for folder in folders:
            action = self._recent_menu.addAction(f"{folder.name}   {short(folder.parent)}")
            action.triggered.connect(lambda _on=False, folder=folder: self.keeping.open_guarded(folder))
        if folders:
            self._recent_menu.addSeparator()
            self._recent_menu.addAction("Forget these").triggered.connect(self._forget_recent)
        self._show_recent()

    def _show_recent(self) -> None:
        if self.session.project is None:  # nobody sees the start page again after that
            rows = tuple(row_of(folder, dark=self.theme.dark) for folder in self.settings.recent)
            self.start.show_recent(rows)

    def _forget_recent(self) -> None:
        self.settings.forget_recent()
        self._fill_recent()

    def _on_opened(self) -> None:
        self.notice.put_away()
        QTimer.singleShot(0, self._share_height)
        self.sequence.lanes.setFocus(Qt.FocusReason.OtherFocusReason)
        QTimer.singleShot(0, self._fill_recent)

    def _say(self, text: str) -> None:
        self.block.help(text)
        self._help_timer.start()

    def _on_finding_changed(self) -> None:
        finding = self.session.finding
        if finding is not None:
            self.playback.pause()

    # ---- findings ------------------------------------------------------------------------------------------------

    def jump(self, way: int) -> None:
        """To the next finding in time, or the one before."""
        session = self.session
        shown = session.sequence
        if session.study is None or not session.study_current or shown is None:
            return
        finding = next_finding(session.study, shown.id, session.moment, session.finding, way)
        if finding is not None:
            session.show_finding(finding)

    def show_worst(self) -> None:
        if self.session.study is not None and self.session.study_current:
            findings = all_findings(self.session.study)
            if findings:
                self.session.show_finding(findings[0])

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
        for part in (self.sheet, self.findings, self.details, self.sequence):
            part.set_theme(theme)
        self.commands[f"look-{self.settings.look}"].setChecked(True)
        self._show_recent()

    # ---- regions -------------------------------------------------------------------------------------------------

    def _share_room(self) -> None:
        """The sheet gets the most of any window; what was set by hand before is restored over this."""
        side = min(max(self.width() * 22 // 100, 250), 330)
        self.across.setSizes([side, self.width() - 2 * side, side])
        self._share_height()

    def _share_height(self) -> None:
        """The sequence gets what its lanes need, up to two fifths, until it is set by hand."""
        if self.settings.layout("down").isEmpty():
            below = min(self.sequence.wanted_height, self.height() * 2 // 5)
            self.down.setSizes([self.height() - below, below])

    def _order_tabs(self) -> None:
        order_tabs((self.findings, self.sheet, self.details, self.sequence))

    def _parts(self) -> dict[str, QWidget]:
        return {"findings": self.findings, "details": self.details, "sequence": self.sequence}

    def _show_part(self, name: str, on: bool) -> None:
        self._parts()[name].setVisible(on)
        self._keep_switch(f"show-{name}", on)

    def _show_ghosts(self, on: bool) -> None:
        self.sheet.set_ghosts(on, on)
        self._keep_switch("ghosts", on)

    def _show_names(self, on: bool) -> None:
        self.sheet.set_names(on)
        self._keep_switch("names", on)

    def _show_tracing(self, on: bool) -> None:
        self.sheet.set_tracing(on)
        self._keep_switch("tracing", on)

    def _keep_switch(self, name: str, on: bool) -> None:
        self.commands[name].setChecked(on)
        self.settings.keep_flag(name, on)

    def _restore(self) -> None:
        if not self.restoreGeometry(self.settings.layout("window")):
            self.resize(1440, 900)
        self._share_room()
        for name, splitter in (("across", self.across), ("down", self.down), ("details", self.details.splitter)):
            splitter.restoreState(self.settings.layout(name))
        for name in self._parts():
            self._show_part(name, self.settings.flag(f"show-{name}", True))
        self._show_ghosts(self.settings.flag("ghosts", True))
        self._show_names(self.settings.flag("names", False))
        self._show_tracing(self.settings.flag("tracing", True))
        self._fill_recent()

    def _keep_layout(self) -> None:
        self.settings.keep_layout("window", self.saveGeometry())
        for name, splitter in (("across", self.across), ("details", self.details.splitter)):
            self.settings.keep_layout(name, splitter.saveState())

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
        self._keep_layout()
        for worker in (self.runner, self.errands, self.sweeping, self.details.remedy, self.sequence.curves):
            worker.shut_down()
        self.keeping.keeper.let_go()
        event.accept()

    def _leave(self) -> None:
        self._leaving = True
        self.close()


def dropped_sheet(urls: list[QUrl]) -> Path | None:
    """The drawing or the outlines among things that are dropped."""
    files = (Path(url.toLocalFile()) for url in urls if url.isLocalFile())
    return next((file for file in files if file.suffix.lower() in (*DRAWING_KINDS, ".dxf")), None)


def dropped_path(urls: list[QUrl]) -> Path | None:
    """The aircraft among things that are dropped: a folder, a project.json, or one packed in a file."""
    for url in urls:
        path = Path(url.toLocalFile()) if url.isLocalFile() else None
        if path is not None and (path.name == "project.json" or (path / "project.json").is_file() or is_packed(path)):
            return path
    return None


def key_groups() -> tuple[KeyGroup, ...]:
    """The table's actions that have keys, by menu."""
    groups = []
    for menu in MENUS:
        rows = [(row.words.replace("&", ""), shown_keys(row)) for row in TABLE if row.menu == menu and row.keys]
        if menu == "Se&quence":
            rows.append(("Another sequence", "1 to 9"))
        if rows:
            groups.append(KeyGroup(menu.replace("&", ""), tuple(rows)))
    return tuple(groups)
