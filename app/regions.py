"""How the window is shared out: findings, sheet and details over the sequence, and what of it is shown."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QSplitter, QWidget

from app.actions import Actions
from app.panels.details import DetailsPanel
from app.panels.findings import FindingsPanel
from app.sequence.panel import SequencePanel
from app.settings import Settings
from app.sheet.sheet import Sheet
from app.sheet.snap_choice import keep_choice, kept_choice
from app.uses import Switches
from app.widgets.tab_order import order_tabs


class Regions(QSplitter):
    def __init__(
        self, settings: Settings, actions: Actions, sheet: Sheet, findings: FindingsPanel, details: DetailsPanel,
        sequence: SequencePanel,
    ) -> None:  # fmt: skip
        super().__init__(Qt.Orientation.Vertical)
        self._settings, self._actions = settings, actions
        self._sheet, self._findings, self._details, self._sequence = sheet, findings, details, sequence
        self.across = QSplitter(Qt.Orientation.Horizontal)
        for part in (findings, sheet, details):
            self.across.addWidget(part)
        self.across.setStretchFactor(1, 1)
        self.addWidget(self.across)
        self.addWidget(sequence)
        self.setStretchFactor(0, 1)
        for splitter in (self.across, self):
            splitter.setChildrenCollapsible(False)
        findings.setMinimumWidth(220)
        details.setMinimumWidth(256)
        sheet.tray.tell({tool: actions[f"tool-{tool}"].toolTip() for tool in sheet.tray.buttons})
        sheet.bench.snapping_changed.connect(self._keep_snapping)
        findings.answer.gone.connect(self._lead_to_sheet)
        self.splitterMoved.connect(lambda: settings.keep_layout("down", self.saveState()))
        self._tabs_timer = QTimer(self)
        self._tabs_timer.setSingleShot(True)
        self._tabs_timer.setInterval(0)
        self._tabs_timer.timeout.connect(self._order_tabs)

    @property
    def switches(self) -> Switches:
        """What its checkable actions do when they are put on or off."""
        parts: Switches = {f"show-{name}": partial(self._show_part, name) for name in self._parts()}
        ghosts: Switches = {"ghosts": self._show_ghosts, "pinned-ghosts": self._show_pinned_ghosts}
        return {**parts, **ghosts, "names": self._show_names, "tracing": self._show_tracing}

    def order_tabs_soon(self) -> None:
        """The tab key goes from region to region, once what has changed stands where it will."""
        self._tabs_timer.start()

    def restore(self) -> None:
        """As the user left it; the first time the sheet gets the most."""
        self._share_room()
        for name, splitter in (("across", self.across), ("down", self), ("details", self._details.splitter)):
            splitter.restoreState(self._settings.layout(name))
        for name in self._parts():
            self._show_part(name, self._settings.flag(f"show-{name}", True))
        self._show_ghosts(self._settings.flag("ghosts", True))
        self._show_pinned_ghosts(self._settings.flag("pinned-ghosts", True))
        self._show_names(self._settings.flag("names", False))
        self._show_tracing(self._settings.flag("tracing", True))
        self._sheet.bench.choose_snapping(kept_choice(self._settings))
        self._keep_snapping()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.oldSize().isValid() and event.oldSize().height() != event.size().height():
            self.share_height()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape that nothing else wants leads out of a field or a list at the side, back to the sheet and its keys."""
        focus = QApplication.focusWidget()
        beside = focus is not None and any(one.isAncestorOf(focus) for one in (self._findings, self._details))
        if event.key() == Qt.Key.Key_Escape and beside:
            self._lead_to_sheet()
        else:
            super().keyPressEvent(event)

    def _lead_to_sheet(self) -> None:
        self._sheet.panes.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def keep(self) -> None:
        for name, splitter in (("across", self.across), ("details", self._details.splitter)):
            self._settings.keep_layout(name, splitter.saveState())

    def share_height(self) -> None:
        """The sequence gets what its lanes need, up to two fifths, until it is set by hand."""
        if self._settings.layout("down").isEmpty():
            height = self.window().height()
            below = min(self._sequence.wanted_height, height * 2 // 5)
            self.setSizes([height - below, below])

    def _share_room(self) -> None:
        """The sheet gets the most of any window; what was set by hand before is restored over this."""
        width = self.window().width()
        side = min(max(width * 22 // 100, 250), 330)
        self.across.setSizes([side, width - 2 * side, side])
        self.share_height()

    def _order_tabs(self) -> None:
        order_tabs((self._findings, self._sheet, self._details, self._sequence))

    def _parts(self) -> dict[str, QWidget]:
        return {"findings": self._findings, "details": self._details, "sequence": self._sequence}

    def _show_part(self, name: str, on: bool) -> None:
        self._parts()[name].setVisible(on)
        self._keep_switch(f"show-{name}", on)

    def _show_ghosts(self, on: bool) -> None:
        self._sheet.set_ghosts(on, on)
        self._keep_switch("ghosts", on)

    def _show_pinned_ghosts(self, on: bool) -> None:
        self._sheet.set_pinned_ghosts(on)
        self._keep_switch("pinned-ghosts", on)

    def _show_names(self, on: bool) -> None:
        self._sheet.set_names(on)
        self._keep_switch("names", on)

    def _show_tracing(self, on: bool) -> None:
        self._sheet.set_tracing(on)
        self._keep_switch("tracing", on)

    def _keep_snapping(self) -> None:
        choice = self._sheet.bench.snapping
        keep_choice(self._settings, choice)
        self._actions["snap"].setChecked(choice.on)

    def _keep_switch(self, name: str, on: bool) -> None:
        self._actions[name].setChecked(on)
        self._settings.keep_flag(name, on)
