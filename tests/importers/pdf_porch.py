"""An invented porch with its dimensions, drawn to scale by three writers of PDF files."""

from __future__ import annotations

import ctypes
import io
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

import pypdfium2
import pypdfium2.raw
from reportlab.pdfgen.canvas import Canvas

from layoutdesk.geometry.vector import Vector
from tests.importers.pdf_pages import MM, one_page

PAPER = (420.0, 297.0)
KAPPA = 0.5522847498
LETTER = 3.2
"""Size of the type in mm."""


class Pen(Protocol):
    """What a writer can do; everything in mm on paper."""

    def line(self, a: Vector, b: Vector) -> None: ...
    def circle(self, centre: Vector, radius: float) -> None: ...
    def text(self, at: Vector, text: str, *, upright: bool) -> None: ...
    def file(self) -> bytes: ...


@dataclass(frozen=True)
class Porch:
    """Gaps between piers along the house, and rows away from it, in mm with how they are written."""

    gaps: tuple[tuple[float, str], ...]
    rows: tuple[tuple[float, str], ...]
    whole: str
    diameter: float


US = Porch(
    gaps=((2489.2, "8'-2\""), (2489.2, "8'-2\""), (2603.5, "8'-6 1/2\""), (1828.8, "6'-0\"")),
    rows=((1371.6, "4'-6\""), (3200.4, "10'-6\"")),
    whole="30'-10 1/2\"",
    diameter=304.8,
)
METRIC = Porch(
    gaps=((2450.0, "2450"), (2450.0, "2450"), (2610.0, "2610"), (1805.0, "1805")),
    rows=((1400.0, "1400"), (3200.0, "3200")),
    whole="9315",
    diameter=300.0,
)


def draw_porch(pen: Pen, porch: Porch, scale: float) -> bytes:
    """Draw the porch at 1 : scale, and return the file."""
    x0, y0 = 60.0, 60.0
    xs, ys = [0.0], [0.0]
    for gap, _ in porch.gaps:
        xs.append(xs[-1] + gap)
    for gap, _ in porch.rows:
        ys.append(ys[-1] + gap)

    def at(x: float, y: float) -> Vector:
        return x0 + x / scale, y0 + y / scale

    house = at(0, ys[-1])
    pen.line((house[0] - 12, house[1]), (at(xs[-1], 0)[0] + 9, house[1]))
    for x in xs:
        for y in ys[:-1]:
            pen.circle(at(x, y), porch.diameter / 2 / scale)
    for y in ys[:-1]:
        pen.line(at(0, y), at(xs[-1], y))

    def level(left: float, right: float, below: float, text: str) -> None:
        a, b = (x0 + left / scale, y0 - below), (x0 + right / scale, y0 - below)
        pen.line(a, b)
        for p in (a, b):
            pen.line((p[0], y0 - 4), (p[0], p[1] - 1.5))
            pen.line((p[0] - 1, p[1] - 1), (p[0] + 1, p[1] + 1))
        pen.text(((a[0] + b[0]) / 2 - len(text) * LETTER * 0.24, a[1] + 0.8), text, upright=False)

    for (_, text), left, right in zip(porch.gaps, xs, xs[1:], strict=False):
        level(left, right, 14.0, text)
    level(0, xs[-1], 24.0, porch.whole)
    for (_, text), low, high in zip(porch.rows, ys, ys[1:], strict=False):
        a, b = (x0 - 18, y0 + low / scale), (x0 - 18, y0 + high / scale)
        pen.line(a, b)
        for p in (a, b):
            pen.line((x0 - 4, p[1]), (p[0] - 1.5, p[1]))
            pen.line((p[0] - 1, p[1] - 1), (p[0] + 1, p[1] + 1))
        pen.text((a[0] - 0.8, (a[1] + b[1]) / 2 - len(text) * LETTER * 0.24), text, upright=True)
    pen.text((x0, 250), "FOOTING PLAN", upright=False)
    pen.text((x0, 244), "ALL DIMENSIONS TO CENTRES OF PIERS", upright=False)
    return pen.file()


class CanvasPen:
    """Writes with a library's canvas, in millimetres scaled by its own matrix."""

    def __init__(self) -> None:
        self._out = io.BytesIO()
        self._canvas = Canvas(self._out, pagesize=(PAPER[0] * MM, PAPER[1] * MM), invariant=1)
        self._canvas.setLineWidth(0.25 * MM)

    def line(self, a: Vector, b: Vector) -> None:
        self._canvas.line(*(v * MM for v in (*a, *b)))

    def circle(self, centre: Vector, radius: float) -> None:
        self._canvas.circle(centre[0] * MM, centre[1] * MM, radius * MM)

    def text(self, at: Vector, text: str, *, upright: bool) -> None:
        self._canvas.saveState()
        self._canvas.translate(at[0] * MM, at[1] * MM)
        self._canvas.rotate(90 if upright else 0)
        self._canvas.setFont("Helvetica", LETTER * MM)
        self._canvas.drawString(0, 0, text)
        self._canvas.restoreState()

    def file(self) -> bytes:
        self._canvas.save()
        return self._out.getvalue()


