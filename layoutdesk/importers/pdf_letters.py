"""The letters of a PDF page, each with its place, size and direction on paper."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.pdf_file import Matrix, placed
from layoutdesk.importers.pdf_library import calls
from layoutdesk.importers.pdf_looks import Looks

if TYPE_CHECKING:
    from pypdfium2 import PdfPage

USUAL_ADVANCE: Final = 0.55
"""How wide a letter is, in parts of its size, when its typeface does not tell."""
MOST_LETTERS: Final = 200_000


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter: where its foot begins and ends, the size of its type in mm, the direction that it is read in."""

    text: str
    at: Vector
    end: Vector
    size: float
    way: Vector
    layer: str


class Letters:
    """Reads the letters of a page in the order of the file; ``unreadable`` counts those without a meaning."""

    def __init__(self, page: PdfPage, to_paper: Matrix) -> None:
        self.unreadable = 0
        self.cut = False
        self._page = page
        self._to_paper = to_paper
        self._looks = Looks()
        self._layers: dict[int, str] = {}
        self._advances: dict[tuple[int, int], float] = {}
        self._last: tuple[int, Vector, Vector] | None = None

    def __iter__(self) -> Iterator[Letter]:
        """Yield the letters, blanks among them as they are drawn; at most :data:`MOST_LETTERS`."""
        pdfium = calls()

        page = self._page.get_textpage()
        try:
            count = pdfium.FPDFText_CountChars(page)
            self.cut = count > MOST_LETTERS
            for index in range(min(count, MOST_LETTERS)):
                letter = self._letter(page, index)
                if letter is not None:
                    yield letter
        finally:
            page.close()

    def _letter(self, page: Any, index: int) -> Letter | None:
        pdfium = calls()

        if pdfium.FPDFText_IsGenerated(page, index) == 1:
            return None  # a blank or a new line that PDFium made up
        code = pdfium.FPDFText_GetUnicode(page, index)
        sign = chr(code) if 0 < code < 0x110000 else ""
        if pdfium.FPDFText_HasUnicodeMapError(page, index) == 1 or not sign or (code < 32 and sign not in "\t\n\r"):
            self.unreadable += 1
            return None
        if sign in "\n\r":
            return None
        x, y, m = ctypes.c_double(), ctypes.c_double(), pdfium.FS_MATRIX()
        pdfium.FPDFText_GetCharOrigin(page, index, ctypes.byref(x), ctypes.byref(y))
        pdfium.FPDFText_GetMatrix(page, index, ctypes.byref(m))
        p = self._to_paper
        along = (m.a * p[0] + m.b * p[2], m.a * p[1] + m.b * p[3])
        up = (m.c * p[0] + m.d * p[2], m.c * p[1] + m.d * p[3])
        stretch, tall = math.hypot(*along), math.hypot(*up)
        size = pdfium.FPDFText_GetFontSize(page, index) * tall
        at = placed(p, x.value, y.value)
        if not (math.isfinite(size) and 1e-3 < size < 1e5 and stretch > 0 and all(map(math.isfinite, at))):
            self.unreadable += 1
            return None
        way = (along[0] / stretch, along[1] / stretch)
        thing = pdfium.FPDFText_GetTextObject(page, index)
        key = ctypes.addressof(thing.contents) if thing else 0
        origin = at
        if self._last is not None and self._last[:2] == (key, origin):
            # A file may say what a text means other than by its letters (ActualText); PDFium then has all of it at
            # the place where it begins.
            at = self._last[2]
        wide = self._advance(thing, code) * size * stretch / tall
        end = (at[0] + way[0] * wide, at[1] + way[1] * wide)
        self._last = (key, origin, end)
        return Letter(sign, at, end, size, way, self._layer(thing))

    def _advance(self, thing: Any, code: int) -> float:
        """Return how far the next letter stands off, in parts of the size."""
        pdfium = calls()

        font = pdfium.FPDFTextObj_GetFont(thing) if thing else None
        if not font:
            return USUAL_ADVANCE
        key = (ctypes.addressof(font.contents), code)
        if key not in self._advances:
            wide = ctypes.c_float()
            known = pdfium.FPDFFont_GetGlyphWidth(font, code, ctypes.c_float(1000.0), ctypes.byref(wide))
            advance = wide.value / 1000 if known else 0.0
            self._advances[key] = advance if 0.01 < advance < 4 else USUAL_ADVANCE
        return self._advances[key]

    def _layer(self, thing: Any) -> str:
        if not thing:
            return ""
        key = ctypes.addressof(thing.contents)
        if key not in self._layers:
            self._layers[key] = self._looks.named_layer(thing)
        return self._layers[key]
