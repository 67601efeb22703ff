"""What each gesture on the lanes proposes, says, refuses and pushes; and that giving it up leaves nothing."""

import pytest

from app.sequence.bars import Part
from app.sequence.gestures import SHORTEST, BeginStep, Hand, OrderRow, ShiftStep, StretchStep
from app.sequence.making import Chain, DrawStep
from app.session import Session
from core.document.project import Aircraft, Project
from tests.app.small_aircraft import small_aircraft

NOWHERE = Hand(time=0.0)


@pytest.fixture
def session(qapp) -> Session:
    session = Session()
    session.open(small_aircraft(), None)
    return session


def step(session: Session, step_id: str):
    return next(one for one in session.sequence.steps if one.id == step_id)


def spans(session: Session):
    return {one.id: (round(one.begin, 6), round(one.end, 6)) for one in session.schedule.steps}


def written(session: Session, step_id: str):
    """As the project has it, whatever is shown."""
    return next(one for one in session.project.sequences[0].steps if one.id == step_id)


def test_stretching_shows_what_follows_moving_and_pushes_one_edit_at_the_end(session: Session):
    gesture = StretchStep(session, NOWHERE, "doors-open")
    for seconds in (0.1, 0.3, 0.52):
        gesture.move(Hand(time=seconds))
    assert session.schedule.step("leg-up").begin == pytest.approx(2.0 + 0.2)
    assert written(session, "doors-open").duration == 1.5, "nothing is changed while the hand moves"
    gesture.end()
    assert step(session, "doors-open").duration == pytest.approx(2.0), "kept to the grid of a twentieth"
    session.undo()
    assert step(session, "doors-open").duration == 1.5
    assert session.undo_label is None, "one drag is one edit"


def test_a_step_cannot_be_stretched_to_nothing(session: Session):
    gesture = StretchStep(session, NOWHERE, "doors-open")
    gesture.move(Hand(time=-9.0))
    gesture.end()
    assert step(session, "doors-open").duration == SHORTEST


def test_shifting_changes_the_delay_freely_to_a_thousandth(session: Session):
    gesture = ShiftStep(session, NOWHERE, "leg-up")
    gesture.move(Hand(time=0.1234, free=True))
    gesture.end()
    assert step(session, "leg-up").delay == pytest.approx(0.323)
    assert session.undo_label == "Shift step"


def test_a_step_cannot_start_before_its_sequence(session: Session):
    gesture = ShiftStep(session, NOWHERE, "leg-up")
    gesture.move(Hand(time=-50.0))
    assert gesture.preview.step("leg-up").begin == pytest.approx(0.0)
    assert gesture.says == "1.50 s early"


def test_several_steps_go_together_and_what_waits_for_one_of_them_once_only(session: Session):
    before = spans(session)
    session.choose_several(("doors-close", "leg-up"))
    gesture = ShiftStep(session, NOWHERE, "leg-up")
    gesture.move(Hand(time=1.0))
    gesture.end()
    for one in ("leg-up", "doors-close"):
        assert spans(session)[one] == pytest.approx([time + 1.0 for time in before[one]])
    assert spans(session)["doors-open"] == before["doors-open"]
    assert session.undo_label == "Shift 2 steps"


@pytest.mark.parametrize(("by", "begin"), [(1.0, 2.7), (-1.0, 0.7), (-9.0, 0.0), (9.0, 5.65)])
def test_the_left_edge_changes_when_a_step_begins_and_not_when_it_ends(session: Session, by: float, begin: float):
    end = spans(session)["leg-up"][1]
    gesture = BeginStep(session, NOWHERE, "leg-up")
    gesture.move(Hand(time=by))
    gesture.end()
    assert spans(session)["leg-up"] == pytest.approx((begin, end))
    assert session.undo_label == "Change step begin"


def test_a_row_is_dragged_to_another_place_and_no_step_begins_at_another_time(session: Session):
    before = spans(session)
    gesture = OrderRow(session, NOWHERE, "doors-close")
    gesture.move(Hand(time=0.0, row=0))
    assert [one.id for one in session.schedule.steps] == ["doors-close", "doors-open", "leg-up"]
    gesture.end()
    assert spans(session) == before
    assert session.project.sequences[0].steps[0].id == "doors-close"


@pytest.mark.parametrize(
    ("held", "row", "says"),
    [("leg-up", 0, "rows 1 to 2 of 3"), ("doors-close", 1, "rows 1 to 2 of 3"), ("doors-close", 9, "rows 2 to 3 of 3")],
)
def test_several_rows_are_dragged_together(session: Session, held: str, row: int, says: str):
    before = spans(session)
    session.choose_several(("doors-close", "leg-up"))
    gesture = OrderRow(session, NOWHERE, held)
    gesture.move(Hand(time=0.0, row=row))
    assert gesture.says == says
    gesture.end()
    order = [one.id for one in session.project.sequences[0].steps]
    assert order == (
        ["leg-up", "doors-close", "doors-open"] if "1 to" in says else ["doors-open", "leg-up", "doors-close"]
    )
    assert spans(session) == before


