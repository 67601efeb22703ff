"""Hand motion: a body in hand at the scrubbed moment, what follows it, and the way back or into the sequence.

The sheet shows where the hand has pulled everything until that is let go, kept, or the moment is scrubbed. A pull that
has not got to where the hand is goes on by itself, a call at a time, so that the window never waits for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QObject, QTimer, Signal

from app.sheet.moment import ShownMoment
from app.sheet.way_back import WayBack
from core.document.names import by_id, name_of
from core.document.pose_edits import SetMoves
from core.document.project import Point, Project
from core.geometry.places import Places
from core.geometry.planar import Floats, point_at
from core.mechanism.build import build
from core.motion.newton import INDEPENDENT
from core.motion.schedule import lay_out
from core.pulling.drives import drive_values, values_moved
from core.pulling.grab import Grab, grab, rolling
from core.pulling.hub import by_hub, rolls_about
from core.pulling.pull import Pulled, pull
from core.pulling.resistance import Resistance, resistance
from core.pulling.taking import Kept, Offer, Pose, offers, targets_for
from core.pulling.tangent import tangent_of
from core.pulling.words import drive_words, where_it_resists, why_it_resists

MOST_GOING_ON = 150
"""Calls for one place of the hand."""
NOT_IN_TRIAL = "A trial is shown, and nothing is pulled in it: go back to the sequence first (Esc)"
STILL = 1e-9
"""Millimetres and radians that are no movement."""


@dataclass(slots=True)
class _InHand:
    """One body held."""

    grab: Grab
    project: Project
    hand: complex
    last: Pulled
    step: str | None = None
    """The step whose targets are set meanwhile."""
    loose: bool = False
    """Whether it moves though every drive keeps its value, so that no step could keep where it is."""
    calls: int = 0

    @property
    def moved(self) -> bool:
        return float(np.abs(self.last.poses - self.grab.poses).max(initial=0.0)) > STILL


class Pulling(QObject):
    changed = Signal()
    """Where things stand, what holds them, or what can be done with it."""

    def __init__(self, shown: ShownMoment, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shown, self._session = shown, shown.session
        self._in_hand: _InHand | None = None
        self._holding = False
        self._why = ""
        self._found: Resistance | None = None
        self._settling = False
        self.pinned: frozenset[str] = frozenset()
        """Drives that keep their values."""
        self.refused = ""
        """Why nothing could be taken hold of; empty where something was."""
        self.every = False
        """Whether drives that a step does not move are added to it."""
        self._going, self._way_back = QTimer(self), WayBack(self)
        self._going.setInterval(0)
        self._going.timeout.connect(self._go_on)
        self._way_back.passed.connect(shown.show_pulled)
        self._way_back.ended.connect(self.drop)
        session = self._session
        session.project_opened.connect(self._forget_pins)
        for signal in (session.project_changed, session.sequence_changed):
            signal.connect(self._give_up_setting)
        for signal in (session.moment_changed, session.sequence_changed, session.shown_changed):
            signal.connect(self._on_something_else)
        session.study_changed.connect(self._on_study)

    # ---- what is asked -----------------------------------------------------------------------------------------

    @property
    def holding(self) -> bool:
        """Whether a body is in the hand."""
        return self._holding

    @property
    def stands_pulled(self) -> bool:
        """Whether something stands where it was pulled to, and waits for what is to become of it."""
        return self._shown.pulled and not self._holding and not self._way_back.running and not self._settling

    @property
    def poses(self) -> Floats:
        """(B, 3) as shown."""
        return self._shown.poses

    @property
    def why(self) -> str:
        """Why the body comes no nearer to the hand, or cannot be pulled; empty where nothing holds it."""
        return self._why

    @property
    def resists_at(self) -> tuple[Point, str, str] | None:
        """The place of the connection that holds the body, the view that it is drawn in, and a word or two for it."""
        found, project = self._found, self._session.shown
        if found is None or project is None or not found.connections or not self._holding:
            return None
        places, one = Places(project), found.connections[0]
        place, view = places.connection(one, self._shown.poses), places.view_of_connection(one)
        return None if place is None or view is None else (place, view, where_it_resists(project, found))

    @property
    def grabbed_at(self) -> tuple[Point, Point] | None:
        """Where the grabbed point is, and where the hand."""
        held = self._in_hand
        if held is None or not self._holding:
            return None
        at = complex(point_at(self._shown.poses[held.grab.body], held.grab.point))
        return (at.real, at.imag), (held.hand.real, held.hand.imag)

    @property
    def readings(self) -> tuple[str, ...]:
        """What every drive reads that the pull has moved."""
        pose = self._pose()
        return () if pose is None else tuple(drive_words(pose.project, one, to) for one, to in pose.changed.items())

    @property
    def loose_words(self) -> str:
        """That no step can keep the body where it is; empty where its drives do."""
        held, project = self._in_hand, self._session.shown
        if held is None or project is None or not held.loose:
            return ""
        return f"{name_of(project.bodies[held.grab.body])} is loose: no drive can keep it where it is pulled to"

    @property
    def step_words(self) -> str:
        """The step that is set while the hand moves; empty where none is."""
        held, sequence = self._in_hand, self._session.sequence
        if held is None or held.step is None or sequence is None:
            return ""
        return next((name_of(one) for one in sequence.steps if one.id == held.step), "")

    @property
    def offers(self) -> tuple[Offer, ...]:
        """The ways to keep what stands pulled."""
        pose = self._pose()
        return () if pose is None or not self.stands_pulled else offers(pose, every=self.every)

    @property
    def moves_more(self) -> bool:
        """Whether the pull moved drives that the step under the rule does not."""
        pose = self._pose()
        step = None if pose is None else pose.step
        return pose is not None and step is not None and not pose.changed.keys() <= {one.drive for one in step.moves}

    # ---- what is done ------------------------------------------------------------------------------------------

    def take_hold(self, body: str, at: Point, *, setting: bool = False) -> None:
        """Take a body in hand at a place of its view. `setting` has the step under the rule follow: its targets are
        set so that the sequence has the body where the hand is."""
        project = self._session.project
        if project is None or self._session.shown is not project:
            self._refuse("" if self._session.trial is None else NOT_IN_TRIAL)
            return
        self.refused = ""
        if setting and self._session.looked_at_only:
            self._refuse(self._session.looked_at_only)
            return
        self._stop()
        poses, place = self._shown.poses, complex(*at)
        mechanism, grips = build(project), self._shown.grips
        step, moved = self._step_to_set(project) if setting else (None, frozenset[str]())
        if setting and step is None:
            self._refuse("No step that moves a drive is under the rule: choose one, or scrub into it")
            return
        pinned = frozenset(mechanism.drives) - moved if setting else self.pinned & frozenset(mechanism.drives)
        taken = project.bodies[mechanism.bodies.index(body)]
        pinned |= rolling(mechanism, None if by_hub(mechanism, poses, taken, place) else body)
        held = grab(mechanism, poses, body, place, grips=grips, pinned=pinned)
        middle = rolls_about(mechanism, poses, body)
        stays = place if middle is None else middle
        kept = grab(mechanism, poses, body, stays, grips=grips, pinned=mechanism.drives)
        self._in_hand = _InHand(
            held, project, place, Pulled(poses=poses, short_by=0.0, arrived=True), step,
            loose=bool(kept.members) and tangent_of(kept, kept.start, INDEPENDENT).moves_hand,
        )  # fmt: skip
        self._holding, self._why, self._found = True, "", None
        self.changed.emit()

    def pull_to(self, at: Point) -> None:
        """The hand is at a place of the view."""
        held = self._in_hand
        if held is None or not self._holding:
            return
        held.hand, held.calls = complex(*at), 0
        self._pull(held)

    def release(self) -> None:
        """The hand opens: what was set is kept; what was pulled stands until it is let go or kept."""
        held, self._holding = self._in_hand, False
        self._going.stop()
        if held is not None and held.step is not None:
            self._keep_set(held)
        elif not self._shown.pulled:
            self.drop()
        self.changed.emit()

    def let_go(self) -> None:
        """Swing back, the way it came, to where the sequence has everything."""
        self._holding = False
        self._going.stop()
        self._session.withdraw()
        if not self._shown.pulled:
            self.drop()
            return
        self._way_back.swing()
        self.changed.emit()

    def drop(self) -> None:
        """Show the sequence again at once."""
        self._stop()
        self._holding, self._settling, self._in_hand, self._why, self.refused = False, False, None, "", ""
        self._way_back.forget()
        self._shown.show_pulled(None)
        self.changed.emit()

    def keep(self, kept: Kept | None = None) -> None:
        """Keep what stands pulled in one of the ways that are offered; the likeliest where none is named."""
        found = [one for one in self.offers if kept in (None, one.kept)]
        offer = next((one for one in found if one.edit is not None), None)
        if offer is None or offer.edit is None:
            if found:
                self._session.turn_down(f"It cannot be kept so: {found[0].why_not}")
            return
        before = self._session.project
        self._settling = True
        self._session.push(offer.edit)
        if self._session.project is before:
            self._settling = False
            return
        if offer.moment is not None:
            self._session.set_moment(offer.moment)
        self._on_study()
        self.changed.emit()

    def pin(self, drive: str) -> None:
        """Have a drive keep its value while something is pulled, or follow again."""
        self.pinned ^= {drive}
        self.changed.emit()

    # ---- inside ------------------------------------------------------------------------------------------------

    def _pull(self, held: _InHand) -> None:
        held.last = pull(held.grab, held.last.poses, held.hand)
        held.calls += 1
        found = self._found = resistance(held.grab, held.last)
        body = held.project.bodies[held.grab.body].id
        self._why = "" if found is None else why_it_resists(held.project, body, found)
        self._way_back.remember(held.last.poses, self._shown.own_poses)
        if held.moved or self._shown.pulled:
            self._shown.show_pulled(held.last.poses)
        if held.last.arrived or held.calls >= MOST_GOING_ON:
            self._going.stop()
        else:
            self._going.start()
        if held.step is not None:
            self._set(held)
        self.changed.emit()

    def _go_on(self) -> None:
        if self._in_hand is not None and self._holding:
            self._pull(self._in_hand)
        else:
            self._going.stop()

    def _set(self, held: _InHand) -> None:
        """Propose the step's targets that have the sequence where the hand has pulled it."""
        edit = self._setting(held)
        if edit is None:
            self._why = "The step has hardly begun here; scrub further into it"
        else:
            self._session.propose(edit)

    def _setting(self, held: _InHand) -> SetMoves | None:
        sequence = by_id(held.project.sequences, self._sequence_id())
        if held.step is None or sequence is None:
            return None
        mechanism, schedule = held.grab.mechanism, lay_out(sequence)
        values = dict(zip(mechanism.drives, drive_values(mechanism, held.last.poses).tolist(), strict=True))
        targets = targets_for(mechanism, schedule, held.step, self._session.moment, values)
        name = next(name_of(one) for one in sequence.steps if one.id == held.step)
        return SetMoves(sequence.id, held.step, tuple(targets.items()), f"Set {name} by hand") if targets else None

    def _keep_set(self, held: _InHand) -> None:
        edit = self._setting(held) if held.moved else None
        self._settling = True
        if edit is None:
            self._session.withdraw()
        else:
            self._session.push(edit)
        self._on_study()

    def _stop(self) -> None:
        self._going.stop()
        self._way_back.stop()

    def _refuse(self, why: str) -> None:
        self.refused = why
        self.changed.emit()

    def _sequence_id(self) -> str:
        return self._session.sequence.id if self._session.sequence is not None else ""

    def _pose(self) -> Pose | None:
        held, session = self._in_hand, self._session
        if held is None or not self._shown.pulled or session.sequence is None or session.schedule is None:
            return None
        mechanism = held.grab.mechanism
        without = self._shown.own_poses if held.step is None else held.grab.poses
        now = values_moved(mechanism, self._shown.poses, without).tolist()
        before = drive_values(mechanism, without).tolist()
        return Pose(
            project=held.project, sequence=session.sequence, schedule=session.schedule, time=session.moment,
            values=dict(zip(mechanism.drives, now, strict=True)),
            before=dict(zip(mechanism.drives, before, strict=True)), chosen=self._chosen_step(),
        )  # fmt: skip

    def _chosen_step(self) -> str | None:
        sequence, chosen = self._session.sequence, self._session.selection
        known = sequence is not None and any(one.id == chosen for one in sequence.steps)
        return chosen if known else None

    def _step_to_set(self, project: Project) -> tuple[str | None, frozenset[str]]:
        """The step whose targets a drag sets, with the drives that it moves."""
        session = self._session
        if session.sequence is None or session.schedule is None:
            return None, frozenset()
        seen = Pose(
            project=project, sequence=session.sequence, schedule=session.schedule, time=session.moment, values={},
            before={}, chosen=self._chosen_step(),
        )  # fmt: skip
        step = seen.step
        moved = frozenset[str]() if step is None else frozenset(move.drive for move in step.moves)
        return (step.id, moved) if step is not None and moved else (None, frozenset())

    def _give_up_setting(self) -> None:
        """The step that is set is of another project, or not of the sequence that is looked at now."""
        if self._holding and self._in_hand is not None and self._in_hand.step is not None:
            self._session.withdraw()
            self.drop()

    def _on_something_else(self) -> None:
        """Another moment or another project is looked at; what the hand itself proposes is none."""
        if self.refused:
            self._refuse("")
        setting = self._in_hand is not None and self._in_hand.step is not None and self._holding
        if self._shown.pulled and not setting and not self._settling:
            self.drop()

    def _on_study(self) -> None:
        """What was kept is shown by the sequence itself, once that is solved."""
        if self._settling and (self._session.study_current or self._session.failure is not None):
            self.drop()

    def _forget_pins(self) -> None:
        self.pinned = frozenset()
        self.drop()
