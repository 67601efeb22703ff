"""What moves the chosen thing is told with links; what is loose is shown as a film on the sheet."""

from __future__ import annotations

import threading

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication, QLabel

from app.painting.theme import DARK, LIGHT
from app.palette import palette_of
from app.panels import chain_words
from app.panels.moved_by import MovedBy
from app.session import Session
from app.sheet.swing import PERIOD_MS, place_at
from core.drawing.drawing import Line
from core.findings.finding import Kind
from core.findings.sentences import Names
from core.motion.chains import Chain, Route, chains_of
from core.motion.motion import Motion
from core.study import run
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window

HINGE = np.array([-29.0, 0.0])


@pytest.fixture
def session(qapp) -> Session:
    session = Session()
    project = small_aircraft()
    session.open(project, None)
    session.put_study(run(project))
    return session


@pytest.fixture
def panel(qtbot, session: Session) -> MovedBy:
    panel = MovedBy(session)
    qtbot.addWidget(panel)
    session.selection_changed.connect(panel.refresh)
    session.moment_changed.connect(lambda _moment: panel.refresh())
    session.study_changed.connect(panel.refresh)
    session.choose("leg")
    qtbot.waitUntil(lambda: not panel.working)
    session.choose(None)
    return panel


def test_what_is_said_is_found_out_away_from_the_window_and_once_something_is_chosen(
    qtbot, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    threads: list[threading.Thread] = []

    def noted(motion: Motion) -> chain_words.Chains:
        threads.append(threading.current_thread())
        return chains_of(motion)

    monkeypatch.setattr("app.panels.moved_by.chains_of", noted)
    panel = MovedBy(session)
    qtbot.addWidget(panel)
    for thing in (None, "retract", "leg-up"):
        session.choose(thing)
        panel.refresh()
        assert not panel.working
    session.choose("leg")
    panel.refresh()
    panel.refresh()
    assert panel.isHidden(), "nothing is said that is not known yet"
    qtbot.waitUntil(lambda: not panel.isHidden())
    session.choose("door")
    panel.refresh()
    assert not panel.isHidden(), "of the same check it is known by now"
    assert [one is threading.main_thread() for one in threads] == [False]
    assert panel.shut_down()


def test_a_body_is_told_with_its_drive_its_connection_and_itself(session: Session, panel: MovedBy) -> None:
    session.choose("leg")
    assert not panel.isHidden()
    for thing, name in (("gear", "Leg angle"), ("leg-pivot", "Leg trunnion"), ("leg", "Nose leg")):
        assert f'<a href="thing:{thing}">{name}</a>' in panel.text


def test_links_wear_the_ink_of_the_look_they_are_seen_in(
    session: Session, panel: MovedBy, request: pytest.FixtureRequest
) -> None:
    """A link read in the light look would be all but invisible in the dark one."""
    label = next(one for one in panel.findChildren(QLabel) if one.accessibleName() == "What moves it")
    session.choose("leg")
    before = QApplication.palette()
    request.addfinalizer(lambda: QApplication.setPalette(before))
    for theme in (LIGHT, DARK, LIGHT):
        QApplication.setPalette(palette_of(theme))
        panel.setPalette(palette_of(theme))
        image = label.grab().toImage()
        inks = {image.pixelColor(x, y).name() for x in range(image.width()) for y in range(image.height())}
        assert QColor(theme.accent).name() in inks


def test_a_drive_is_told_with_what_hangs_on_it(session: Session, panel: MovedBy) -> None:
    session.choose("doors")
    assert panel.text == '<a href="thing:door">Main door</a>.'


def test_links_choose_and_go_to_moments(session: Session) -> None:
    chain_words.follow("thing:hinge", choose=session.choose, go_to=session.set_moment)
    chain_words.follow("moment:1.25", choose=session.choose, go_to=session.set_moment)
    assert (session.selection, session.moment) == ("hinge", 1.25)


def test_names_cannot_write_markup() -> None:
    project = small_aircraft()
    chain = Chain(body="leg", begin=0.0, end=1.0, routes=(Route(drive="<b>", connections=("&",), bodies=("leg",)),))
    (said,) = chain_words.moved_by((chain,), 0.0, Names(project))
    assert '<a href="thing:&lt;b&gt;">&lt;b&gt;</a>' in said
    assert ">&amp;</a>" in said


def test_a_chain_of_its_moment_is_told() -> None:
    chains = (Chain(body="leg", begin=0.0, end=2.0), Chain(body="leg", begin=2.0, end=5.0, loose=True))
    assert [chain_words.chain_at(chains, moment) for moment in (0.0, 1.9, 2.0, 5.0)] == [
        chains[0], chains[0], chains[1], chains[1],
    ]  # fmt: skip


def test_a_loose_door_swings_about_its_hinge(qtbot, session: Session, panel: MovedBy) -> None:
    films: list[object] = []
    panel.film_wanted.connect(films.append)
    session.choose("aft-door")
    assert "Only friction at Aft door hinge would hold it." in panel.text
    assert panel.other_button.isHidden()
    qtbot.mouseClick(panel.show_button, Qt.MouseButton.LeftButton)
    (film,) = films
    x, y, turn = film[:, 3].T
    assert np.ptp(turn) > 0.1
    hinge = np.exp(1j * turn) * complex(*HINGE) + x + 1j * y
    assert hinge == pytest.approx(complex(*HINGE))
    session.choose("leg")
    assert films[-1] is None
    assert not panel.show_button.isChecked()


def test_a_film_leaves_out_what_a_limit_stops(qtbot, session: Session) -> None:
    """A door at the end of its travel swings one way only, and without waiting there."""
    project = small_aircraft()
    hinges = tuple(
        replace(one, limits=(0.0, 40.0)) if one.id == "aft-hinge" else one for one in project.connections
    )  # fmt: skip
    project = replace(project, connections=hinges)
    session.open(project, None)
    session.put_study(run(project))
    panel = MovedBy(session)
    qtbot.addWidget(panel)
    films: list[np.ndarray] = []
    panel.film_wanted.connect(films.append)
    session.choose("aft-door")
    panel.refresh()
    qtbot.waitUntil(lambda: not panel.working)
    panel.show_button.setChecked(True)
    turn = films[-1][:, 3, 2]
    assert turn.min() == 0.0
    assert turn.max() > 0.1
    assert (np.abs(np.diff(turn)) > 0.0).all()


def test_a_film_is_made_anew_when_the_moment_rests(qtbot, session: Session, panel: MovedBy) -> None:
    films: list[object] = []
    session.choose("aft-door")
    panel.show_button.setChecked(True)
    panel.film_wanted.connect(films.append)
    session.set_moment(1.0)
    session.set_moment(1.1)
    assert films == [None]
    qtbot.waitUntil(lambda: len(films) == 2)
    assert panel.show_button.isChecked()


def test_showing_a_loose_finding_chooses_its_body(session: Session, panel: MovedBy) -> None:
    study = session.sequence_study
    assert study is not None
    (finding,) = (one for one in study.findings if one.kind is Kind.LOOSE)
    session.choose("leg")
    session.show_finding(finding)
    assert session.selection == "aft-door"
    assert "Only friction" in panel.text
    assert not panel.show_button.isHidden()
    session.choose("leg")
    assert "Only friction" not in panel.text
    assert panel.show_button.isHidden()


def test_nothing_is_said_of_what_has_changed_since(session: Session, panel: MovedBy) -> None:
    session.choose("leg")
    session.open(small_aircraft(), None)
    session.choose("leg")
    assert panel.isHidden()


def test_the_ghost_swings_as_a_pendulum() -> None:
    assert [place_at(share * PERIOD_MS, 29) for share in (0.0, 0.25, 0.5, 0.75)] == [14, 28, 14, 0]


def test_in_the_window_a_ghost_of_the_loose_door_is_drawn(qtbot, tmp_path) -> None:
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.sheet.set_ghosts(False, False)
        window.session.choose("aft-door")
        panel = window.details.moved_by

        def ghosts() -> list[tuple[float, float, float]]:
            canvas = window.sheet.canvases[0]
            return [mark.pose for mark in canvas.drawing.marks if mark.line is Line.GHOST]

        assert ghosts() == []
        qtbot.waitUntil(lambda: not panel.working)
        panel.show_button.setChecked(True)
        qtbot.waitUntil(lambda: len(ghosts()) == 1)
        ((x, y, turn),) = ghosts()
        assert np.exp(1j * turn) * complex(*HINGE) + x + 1j * y == pytest.approx(complex(*HINGE))
        assert window.sheet.swing.running
        panel.show_button.setChecked(False)
        assert ghosts() == []
        assert not window.sheet.swing.running
