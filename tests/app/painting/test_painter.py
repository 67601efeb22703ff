"""Painting of every kind of mark, sign and label, looked at by its pixels."""

from __future__ import annotations

import gc
import math

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from app.painting.painter import HATCH_SPACING, Painter
from app.painting.pens import PATTERNS
from app.painting.placement import Placement, fitted
from app.painting.theme import DARK, LIGHT, Theme
from core.drawing.drawing import Drawing, Geometry, Label, Line, Mark, Picture, Sign, Symbol, Tint

pytestmark = pytest.mark.usefixtures("qapp")

SIZE = 240
UNIT = 6.0
"""Pixels a millimetre on paper: coarse enough to count."""
MIDDLE = Placement(scale=UNIT, x=SIZE / 2, y=SIZE / 2)
ROOM = QRectF(0, 0, SIZE, SIZE)
SQUARE = np.array([(-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0)])


def painted(
    drawing: Drawing, *, theme: Theme = LIGHT, placement: Placement = MIDDLE, wide: float = 0.5, traced: bool = False
) -> np.ndarray:
    """(SIZE, SIZE, 3) of red, green and blue."""
    image = QImage(SIZE, SIZE, QImage.Format.Format_RGB32)
    image.fill(QColor(theme.paper))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    ours = Painter(theme, unit=UNIT, wide=wide)
    ours.see_through = traced
    ours.paint(painter, drawing, placement, ROOM)
    painter.end()
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(SIZE, SIZE, 4)[:, :, 2::-1]
    return pixels.astype(int)


def away_from(pixels: np.ndarray, colour: str) -> np.ndarray:
    """(SIZE, SIZE) how far each pixel is from a colour."""
    rgb = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)])
    return np.abs(pixels - rgb).max(axis=2)


def inked(pixels: np.ndarray, theme: Theme = LIGHT) -> np.ndarray:
    return away_from(pixels, theme.paper) > 24


def line(*points: tuple[float, float], kind: Line = Line.OUTLINE) -> Drawing:
    return Drawing(marks=(Mark(geometry=Geometry(lines=(np.array(points),)), line=kind),))


def ring(kind: Line = Line.OUTLINE, **options: object) -> Drawing:
    return Drawing(marks=(Mark(geometry=Geometry(rings=(SQUARE,)), line=kind, **options),))  # type: ignore[arg-type]


