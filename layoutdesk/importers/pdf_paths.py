"""The drawn things of a PDF page: lines, outlines, circles and arcs, wherever a form puts them."""

from __future__ import annotations

import ctypes
import math
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, Final

from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.importers.linework import MOST_SHAPES, Passed, Shape
from layoutdesk.importers.pdf_curves import Piece, arc_points, flattened, round_of, round_polygon
from layoutdesk.importers.pdf_file import Matrix, Sheet, placed, then
from layoutdesk.importers.pdf_library import calls
from layoutdesk.importers.pdf_looks import Looks

if TYPE_CHECKING:
    from pypdfium2 import PdfPage

_DEEPEST: Final = 40
_HAIRLINE_MM: Final = 0.8
"""A filled rectangle no thicker than this, and eight times as long, is a line."""
_SMALL_MM: Final = 8.0
"""A filled outline no larger than this is a letter or a symbol, unless it is round, three- or four-sided."""
_MOST_FRAMES: Final = 32
"""Frames of more parts are left out of account."""
_FULL_TURN: Final = 0.999
MOST_CORNERS: Final = 1_500_000
"""A page of more lines and curves than this, in however many shapes, would not fit in memory."""


class TooManyError(Exception):
    """The page holds more shapes than are bearable."""


class PathReader:
    """Reads one page; ``shapes`` grows, and ``skipped`` counts what was passed over."""

    def __init__(self, page: PdfPage, sheet: Sheet) -> None:
        self.shapes: list[Shape] = []
        self.pictures = 0
        self.picture_share = 0.0
        self.skipped: Counter[tuple[str, str]] = Counter()
        self._page = page
        self._sheet = sheet
        self._looks = Looks()
        self.rough = 0.0
        """How far places may lie off, in mm on paper, because PDFium keeps numbers of 24 bits."""
        self._corners = 0

    def objects(self) -> Iterator[tuple[int, int]]:
        """Read all; yield how many of how many objects of the page are done.

        Raises:
            TooManyError: when there are more than MOST_SHAPES shapes, or MOST_CORNERS corners.
        """
        pdfium = calls()

        count = pdfium.FPDFPage_CountObjects(self._page)
        if count > MOST_SHAPES:  # counted first: a million of them are not read in order to be refused
            kinds = (pdfium.FPDFPageObj_GetType(pdfium.FPDFPage_GetObject(self._page, n)) for n in range(count))
            if sum(kind == pdfium.FPDF_PAGEOBJ_PATH for kind in kinds) > MOST_SHAPES:
                raise TooManyError
        for index in range(count):
            self._object(pdfium.FPDFPage_GetObject(self._page, index), self._sheet.to_paper, "", 0)
            yield index + 1, count

    def passed(self) -> tuple[Passed, ...]:
        """Return what was passed over."""
        return tuple(Passed(what, count, why) for (what, why), count in self.skipped.most_common())

    def _object(self, thing: Any, around: Matrix, layer: str, depth: int) -> None:
        pdfium = calls()

        kind = pdfium.FPDFPageObj_GetType(thing)
        if kind == pdfium.FPDF_PAGEOBJ_TEXT:
            return  # read as words
        matrix = then(_matrix_of(thing), around)
        if kind == pdfium.FPDF_PAGEOBJ_PATH:
            self._path(thing, matrix, around, layer)
        elif kind == pdfium.FPDF_PAGEOBJ_FORM:
            layer = self._looks.named_layer(thing) or layer
            if depth < _DEEPEST:
                for index in range(max(0, pdfium.FPDFFormObj_CountObjects(thing))):
                    self._object(pdfium.FPDFFormObj_GetObject(thing, index), matrix, layer, depth + 1)
        elif kind == pdfium.FPDF_PAGEOBJ_IMAGE:
            self.pictures += 1
            area = abs(matrix[0] * matrix[3] - matrix[1] * matrix[2])  # of the unit square
            self.picture_share += area / max(1e-9, self._sheet.size[0] * self._sheet.size[1])
        else:
            self.skipped["shaded areas", "they have no outline of their own"] += 1

    def _path(self, path: Any, matrix: Matrix, around: Matrix, layer: str) -> None:
        pdfium = calls()

        fill, stroke = ctypes.c_int(), ctypes.c_int()
        pdfium.FPDFPath_GetDrawMode(path, ctypes.byref(fill), ctypes.byref(stroke))
        if not (fill.value or stroke.value):
            return
        if not stroke.value and self._looks.is_white(path):
            self.skipped["white areas", "they only hide what lies under them"] += 1
            return
        self._corners += pdfium.FPDFPath_CountSegments(path)
        if self._corners > MOST_CORNERS:
            raise TooManyError
        if self._is_cut_away(path, matrix, around):
            self.skipped["lines cut away", "they lie beside the frame of their view"] += 1
            return
        layer = (
            self._looks.named_layer(path) or layer or self._looks.layer(path, matrix, stroked=bool(stroke.value))
        )
        # What lies far from the origin before its matrix brings it on to the page has lost its last digits.
        self.rough = max(self.rough, max(map(abs, matrix[4:])) * 2**-24)
        dashed = bool(stroke.value) and pdfium.FPDFPageObj_GetDashCount(path) > 0
        for start, pieces, closed in _runs(path, matrix):
            self._run(start, pieces, closed=closed, filled=not stroke.value, layer=layer, dashed=dashed)
            if len(self.shapes) > MOST_SHAPES:
                raise TooManyError

    def _is_cut_away(self, path: Any, matrix: Matrix, around: Matrix) -> bool:
        """Return whether a path lies wholly beside what it is clipped to: the frame of a view, or of a form.

        Boxes are compared, so what only corners of frames overlap stays. Frames lie in the axes around the path.
        """
        pdfium = calls()
        clip = pdfium.FPDFPageObj_GetClipPath(path)
        count = pdfium.FPDFClipPath_CountPaths(clip) if clip else 0
        if not 0 < count <= _MOST_FRAMES:
            return False
        low, high = _box([placed(matrix, x, y) for x, y in _places(path)])
        for index in range(count):
            corners = pdfium.FPDFClipPath_CountPathSegments(clip, index)
            if not 0 < corners <= _MOST_FRAMES:
                continue
            segments = (pdfium.FPDFClipPath_GetPathSegment(clip, index, n) for n in range(corners))
            least, most = _box([placed(around, x, y) for x, y in map(_place, segments)])
            if high[0] < least[0] or high[1] < least[1] or low[0] > most[0] or low[1] > most[1]:
                return True
        return False

    def _run(
        self, start: Vector, pieces: list[Piece], *, closed: bool, filled: bool, layer: str, dashed: bool
    ) -> None:
        """Take in one run of lines and curves."""
        ends = [start, *(p for piece in pieces for p in piece)]
        if not all(math.isfinite(x) and abs(x) < 1e9 for p in ends for x in p):
            self.skipped["lines at impossible places", "their numbers make no sense"] += 1
            return
        low, high = _box(ends)
        wide, tall = self._sheet.size
        if high[0] < 0 or high[1] < 0 or low[0] > wide or low[1] > tall:
            self.skipped["lines beside the page", "they cannot be seen on it"] += 1
            return
        size = max(high[0] - low[0], high[1] - low[1])
        if size <= 1e-6:
            return  # a dot
        found = round_of(start, pieces)
        if found is not None:
            (centre, radius), swept = found
            if abs(swept) >= _FULL_TURN * 2 * math.pi:
                self.shapes.append(Shape(layer=layer, centre=centre, radius=radius, closed=True, dashed=dashed))
                return
            if not (closed or filled):
                points = arc_points((centre, radius), start, swept)
                self.shapes.append(Shape(layer=layer, points=points, centre=centre, radius=radius, dashed=dashed))
                return
        curved = any(len(piece) == 3 for piece in pieces)
        points = tuple(flattened(start, pieces))
        if len(points) > 3 and distance(points[0], points[-1]) <= 1e-5 * size:
            points, closed = points[:-1], True
        closed = (closed or filled) and len(points) > 2
        if closed and not curved and (ring := round_polygon(points)):
            self.shapes.append(Shape(layer=layer, centre=ring[0], radius=ring[1], closed=True, dashed=dashed))
            return
        if filled and size <= _SMALL_MM and (curved or len(points) > 4):
            self.skipped["small filled outlines", "they are letters or symbols drawn as outlines, not text"] += 1
            return
        if filled and len(points) == 4 and (line := _hairline(points)):
            points, closed = line, False
        if len(points) > 1:
            self.shapes.append(Shape(layer=layer, points=points, closed=closed, dashed=dashed))


