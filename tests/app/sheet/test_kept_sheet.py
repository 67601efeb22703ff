"""What has not changed is not painted again, and what has is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from msgspec.structs import replace as replace_fields
from PySide6.QtCore import QRect, QSize
from PySide6.QtGui import QImage, QPainter

from app.main_window import MainWindow
from app.sequence.playback import INTERVAL_MS
from app.sheet.ground import Ground
from app.sheet.still import Still
from core.document.joint_edits import MoveEnd
from core.document.project import Body
from core.drawing.drawing import Drawing, Geometry, Line, Mark
from core.drawing.situation import poses_at_each, situation_at
from core.interference.pairs import Pairs
from core.interference.placement import Parts
from core.motion.motion import Motion
from core.sketch.body_edits import MoveBodies
from core.sketch.moving import Likeness
from core.study import SequenceStudy
from tests.app.clock import go_on, wound
from tests.app.sheet.tools.things import aircraft, box
from tests.app.sheet.under_hand import pixels
from tests.app.window import opened_window, wait_for_check
from tests.golden.nose_gear import nose_gear

SHADE = 4
"""Of 255, by which a clip may make hair lines another."""
SIZE = QSize(20, 10)


class Drawn:
    """Paints a still on an image, and counts how often what it holds is drawn."""

    def __init__(self) -> None:
        self.still, self.count = Still(), 0
        self.image = QImage(SIZE, QImage.Format.Format_ARGB32_Premultiplied)

    def paint(self, key: int, *, keep: bool = False, size: QSize = SIZE) -> int:
        """How often it has been drawn by then; the image has the colour that the key is."""
        with QPainter(self.image) as painter:
            self.still.paint(painter, size, 1.0, (key,), lambda onto, _part: self._draw(onto, key), keep=keep)
        assert self.image.pixelColor(5, 5).value() == key
        return self.count

    def _draw(self, onto: QPainter, key: int) -> None:
        self.count += 1
        onto.fillRect(0, 0, 20, 10, f"#{key:02x}{key:02x}{key:02x}")


def test_what_is_kept_is_drawn_once_for_a_key_and_anew_for_another(qapp):
    drawn = Drawn()
    assert [drawn.paint(1, keep=True), drawn.paint(1, keep=True), drawn.paint(1)] == [1, 1, 1]
    assert [drawn.paint(2, keep=True), drawn.paint(2, keep=True)] == [2, 2]
    drawn.still.forget()
    assert drawn.paint(2, keep=True) == 3
    assert drawn.paint(2, keep=True, size=QSize(18, 10)) == 4


def test_what_is_not_to_be_kept_is_kept_from_the_second_time_on(qapp):
    drawn = Drawn()
    assert [drawn.paint(1), drawn.paint(1), drawn.paint(1), drawn.paint(3), drawn.paint(4)] == [1, 2, 2, 3, 4]


def test_a_check_that_comes_changes_no_drawing_of_the_drawn_position(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        wait_for_check(qtbot, window)
        canvas, session = window.sheet.canvases[0], window.session
        session.set_moment(0.4)
        window.sheet.take_up("outline")
        session.propose(MoveEnd("rod", 0, (29.0, -15.0)))
        drawn = canvas.drawing
        qtbot.waitUntil(lambda: session.study_current)
        assert canvas.drawing is drawn
        session.propose(MoveEnd("rod", 0, (29.0, -14.0)))
        assert canvas.drawing.marks != drawn.marks
        session.withdraw()
        before = canvas.drawing
        session.choose("door")
        assert canvas.drawing is not before
        window.sheet.take_up("")
        moved = canvas.drawing
        session.set_moment(0.5)
        assert canvas.drawing.marks != moved.marks


def test_the_last_of_many_moments_is_told(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        wait_for_check(qtbot, window)
        details, session = window.details, window.session
        session.choose("door")
        for number in range(8):
            session.set_moment(0.05 * number)
        qtbot.waitUntil(lambda: not details._behind.isActive() and not session._leisure._waiting)
        told = details.table.grab().toImage()
        details.refresh()
        assert details.table.grab().toImage() == told


def painted_anew(window: MainWindow) -> np.ndarray:
    """The sheet with nothing kept of it."""
    canvas = window.sheet.canvases[0]
    for kept in (canvas._still, canvas._ground):
        kept.forget()
    canvas._lies = None
    return pixels(window.sheet)


@pytest.mark.parametrize("held", ["rod", "trunnion"])
def test_under_the_hand_a_part_of_the_sheet_is_painted_and_it_looks_as_if_all_were(qtbot, tmp_path, monkeypatch, held):
    parts: list[QRect] = []
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        canvas, session = window.sheet.canvases[0], window.session
        window.sheet.take_up("reshape")
        paint = canvas._paint_still
        monkeypatch.setattr(canvas, "_paint_still", lambda onto, part: (parts.append(part), paint(onto, part)))
        for number in range(6):
            session.propose(MoveEnd(held, 0, (1.0 - number, -15.0 + 2.0 * number)))
            shown = pixels(window.sheet)
            kept = canvas._still._pixmap.toImage()
            assert np.abs(shown - painted_anew(window)).max() <= SHADE, number
            assert kept.size() == canvas.size()
            pixels(window.sheet)
        whole = [part for part in parts if part == canvas.rect()]
        small = [part for part in parts if part != canvas.rect()]
        assert len(small) >= 5
        assert len(whole) <= 7  # each time that nothing was kept
        assert max(part.width() for part in small) < 0.6 * canvas.width()


def clashes_in(drawing: Drawing) -> list[Mark]:
    return [mark for mark in drawing.marks if mark.line is Line.CLASH]


def test_what_overlaps_as_it_did_is_not_painted_again_whatever_the_hand_and_the_check_do(qtbot, tmp_path):
    stop = Body(id="stop", view="side", fixed=True, shapes=(box(0, -40, 2, -28),))
    with opened_window(qtbot, tmp_path, replace_fields(aircraft(), bodies=(*aircraft().bodies, stop))) as window:
        wait_for_check(qtbot, window)
        canvas, session = window.sheet.canvases[0], window.session
        window.sheet.take_up("reshape")
        pixels(window.sheet)
        before = canvas._laid
        clashes = clashes_in(before.drawing)
        depths = [one for one in before.labels if one.label.clash]
        assert len(clashes) == 2 <= len(depths)
        for number in range(2):
            session.propose(MoveEnd("rod", 0, (1.0 + number, -19.0)))
            for _ in ("followed", "checked"):
                pixels(window.sheet)
                assert clashes_in(canvas.drawing) == clashes
                assert [one for one in canvas._laid.labels if one.label.clash] == depths
                qtbot.waitUntil(lambda: session.study_current)
        session.propose(MoveBodies(("stop",), Likeness.moving(-1.0, 0.0)))
        assert clashes_in(canvas.drawing) == clashes  # as they were when they were checked
        qtbot.waitUntil(lambda: session.study_current)
        assert len(set(clashes_in(canvas.drawing)) - set(clashes)) == 1


def test_a_carried_body_leaves_nothing_where_it_was(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        session = window.session
        session.choose("link")
        window.sheet.set_names(True)
        pixels(window.sheet)
        for number in range(1, 6):
            session.propose(MoveBodies(("link",), Likeness.moving(-3.0 * number, 4.0 * number)))
            shown = pixels(window.sheet)
            assert np.abs(shown - painted_anew(window)).max() <= SHADE
        session.withdraw()
        assert np.abs(pixels(window.sheet) - painted_anew(window)).max() <= SHADE


def test_what_stays_below_all_that_plays_is_painted_once(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, nose_gear()) as window:
        window.sheet.set_ghosts(True, True)
        canvas, session = window.sheet.canvases[0], window.session
        for number in range(4):
            session.set_moment(1.0 + 0.1 * number)
            shown = pixels(window.sheet)
            held = canvas._ground._held
        assert {mark.line for mark in held} >= {Line.GHOST}
        assert len(held) < len(canvas.drawing.marks)
        assert np.array_equal(shown, painted_anew(window))


def test_a_ground_is_of_the_marks_that_stay_and_of_no_others(qapp):
    ground, calls = Ground(), []
    marks = [Mark(geometry=Geometry(lines=(np.array([(0.0, n), (9.0, n)]),))) for n in range(30)]
    image = QImage(SIZE, QImage.Format.Format_ARGB32_Premultiplied)

    def paint(*shown: Mark, key: int = 1) -> tuple[int, int]:
        """How many marks the ground had, and how many were painted for it."""
        calls.clear()
        with QPainter(image) as painter:
            held = ground.paint(painter, SIZE, 1.0, (key,), shown, lambda _onto, few: calls.append(len(few)))
        return held, sum(calls)

    def moved(mark: Mark) -> Mark:
        return replace(mark, pose=(1.0, 0.0, 0.0))

    low, high = marks[:20], marks[20:]
    assert paint(*low, *high) == (0, 0)
    assert paint(*low, *map(moved, high)) == (20, 20)  # twice the same: made
    assert paint(*low, *high) == (20, 0)
    assert paint(*low[:15], moved(low[15]), *low[16:], *high) == (15, 15)  # one of them moves
    assert paint(*low[:3], *map(moved, low[3:])) == (0, 0)  # three are not worth it
    assert paint(*low, key=2) == (0, 0)
    assert paint(*low, key=2) == (20, 20)


def test_what_plays_is_solved_many_moments_at_once_and_stands_where_it_would_alone(qtbot, tmp_path, monkeypatch):
    asked: list[int] = []
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        shown, session = window.sheet.shown, window.session

        def counted(motion: Motion, times: Sequence[float]) -> np.ndarray:
            asked.append(len(times))
            return poses_at_each(motion, times)

        monkeypatch.setattr("app.sheet.solved_moment.poses_at_each", counted)
        stood: list[tuple[float, np.ndarray]] = []
        session.moment_changed.connect(lambda moment: stood.append((moment, shown.poses)))
        clock = wound(window.playback)
        window.playback.play()
        for _ in range(13):
            go_on(window.playback, clock, INTERVAL_MS)
        window.playback.pause()
        motion = session.sequence_study.motion
        for moment, poses in stood:
            assert np.abs(poses - poses_at_each(motion, [moment])[0]).max() < 1e-9
        assert max(asked) > 20
        assert len(asked) < len(stood) / 2


def test_what_a_check_says_of_a_moment_is_worked_out_once_while_the_hand_moves_on(qtbot, tmp_path, monkeypatch):
    asked: list[float] = []

    def counted(study: SequenceStudy, parts: Parts, pairs: Pairs, poses: np.ndarray, time: float, **more: object):
        asked.append(time)
        return situation_at(study, parts, pairs, poses, time, **more)

    monkeypatch.setattr("app.sheet.moment.situation_at", counted)
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        shown, session = window.sheet.shown, window.session
        session.set_moment(0.5)
        told = shown.situation
        count = len(asked)
        session.propose(MoveEnd("rod", 0, (0.0, -21.0)))
        followed = [shown.situation]
        session.propose(MoveEnd("rod", 0, (0.0, -22.0)))
        followed.append(shown.situation)
        assert followed == [told, told]
        assert len(asked) <= count + 1
        qtbot.waitUntil(lambda: session.study_current)
        assert shown.situation is told  # it says the same
        assert len(asked) > count
        session.set_moment(0.6)
        count = len(asked)
        assert shown.situation is followed[0]
        assert len(asked) == count + 1
