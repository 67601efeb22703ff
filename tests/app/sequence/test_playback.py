import pytest

from app.sequence.playback import Playback
from app.session import Session
from core.motion.schedule import frame_times
from tests.app.small_aircraft import small_aircraft

SECONDS = 1.5 + 0.2 + 4.0 + 1.5


@pytest.fixture
def session(qapp) -> Session:
    session = Session()
    session.open(small_aircraft(), None)
    return session


@pytest.fixture
def playback(session: Session) -> Playback:
    return Playback(session)


def test_it_goes_on_by_the_clock_at_its_speed(session: Session, playback: Playback):
    playback.advance(1.0)
    assert session.moment == pytest.approx(1.0)
    playback.set_speed(0.25)
    playback.advance(1.0)
    assert session.moment == pytest.approx(1.25)
    playback.set_backwards(True)
    playback.advance(2.0)
    assert session.moment == pytest.approx(0.75)


def test_it_stops_at_the_end_and_starts_again_from_the_start(session: Session, playback: Playback):
    session.set_moment(SECONDS - 0.1)
    playback.play()
    playback.advance(0.5)
    assert (session.moment, playback.playing) == (pytest.approx(SECONDS), False)
    playback.play()
    assert (session.moment, playback.playing) == (0.0, True)
    playback.pause()


def test_over_and_over_it_goes_through_the_end_without_losing_time(session: Session, playback: Playback):
    playback.set_looping(True)
    session.set_moment(SECONDS - 0.1)
    playback.advance(0.3)
    assert session.moment == pytest.approx(0.2)
    playback.set_backwards(True)
    playback.advance(0.5)
    assert session.moment == pytest.approx(SECONDS - 0.3)


def test_speed_stays_within_what_there_is(playback: Playback):
    for _ in range(9):
        playback.change_speed(-1)
    assert playback.speed == 0.1
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
