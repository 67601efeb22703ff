"""Playing follows the clock: no time is lost to a slow window, and what comes next is foreseen."""

import pytest
from msgspec.structs import replace

from app.sequence.playback import AHEAD, Playback
from app.session import Session
from core.document.aircraft_edits import SetAircraft
from core.motion.schedule import frame_times
from tests.app.clock import Clock, go_on, wound
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window

SECONDS = 1.5 + 0.2 + 4.0 + 1.5


@pytest.fixture
def session(qapp) -> Session:
    session = Session()
    session.open(small_aircraft(), None)
    return session


@pytest.fixture
def playback(session: Session) -> Playback:
    return Playback(session)


@pytest.fixture
def clock(playback: Playback) -> Clock:
    return wound(playback)


def test_backwards_it_goes_back_by_the_clock(session: Session, playback: Playback, clock: Clock):
    session.set_moment(3.0)
    playback.set_backwards(True)
    playback.play()
    assert go_on(playback, clock, 1600) == pytest.approx(1.4)


def test_it_stops_at_the_end_and_starts_again_from_the_start(session: Session, playback: Playback, clock: Clock):
    session.set_moment(SECONDS - 0.1)
    playback.play()
    assert go_on(playback, clock, 480) == pytest.approx(SECONDS)
    assert not playback.playing
    playback.play()
    assert (session.moment, playback.playing) == (0.0, True)
    playback.pause()


def test_over_and_over_it_goes_through_the_end_without_losing_time(session: Session, playback: Playback, clock: Clock):
    playback.set_looping(True)
    session.set_moment(SECONDS - 0.1)
    playback.play()
    assert go_on(playback, clock, 320) == pytest.approx(0.22)
    playback.set_backwards(True)
    playback.play()
    assert go_on(playback, clock, 480) == pytest.approx(SECONDS - 0.26)


def test_it_plays_by_ticks_that_are_foreseen(session: Session, playback: Playback, clock: Clock):
    assert playback.ahead() == ()
    session.set_moment(1.0)
    playback.play()
    for late in (16, 17, 15, 16, 40, 16, 16, 500):
        foreseen = playback.ahead()
        assert go_on(playback, clock, late) in foreseen  # to the last bit
    assert session.moment == pytest.approx(1.0 + clock.now / 1000.0, abs=0.009)
    playback.pause()
    assert playback.ahead() == ()


def test_another_speed_or_place_is_gone_on_from(session: Session, playback: Playback, clock: Clock):
    playback.play()
    at = go_on(playback, clock, 160)
    playback.set_speed(0.25)
    go_on(playback, clock, 16)
    assert go_on(playback, clock, 160) == pytest.approx(at + 0.04)
    session.set_moment(3.0)  # somebody goes elsewhere
    go_on(playback, clock, 16)
    foreseen = playback.ahead()
    assert go_on(playback, clock, 64) in foreseen
    assert session.moment == pytest.approx(3.016)


def test_a_slow_window_drops_ticks_and_no_time(session: Session, playback: Playback, clock: Clock):
    playback.play()
    assert go_on(playback, clock, 1600) == pytest.approx(1.6)


def test_through_the_end_it_goes_on_by_ticks_from_the_start(session: Session, playback: Playback, clock: Clock):
    playback.set_looping(True)
    session.set_moment(SECONDS - 0.016)
    playback.play()
    assert go_on(playback, clock, 32) == pytest.approx(0.016)
    go_on(playback, clock, 16)
    foreseen = playback.ahead()
    assert go_on(playback, clock, 32) in foreseen
    assert session.moment == pytest.approx(0.048)


def test_nothing_is_foreseen_beyond_either_end(session: Session, playback: Playback):
    session.set_moment(SECONDS - 0.05)
    playback.play()
    assert len(playback.ahead()) == 3
    playback.set_backwards(True)
    playback.play()
    assert len(playback.ahead()) == AHEAD
    assert max(playback.ahead()) < SECONDS - 0.05
    playback.pause()


def test_speed_stays_within_what_there_is(playback: Playback):
    for _ in range(9):
        playback.change_speed(-1)
    assert playback.speed == 0.05
    for _ in range(9):
        playback.change_speed(1)
    assert playback.speed == 2.0


def test_single_frames_are_those_of_the_study(session: Session, playback: Playback):
    times = frame_times(session.schedule)
    playback.step(1)
    assert session.moment == times[1]
    playback.step(1)
    assert session.moment == times[2]
    playback.step(-1)
    assert session.moment == times[1]


def test_from_between_two_frames_the_nearest_one_that_way(session: Session, playback: Playback):
    times = frame_times(session.schedule)
    session.set_moment((times[4] + times[5]) / 2)
    playback.step(1)
    assert session.moment == times[5]
    session.set_moment((times[4] + times[5]) / 2)
    playback.step(-1)
    assert session.moment == times[4]


def test_frames_end_where_the_sequence_does(session: Session, playback: Playback):
    playback.step(-1)
    assert session.moment == 0.0
    playback.go_to_end()
    playback.step(1)
    assert session.moment == pytest.approx(SECONDS)


def test_another_sequence_stops_it(session: Session, playback: Playback):
    playback.play()
    session.choose_sequence("hold")
    assert not playback.playing


# ---- prototype time --------------------------------------------------------------------------------------------------


def test_as_on_the_prototype_it_takes_the_square_root_of_the_scale_as_long(
    session: Session, playback: Playback, clock: Clock
):
    """1 : 12, so that 1 s of the model is 3.464 s of the clock."""
    playback.set_as_prototype(True)
    playback.play()
    assert go_on(playback, clock, 3200) == pytest.approx(3.2 / 12.0**0.5)
    session.push(SetAircraft(replace(session.project.aircraft, scale=4.0)))
    assert playback.speed == 0.5, "by whatever the scale is now"


def test_from_prototype_time_the_next_speed_is_slower_or_faster_than_it(playback: Playback):
    playback.set_as_prototype(True)
    assert playback.speed == pytest.approx(0.2887, abs=1e-4)
    playback.change_speed(1)
    assert (playback.speed, playback.as_prototype) == (0.5, False)
    playback.set_as_prototype(True)
    playback.change_speed(-1)
    assert (playback.speed, playback.as_prototype) == (0.25, False)
    playback.set_as_prototype(True)
    playback.set_as_prototype(False)
    assert playback.speed == 1.0


@pytest.fixture
def window(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def test_the_menu_says_what_a_second_shows(window):
    menu = window.sequence.transport._speed.menu()
    menu.aboutToShow.emit()
    rows = {action.text().partition("\t")[0]: action for action in menu.actions() if action.text()}
    assert rows["Half speed"].text().endswith("1 s shows 0.5 s of the model")
    assert rows["Prototype time"].text().endswith("1 s shows 0.289 s of the model")
    rows["Prototype time"].trigger()
    transport = window.sequence.transport
    assert transport._speed.text() == "prototype time"
    assert "7.2 s of the model take 24.9 s" in transport._speed.toolTip()
    assert "1 : 12" in transport._speed.toolTip()
    window.session.set_moment(3.6)
    assert transport.readout == "3.600 s  of  7.20 s", "the ruler's own seconds stay the model's"
    assert transport._frame.text() == "prototype 12.5 of 24.9 s"
    rows["A tenth speed"].trigger()
    assert transport._frame.text().startswith("frame")
    assert not window.playback.as_prototype


def test_the_action_is_ticked_while_it_plays_so(window):
    action = window.commands["prototype-time"]
    action.trigger()
    assert window.playback.as_prototype
    assert action.isChecked()
    window.commands["slower"].trigger()
    assert not action.isChecked()
