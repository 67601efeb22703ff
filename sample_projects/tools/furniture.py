"""What every sheet has beside its drawing: border, title block, scale bar, ticks, and a list of pins."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from sample_projects.tools import lettering
from sample_projects.tools.draughting import NARROW, Sheet
from sample_projects.tools.plane import Point

EDGE, BORDER = 14.0, 44.0
TITLE_WIDE, TITLE_HIGH = 760.0, 206.0


def place(sheet: Sheet, column: float, row: float) -> Point:
    """The point of the aircraft at a pixel, so that furniture can be laid out in pixels."""
    return (sheet.top_left[0] + column / sheet.scale, sheet.top_left[1] - row / sheet.scale)


def rule(sheet: Sheet, start: Point, end: Point, width: float = 1.0) -> None:
    sheet.line([place(sheet, *start), place(sheet, *end)], width=width)


def box(sheet: Sheet, left: float, top: float, right: float, bottom: float, width: float) -> None:
    around = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
    sheet.line([place(sheet, column, row) for column, row in around], width=width)


def frame(sheet: Sheet) -> None:
    """Border, grid references and centring marks, as ISO 5457 has them."""
    wide, high = sheet.size
    box(sheet, EDGE, EDGE, wide - EDGE, high - EDGE, 1.0)
    box(sheet, BORDER, BORDER, wide - BORDER, high - BORDER, 2.2)
    for i in range(8):
        column, step = BORDER + (wide - 2 * BORDER) * i / 8, (wide - 2 * BORDER) / 8
        for top, bottom in ((EDGE, BORDER), (high - BORDER, high - EDGE)):
            if i:
                rule(sheet, (column, top), (column, bottom))
            sheet.text(str(i + 1), place(sheet, column + step / 2, bottom - 9), height=12.0, across=0.5)
    for i, letter in enumerate("ABCDEF"):
        row, step = BORDER + (high - 2 * BORDER) * i / 6, (high - 2 * BORDER) / 6
        for left, right in ((EDGE, BORDER), (wide - BORDER, wide - EDGE)):
            if i:
                rule(sheet, (left, row), (right, row))
            sheet.text(letter, place(sheet, (left + right) / 2, row + step / 2 + 6), height=12.0, across=0.5)
    for near, far in ((8.0, 60.0), (-60.0, -8.0)):
        rule(sheet, (wide / 2, near % high), (wide / 2, far % high), 2.6)
        rule(sheet, (near % wide, high / 2), (far % wide, high / 2), 2.6)


def title(sheet: Sheet, name: str, subject: str, note: str, number: str) -> None:
    right, bottom = sheet.size[0] - BORDER, sheet.size[1] - BORDER
    left, top = right - TITLE_WIDE, bottom - TITLE_HIGH
    box(sheet, left, top, right, bottom, 2.2)
    for row in (top + 62, top + 116, top + 162):
        rule(sheet, (left, row), (right, row))
    for column in (left + 240, left + 520):
        rule(sheet, (column, top + 162), (column, bottom))
    height = min(26.0, (TITLE_WIDE - 36.0) * lettering.HEIGHT / lettering.width(name))
    sheet.text(name, place(sheet, left + 18, top + 44), height=height, width=2.2)
    sheet.text(subject, place(sheet, left + 18, top + 97), height=18.0, width=1.6)
    sheet.text(note, place(sheet, left + 18, top + 145), height=15.0)
    sheet.text("INVENTED AIRCRAFT", place(sheet, left + 18, bottom - 16), height=13.0)
    sheet.text("SIZES IN MM, FULL SIZE", place(sheet, left + 260, bottom - 16), height=13.0)
    sheet.text(number, place(sheet, left + 540, bottom - 15), height=15.0)


def scale_bar(sheet: Sheet, column: float, row: float, *, full_size: float, parts: int, scale: float) -> None:
    """A bar of `parts` lengths of `full_size` mm each, of a drawing laid out at 1 : scale."""
    step = full_size / scale * sheet.scale
    for i in range(parts):
        left = column + step * i
        box(sheet, left, row - 8, left + step, row, NARROW)
        if i % 2 == 0:
            rule(sheet, (left, row - 4), (left + step, row - 4), 7.0)
        sheet.text(f"{full_size * i:.0f}", place(sheet, left, row - 18), height=12.0, across=0.5)
    sheet.text(f"{full_size * parts:.0f} MM FULL SIZE", place(sheet, column + step * parts - 18, row - 18), height=12.0)


def ticks_across(
    sheet: Sheet, row: float, marks: Iterable[int], x_of: Callable[[float], float], word: str, each: int
) -> None:
    """Station ticks along a row, every `each` of them with its number."""
    for mark in marks:
        column = sheet.pixel((x_of(mark), 0.0))[0]
        rule(sheet, (column, row), (column, row - (18 if mark % each == 0 else 9)))
        if mark % each == 0:
            text = f"{word} {mark}" if mark == 0 else str(mark)
            sheet.text(text, place(sheet, column, row + 20), height=12.0, across=0.5)


def ticks_up(
    sheet: Sheet, column: float, marks: Iterable[int], y_of: Callable[[float], float], word: str, each: int
) -> None:
    """Waterline or buttock line ticks up a column."""
    for mark in marks:
        row = sheet.pixel((0.0, y_of(mark)))[1]
        rule(sheet, (column, row), (column + (18 if mark % each == 0 else 9), row))
        if mark % each == 0:
            text = f"{word} {mark}" if mark == 0 else str(mark)
            sheet.text(text, place(sheet, column + 26, row + 6), height=12.0)


def pin_list(
    sheet: Sheet, column: float, row: float, pins: Iterable[tuple[str, float, float]], heads: tuple[str, str, str]
) -> None:
    """A table of named pins with their two full-size co-ordinates."""
    lines = [*pins]
    wide, step = 470.0, 30.0
    bottom = row + step * (len(lines) + 1)
    box(sheet, column, row, column + wide, bottom, 1.6)
    for edge in (270.0, 370.0):
        rule(sheet, (column + edge, row), (column + edge, bottom))
    cells = [heads, *((name, f"{across:.0f}", f"{up:.0f}") for name, across, up in lines)]
    for i, (name, across, up) in enumerate(cells):
        base = row + step * (i + 1) - 9
        if i:
            rule(sheet, (column, row + step * i), (column + wide, row + step * i))
        sheet.text(name, place(sheet, column + 12, base), height=13.0)
        sheet.text(across, place(sheet, column + 358, base), height=13.0, across=1.0)
        sheet.text(up, place(sheet, column + 458, base), height=13.0, across=1.0)
