"""Curves below the lanes, on the same time ruler: of what is chosen, and of whatever else is kept there."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtSvg import QSvgGenerator
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QVBoxLayout, QWidget

from app.sequence.inks import Inks
from app.sequence.playback import Playback
from app.sequence.time_scale import NAMES_WIDTH, TimeScale, over
from app.session import Session
from app.widgets.button import Button
from core.curves.quantities import Quantity, Sort, all_series, quantities, quantity_of, series_of
from core.curves.series import Series
from core.exports.curves import curves_table

if TYPE_CHECKING:
    from app.sequence.plot import Plot

HEIGHT = 132
LEAST = 84
MOST = 6
"""Curves at once; more cannot be told apart."""
ROW = 21
SORTS = {
    Sort.DRIVE: "Drives",
    Sort.VALUE: "Connections",
    Sort.TRANSMISSION: "How links push",
    Sort.DEAD_CENTRE: "How near to standing in line",
    Sort.GAP: "Gaps of pairs",
    Sort.TURN: "How bodies turn",
    Sort.WAY: "Way gone by bodies",
    Sort.ACROSS: "Bodies' places across",
    Sort.UP: "Bodies' places upwards",
    Sort.SPEED: "Speeds of bodies",
}


class Curves(QWidget):
    """Stands below the lanes while something with a value over time is chosen, or curves are kept."""

    write_wanted = Signal(str)
    """A file is to be asked for; the name to suggest."""

    def __init__(self, session: Session, playback: Playback, inks: Inks) -> None:
        super().__init__()
        self.session, self.playback, self.inks = session, playback, inks
        self._kept: list[Quantity] = []
        self._followed: Quantity | None = None
        self._over: Quantity | None = None
        self._key: tuple[object, ...] = ()
        self._shown: tuple[tuple[Quantity, Series], ...] = ()
        self._over_series: Series | None = None
        self._pointed: float | None = None
        self._right_margin = 0
        self._plot: Plot | None = None
        self.setAccessibleName("Curves")
        self.setMinimumHeight(LEAST)
        self._make_parts()
        for signal in (
            session.study_changed, session.sequence_changed, session.selection_changed, session.finding_changed
        ):  # fmt: skip
            signal.connect(self._on_changed)
        session.project_opened.connect(self._forget)
        session.moment_changed.connect(self._on_moment_changed)
        self._on_changed()

    def _make_parts(self) -> None:
        self._names = QWidget()
        self._names.setFixedWidth(NAMES_WIDTH)
        self._rows = QVBoxLayout()
        self._rows.setContentsMargins(14, 4, 6, 2)
        self._rows.setSpacing(1)
        self.add_button = _button("Add a curve", "Another value over time beside these")
        self.over_button = _button("Over time", "What the curves are drawn over: time, or another value")
        self.write_button = _button("Write…", "The curves as a table (CSV) or a picture (SVG, PNG)")
        self.add_button.clicked.connect(lambda: _pop_up(self.which_menu(), self.add_button))
        self.over_button.clicked.connect(lambda: _pop_up(self.over_menu(), self.over_button))
        self.write_button.clicked.connect(self._ask_to_write)
        buttons = QHBoxLayout()
        buttons.setContentsMargins(10, 0, 6, 4)
        buttons.setSpacing(4)
        for button in (self.add_button, self.over_button, self.write_button):
            buttons.addWidget(button)
        buttons.addStretch(1)
        column = QVBoxLayout(self._names)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._rows)
        column.addStretch(1)
        column.addLayout(buttons)
        self._body = QHBoxLayout(self)
        self._body.setContentsMargins(0, 1, 0, 0)
        self._body.setSpacing(0)
        self._body.addWidget(self._names)

    def sizeHint(self) -> QSize:
        return QSize(600, HEIGHT)

    @property
    def scale(self) -> TimeScale:
        schedule = self.session.schedule
        return over(self.width() - self._right_margin, schedule.seconds if schedule is not None else 0.0)

    @property
    def shown(self) -> tuple[Series, ...]:
        return tuple(series for _, series in self._shown)

    @property
    def plot(self) -> Plot:
        """Made when it is first asked for."""
        if self._plot is None:
            from app.sequence.plot import Plot

            self._plot = Plot(self.inks)
            self._plot.scrubbed.connect(self.playback.go_to)
            self._plot.hovered.connect(self._on_hovered)
            self._body.addWidget(self._plot, 1)
        return self._plot

    def set_inks(self, inks: Inks) -> None:
        self.inks = inks
        if self._plot is not None:
            self._plot.set_inks(inks)
        self.update()

    def set_right_margin(self, pixels: int) -> None:
        if pixels != self._right_margin:
            self._right_margin = pixels
            self._measure()

    def renew(self) -> None:
        self._key = ()
        self._on_changed()

    # ---- which curves ----------------------------------------------------------------------------------------------

    def keep(self, quantity: Quantity) -> None:
        """Have a curve stay whatever is chosen."""
        if quantity not in self._kept and len(self._kept) < MOST:
            self._kept.append(quantity)
            self.renew()

    def drop(self, quantity: Quantity) -> None:
        if quantity in self._kept:
            self._kept.remove(quantity)
        self.renew()

    def draw_over(self, quantity: Quantity | None) -> None:
        """Another value to draw the curves over; None is time."""
        self._over = quantity
        self.renew()

    def _forget(self) -> None:
        self._kept, self._over, self._followed, self._key = [], None, None, ()

    def _on_changed(self) -> None:
        session = self.session
        study, sequence = session.study, session.sequence_study
        if session.project is None or study is None or sequence is None:
            self._shown, self._key = (), ()
        elif session.study_current:
            self._followed = quantity_of(study, sequence, session.selection, session.finding)
            wanted = [*self._kept]
            if self._followed is not None and self._followed not in wanted:
                wanted.append(self._followed)
            # A gap takes a frame's time to measure, and several signals tell of one change.
            key = (id(study), sequence.sequence.id, tuple(wanted), self._over)
            if key != self._key:
                self._key = key
                self._shown = all_series(study, sequence, wanted)
                self._over_series = None if self._over is None else series_of(study, sequence, self._over)
                self._refill()
        self.setVisible(bool(self._shown))
        if self._plot is not None:
            self._plot.setEnabled(session.study_current)
        self._tell()
        self.update()

    def _refill(self) -> None:
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._values: list[QLabel] = []
        for number, (quantity, series) in enumerate(self._shown):
            self._rows.addWidget(self._row(number, quantity, series))
        over_it = self._over_series
        self.over_button.setText("Over time" if over_it is None else "Over a value")
        self.over_button.setToolTip("Drawn over time" if over_it is None else f"Drawn over {over_it.title}")
        if self._shown:
            self.plot.show_curves(self.shown, self._over_series)
            self._measure()

    def _row(self, number: int, quantity: Quantity, series: Series) -> QWidget:
        row = QWidget()
        row.setFixedHeight(ROW)
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(6)
        line.addWidget(_Sample(self, number))
        name = QLabel(series.title)
        name.setMinimumWidth(20)
        name.setToolTip(series.title)
        line.addWidget(name, 1)
        value = QLabel()
        value.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._values.append(value)
        line.addWidget(value)
        kept = quantity in self._kept
        button = _button("×" if kept else "Keep", "Take this curve away" if kept else "Keep this curve here")
        button.setAccessibleName(f"{'Take away' if kept else 'Keep'} the curve of {series.title}")
        button.clicked.connect(lambda: self.drop(quantity) if kept else self.keep(quantity))
        line.addWidget(button)
        return row

    # ---- values ----------------------------------------------------------------------------------------------------

    def _on_moment_changed(self, moment: float) -> None:
        if self._plot is not None and self._shown:
            self._plot.set_moment(moment)
            self._tell()

    def _on_hovered(self, time: float | None) -> None:
        self._pointed = time
        self._tell()

    def _tell(self) -> None:
        """Each curve's value: under the pointer where it is over the plot, else at the moment."""
        if not self._shown:
            return
        time = self.session.moment if self._pointed is None else self._pointed
        for label, (_, series) in zip(self._values, self._shown, strict=True):
            value = series.at(time)
            if not self.session.study_current:
                label.setText("…")
            else:
                label.setText("–" if math.isnan(value) else series.told(value))

    def _measure(self) -> None:
        if self._plot is not None:
            scale = self.scale
            self._plot.set_scale(TimeScale(scale.left - NAMES_WIDTH, scale.width, scale.seconds))
            self._plot.set_moment(self.session.moment)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._measure()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), self.inks.ground)
        painter.setPen(QPen(self.inks.line, 1))
        painter.drawLine(QPointF(0, 0.5), QPointF(self.width(), 0.5))

    # ---- asking ----------------------------------------------------------------------------------------------------

    def which_menu(self) -> QMenu:
        """Everything that is not shown yet."""
        shown = {quantity for quantity, _ in self._shown}
        menu = self._new_menu()
        self._offer(menu, self.keep, lambda one: one not in shown)
        return menu

    def over_menu(self) -> QMenu:
        """Time, and what else the curves can be drawn over."""
        menu = self._new_menu()
        menu.addAction("Time", lambda: self.draw_over(None))
        self._offer(menu, self.draw_over, lambda one: one.sort in (Sort.DRIVE, Sort.VALUE))
        return menu

    def _new_menu(self) -> QMenu:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        return menu

    def _offer(self, menu: QMenu, chosen: Callable[[Quantity], object], fits: Callable[[Quantity], bool]) -> None:
        study, sequence = self.session.study, self.session.sequence_study
        offered = quantities(study, sequence) if study is not None and sequence is not None else ()
        for sort, words in SORTS.items():
            mine = [one for one in offered if one.sort is sort and fits(one)]
            if mine:
                part = menu.addMenu(words)
                for one in mine:
                    part.addAction(self._title(one), partial(chosen, one))

    def _title(self, quantity: Quantity) -> str:
        project = self.session.project
        things = () if project is None else (*project.bodies, *project.connections, *project.drives)
        names = {one.id: one.name or one.id for one in things}
        words = [names.get(one, one) for one in quantity.of]
        return (" on " if quantity.sort is Sort.TRANSMISSION else " – ").join(words)

    # ---- writing ---------------------------------------------------------------------------------------------------

    def _ask_to_write(self) -> None:
        sequence = self.session.sequence
        self.write_wanted.emit(f"{sequence.id if sequence is not None else 'sequence'}-curves.csv")

    def write(self, file: Path) -> None:
        """The curves as a table, or as a picture of the plot; raises OSError where the file cannot be written."""
        kind = file.suffix.lower()
        if kind == ".csv":
            file.write_text(curves_table(self.shown, self._over_series), encoding="utf-8", newline="")
        elif kind == ".svg":
            self._write_svg(file)
        elif not self.grab().save(str(file)):
            raise OSError(f"{file} could not be written")

    def _write_svg(self, file: Path) -> None:
        generator = QSvgGenerator()
        generator.setFileName(str(file))
        generator.setSize(self.plot.size())
        generator.setViewBox(QRectF(self.plot.rect()))
        generator.setTitle(", ".join(series.title for series in self.shown))
        painter = QPainter()
        if not painter.begin(generator):
            raise OSError(f"{file} could not be written")
        painter.fillRect(self.plot.rect(), self.inks.ground)
        self.plot.render(painter, QRectF(self.plot.rect()), self.plot.rect())
        painter.end()


class _Sample(QWidget):
    """A short piece of a curve's line, to know it by."""

    def __init__(self, curves: Curves, number: int) -> None:
        super().__init__()
        self._curves, self._number = curves, number
        self.setFixedSize(26, ROW)

    def paintEvent(self, event: QPaintEvent) -> None:
        from app.sequence.plot import dash_of

        inks = self._curves.inks
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(inks.text if self._number % 2 == 0 else inks.chosen, 1.4)
        if dash_of(self._number):
            pen.setDashPattern([float(length) for length in dash_of(self._number)])
        painter.setPen(pen)
        painter.drawLine(QPointF(0, ROW / 2), QPointF(26, ROW / 2))


def _pop_up(menu: QMenu, button: Button) -> None:
    menu.popup(button.mapToGlobal(button.rect().topLeft()))


def _button(words: str, tip: str) -> Button:
    button = Button()
    button.setObjectName("quiet")
    button.setText(words)
    button.setToolTip(tip)
    button.setStatusTip(tip)
    return button