def _hairline(corners: Sequence[Vector]) -> tuple[Vector, Vector] | None:
    """Return the middle line of a long thin rectangle, or None."""
    a, b, c, d = corners
    for p, q, r, s in ((a, b, c, d), (b, c, d, a)):
        thick = max(distance(p, s), distance(q, r))
        long = min(distance(p, q), distance(s, r))
        if thick <= _HAIRLINE_MM and long >= 8 * thick and long > 0:
            return ((p[0] + s[0]) / 2, (p[1] + s[1]) / 2), ((q[0] + r[0]) / 2, (q[1] + r[1]) / 2)
    return None


def _box(points: Sequence[Vector]) -> tuple[Vector, Vector]:
    """Return the lower left and the upper right corner of the box round points; of none, one at (0, 0)."""
    xs, ys = [p[0] for p in points] or [0.0], [p[1] for p in points] or [0.0]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _place(segment: Any) -> Vector:
    x, y = ctypes.c_float(), ctypes.c_float()
    calls().FPDFPathSegment_GetPoint(segment, ctypes.byref(x), ctypes.byref(y))
    return x.value, y.value


def _places(path: Any) -> Iterator[Vector]:
    pdfium = calls()
    for index in range(pdfium.FPDFPath_CountSegments(path)):
        yield _place(pdfium.FPDFPath_GetPathSegment(path, index))


