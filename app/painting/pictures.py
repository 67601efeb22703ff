"""Traced drawings as images: read once, kept in halved copies, and laid through their own (maybe projective) map."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QImageReader, QPaintEngine, QPainter, QTransform

from app.painting.placement import Placement
from core.drawing.drawing import Picture

IGNORE, SMOOTH = Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
LARGEST = 8000
"""Pixels along a side beyond which a picture is read smaller."""
MOST_MEGABYTES = 1024
"""Of a picture while it is read. Qt's own limit is 256, which the scan of an A1 sheet at 300 dots an inch exceeds."""


@dataclass(slots=True)
class _Kept:
    size: QSize
    """Of the picture in its file, to which `pixel_to_mm` belongs."""
    copies: list[QImage] = field(default_factory=list)
    """Each half as large as the one before; empty where the file could not be read."""
    inverted: bool = False


class Pictures:
    """The images that a painter has read, by file and time of change."""

    def __init__(self) -> None:
        self._kept: dict[tuple[str, int, bool], _Kept] = {}

    def size(self, file: str) -> tuple[int, int] | None:
        """Pixels across and down; None where there is no such picture."""
        size = QImageReader(file).size()
        return (size.width(), size.height()) if size.isValid() else None

    def corners(self, picture: Picture) -> tuple[float, float, float, float] | None:
        """The bounds of a picture on the drawing, mm; None where it cannot be read."""
        size = self.size(picture.file)
        if size is None:
            return None
        to_mm = _transform(picture)
        points = [to_mm.map(QPointF(x, y)) for x in (0, size[0]) for y in (0, size[1])]
        xs, ys = [point.x() for point in points], [point.y() for point in points]
        return (min(xs), min(ys), max(xs), max(ys)) if all(map(math.isfinite, (*xs, *ys))) else None

    def paint(self, painter: QPainter, picture: Picture, placement: Placement, *, dark: bool) -> bool:
        """Lay a picture under the drawing; False where it could not be read.

        Its own paper vanishes into the sheet: on a device that can, white is multiplied away, and on a dark sheet the
        picture is turned into its negative first.
        """
        blends = painter.paintEngine().hasFeature(QPaintEngine.PaintEngineFeature.BlendModes)
        kept = self._read(picture.file, inverted=dark and blends)
        if not kept.copies:
            return False
        to_device = _transform(picture) * placement.transform()
        image = _copy_for(kept, to_device)
        shrunk = QTransform.fromScale(kept.size.width() / image.width(), kept.size.height() / image.height())
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setOpacity(picture.opacity)
        if blends:
            modes = QPainter.CompositionMode
            painter.setCompositionMode(modes.CompositionMode_Screen if dark else modes.CompositionMode_Multiply)
        painter.setTransform(shrunk * to_device, True)
        painter.drawImage(QPointF(0.0, 0.0), image)
        painter.restore()
        return True

    def _read(self, file: str, *, inverted: bool) -> _Kept:
        try:
            stamp = Path(file).stat().st_mtime_ns
        except OSError:
            return _Kept(size=QSize())
        key = (file, stamp, inverted)
        if key not in self._kept:
            self._kept = {old: kept for old, kept in self._kept.items() if old[0] != file}
            self._kept[key] = _read(file, inverted=inverted)
        return self._kept[key]


def _read(file: str, *, inverted: bool) -> _Kept:
    QImageReader.setAllocationLimit(MOST_MEGABYTES)
    reader = QImageReader(file)
    reader.setAutoTransform(False)
    size = reader.size()
    if size.isValid() and max(size.width(), size.height()) > LARGEST:
        reader.setScaledSize(size.scaled(LARGEST, LARGEST, Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if image.isNull():
        return _Kept(size=QSize())
    paper = QImage(image.size(), QImage.Format.Format_RGB32)
    paper.fill(QColor("white"))
    laid = QPainter(paper)
    laid.drawImage(0, 0, image)
    laid.end()
    if inverted:
        paper.invertPixels()
    return _Kept(size=size if size.isValid() else image.size(), copies=[paper], inverted=inverted)


def _copy_for(kept: _Kept, to_device: QTransform) -> QImage:
    """The smallest copy that still has a pixel for each of the device's."""
    across = to_device.map(QPointF(kept.size.width(), 0.0)) - to_device.map(QPointF(0.0, 0.0))
    share = math.hypot(across.x(), across.y()) / max(kept.copies[0].width(), 1)
    level = max(0, math.floor(-math.log2(share))) if math.isfinite(share) and share > 0.0 else 0
    while len(kept.copies) <= level and min(kept.copies[-1].width(), kept.copies[-1].height()) >= 64:
        last = kept.copies[-1]
        kept.copies.append(last.scaled(QSize(last.width() // 2, last.height() // 2), IGNORE, SMOOTH))
    return kept.copies[min(level, len(kept.copies) - 1)]


def _transform(picture: Picture) -> QTransform:
    """Pixels to millimetres; Qt writes its matrices for rows."""
    (a, b, c), (d, e, f), (g, h, i) = picture.pixel_to_mm
    return QTransform(a, d, g, b, e, h, c, f, i)
