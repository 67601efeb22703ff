"""What is done to the chosen things besides drawing: removed, driven, and put into steps of the sequence."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.session import Session
from app.uses import Uses
from core.document.fresh import fresh_id, fresh_name
from core.document.joint_edits import AddDrive
from core.document.names import DRIVEN, by_id, name_of
from core.document.project import Drive, Move, Project, Step
from core.document.step_edits import AddStep, RemoveSteps
from core.motion.new_steps import next_value
from core.sketch.body_edits import RemoveThings
from core.sketch.combining_edits import CutAway, JoinBodies, why_not_cut, why_not_join

STEP_SECONDS = 2.0


class Sketching(QObject):
    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        return {
            "remove": self.remove,
            "join-bodies": self.join_bodies,
            "cut-away": self.cut_away,
            "drive": self.drive,
            "add-step": self.add_step,
        }

    def remove(self) -> None:
        """Remove what is chosen: a body, a connection, a drive or a step."""
        session, chosen = self._session, self._session.selection
        if chosen is None or session.project is None:
            return
        sequence = next((one for one in session.project.sequences if any(s.id == chosen for s in one.steps)), None)
        steps = {step.id for step in sequence.steps} if sequence is not None else set()
        every, before = session.chosen, session.project
        session.push(
            RemoveThings(every) if sequence is None else RemoveSteps(sequence.id, tuple(s for s in every if s in steps))
        )
        if session.project is not before:
            session.choose(None)

    def join_bodies(self) -> None:
        """Make one body of the chosen ones: the one chosen last takes the others in."""
        project, (lead, others) = self._session.project, self._leading()
        if project is None:
            return
        if reason := why_not_join(project, lead, others):
            self._session.turn_down(reason)
            return
        self._session.push(JoinBodies(lead, others, f"Join {_counted(project, others)} to {_called(project, lead)}"))
        self._session.choose(lead)

    def cut_away(self) -> None:
        """Cut the other chosen bodies out of the one that was chosen last."""
        project, (lead, others) = self._session.project, self._leading()
        if project is None:
            return
        if reason := why_not_cut(project, lead, others):
            self._session.turn_down(reason)
            return
        self._session.push(CutAway(lead, others, f"Cut {_counted(project, others)} out of {_called(project, lead)}"))

    def _leading(self) -> tuple[str, tuple[str, ...]]:
        """The body chosen last, and the others that are chosen."""
        project = self._session.project
        bodies = {one.id for one in project.bodies} if project is not None else set()
        chosen = [one for one in self._session.chosen if one in bodies]
        return (chosen[-1], tuple(chosen[:-1])) if chosen else ("", ())

    def drive(self) -> None:
        """Put a drive on the chosen connection, and choose it."""
        project, chosen = self._session.project, self._session.selection
        if project is None:
            return
        connection = by_id(project.connections, chosen)
        if connection is None or not isinstance(connection, DRIVEN):
            self._session.turn_down("A pivot, a slide or a jack can be driven; choose one first")
            return
        held = next((one for one in project.drives if one.on == connection.id), None)
        if held is None:
            called = f"{name_of(connection)} drive"
            held = Drive(
                id=fresh_id(project, called),
                name=fresh_name({one.name for one in project.drives}, called),
                on=connection.id,
            )
            self._session.push(AddDrive(held))
        self._session.choose(held.id)

    def add_step(self) -> None:
        """Add a step that moves the chosen drive, or that of the chosen connection; every drive where neither is."""
        project = self._session.project
        if project is None or not project.drives:
            self._session.turn_down("A step moves drives, and there is none yet: choose a pivot and drive it")
            return
        drives = self._meant(project)
        sequence = self._session.sequence if project.sequences else None
        sequence_id = sequence.id if sequence is not None else fresh_id(project, "retract")
        steps = {step.name for step in sequence.steps} if sequence is not None else set()
        moves = tuple(
            Move(drive=drive.id, to=next_value(project, sequence, drive), profile="eased") for drive in drives
        )
        words = f"{drives[0].name or drives[0].id}" if len(drives) == 1 else "Step"
        step = Step(
            id=fresh_id(project, f"{words}-step", frozenset({sequence_id})), name=fresh_name(steps, words),
            duration=STEP_SECONDS, moves=moves,
        )  # fmt: skip
        self._session.push(AddStep(sequence_id, step, sequence_name="" if sequence is not None else "Retract"))
        self._session.choose_sequence(sequence_id)
        self._session.choose(step.id)

    def _meant(self, project: Project) -> tuple[Drive, ...]:
        chosen = self._session.selection
        meant = tuple(one for one in project.drives if chosen in (one.id, one.on))
        return meant or project.drives


def _called(project: Project, body: str) -> str:
    return next(name_of(one) for one in project.bodies if one.id == body)


def _counted(project: Project, bodies: tuple[str, ...]) -> str:
    return _called(project, bodies[0]) if len(bodies) == 1 else f"{len(bodies)} bodies"
