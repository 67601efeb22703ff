"""The strips of the sequence region under the mouse, with a study made by hand."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.painting.theme import LIGHT
from app.sequence.inks import inks_of
from app.sequence.lane_painting import what_moves
from app.sequence.lanes import Lanes
from app.sequence.pins import Pins
from app.sequence.playback import Playback
from app.sequence.ruler import TimeRuler
from app.sequence.time_scale import ticks
from app.sequence.track import Track
from app.session import Session
from core.document.project import Aircraft, Project
from core.document.step_time_edits import SetStepDuration
from core.findings.sentences import Names
from tests.app.small_aircraft import small_aircraft

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def session(qapp) -> Session:
    session = Session()
    session.open(small_aircraft(), None)
    return session


@pytest.fixture
def page(qtbot) -> QWidget:
    page = QWidget()
    qtbot.addWidget(page)
    page.resize(1200, 400)
    page.setLayout(QVBoxLayout())
    page.layout().setContentsMargins(0, 0, 0, 0)
    return page


def put_on(page: QWidget, track: Track) -> None:
    page.layout().addWidget(track)
    page.layout().addStretch(1)
    page.show()


@pytest.fixture
def lanes(page: QWidget, session: Session) -> Lanes:
    lanes = Lanes(session, Playback(session), inks_of(LIGHT))
    put_on(page, lanes)
    return lanes


def drag(widget, start: QPointF, end: QPointF) -> None:
    """As a hand does: press, several moves, release."""
    QTest.mousePress(widget, LEFT, Qt.KeyboardModifier.NoModifier, start.toPoint())
    for part in range(1, 6):
        at = start + (end - start) * (part / 5)
        QTest.mouseMove(widget, at.toPoint())
    QTest.mouseRelease(widget, LEFT, Qt.KeyboardModifier.NoModifier, end.toPoint())


def test_dragging_a_bars_edge_changes_how_long_the_step_takes(lanes: Lanes, session: Session):
    box = lanes.bars.box("leg-up")
    second = 1.0 / lanes.scale.seconds_per_pixel
    start = QPointF(box.right() - 2, box.center().y())
    drag(lanes, start, start + QPointF(second, 0))
    assert session.sequence.steps[1].duration == pytest.approx(5.0, abs=0.05)
    assert session.selection == "leg-up"
    session.undo()
    assert session.sequence.steps[1].duration == 4.0


def test_dragging_a_bar_changes_its_delay(lanes: Lanes, session: Session):
    box = lanes.bars.box("leg-up")
    second = 1.0 / lanes.scale.seconds_per_pixel
    drag(lanes, box.center(), box.center() + QPointF(second / 2, 3))
    assert session.sequence.steps[1].delay == pytest.approx(0.7, abs=0.05)


def test_a_press_that_hardly_moves_only_chooses(lanes: Lanes, session: Session):
    box = lanes.bars.box("doors-close")
    drag(lanes, box.center(), box.center() + QPointF(1, 0))
    assert session.selection == "doors-close"
    assert session.undo_label is None


def test_escape_lets_the_bar_go(lanes: Lanes, session: Session):
    box = lanes.bars.box("leg-up")
    QTest.mousePress(lanes, LEFT, Qt.KeyboardModifier.NoModifier, box.center().toPoint())
    QTest.mouseMove(lanes, (box.center() + QPointF(80, 0)).toPoint())
    assert lanes.bars.box("leg-up").left() > box.left() + 40, "it goes with the hand"
    QTest.keyClick(lanes, Qt.Key.Key_Escape)
    QTest.mouseRelease(lanes, LEFT, Qt.KeyboardModifier.NoModifier, (box.center() + QPointF(80, 0)).toPoint())
    assert lanes.bars.box("leg-up") == box
    assert session.undo_label is None


def test_arrow_keys_choose_steps(lanes: Lanes, session: Session):
    QTest.keyClick(lanes, Qt.Key.Key_Down)
    assert session.selection == "doors-open"
    QTest.keyClick(lanes, Qt.Key.Key_Down)
    QTest.keyClick(lanes, Qt.Key.Key_Up)
    assert session.selection == "doors-open"


def test_pressing_beside_the_bars_brings_the_rule(lanes: Lanes, session: Session):
    y = int(lanes.bars.box("doors-open").center().y())
    QTest.mouseClick(lanes, LEFT, Qt.KeyboardModifier.NoModifier, QPoint(int(lanes.scale.x(5.0)), y))
    assert session.moment == pytest.approx(5.0, abs=lanes.scale.seconds_per_pixel)


def test_dragging_the_ruler_scrubs_and_stays_within_the_sequence(page: QWidget, session: Session):
    ruler = TimeRuler(session, Playback(session), inks_of(LIGHT), Pins(session))
    put_on(page, ruler)
    seen: list[float] = []
    session.moment_changed.connect(seen.append)
    drag(ruler, QPointF(ruler.scale.x(1.0), 25), QPointF(ruler.scale.x(3.0), 25))
    assert session.moment == pytest.approx(3.0, abs=ruler.scale.seconds_per_pixel)
    assert len(seen) >= 5, "the moment goes with the hand"
    drag(ruler, QPointF(ruler.scale.x(3.0), 25), QPointF(1199, 25))
    assert session.moment == session.schedule.seconds


def test_the_tag_is_painted_away_where_an_edit_moved_it(page: QWidget, session: Session, monkeypatch):
    ruler = TimeRuler(session, Playback(session), inks_of(LIGHT), Pins(session))
    put_on(page, ruler)
    session.set_moment(3.0)
    ruler.grab()
    before = ruler.scale.x(3.0)
    session.push(SetStepDuration("retract", "doors-open", 9.0))
    ruler.renew()
    ruler.grab()
    stands = ruler.scale.x(session.moment)
    assert abs(before - stands) > 100
    painted: list[QRect] = []
    monkeypatch.setattr(ruler, "update", painted.append)
    session.set_moment(0.5)
    assert any(one.contains(QRect(int(stands) - 30, 0, 60, 18)) for one in painted)


def test_no_figure_under_the_tag_is_left_half_painted(page: QWidget, session: Session, monkeypatch):
    ruler = TimeRuler(session, Playback(session), inks_of(LIGHT), Pins(session))
    put_on(page, ruler)
    hidden = 0
    for moment in np.linspace(0.0, session.schedule.seconds, 60):
        painted: list[QRect] = []
        monkeypatch.setattr(ruler, "update", painted.append)
        session.set_moment(float(moment))
        for figure in ruler.hidden_figures if painted else ():
            hidden += 1
            assert any(QRectF(one).contains(figure) for one in painted), f"at {moment:.2f} s"
    assert hidden > 20


def test_the_tag_hides_every_figure_that_it_meets(page: QWidget, session: Session):
    ruler = TimeRuler(session, Playback(session), inks_of(LIGHT), Pins(session))
    put_on(page, ruler)
    metrics, hidden = QFontMetricsF(ruler.small_font()), 0
    for moment in np.linspace(0.0, session.schedule.seconds, 60):
        session.set_moment(float(moment))
        tag = ruler.tag.adjusted(-4, 0, 4, 4)
        for tick in ticks(ruler.scale):
            half, x = metrics.horizontalAdvance(tick.text) / 2 + 1, ruler.scale.x(tick.time)
            meets = bool(tick.text) and x - half < tag.right() and x + half > tag.left()
            assert any(abs(one.center().x() - x) < 1e-6 for one in ruler.hidden_figures) == meets
            hidden += meets
    assert hidden > 20


def test_a_lane_says_what_moves_where_to(session: Session):
    names = Names(session.project)
    assert [what_moves(session.project, step, names) for step in session.schedule.steps] == [
        "Main door to 92°", "Leg angle to 92°", "Main door to 0°",
    ]  # fmt: skip


def test_where_nothing_takes_time_there_is_no_rule(page: QWidget, session: Session):
    ruler = TimeRuler(session, Playback(session), inks_of(LIGHT), Pins(session))
    put_on(page, ruler)

    def inks() -> set[str]:
        image = ruler.grab().toImage()
        return {image.pixelColor(x, y).name() for x in range(250, 400) for y in range(image.height())}

    assert ruler.inks.rule.name() in inks()
    session.open(Project(aircraft=Aircraft(name="Merrow T.2", scale=12)), None)
    ruler.renew()
    assert ruler.inks.rule.name() not in inks()


def test_no_figure_of_the_ruler_is_struck_by_the_rule(page: QWidget, session: Session):
    """Where the tag stands, only the tag is painted down to its tip; the figures under it are gone."""
    ruler = TimeRuler(session, Playback(session), inks_of(LIGHT), Pins(session))
    put_on(page, ruler)
    figures = [tick.time for tick in ticks(ruler.scale) if tick.text]
    for moment in (figures[2], figures[2] + 0.6 * (figures[3] - figures[2])):
        session.set_moment(moment)
        image = ruler.grab().toImage()
        x = ruler.scale.x(moment)
        seen = {image.pixelColor(round(x) + side, y).name() for side in (-30, 30) for y in range(1, 15)}
        assert ruler.inks.text.name() not in seen, "no half of a figure beside the tag"
