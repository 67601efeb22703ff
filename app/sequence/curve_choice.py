"""Which curves are shown: those that are kept, one that follows what is chosen, and what they are drawn over."""

from __future__ import annotations

from app.sequence.curve_pens import MOST
from app.session import Session
from core.curves.quantities import Quantity, Sort, quantities, quantity_of, unit_of

MOST_UNITS = 2
"""There are two axes."""


class CurveChoice:
    """What the user wants to see; whether it has values is not asked here."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.forget()

    def forget(self) -> None:
        """Nothing is kept, and time is what curves are drawn over."""
        self.kept: tuple[Quantity, ...] = ()
        self.over: Quantity | None = None
        self._pair: Quantity | None = None
        self._put_away: Quantity | None = None

    @property
    def is_full(self) -> bool:
        return len(self.kept) >= MOST

    def keep(self, quantity: Quantity) -> bool:
        """Whether it is kept now and was not before."""
        taken = quantity not in self.kept and self.fits(quantity)
        if taken:
            self.kept = (*self.kept, quantity)
        return taken

    def drop(self, quantity: Quantity) -> None:
        """One that follows what is chosen stays away until something else is."""
        self.kept = tuple(one for one in self.kept if one != quantity)
        self._put_away = quantity

    def follow_pair(self, pair: tuple[str, str]) -> None:
        self._pair, self._put_away = Quantity(Sort.GAP, pair), None

    def let_pair_go(self) -> None:
        self._pair = None

    def wanted(self) -> tuple[Quantity, ...]:
        """Those that are kept, and what is followed where its unit can be shown too."""
        followed = self._followed()
        if followed != self._put_away:
            self._put_away = None
        if followed is None or followed in self.kept or followed == self._put_away or not self.fits(followed):
            return self.kept
        return (*self.kept, followed)

    def _followed(self) -> Quantity | None:
        session = self._session
        study, sequence = session.study, session.sequence_study
        if self._pair is not None or study is None or sequence is None:
            return self._pair
        return quantity_of(study, sequence, session.selection, session.finding)

    def fits(self, quantity: Quantity) -> bool:
        """Whether there is a line and an axis left for it."""
        project = self._session.project
        if project is None or self.is_full:
            return False
        return len({unit_of(project, one) for one in (*self.kept, quantity)}) <= MOST_UNITS

    def offered(self) -> tuple[Quantity, ...]:
        """Everything that has a value over the sequence that is looked at."""
        study, sequence = self._session.study, self._session.sequence_study
        return quantities(study, sequence) if study is not None and sequence is not None else ()
