"""Drawings brought into an aircraft's folder: pictures as they are, SVG and the first page of a PDF as pictures."""

from __future__ import annotations

import shutil
import xml.etree.ElementTree as Tree
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QImage, QImageReader, QPainter
from PySide6.QtSvg import QSvgRenderer

from core.document.drawing_checks import MOST_PIXELS, is_picture
from core.document.fresh import fresh_path, id_from
from core.errors import SenselessRequest, UnwritableProject

PICTURES = (".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp")
OTHERS = (".svg", ".pdf")
KINDS = (*PICTURES, *OTHERS)
LONGEST = 6000
"""Pixels along the longer side of what is made of an SVG or a PDF page."""
PDF_DPI = 300


def bring_in(file: Path, folder: Path) -> tuple[str, int, int]:
    """Copy a drawing into a project's folder; answers its path within that, its width and its height in pixels.

    Raises SenselessRequest for what cannot be read as a drawing, UnwritableProject where it cannot be copied. What is
    there already is never written over.
    """
    kind = file.suffix.lower()
    if kind not in KINDS:
        raise SenselessRequest(f"{file}: is no drawing that is read here; {', '.join(k[1:] for k in KINDS)} are")
    if not file.is_file():
        raise SenselessRequest(f"{file}: there is no such file")
    if kind in PICTURES:
        size = _size(file)
        target = fresh_path(folder / "drawings", id_from(file.stem), kind)
        _write(target, lambda: shutil.copyfile(file, target))
    else:
        image = _svg(file) if kind == ".svg" else _pdf(file)
        size = image.size()
        target = fresh_path(folder / "drawings", id_from(file.stem), ".png")
        _write(target, lambda: _save(image, target))
    return f"drawings/{target.name}", size.width(), size.height()


def _size(file: Path) -> QSize:
    """Of a picture that will be read again when the aircraft is opened; raises SenselessRequest for any other."""
    size = QImageReader(str(file)).size()
    if size.isValid() and size.width() * size.height() > MOST_PIXELS:
        pixels = f"{size.width()} × {size.height()} pixels"
        raise SenselessRequest(f"{file}: is too large to be read, {pixels}; save it again half as wide")
    if not size.isValid() or not is_picture(file):
        raise SenselessRequest(f"{file}: cannot be read as a picture; a whole PNG, JPEG, TIFF or WebP is needed")
    return size


def _svg(file: Path) -> QImage:
    try:
        Tree.parse(file)  # Qt tells of what it cannot read on the console
    except Tree.ParseError as error:
        raise SenselessRequest(f"{file}: is not a whole SVG file: {error}; save it again as plain SVG") from error
    renderer = QSvgRenderer(str(file))
    size = renderer.defaultSize()
    if not renderer.isValid() or size.isEmpty():
        raise SenselessRequest(f"{file}: cannot be read as an SVG drawing; save it again as plain SVG")
    image = QImage(size.scaled(QSize(LONGEST, LONGEST), Qt.AspectRatioMode.KeepAspectRatio), QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    renderer.render(painter)
    painter.end()
    return image


def _pdf(file: Path) -> QImage:
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(str(file))
    except (pypdfium2.PdfiumError, OSError) as error:
        raise SenselessRequest(f"{file}: cannot be read as a PDF: {error}") from error
    try:
        if not len(document):
            raise SenselessRequest(f"{file}: has no page; a drawing is its first one")
        width, height = document[0].get_size()
        scale = min(PDF_DPI / 72.0, LONGEST / max(width, height, 1.0))
        bitmap = document[0].render(scale=scale).to_pil().convert("RGB")
        data = bitmap.tobytes()
        return QImage(data, bitmap.width, bitmap.height, 3 * bitmap.width, QImage.Format.Format_RGB888).copy()
    finally:
        document.close()


def _save(image: QImage, target: Path) -> None:
    if not image.save(str(target)):
        raise OSError(f"{target} could not be written")


def _write(target: Path, write: Callable[[], object]) -> None:
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        write()
    except OSError as error:
        target.unlink(missing_ok=True)
        raise UnwritableProject(f"{target}: could not be written: {error.strerror or error}") from error
