"""By what the lines of a PDF can be told apart: the layer that it names, else their width and colour."""

from __future__ import annotations

import colorsys
import ctypes
import math
from typing import Any, Final

from layoutdesk.importers.pdf_file import Matrix
from layoutdesk.importers.pdf_library import calls
from layoutdesk.importers.pdf_syntax import text_of

_HUES: Final = ((20, "red"), (45, "orange"), (70, "yellow"), (170, "green"), (200, "cyan"), (260, "blue"))


class Looks:
    """Names layers, and remembers the names of colours."""

    def __init__(self) -> None:
        self._names: dict[tuple[int, int, int], str] = {}

    def named_layer(self, thing: Any) -> str:
        """Return the layer (optional content group) that an object is marked with, or ``""``."""
        pdfium = calls()

        for index in range(pdfium.FPDFPageObj_CountMarks(thing)):
            mark = pdfium.FPDFPageObj_GetMark(thing, index)
            if _mark_name(mark) == "OC" and (name := _mark_string(mark, b"Name")):
                return name
        return ""

    def layer(self, path: Any, matrix: Matrix, *, stroked: bool) -> str:
        """Return what a path looks like, as ``0.35 mm black`` or ``filled grey``."""
        pdfium = calls()

        if not stroked:
            return f"filled {self._colour(path, pdfium.FPDFPageObj_GetFillColor)}"
        width = ctypes.c_float()
        pdfium.FPDFPageObj_GetStrokeWidth(path, ctypes.byref(width))
        drawn = width.value * math.sqrt(abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]))
        colour = self._colour(path, pdfium.FPDFPageObj_GetStrokeColor)
        # To the twentieth of a millimetre: pens differ by no less, and roundings of a file by less.
        return f"{round(drawn * 20) / 20:.2f} mm {colour}" if drawn >= 0.025 else f"hairline {colour}"

    def is_white(self, path: Any) -> bool:
        """Return whether a path is filled with white."""
        pdfium = calls()

        return _rgb(path, pdfium.FPDFPageObj_GetFillColor) == (255, 255, 255)

    def _colour(self, path: Any, asked: Any) -> str:
        rgb = _rgb(path, asked)
        if rgb not in self._names:
            self._names[rgb] = colour_name(rgb)
        return self._names[rgb]


def colour_name(rgb: tuple[int, int, int]) -> str:
    """Return what anybody would call a colour."""
    hue, light, strength = colorsys.rgb_to_hls(*(v / 255 for v in rgb))
    if light < 0.1:
        return "black"
    if light > 0.97:
        return "white"
    if strength < 0.15:
        return "dark grey" if light < 0.35 else "grey" if light < 0.7 else "light grey"
    name = next((n for most, n in _HUES if hue * 360 < most), "purple" if hue * 360 < 335 else "red")
    if name == "orange" and light < 0.4:
        return "brown"
    return f"dark {name}" if light < 0.25 else f"light {name}" if light > 0.75 else name


def _rgb(path: Any, asked: Any) -> tuple[int, int, int]:
    red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
    asked(path, ctypes.byref(red), ctypes.byref(green), ctypes.byref(blue), ctypes.byref(alpha))
    return red.value, green.value, blue.value


def _mark_name(mark: Any) -> str:
    pdfium = calls()
    buffer, used = (pdfium.FPDF_WCHAR * 64)(), ctypes.c_ulong()
    size = ctypes.sizeof(buffer)
    if not pdfium.FPDFPageObjMark_GetName(mark, buffer, size, ctypes.byref(used)):
        return ""
    return bytes(buffer)[: min(used.value, size)].decode("utf-16-le", "replace").rstrip("\0")


def _mark_string(mark: Any, key: bytes) -> str:
    """Return a text of a mark; as bytes, because PDFium takes every text for UTF-8."""
    pdfium = calls()
    buffer, used = (ctypes.c_ubyte * 1024)(), ctypes.c_ulong()
    size = ctypes.sizeof(buffer)
    if not pdfium.FPDFPageObjMark_GetParamBlobValue(mark, key, buffer, size, ctypes.byref(used)):
        return ""
    return text_of(bytes(buffer)[: min(used.value, size)])
