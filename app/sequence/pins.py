"""Pinned moments of the sequence that is looked at: put in, taken out, and dragged along the time ruler."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from app.session import Session
from app.uses import Uses
from core.document.pin_edits import MovePin, PinMoment, Unpin, pin_near
from core.drawing.ghosts import seconds_text

FINE = 1000.0
"""Pins stand at whole thousandths of a second, as the moment is told."""
MenuRows = tuple[tuple[str, Callable[[], object]], ...]


class Pins(QObject):
    changed = Signal()
    """They are others, or one of them is under way."""
    previewed = Signal(object)
    """The moments, seconds, as they would be while one is dragged; None when it is let go."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._dragged: float | None = None
        self._to = 0.0
        for signal in (session.project_changed, session.sequence_changed):
            signal.connect(self._on_changed)

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        return {"pin": self.toggle, "unpin-all": lambda: self.unpin(None)}

    @property
    def moments(self) -> tuple[float, ...]:
        """Seconds, as they would be while one is dragged; none after the sequence's end."""
        session = self._session
        if session.project is None or session.sequence is None or session.schedule is None:
            return ()
        pinned = session.sequence.pinned
        if self._dragged is not None:
            pinned = tuple(sorted((*(one for one in pinned if one != self._dragged), self._to)))
        return tuple(min(one, session.schedule.seconds) for one in pinned)

    # ---- in and out ----------------------------------------------------------------------------------------------

    def toggle(self) -> None:
        """Pin the moment that is looked at, or unpin it where it is pinned."""
        here = self.near(self._session.moment)
        if here is None:
            self.pin(self._session.moment)
        else:
            self.unpin(here)

    def pin(self, seconds: float) -> None:
        sequence = self._session.sequence
        if sequence is not None:
            self._session.push(PinMoment(sequence.id, _told(seconds)))

    def unpin(self, seconds: float | None) -> None:
        """One pin, or every one."""
        sequence = self._session.sequence
        if sequence is not None:
            self._session.push(Unpin(sequence.id, seconds))

    def near(self, seconds: float, within: float = 0.5 / FINE) -> float | None:
        """The pinned moment nearest to another and no further off."""
        sequence = self._session.sequence
        return None if sequence is None else pin_near(sequence, seconds, within)

    def menu_rows(self, pointed: float, pin: float | None) -> MenuRows:
        """What can be done at a moment of the ruler, or with the pin that stands there."""
        moment = self._session.moment
        rows: list[tuple[str, Callable[[], object]]] = []
        if pin is not None:
            rows.append((f"Unpin {seconds_text(pin)}", lambda: self.unpin(pin)))
        elif self.near(pointed) is None:
            rows.append((f"Pin {seconds_text(_told(pointed))}, where the pointer is", lambda: self.pin(pointed)))
        if self.near(moment) is None:
            rows.append((f"Pin {seconds_text(_told(moment))}, which is shown", lambda: self.pin(moment)))
        if len(self.moments) > 1:
            rows.append(("Unpin every moment", lambda: self.unpin(None)))
        return tuple(rows)

    # ---- dragging ------------------------------------------------------------------------------------------------

    @property
    def dragging(self) -> bool:
        return self._dragged is not None

    def drag(self, pin: float, to: float) -> None:
        """Show a pin elsewhere."""
        schedule = self._session.schedule
        if schedule is not None:
            self._dragged, self._to = pin, min(max(_told(to), 0.0), schedule.seconds)
            self.previewed.emit(self.moments)
            self.changed.emit()

    def drop(self) -> None:
        """Leave it where it was dragged."""
        pin, to, sequence = self._dragged, self._to, self._session.sequence
        self.give_up()
        if pin is not None and sequence is not None:
            self._session.push(MovePin(sequence.id, pin, to))

    def give_up(self) -> None:
        """Leave it where it stood."""
        if self._dragged is not None:
            self._dragged = None
            self.previewed.emit(None)
            self.changed.emit()

    def _on_changed(self) -> None:
        """Whatever was dragged may be gone."""
        self._dragged = None
        self.previewed.emit(None)
        self.changed.emit()


def _told(seconds: float) -> float:
    return round(seconds * FINE) / FINE