@pytest.mark.parametrize("kind", [kind for kind in Line if kind is not Line.NONE])
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_every_line_leaves_ink(kind: Line, theme: Theme):
    pixels = painted(line((-15.0, 0.0), (15.0, 0.0), kind=kind), theme=theme)
    assert inked(pixels, theme)[SIZE // 2 - 1 : SIZE // 2 + 1].sum() > 60


def test_none_leaves_none():
    assert not inked(painted(line((-15.0, 0.0), (15.0, 0.0), kind=Line.NONE))).any()


def test_wide_and_narrow_lines_stand_one_to_two():
    """ISO 128-2: of two widths used together the one is at least twice the other."""

    def ink(kind: Line) -> float:
        return float(
            away_from(painted(line((-10.0, 0.0), (10.0, 0.0), kind=kind), wide=2.0), LIGHT.paper)[:, SIZE // 2].sum()
        )

    wide = ink(Line.OUTLINE) / away_from(np.array([[[0x17, 0x21, 0x38]]]), LIGHT.paper)[0, 0]
    thin = ink(Line.THIN) / away_from(np.array([[[0x59, 0x60, 0x76]]]), LIGHT.paper)[0, 0]
    assert wide == pytest.approx(2.0 * UNIT, rel=0.05)
    assert thin == pytest.approx(1.0 * UNIT, rel=0.05)


@pytest.mark.parametrize(
    ("kind", "pattern"),
    [
        (Line.CENTRE, (24.0, 3.0, 0.5, 3.0)),
        (Line.GHOST, (24.0, 3.0, 0.5, 3.0, 0.5, 3.0)),
        (Line.HIDDEN, (12.0, 3.0)),
    ],
)
def test_dashes_are_those_of_the_standard_in_line_widths(kind: Line, pattern: tuple[float, ...]):
    """ISO 128-2, line elements (from memory): long dash 24 d, dash 12 d, gap 3 d, dot no more than 0.5 d."""
    assert tuple(PATTERNS[kind]) == pattern
    pixels = painted(line((-19.0, 0.0), (19.0, 0.0), kind=kind), wide=1.0)
    row = away_from(pixels, LIGHT.paper)[SIZE // 2 - 1 : SIZE // 2 + 1].max(axis=0) > 60
    first = np.flatnonzero(row)
    run = np.flatnonzero(np.diff(first) > 1)[0] + 1
    assert run / (0.5 * UNIT) == pytest.approx(pattern[0], abs=0.7)


def test_a_filled_body_shows_what_lies_behind_it():
    below = Mark(geometry=Geometry(lines=(np.array([(-15.0, 0.0), (15.0, 0.0)]),)), line=Line.OUTLINE)
    above = Mark(geometry=Geometry(rings=(SQUARE,)), tint=Tint.DOOR, line=Line.OUTLINE)
    pixels = painted(Drawing(marks=(below, above)))
    tint = pixels[SIZE // 2 + 30, SIZE // 2]
    assert np.abs(pixels[SIZE // 2, SIZE // 2] - tint).max() > 10
    assert away_from(pixels, LIGHT.paper)[SIZE // 2 + 30, SIZE // 2] > 8


def test_what_is_traced_over_a_drawing_shows_more_of_it():
    drawing = ring(tint=Tint.LEG)
    usual, traced = (away_from(painted(drawing, traced=on), LIGHT.paper)[SIZE // 2, SIZE // 2] for on in (False, True))
    assert 0 < traced < 0.6 * usual


def test_holes_are_bare():
    hole = SQUARE * 0.5
    pixels = painted(Drawing(marks=(Mark(geometry=Geometry(rings=(SQUARE, hole)), tint=Tint.LEG),)))
    assert away_from(pixels, LIGHT.paper)[SIZE // 2, SIZE // 2] == 0
    assert away_from(pixels, LIGHT.paper)[SIZE // 2 + 45, SIZE // 2 + 10] > 8


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_hatching_is_seen_and_stands_as_far_apart_at_every_zoom(theme: Theme):
    """Along the middle row, 45-degree lines 1.25 mm apart cross it every 1.25 times root two millimetres of paper."""
    for zoom in (1.0, 3.0):
        placement = Placement(scale=UNIT * zoom, x=SIZE / 2, y=SIZE / 2)
        area = Geometry(rings=(SQUARE / zoom,))
        plain = painted(
            Drawing(marks=(Mark(geometry=area, tint=Tint.CLASH, line=Line.NONE),)), theme=theme, placement=placement
        )
        hatched = painted(
            Drawing(marks=(Mark(geometry=area, tint=Tint.CLASH, line=Line.NONE, hatched=True),)),
            theme=theme,
            placement=placement,
        )
        changed = np.abs(hatched - plain).max(axis=2)
        assert (changed > 40).mean() > 0.02
        strength = changed[SIZE // 2, 62:178].astype(float)
        spectrum = np.abs(np.fft.rfft(strength - strength.mean(), 4096))
        wave = 4096 / np.argmax(spectrum)
        assert wave == pytest.approx(HATCH_SPACING * UNIT * math.sqrt(2.0), rel=0.06)


def test_hatching_stays_within_its_area():
    pixels = painted(ring(Line.NONE, hatched=True))
    marked = inked(pixels)
    assert marked[62:178, 62:178].any()
    marked[58:182, 58:182] = False
    assert not marked.any()


def test_y_points_up_and_turns_are_counter_clockwise():
    mark = Mark(geometry=Geometry(lines=(np.array([(5.0, 0.0), (15.0, 0.0)]),)), pose=(0.0, 0.0, math.pi / 2))
    rows, columns = np.nonzero(inked(painted(Drawing(marks=(mark,)))))
    assert rows.max() < SIZE / 2
    assert abs(columns.mean() - SIZE / 2) < 1.0


@pytest.mark.parametrize("symbol", list(Symbol))
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_every_sign_is_seen_and_keeps_its_size_at_every_zoom(symbol: Symbol, theme: Theme):
    drawing = Drawing(signs=(Sign(symbol=symbol, at=(0.0, 0.0)),))
    near = inked(painted(drawing, theme=theme, placement=Placement(scale=100.0, x=120, y=120)), theme)
    far = inked(painted(drawing, theme=theme, placement=Placement(scale=0.1, x=120, y=120)), theme)
    assert near.sum() > 20
    assert np.array_equal(near, far)


def test_no_two_signs_look_alike():
    """Meaning never rests on colour alone, so they must differ in black and white."""
    shapes = [inked(painted(Drawing(signs=(Sign(symbol=symbol, at=(0, 0)),)))).tobytes() for symbol in Symbol]
    assert len(set(shapes)) == len(shapes)


def test_a_slide_turns_with_its_line_and_a_pivots_ground_does_not():
    def of(symbol: Symbol, turn: float) -> np.ndarray:
        return inked(painted(Drawing(signs=(Sign(symbol=symbol, at=(0, 0), turn=turn),))))

    assert not np.array_equal(of(Symbol.SLIDE, 0.0), of(Symbol.SLIDE, 1.0))
    assert np.array_equal(of(Symbol.FIXED_PIVOT, 0.0), of(Symbol.FIXED_PIVOT, 1.0))


def test_what_is_chosen_is_drawn_wider():
    plain, chosen = (inked(painted(ring(chosen=flag))).sum() for flag in (False, True))
    assert chosen > 1.5 * plain


def test_a_dimension_has_arrowheads_inside_where_there_is_room_and_outside_where_not():
    long_, short = (
        painted(line((-15, 0), (15, 0), kind=Line.DIMENSION)),
        painted(line((-0.5, 0), (0.5, 0), kind=Line.DIMENSION)),
    )
    columns = np.flatnonzero(inked(long_).any(axis=0))
    assert columns.min() >= SIZE / 2 - 15 * UNIT - 2
    columns = np.flatnonzero(inked(short).any(axis=0))
    assert columns.max() - columns.min() > 6 * UNIT


def test_labels_are_lettered_at_a_constant_size_and_in_their_box():
    label = Label(text="CLASH", at=(0, 0), anchor=(0.5, 0.5), size=2.5)
    for scale in (1.0, 50.0):
        rows, columns = np.nonzero(
            inked(painted(Drawing(labels=(label,)), placement=Placement(scale=scale, x=120, y=120)))
        )
        assert abs(columns.mean() - 120) < 4
        assert rows.max() - rows.min() == pytest.approx(2.5 * UNIT, abs=2)


def test_labels_that_stand_off_keep_out_of_each_others_way():
    from app.painting.lettering import set_labels

    labels = [Label(text=f"{n}.00 mm deep", at=(0.1 * n, 0.0), offset=(3.0, 3.0), boxed=True) for n in range(6)]
    settled = set_labels(labels, MIDDLE, 2.0, "B612", ROOM)
    for number, one in enumerate(settled):
        assert ROOM.contains(one.ground)
        assert not any(one.ground.intersects(other.ground) for other in settled[number + 1 :])


def test_a_label_is_lettered_narrower_to_keep_within_its_room():
    from app.painting.lettering import set_labels

    (label,) = set_labels([Label(text="W" * 60, at=(0, 0), within=20.0)], MIDDLE, UNIT, "B612", ROOM)
    assert label.box.width() == pytest.approx(20.0 * UNIT, rel=0.01)


def test_paths_are_made_once_and_let_go_with_their_geometry():
    painter = Painter(LIGHT, unit=UNIT)
    geometry = Geometry(rings=(SQUARE,))
    assert painter.path(geometry) is painter.path(geometry)
    assert len(painter._paths) == 1
    del geometry
    gc.collect()
    assert len(painter._paths) == 0


def test_labels_keep_off_overlaps_of_which_no_path_is_made_besides_the_painted_one():
    painter = Painter(LIGHT, unit=UNIT)
    overlap = Mark(geometry=Geometry(rings=(SQUARE * 0.5,)), pose=(4.0, 4.0, 0.0), line=Line.CLASH)
    label = Label(text="5.00 deep", at=(0, 0), offset=(3.0, 3.0), boxed=True)
    laid = painter.lay(Drawing(marks=(overlap,), labels=(label,)), MIDDLE, ROOM)
    (mark,), (settled,) = laid.marks, laid.labels
    assert not settled.ground.intersects(mark.box)
    assert not painter._paths


def picture_file(folder, size: tuple[int, int] = (40, 20)):
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    for row in range(size[1]):
        image.setPixelColor(size[0] // 2, row, QColor("black"))
    file = folder / "side.png"
    assert image.save(str(file))
    return file


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_a_traced_drawing_lies_where_its_map_puts_it_and_its_paper_vanishes(tmp_path, theme: Theme):
    """A black line at column 20 of 40 at 0.5 mm a pixel, from x = -10: at x = 0.25 mm, from y = -5 to 5."""
    matrix = ((0.5, 0.0, -10.0), (0.0, -0.5, 5.0), (0.0, 0.0, 1.0))
    picture = Picture(file=str(picture_file(tmp_path)), pixel_to_mm=matrix, opacity=1.0)
    marked = inked(painted(Drawing(pictures=(picture,)), theme=theme), theme)
    rows, columns = np.nonzero(marked)
    assert columns.mean() == pytest.approx(SIZE / 2 + 0.25 * UNIT, abs=1.0)
    assert rows.min() == pytest.approx(SIZE / 2 - 5 * UNIT, abs=1.5)
    assert rows.max() == pytest.approx(SIZE / 2 + 5 * UNIT, abs=1.5)
    assert columns.max() - columns.min() < 2 * UNIT


def test_a_projective_map_bends_the_picture(tmp_path):
    """Closed form: (20, 20) goes to (0, -5) / (1 + 20 / 40) with a w that grows down the picture."""
    matrix = ((0.5, 0.0, -10.0), (0.0, -0.5, 5.0), (0.0, 1.0 / 40.0, 1.0))
    picture = Picture(file=str(picture_file(tmp_path)), pixel_to_mm=matrix, opacity=1.0)
    rows, _ = np.nonzero(inked(painted(Drawing(pictures=(picture,)))))
    assert rows.max() == pytest.approx(SIZE / 2 + 5.0 / 1.5 * UNIT, abs=2.0)


def test_a_large_picture_is_laid_from_a_smaller_copy_in_the_same_place(tmp_path):
    matrix = ((0.01, 0.0, -10.0), (0.0, -0.01, 5.0), (0.0, 0.0, 1.0))
    image = QImage(2000, 1000, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.fillRect(980, 0, 40, 1000, QColor("black"))
    painter.end()
    file = tmp_path / "large.png"
    assert image.save(str(file))
    picture = Picture(file=str(file), pixel_to_mm=matrix, opacity=1.0)
    rows, columns = np.nonzero(inked(painted(Drawing(pictures=(picture,)))))
    assert columns.mean() == pytest.approx(SIZE / 2, abs=1.0)
    assert rows.max() - rows.min() == pytest.approx(10 * UNIT, abs=2)


def test_a_missing_picture_leaves_the_rest_as_it_is(tmp_path):
    gone = Picture(file=str(tmp_path / "gone.png"), pixel_to_mm=((1, 0, 0), (0, -1, 0), (0, 0, 1)), opacity=1.0)
    with_, without = (painted(Drawing(pictures=pictures, marks=ring().marks)) for pictures in ((gone,), ()))
    assert np.array_equal(with_, without)


def test_fitting_shows_all_of_the_bounds_in_the_middle():
    placement = fitted((-10.0, 0.0, 30.0, 10.0), 400.0, 300.0, 20.0)
    assert placement.scale == pytest.approx(360.0 / 40.0)
    middle = placement.to_device(10.0, 5.0)
    assert (middle.x(), middle.y()) == pytest.approx((200.0, 150.0))


def test_zooming_keeps_the_point_it_is_about():
    before = Placement(scale=3.7, x=11.0, y=-5.0)
    after = before.zoomed(2.5, 123.0, 45.0)
    assert after.to_drawing(123.0, 45.0) == pytest.approx(before.to_drawing(123.0, 45.0))
    assert after.scale == pytest.approx(3.7 * 2.5)


def test_ticks_of_a_path_are_across_it_and_under_other_signs():
    ticks = tuple(Sign(symbol=Symbol.PATH_TICK, at=(x, 0.0), turn=0.0) for x in (-10.0, 0.0, 10.0))
    alone = inked(painted(Drawing(signs=ticks)))
    columns = np.flatnonzero(alone.any(axis=0))
    rows = np.flatnonzero(alone.any(axis=1))
    assert np.ptp(rows) > 10, "they stand up from a path that goes across"
    for x in (-10.0, 0.0, 10.0):
        middle = SIZE / 2 + UNIT * x
        assert np.abs(columns - middle).min() <= 1
    assert len(columns) <= 9
    below = painted(Drawing(signs=(Sign(symbol=Symbol.PATH_POINT, at=(0.0, 0.0)), *ticks)))
    assert (below == painted(Drawing(signs=(*ticks, Sign(symbol=Symbol.PATH_POINT, at=(0.0, 0.0)))))).all()


def test_an_arrow_of_a_path_points_along_it():
    right, left = (
        inked(painted(Drawing(signs=(Sign(symbol=Symbol.PATH_ARROW, at=(0.0, 0.0), turn=turn),))))
        for turn in (0.0, math.pi)
    )
    tall = right.sum(axis=0)
    inside = np.flatnonzero(tall)
    assert tall[inside[2]] > tall[inside[-3]], "it is widest behind and sharp in front"
    assert abs(int((right != left[:, ::-1]).sum())) <= 2 * SIZE