class BarePen:
    """Writes the instructions themselves: hundredths of a point through a matrix of 0.01, as plotters do."""

    def __init__(self) -> None:
        self._lines = ["0.01 0 0 0.01 0 0 cm 70 w"]

    def _number(self, v: float) -> str:
        return str(round(v * MM * 100))

    def _place(self, x: float, y: float) -> str:
        return f"{self._number(x)} {self._number(y)}"

    def line(self, a: Vector, b: Vector) -> None:
        self._lines.append(f"{self._place(*a)} m {self._place(*b)} l S")

    def circle(self, centre: Vector, radius: float) -> None:
        (x, y), k = centre, KAPPA * radius
        r, p = radius, self._place
        self._lines.append(
            f"{p(x + r, y)} m {p(x + r, y + k)} {p(x + k, y + r)} {p(x, y + r)} c "
            f"{p(x - k, y + r)} {p(x - r, y + k)} {p(x - r, y)} c "
            f"{p(x - r, y - k)} {p(x - k, y - r)} {p(x, y - r)} c "
            f"{p(x + k, y - r)} {p(x + r, y - k)} {p(x + r, y)} c h S"
        )

    def text(self, at: Vector, text: str, *, upright: bool) -> None:
        turn = "0 1 -1 0" if upright else "1 0 0 1"
        self._lines.append(f"BT /F1 {self._number(LETTER)} Tf {turn} {self._place(*at)} Tm ({text}) Tj ET")

    def file(self) -> bytes:
        box = f"0 0 {PAPER[0] * MM:.3f} {PAPER[1] * MM:.3f}".encode()
        return one_page("\n".join(self._lines).encode(), box=box, packed=True)


class ObjectPen:
    """Writes objects one by one with another library; a page lying on its side that is shown upright."""

    def __init__(self) -> None:
        self._raw: Any = pypdfium2.raw
        self._document = pypdfium2.PdfDocument.new()
        self._page = self._document.new_page(PAPER[1] * MM, PAPER[0] * MM)
        self._page.set_rotation(90)
        self._font = self._raw.FPDFText_LoadStandardFont(self._document, b"Helvetica")

    def _placed(self, p: Vector) -> tuple[float, float]:
        """Return a place of the page as it is shown in the page as it lies."""
        return (PAPER[1] - p[1]) * MM, p[0] * MM

    def _stroked(self, start: Vector, calls: Callable[[Any, Any], None]) -> None:
        raw = self._raw
        path = raw.FPDFPageObj_CreateNewPath(*self._placed(start))
        calls(raw, path)
        raw.FPDFPageObj_SetStrokeColor(path, 0, 0, 0, 255)
        raw.FPDFPageObj_SetStrokeWidth(path, 0.7)
        raw.FPDFPath_SetDrawMode(path, 0, 1)
        raw.FPDFPage_InsertObject(self._page, path)

    def line(self, a: Vector, b: Vector) -> None:
        self._stroked(a, lambda raw, path: raw.FPDFPath_LineTo(path, *self._placed(b)))

    def circle(self, centre: Vector, radius: float) -> None:
        (x, y), r, k = centre, radius, KAPPA * radius

        def curves(raw: Any, path: Any) -> None:
            for three in (
                ((x + r, y + k), (x + k, y + r), (x, y + r)),
                ((x - k, y + r), (x - r, y + k), (x - r, y)),
                ((x - r, y - k), (x - k, y - r), (x, y - r)),
                ((x + k, y - r), (x + r, y - k), (x + r, y)),
            ):
                raw.FPDFPath_BezierTo(path, *(v for p in three for v in self._placed(p)))
            raw.FPDFPath_Close(path)

        self._stroked((x + r, y), curves)

    def text(self, at: Vector, text: str, *, upright: bool) -> None:
        raw = self._raw
        thing = raw.FPDFPageObj_CreateTextObj(self._document, self._font, LETTER * MM)
        signs = (ctypes.c_ushort * (len(text) + 1))(*map(ord, text), 0)
        raw.FPDFText_SetText(thing, signs)
        x, y = self._placed(at)
        # As it lies, what is shown level runs up, and what is shown upright runs to the left.
        raw.FPDFPageObj_Transform(thing, *((-1, 0, 0, -1) if upright else (0, 1, -1, 0)), x, y)
        raw.FPDFPage_InsertObject(self._page, thing)

    def file(self) -> bytes:
        self._raw.FPDFPage_GenerateContent(self._page)
        out = io.BytesIO()
        self._document.save(out)
        self._document.close()
        return out.getvalue()
