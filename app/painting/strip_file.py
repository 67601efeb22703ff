"""Frame strips as files: PNG, SVG and PDF, at their true size, whole or not at all."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from PySide6.QtCore import QMarginsF, QRectF, QSize, QSizeF
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPageLayout, QPageSize, QPainter, QPdfWriter
from PySide6.QtSvg import QSvgGenerator

from app.fonts import register_fonts
from app.painting.painter import Painter
from app.painting.placement import Placement
from app.painting.theme import PRINTED
from core.drawing.strip import Strip, lay_out_strip
from core.errors import SenselessRequest
from core.study import SequenceStudy, Study

PNG_DPI = 200
PDF_DPI = 2540
"""A hundredth of a millimetre."""
MM_AN_INCH = 25.4
FINE = 0.01
"""Millimetres on paper that an outline may stray."""
SMALL_SCALE = 0.4
"""Below this, lines, signs and hatching are finer, so that they do not hide what they belong to."""


def write_strip(
    study: Study,
    sequence: SequenceStudy,
    *,
    file: Path,
    times: Sequence[float] | None = None,
    frames: int | None = None,
) -> Strip:
    """Write a strip of a studied sequence, of the moments that `lay_out_strip` takes.

    Raises SenselessRequest for another ending than .png, .svg or .pdf and for moments that make no sense, OSError with
    one line where the file cannot be written; what stood there before then still does.
    """
    writer_for(file)
    strip = lay_out_strip(study, sequence, times=times, frames=frames)
    write_sheet(strip, file)
    return strip


def write_sheet(strip: Strip, file: Path) -> None:
    """Write what has been laid out; raises as `write_strip` does."""
    write = writer_for(file)
    application = _application()
    register_fonts()
    _whole(file, lambda draft: write(strip, draft))
    del application


def writer_for(file: Path) -> Callable[[Strip, Path], bool]:
    """What writes a file of this ending; raises SenselessRequest where nothing does."""
    write = _WRITERS.get(file.suffix.lower())
    if write is None:
        ending = f"ends in {file.suffix!r}" if file.suffix else "has no ending"
        raise SenselessRequest(f"{file} {ending}; a drawing is written as .png, .svg or .pdf")
    return write


def paint_strip(painter: QPainter, strip: Strip, painted: Painter) -> None:
    """Paint a strip with its upper left at the painter's origin; `painted.unit` device units make a millimetre."""
    unit, height = painted.unit, strip.paper.height
    page = QRectF(0.0, 0.0, strip.paper.width * unit, height * unit)
    painter.fillRect(page, QColor(painted.theme.paper))
    for frame in strip.frames:
        for view in frame.views:
            placement = Placement(scale=strip.scale.ratio * unit, x=view.x * unit, y=(height - view.y) * unit)
            x0, y0, x1, y1 = view.room
            room = QRectF(x0 * unit, (height - y1) * unit, (x1 - x0) * unit, (y1 - y0) * unit)
            painted.paint(painter, view.drawing, placement, room)
    painted.paint(painter, strip.sheet, Placement(scale=unit, x=0.0, y=height * unit), page)


def _painter(strip: Strip, unit: float, *, outlined_text: bool = False) -> Painter:
    """ISO 128-2 has lines of 0.35 and 0.25 mm, each with a narrow one half as wide."""
    small = strip.scale.ratio < SMALL_SCALE
    wide, signs, hatch = (0.25, 0.5, 0.7) if small else (0.35, 0.8, 0.9)
    return Painter(PRINTED, unit=unit, wide=wide, signs=signs, hatch=hatch, fineness=FINE, outlined_text=outlined_text)


def _png(strip: Strip, draft: Path) -> bool:
    unit = PNG_DPI / MM_AN_INCH
    image = QImage(round(strip.paper.width * unit), round(strip.paper.height * unit), QImage.Format.Format_RGB32)
    image.setDotsPerMeterX(round(1000.0 * unit))
    image.setDotsPerMeterY(round(1000.0 * unit))
    image.fill(QColor(PRINTED.paper))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_strip(painter, strip, _painter(strip, unit))
    painter.end()
    return image.save(str(draft))


