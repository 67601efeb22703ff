"""The sheet's note at a moment: it looks at ease only where both the clearances and the linkage are in order."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from app.painting.theme import LIGHT
from app.session import Session
from app.sheet.film import note_of, paint_note, paint_tip, paint_title
from app.sheet.sheet import Sheet
from core.document.project_file import read_project
from core.findings.finding import Kind
from core.study import Study, run

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


@cache
def studied(name: str) -> Study:
    return run(read_project(SAMPLES / name), sequence="retract")


@pytest.mark.parametrize(
    ("name", "view", "moment", "told"),
    [
        ("merrow-t2-flawed", "side", 1.0, ("nothing overlaps at this moment", "text_soft")),
        ("merrow-t2-flawed", "side", 4.0, ("the linkage is jammed here", "clash")),
        ("skarn-p9-flawed", "front", 9.0, ("a latch has not taken hold", "clash")),
    ],
)
def test_the_note_tells_of_the_linkage_as_well_as_of_overlaps(qtbot, name, view, moment, told):
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    study = studied(name)
    session.open(study.project, None)
    session.put_study(study)
    session.set_moment(moment)
    assert note_of(sheet._shown, view) == told


def test_what_is_pulled_out_of_a_jam_is_jammed_no_more(qtbot):
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    study = studied("merrow-t2-flawed")
    session.open(study.project, None)
    session.put_study(study)
    jam = next(one for one in session.sequence_study.findings if one.kind is Kind.JAMMED)
    session.set_moment(jam.time)
    assert note_of(sheet._shown, "side") == ("the linkage is jammed here", "clash")
    place = sheet.bench.stand().placed("leg", (0.0, -40.0))
    sheet.pulling.take_hold("leg", place)
    sheet.pulling.pull_to((place[0] + 8.0, place[1]))
    assert sheet._shown.pulled
    assert note_of(sheet._shown, "side") == ("pulled by hand: nothing overlaps at this moment", "text_soft")
    sheet.pulling.drop()
    assert note_of(sheet._shown, "side") == ("the linkage is jammed here", "clash")


LONG = "Side elevation of the port undercarriage, seen from ahead; 2 overlaps at this moment"
ROOM = QRect(0, 0, 240, 200)


def painted(paint) -> QRect:
    """The box about all that was painted in a small room."""
    image = QImage(ROOM.size(), QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    with QPainter(image) as painter:
        paint(painter)
    inked = [(x, y) for x in range(ROOM.width()) for y in range(ROOM.height()) if image.pixelColor(x, y).red() < 250]
    (left, right), (top, bottom) = ((min(row), max(row)) for row in zip(*inked, strict=True))
    return QRect(left, top, right - left + 1, bottom - top + 1)


@pytest.mark.parametrize("pointer", [QPointF(10.0, 20.0), QPointF(120.0, 60.0), QPointF(230.0, 190.0)])
def test_what_is_said_on_the_film_goes_on_below_where_there_is_no_room_beside(qapp, pointer: QPointF):
    def title(painter: QPainter, words: str) -> None:
        paint_title(painter, ROOM, LIGHT, words)

    def note(painter: QPainter, words: str) -> None:
        paint_note(painter, ROOM, LIGHT, (words, "clash"))

    def tip(painter: QPainter, words: str) -> None:
        paint_tip(painter, QRectF(ROOM), LIGHT, pointer, words)

    for paint in (title, note, tip):
        short, long = (
            painted(lambda painter, words=words, paint=paint: paint(painter, words)) for words in ("Plan", LONG)
        )
        assert long.height() > 1.8 * short.height()
        assert long.left() >= 3
        assert long.right() <= ROOM.right() - 3
