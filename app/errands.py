"""Small pieces of slow work away from the window's thread, one after another, each answering with a line to say."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from app.aside import Aside

Errand = Callable[[], str]
"""Does the work and answers what is said of it when it is done; shares nothing with the window."""


class Errands(QObject):
    done = Signal(str)
    failed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._aside = Aside(self)
        self._aside.done.connect(lambda _errand, said: self.done.emit(said))
        self._aside.failed.connect(lambda _errand, why: self.failed.emit(why))

    @property
    def busy(self) -> bool:
        return self._aside.busy

    def run(self, errand: Errand) -> None:
        self._aside.ask(errand, errand)

    def shut_down(self) -> bool:
        """Wait for all that is to be done, what waits for its turn as well: somebody asked for those files. True when
        nothing runs any more."""
        return self._aside.finish()