def _svg(strip: Strip, draft: Path) -> bool:
    """One unit is a millimetre; letters are outlines, so that they look the same where the typeface is not known."""
    generator = QSvgGenerator()
    generator.setFileName(str(draft))
    generator.setTitle(strip.title)
    generator.setDescription(_in_words(strip))
    generator.setResolution(PDF_DPI)
    hundredths = PDF_DPI / MM_AN_INCH
    generator.setSize(QSize(round(strip.paper.width * hundredths), round(strip.paper.height * hundredths)))
    generator.setViewBox(QRectF(0.0, 0.0, strip.paper.width, strip.paper.height))
    painter = QPainter()
    if not painter.begin(generator):
        return False
    paint_strip(painter, strip, _painter(strip, 1.0, outlined_text=True))
    return painter.end()


def _pdf(strip: Strip, draft: Path) -> bool:
    writer = QPdfWriter(str(draft))
    writer.setResolution(PDF_DPI)
    size = QPageSize(QSizeF(strip.paper.width, strip.paper.height), QPageSize.Unit.Millimeter, strip.paper.name)
    writer.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0.0, 0.0, 0.0, 0.0)))
    writer.setTitle(strip.title)
    writer.setCreator("Bayfold")
    painter = QPainter()
    if not painter.begin(writer):
        return False
    paint_strip(painter, strip, _painter(strip, PDF_DPI / MM_AN_INCH))
    ended = painter.end()
    _undate(draft)
    return ended


_WRITERS: Mapping[str, Callable[[Strip, Path], bool]] = MappingProxyType({".png": _png, ".svg": _svg, ".pdf": _pdf})


def _in_words(strip: Strip) -> str:
    """The strip for those who cannot see it, and for searching."""
    said = [f"{strip.paper.name}, scale {strip.scale}."]
    for frame in strip.frames:
        words = frame.words
        parts = (f"Frame {words.number} at {words.time:.2f} s", words.step, *words.drives, *words.wrong)
        said.append("; ".join(part for part in parts if part) + ".")
    return "\n".join(said)


def _undate(draft: Path) -> None:
    """A strip drawn twice is the same file twice: Qt's dates and random ids become fixed ones.

    A date's length depends on the time zone, so the table of where objects begin (ISO 32000-1, 7.5.4) is mended too.
    """
    data = draft.read_bytes()
    data = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d", b"2000-01-01T00:00:00+00:00", data)
    data = re.sub(rb"(?<=uuid:)[0-9a-f-]{36}", b"00000000-0000-0000-0000-000000000000", data)
    data = re.sub(rb"(?<=<)[0-9a-f]{32,}(?=>\s)", lambda found: b"0" * len(found[0]), data)
    dated = data.find(b"/CreationDate")
    fixed = re.sub(rb"\(D:[^)]*\)", b"(D:20000101000000Z)", data)
    by = len(fixed) - len(data)

    def moved(found: re.Match[bytes]) -> bytes:
        at = int(found[2])
        return found[1] + str(at + by if at > dated else at).encode().zfill(len(found[2])) + found[3]

    fixed = re.sub(rb"()(\d{10})( \d{5} n )", moved, fixed)
    draft.write_bytes(re.sub(rb"(startxref\n)(\d+)(\s)", moved, fixed))


def _application() -> QGuiApplication:
    """Letters need an application; without one, one that opens no window."""
    running = QGuiApplication.instance()
    return running if isinstance(running, QGuiApplication) else QGuiApplication(["bayfold", "-platform", "offscreen"])


def _whole(file: Path, write: Callable[[Path], bool]) -> None:
    """Write beside a file and put the result in its place."""
    if file.is_dir():
        raise IsADirectoryError(f"{file} is a folder; a strip needs the name of a file")
    if not file.parent.is_dir():
        raise FileNotFoundError(f"{file}: there is no folder {file.parent}")
    try:
        handle, name = tempfile.mkstemp(prefix=f".{file.stem}-", suffix=file.suffix, dir=file.parent)
    except OSError as error:
        raise OSError(f"{file} cannot be written: {error.strerror or error}") from None
    os.close(handle)
    draft = Path(name)
    try:
        if not write(draft) or not draft.stat().st_size:
            raise OSError(f"{file} cannot be written: the disk may be full")
        draft.chmod(0o666 & ~_mask())
        draft.replace(file)
    finally:
        draft.unlink(missing_ok=True)


def _mask() -> int:
    """The permissions that new files do not get; it can only be read by setting it."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
