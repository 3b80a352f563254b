"""Pictures of what lies under the sheet at several sizes: decoded, halved, and turned dark for the dark dress."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QImage, QImageIOHandler, QImageReader, QPainter

from layoutdesk.errors import FileError
from layoutdesk.geometry.vector import Vector

LONGEST_PX: Final = 4096
"""No picture in memory has a longer side, whatever its file has."""
SMALLEST_PX: Final = 200
_LIGHT: Final = 168
"""A picture that is lighter on average (of 255) is taken for lines on paper."""
_ALLOCATION_MB: Final = 600


class Levels:
    """One picture at its own size and again and again at half of it.

    ``per_unit`` is how many pixels of the first one unit of the underlay takes; ``corner`` is where it begins.
    """

    def __init__(self, image: QImage, per_unit: float, corner: Vector = (0.0, 0.0)) -> None:
        self.per_unit, self.corner = per_unit, corner
        self.drawing = _is_drawing(image)
        self._light = [image]
        while max(image.width(), image.height()) > 2 * SMALLEST_PX:
            half = QSize(max(1, image.width() // 2), max(1, image.height() // 2))
            image = image.scaled(
                half, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
            )
            self._light.append(image)
        self._dark: dict[int, QImage] = {}

    def fitting(self, per_unit: float, *, dark: bool) -> tuple[QImage, float]:
        """Return the smallest picture that is sharp enough, and how many of its pixels one unit takes."""
        base = self._light[0].width()
        k = 0
        while k + 1 < len(self._light) and self.per_unit * self._light[k + 1].width() / base >= per_unit * 0.75:
            k += 1
        image = self._light[k]
        if dark and self.drawing:
            if k not in self._dark:
                turned = image.copy()
                turned.invertPixels()
                self._dark[k] = turned
            image = self._dark[k]
        return image, self.per_unit * image.width() / base


def decoded(path: Path, size: Vector, part: QRect | None = None) -> Levels:
    """Return a picture from its file, or a part of it, no larger than may be kept.

    Args:
        path: the file.
        size: its width and height in pixels as it is shown, which its place on the plan is reckoned with.
        part: which of its pixels; None for all of them.

    Raises:
        FileError: when it cannot be decoded.
    """
    QImageReader.setAllocationLimit(_ALLOCATION_MB)
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    stored = reader.size()
    if part is not None:
        if reader.transformation() != QImageIOHandler.Transformation.TransformationNone:
            raise FileError(f"{path.name}: a part of a picture that is stored turned cannot be had alone")
        reader.setClipRect(part)
    elif max(stored.width(), stored.height()) > LONGEST_PX:
        reader.setScaledSize(stored.scaled(LONGEST_PX, LONGEST_PX, Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if image.isNull():
        raise FileError(f"{path.name}: the picture is damaged; save or send it again")
    if part is not None:
        return Levels(_flat(image), 1.0, (float(part.x()), float(part.y())))
    return Levels(_flat(image), image.width() / size[0])


def page_levels(pixels: bytes, width: int, height: int, stride: int, wide: float) -> Levels:
    """Return a page of a PDF as it was drawn: rows of blue, green, red, unused; ``wide`` is its width in points."""
    image = QImage(pixels, width, height, stride, QImage.Format.Format_RGB32).copy()
    return Levels(image, width / wide)


def _flat(image: QImage) -> QImage:
    """Return a picture without anything to be seen through: paper is white."""
    if not image.hasAlphaChannel():
        return image.convertToFormat(QImage.Format.Format_RGB32)
    flat = QImage(image.size(), QImage.Format.Format_RGB32)
    flat.fill(Qt.GlobalColor.white)
    painter = QPainter(flat)
    painter.drawImage(0, 0, image)
    painter.end()
    return flat


def _is_drawing(image: QImage) -> bool:
    """Return whether a picture is lines on paper, and no photograph: most of it is light."""
    small = image.scaled(48, 48, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation)
    grey = small.convertToFormat(QImage.Format.Format_Grayscale8)
    values = bytes(grey.constBits())
    return sum(values) > _LIGHT * len(values)
