"""The views that are shown: one, or two side by side, of which the hand is in one."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QSplitter, QWidget

from app.painting.pictures import Pictures
from app.painting.theme import DARK, LIGHT, Theme
from app.sheet.canvas import Canvas
from app.sheet.moment import ShownMoment
from app.sheet.pane import Pane
from core.document.names import name_of
from core.document.project import View
from core.findings.finding import Kind

SMALL = frozenset({Kind.CLASH, Kind.TIGHT, Kind.LATCH, Kind.TARGET})
"""Kinds of finding whose amount is a length that can be seen at its place."""


class Panes(QSplitter):
    """Keeps showing what it shows as long as the project has it; keys and buttons are meant for where the hand is."""

    changed = Signal()
    """Other views are shown, or the hand is in the other."""
    turned = Signal(str)
    """Another view is shown where the hand is."""

    def __init__(self, shown: ShownMoment, *, theme: Theme | None = None, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._session = shown.session
        self._given_theme = theme is not None
        self._theme = theme or self._theme_of_palette()
        pictures = Pictures()
        self.all = tuple(Pane(shown, self._theme, pictures, self) for _ in range(2))
        self.active = self.all[0]
        """The one that the hand is in."""
        self.two = False
        self.setChildrenCollapsible(False)
        for pane in self.all:
            self.addWidget(pane)
            pane.canvas.installEventFilter(self)
        self._set_second(False)

    @property
    def canvases(self) -> tuple[Canvas, ...]:
        """The canvas of each view that is shown."""
        return tuple(pane.canvas for pane in (self.all if self.two else self.all[:1]))

    @property
    def canvas(self) -> Canvas:
        """The one that the hand is in."""
        return self.active.canvas

    @property
    def views(self) -> tuple[str, ...]:
        """The ids of the views that are shown."""
        return tuple(canvas.view for canvas in self.canvases if canvas.view is not None)

    @property
    def known(self) -> tuple[View, ...]:
        """The views that can be shown."""
        return self._session.project.views if self._session.project is not None else ()

    # ---- which views ---------------------------------------------------------------------------------------------

    def set_view(self, view_id: str) -> None:
        """Show a view in the pane that the hand was last in."""
        if view_id in self._ids() and self.canvas.view != view_id:
            for other in self.canvases:
                if other is not self.canvas and other.view == view_id:  # the two change places
                    other.set_view(self.canvas.view)
            self.canvas.set_view(view_id)
            self.turned.emit(view_id)
            self._tell()

    def set_views(self, first: str, second: str | None = None) -> None:
        """Show one view, or two side by side."""
        known = self._ids()
        if first not in known or (second is not None and second not in known):
            return
        self.all[0].canvas.set_view(first)
        self.all[1].canvas.set_view(second)
        self._set_second(second is not None)
        self._tell()

    def next_view(self) -> None:
        known = self._ids()
        if known:
            now = self.canvas.view
            self.set_view(known[(known.index(now) + 1) % len(known)] if now in known else known[0])

    def set_two(self, both: bool) -> None:
        """Show a second view beside the first, or only the one that the hand was last in."""
        known = self._ids()
        first = self.canvas.view if not both else self.all[0].canvas.view
        if first is None or (both and len(known) < 2):
            return
        second = next(view for view in (*known[known.index(first) + 1 :], *known) if view != first) if both else None
        self.set_views(first, second)

    def take_views(self) -> None:
        """Keep showing what was shown while the project still has it."""
        known = self._ids()
        for pane in self.all:
            if pane.canvas.view not in known:
                pane.canvas.set_view(None)
        if self.all[0].canvas.view is None and known:
            self.all[0].canvas.set_view(known[0])
        if self.all[1].canvas.view is None:
            self._set_second(False)
        self._tell()

    def _ids(self) -> list[str]:
        return [view.id for view in self.known]

    def _set_second(self, shown: bool) -> None:
        self.two = shown
        self.all[1].setVisible(shown)
        if not shown:
            self.active = self.all[0]

    def _tell(self) -> None:
        names = {view.id: name_of(view) for view in self.known}
        for pane in self.all:
            pane.canvas.set_title(names.get(pane.canvas.view or "", "") if self.two else "")
        self.changed.emit()

    def eventFilter(self, watched: object, event: QEvent) -> bool:
        """The pane that the hand is in is the one that keys and buttons are meant for."""
        if event.type() in (QEvent.Type.MouseButtonPress, QEvent.Type.FocusIn, QEvent.Type.Wheel):
            for pane in self.all:
                if pane.canvas is watched and pane is not self.active:
                    self.active = pane
                    self._tell()
        return False

    # ---- moving about --------------------------------------------------------------------------------------------

    def fit(self) -> None:
        for canvas in self.canvases:
            canvas.fit()

    def zoom_in(self) -> None:
        self.canvas.zoom_in()

    def zoom_out(self) -> None:
        self.canvas.zoom_out()

    def show_place(self) -> None:
        """Bring the place of the session's finding into sight, in its own view, and in the other where it has two."""
        finding = self._session.finding
        if finding is None or finding.at is None or self._session.drafting:  # nothing moves on under the hand
            return
        if finding.view is not None and finding.view not in self.views:
            self.set_view(finding.view)
        for canvas in self.canvases:
            at = finding.at if finding.view in (None, canvas.view) else None
            if at is None and finding.other_view == canvas.view:
                at = finding.other_at
            if at is not None:
                canvas.bring_near(*at, finding.amount if finding.kind in SMALL else None)

    # ---- light and dark ------------------------------------------------------------------------------------------

    def set_theme(self, theme: Theme) -> None:
        self._theme, self._given_theme = theme, True
        self._wear()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange and not self._given_theme:
            self._theme = self._theme_of_palette()
            self._wear()
        super().changeEvent(event)

    def _theme_of_palette(self) -> Theme:
        return DARK if self.palette().color(QPalette.ColorRole.Window).lightness() < 128 else LIGHT

    def _wear(self) -> None:
        for pane in self.all:
            pane.set_theme(self._theme)
