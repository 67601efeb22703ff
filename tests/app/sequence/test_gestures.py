import pytest

from app.sequence.gestures import SHORTEST, ShiftStep, StretchStep
from app.session import Session
from tests.app.small_aircraft import small_aircraft


@pytest.fixture
def session(qapp) -> Session:
    session = Session()
    session.open(small_aircraft(), None)
    return session


def step(session: Session, step_id: str):
    return next(one for one in session.sequence.steps if one.id == step_id)


def test_stretching_shows_what_follows_moving_and_pushes_one_edit_at_the_end(session: Session):
    gesture = StretchStep(session, "doors-open")
    for seconds in (0.1, 0.3, 0.52):
        gesture.move(seconds, free=False)
    assert gesture.preview.step("leg-up").begin == pytest.approx(2.0 + 0.2)
    assert step(session, "doors-open").duration == 1.5, "nothing is changed while the hand moves"
    gesture.end()
    assert step(session, "doors-open").duration == pytest.approx(2.0), "kept to the grid of a twentieth"
    session.undo()
    assert step(session, "doors-open").duration == 1.5
    assert session.undo_label is None, "one drag is one edit"


def test_a_step_cannot_be_stretched_to_nothing(session: Session):
    gesture = StretchStep(session, "doors-open")
    gesture.move(-9.0, free=False)
    gesture.end()
    assert step(session, "doors-open").duration == SHORTEST


def test_shifting_changes_the_delay_freely_to_a_thousandth(session: Session):
    gesture = ShiftStep(session, "leg-up")
    gesture.move(0.1234, free=True)
    gesture.end()
    assert step(session, "leg-up").delay == pytest.approx(0.323)
    assert session.undo_label == "Change step delay"


def test_a_step_cannot_start_before_its_sequence(session: Session):
    gesture = ShiftStep(session, "leg-up")
    gesture.move(-50.0, free=False)
    assert gesture.preview.step("leg-up").begin == pytest.approx(0.0)
    assert gesture.says == "1.50 s early"


def test_a_gesture_that_did_not_move_leaves_no_trace(session: Session):
    StretchStep(session, "leg-up").end()
    assert session.undo_label is None