def _matrix_of(thing: Any) -> Matrix:
    pdfium = calls()

    m = pdfium.FS_MATRIX()
    if not pdfium.FPDFPageObj_GetMatrix(thing, ctypes.byref(m)):
        return (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    return (m.a, m.b, m.c, m.d, m.e, m.f)


def _runs(path: Any, matrix: Matrix) -> Iterator[tuple[Vector, list[Piece], bool]]:
    """Yield the runs of a path on paper: where each starts, its lines and curves, and whether it is closed."""
    pdfium = calls()

    x, y = ctypes.c_float(), ctypes.c_float()
    at_x, at_y = ctypes.byref(x), ctypes.byref(y)
    start: Vector | None = None
    pieces: list[Piece] = []
    controls: list[Vector] = []
    for index in range(pdfium.FPDFPath_CountSegments(path)):
        segment = pdfium.FPDFPath_GetPathSegment(path, index)
        pdfium.FPDFPathSegment_GetPoint(segment, at_x, at_y)
        p = placed(matrix, x.value, y.value)
        kind = pdfium.FPDFPathSegment_GetType(segment)
        if kind == pdfium.FPDF_SEGMENT_MOVETO or start is None:
            if start is not None and pieces:
                yield start, pieces, False
            start, pieces, controls = p, [], []
        elif kind == pdfium.FPDF_SEGMENT_BEZIERTO:
            controls.append(p)
            if len(controls) == 3:
                pieces.append(tuple(controls))
                controls = []
        elif p != (pieces[-1][-1] if pieces else start):
            pieces.append((p,))
        if pdfium.FPDFPathSegment_GetClose(segment):
            if pieces:
                yield start, pieces, True
            pieces = []  # what follows without a new start goes on from where this one began
    if start is not None and pieces:
        yield start, pieces, False