@pytest.mark.parametrize("part", [Part.END, Part.BEGIN])
def test_a_step_waits_for_the_end_or_the_begin_of_the_one_it_was_chained_to(session: Session, part: Part):
    gesture = Chain(session, NOWHERE, "doors-open", part)
    gesture.move(Hand(time=0.0, step=None))
    assert not session.drafting
    gesture.move(Hand(time=0.0, step="leg-up"))
    assert gesture.target == "leg-up"
    assert gesture.says == f"Leg up begins {'after' if part is Part.END else 'with'} Doors open"
    gesture.end()
    assert spans(session)["leg-up"][0] == pytest.approx(1.5 if part is Part.END else 0.0)
    assert session.undo_label == "Chain step"


def test_off_the_grid_a_chained_step_begins_when_it_did(session: Session):
    before = spans(session)
    gesture = Chain(session, NOWHERE, "doors-open", Part.BEGIN)
    gesture.move(Hand(time=0.0, step="leg-up", free=True))
    gesture.end()
    assert spans(session) == before
    assert step(session, "leg-up").together_with == "doors-open"


def test_steps_that_would_wait_for_each_other_are_refused_in_a_sentence(session: Session):
    told: list[str] = []
    session.trouble.connect(told.append)
    gesture = Chain(session, NOWHERE, "doors-close", Part.END)
    gesture.move(Hand(time=0.0, step="leg-up"))
    assert gesture.refused == "Leg up and Doors close would wait for each other, and none would ever begin"
    assert not session.study_current
    gesture.end()
    assert told == [gesture.refused]
    assert session.undo_label is None
    assert not session.drafting


def test_a_step_is_drawn_for_the_chosen_drive_where_the_hand_drew_it(session: Session):
    session.choose("hinge")
    gesture = DrawStep(session, Hand(time=8.0), seconds_per_pixel=0.01)
    gesture.move(Hand(time=7.51))
    assert not gesture.asks
    gesture.end()
    made = session.sequence.steps[-1]
    assert made.name == "Main door"
    assert spans(session)[made.id] == pytest.approx((7.5, 8.0))
    assert [(move.drive, move.to) for move in made.moves] == [("doors", 110.0)], "it is shut then"
    assert session.selection == made.id
    assert session.undo_label == "Add step Main door"


def test_a_drawn_step_comes_to_rest_at_the_end_of_another(session: Session):
    session.choose("doors")
    gesture = DrawStep(session, Hand(time=7.23), seconds_per_pixel=0.01)
    gesture.move(Hand(time=8.0))
    gesture.end()
    assert spans(session)[session.sequence.steps[-1].id] == pytest.approx((7.2, 8.0))
    assert session.sequence.steps[-1].delay == 0.0


def test_a_drawn_step_asks_which_drive_it_moves(session: Session):
    gesture = DrawStep(session, Hand(time=2.0), seconds_per_pixel=0.01)
    gesture.move(Hand(time=3.0))
    assert [one.id for one in gesture.asks] == ["gear", "doors"]
    gesture.take(None)
    made = session.sequence.steps[-1]
    assert (made.name, made.moves) == ("Wait", ())
    assert spans(session)[made.id] == pytest.approx((2.0, 3.0))


def test_a_drive_that_is_moved_then_already_is_refused(session: Session):
    told: list[str] = []
    session.trouble.connect(told.append)
    session.choose("gear")
    gesture = DrawStep(session, Hand(time=3.0), seconds_per_pixel=0.001)
    gesture.move(Hand(time=4.0))
    assert "while step “Leg up” is still moving it" in gesture.refused
    gesture.end()
    assert told == [gesture.refused]
    assert session.undo_label is None


def test_the_first_step_makes_the_sequence(qapp):
    session = Session()
    session.open(Project(aircraft=Aircraft(name="Merrow T.2")), None)
    gesture = DrawStep(session, Hand(time=0.0), seconds_per_pixel=0.005)
    gesture.move(Hand(time=1.0))
    gesture.end()
    assert [one.name for one in session.project.sequences] == ["Retract"]
    assert session.sequence.steps[0].duration == pytest.approx(1.0)


GESTURES = {
    "stretch": lambda session: StretchStep(session, NOWHERE, "leg-up"),
    "begin": lambda session: BeginStep(session, NOWHERE, "leg-up"),
    "shift": lambda session: ShiftStep(session, NOWHERE, "leg-up"),
    "order": lambda session: OrderRow(session, NOWHERE, "leg-up"),
    "draw": lambda session: DrawStep(session, NOWHERE, seconds_per_pixel=0.01),
    "chain": lambda session: Chain(session, NOWHERE, "doors-open", Part.BEGIN),
}


@pytest.mark.parametrize("make", GESTURES.values(), ids=GESTURES)
def test_a_gesture_that_is_given_up_leaves_no_trace(session: Session, make):
    project, before = session.project, spans(session)
    gesture = make(session)
    gesture.move(Hand(time=1.0, row=2, step="leg-up"))
    assert session.drafting
    gesture.cancel()
    gesture.end()
    assert session.project is project
    assert not session.drafting
    assert spans(session) == before
    assert session.undo_label is None


def test_a_gesture_that_did_not_move_leaves_no_trace(session: Session):
    StretchStep(session, NOWHERE, "leg-up").end()
    assert session.undo_label is None
