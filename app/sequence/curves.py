"""Curves below the lanes, on the same time ruler: of what is chosen, and of whatever else is kept there."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QSize, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QWidget

from app.sequence.curve_choice import CurveChoice
from app.sequence.curve_list import CurveList, pop_up
from app.sequence.curve_menus import new_menu, offer, tell_left_out
from app.sequence.curve_work import CurveRequest, CurveWork, Shown
from app.sequence.foreseen import foreseen
from app.sequence.inks import Inks
from app.sequence.playback import Playback
from app.sequence.time_scale import MARGIN, NAMES_WIDTH, TimeScale, over
from app.session import Session
from core.curves.quantities import Quantity, Sort
from core.curves.series import Series
from core.exports.curves import curves_table
from core.exports.table import write_table

if TYPE_CHECKING:
    from app.sequence.chart import Chart

HEIGHT = 150
LEAST = 96


class Curves(QWidget):
    """Stands below the lanes while something with a value over time is chosen, or curves are kept."""

    write_wanted = Signal(str)
    """A file is to be asked for; the name to suggest."""

    def __init__(self, session: Session, playback: Playback, inks: Inks) -> None:
        super().__init__()
        self.session, self.playback, self.inks = session, playback, inks
        self.choice = CurveChoice(session)
        self._key: tuple[object, ...] = ()
        self._shown: Shown = ()
        self._over_series: Series | None = None
        self._right_margin = 0
        self._held_seconds: float | None = None
        self._shifted = False
        self._chart: Chart | None = None
        self.setAccessibleName("Curves")
        self.setMinimumHeight(LEAST)
        self._work = CurveWork(self)
        self._work.done.connect(self._take)
        self._work.trouble.connect(session.trouble)
        self._make_list()
        self._look = session.follow(self, self._on_changed)
        session.selection_changed.connect(self._on_chosen)
        session.finding_changed.connect(self._on_chosen)
        session.sequence_changed.connect(self._on_changed)
        session.project_opened.connect(self.choice.forget)
        session.moment_changed.connect(self._on_moment_changed)
        self._on_changed()

    def _make_list(self) -> None:
        self.list = CurveList()
        self.list.add_wanted.connect(lambda: pop_up(self.which_menu(), self.list.add_button))
        self.list.over_wanted.connect(lambda: pop_up(self.over_menu(), self.list.over_button))
        self.list.write_wanted.connect(self.ask_to_write)
        self.list.keep_wanted.connect(self.keep)
        self.list.drop_wanted.connect(self.drop)
        self._body = QHBoxLayout(self)
        self._body.setContentsMargins(0, 1, 0, 0)
        self._body.setSpacing(0)
        self._body.addWidget(self.list)

    def sizeHint(self) -> QSize:
        return QSize(600, HEIGHT)

    @property
    def scale(self) -> TimeScale:
        schedule = self.session.schedule
        seconds = schedule.seconds if schedule is not None else 0.0
        return over(self.width() - self._right_margin, seconds if self._held_seconds is None else self._held_seconds)

    @property
    def shown(self) -> tuple[Series, ...]:
        return tuple(series for _, series in self._shown)

    @property
    def shown_quantities(self) -> tuple[Quantity, ...]:
        return tuple(quantity for quantity, _ in self._shown)

    @property
    def over(self) -> Series | None:
        """What the curves are drawn over; None over time."""
        return self._over_series

    @property
    def values(self) -> tuple[str, ...]:
        """What the list tells of each curve at the moment."""
        return self.list.values

    @property
    def chart(self) -> Chart:
        """Made when it is first asked for."""
        if self._chart is None:
            from app.sequence.chart import Chart

            self._chart = Chart(self.inks)
            self._chart.plot.scrubbed.connect(self.playback.go_to)
            self._body.addWidget(self._chart, 1)
        return self._chart

    def set_inks(self, inks: Inks) -> None:
        self.inks = inks
        if self._chart is not None:
            self._chart.set_inks(inks)
        self._fill()
        self.update()

    def set_right_margin(self, pixels: int) -> None:
        if pixels != self._right_margin:
            self._right_margin = pixels
            self._measure()

    def hold(self, seconds: float | None) -> None:
        """Show so many seconds while a step is dragged, as the lanes do; None lets go."""
        if seconds != self._held_seconds:
            self._held_seconds = seconds
            self._measure()

    # ---- which curves ----------------------------------------------------------------------------------------------

    def keep(self, quantity: Quantity) -> None:
        """Have a curve stay whatever is chosen."""
        if self.choice.keep(quantity):
            self._on_changed()

    def drop(self, quantity: Quantity) -> None:
        """Take a curve away; one that follows what is chosen stays away until something else is."""
        self.choice.drop(quantity)
        self._on_changed()

    def draw_over(self, quantity: Quantity | None) -> None:
        """Another value to draw the curves over; None is time."""
        self.choice.over = quantity
        self._on_changed()

    def follow_pair(self, pair: tuple[str, str]) -> None:
        """Show the gap of a pair until something else is chosen."""
        self.choice.follow_pair(pair)
        self._on_changed()

    def shut_down(self) -> bool:
        """Wait; True when nothing is measured any more."""
        return self._work.shut_down()

    def _on_chosen(self) -> None:
        if self.session.selection is not None or self.session.finding is not None:
            self.choice.let_pair_go()
        self._look()

    def _on_changed(self) -> None:
        session, choice = self.session, self.choice
        study, sequence = session.study, session.sequence_study
        if session.project is None or study is None or sequence is None or sequence.schedule.seconds <= 0.0:
            self._key = ()
            self._work.forget()
            self._take((), None)
        elif session.study_current:
            wanted = choice.wanted()
            # A gap takes a frame's time to measure, and several signals tell of one change.
            key = (id(study), sequence.sequence.id, choice.kept, wanted, choice.over)
            if key != self._key:
                self._key = key
                self._work.ask(CurveRequest(study=study, sequence=sequence, wanted=wanted, over=choice.over))
        self._shift()
        self._measure()

    def _shift(self) -> None:
        """While it is stale, each curve goes along with steps that lie elsewhere, over whatever it is drawn."""
        found, now = self.session.sequence_study, self.session.schedule
        if self._shown and self._chart is not None and found is not None and now is not None:
            elsewhere = self.stale and now != found.schedule
            if elsewhere:
                along = self._over_series
                every = [*self.shown, *([along] if along is not None else [])]
                moved = tuple(replace(one, times=foreseen(one.times, found.schedule, now)) for one in every)
                self._chart.show_curves(moved[: len(self.shown)], moved[-1] if along is not None else None)
            elif self._shifted:
                self._chart.show_curves(self.shown, self._over_series)
            self._shifted = elsewhere
        self._tell()

    def _take(self, shown: Shown, along: Series | None) -> None:
        self._shown, self._over_series = shown, along
        if shown:
            self.chart.show_curves(self.shown, along)
        self._fill()
        self.setVisible(bool(shown))
        self._measure()

    def _fill(self) -> None:
        self.list.fill(self._shown, self.choice.kept, self.inks)
        along = self._over_series
        self.list.over_button.setToolTip("Drawn over time" if along is None else f"Drawn over {along.name}")
        self.list.add_button.setEnabled(not self.choice.is_full)
        self._tell()

    # ---- the moment ------------------------------------------------------------------------------------------------

    @property
    def stale(self) -> bool:
        return self._work.working or self.session.moving or not self.session.study_current

    def _on_moment_changed(self, moment: float) -> None:
        if self._chart is not None and self._shown:
            self._chart.plot.set_moment(moment)
            self._tell()

    def _tell(self) -> None:
        if self._chart is not None:
            self._chart.plot.set_stale(self.stale)
        self.list.tell(self.session.moment, stale=self.stale)

    def _measure(self) -> None:
        """The plot begins and ends where the lanes do; the list has what the axes leave it."""
        if self._chart is not None:
            axes = self._chart.axes_width
            lead = NAMES_WIDTH + MARGIN - self._chart.lead
            self.list.setFixedWidth(lead - axes)
            scale = self.scale
            self._chart.plot.set_scale(TimeScale(scale.left - lead, scale.width, scale.seconds))
            self._chart.plot.set_moment(self.session.moment)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._measure()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), self.inks.ground)
        painter.setPen(QPen(self.inks.line, 1))
        painter.drawLine(QPointF(0, 0.5), QPointF(self.width(), 0.5))

    # ---- asking and writing ----------------------------------------------------------------------------------------

    def which_menu(self) -> QMenu:
        """Everything that is not shown yet and has an axis; of what has none it is said why."""
        shown = set(self.shown_quantities)
        left = [one for one in self.choice.offered() if one not in shown]
        menu = self._menu(new_menu(self), (one for one in left if self.choice.fits(one)), self.keep)
        tell_left_out(menu, left, self.choice)
        return menu

    def over_menu(self) -> QMenu:
        """Time, and what else the curves can be drawn over."""
        menu = new_menu(self)
        menu.addAction("Time", lambda: self.draw_over(None))
        return self._menu(menu, (one for one in self.choice.offered() if one.sort is not Sort.GAP), self.draw_over)

    def _menu(self, menu: QMenu, offered: Iterable[Quantity], chosen: Callable[[Quantity], object]) -> QMenu:
        if self.session.project is not None:
            offer(menu, self.session.project, offered, chosen)
        return menu

    def ask_to_write(self) -> None:
        """Have it asked where the curves go; where there are none, say so."""
        sequence = self.session.sequence
        if not self._shown:
            self.session.turn_down("No curve is shown: choose a connection, a drive or a pair, or add a curve.")
        else:
            name = sequence.id if sequence is not None else "sequence"
            of_trial = "" if self.session.trial is None else "-trial"
            self.write_wanted.emit(f"{name}{of_trial}-curves.csv")

    def write(self, file: Path) -> None:
        """The curves as a table, or as a picture of the plot; raises OSError where the file cannot be written."""
        if file.suffix.lower() == ".csv":
            write_table(file, curves_table(self.shown, self._over_series))
            return
        from app.sequence.curve_picture import write_picture

        if not write_picture(file, self.shown, self._over_series, self.scale.seconds):
            raise OSError(f"{file} could not be written")
