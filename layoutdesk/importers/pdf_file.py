"""A PDF file opened to be read: its pages, how a page is shown, and the sentences for what cannot be opened.

PDFium does the reading. It serves one thread at a time: everything here runs in one thread of one process. It
counts in user space: before the page is turned, cut to what is shown, and enlarged by the page's own unit.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from layoutdesk.errors import FileError
from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.pdf_library import calls
from layoutdesk.importers.pdf_objects import PlainCopy

if TYPE_CHECKING:
    from pypdfium2 import PdfDocument, PdfPage

POINT_MM: Final = 25.4 / 72
"""A point of a PDF in mm (ISO 32000-1, 8.3.2.3)."""
LARGEST_FILE: Final = 512 * 2**20
"""A file of more bytes is no drawing of a footing plan."""

Matrix = tuple[float, float, float, float, float, float]
"""a b c d e f as a PDF writes it: (x, y) goes to (a·x + c·y + e, b·x + d·y + f)."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """How a page is shown: its size in mm, and the matrix from user space to mm from the lower left corner."""

    size: Vector
    to_paper: Matrix


@contextmanager
def open_pdf(path: Path) -> Iterator[PdfDocument]:
    """Open a PDF file, and close it afterwards.

    Raises:
        FileError: when it cannot be read, is no PDF, is damaged beyond reading or asks for a password.
    """
    import pypdfium2

    pdfium = calls()

    try:
        size = path.stat().st_size
    except OSError as error:
        raise FileError(f"{path.name}: there is no such file, or it may not be read; choose it again") from error
    if not path.is_file():
        raise FileError(f"{path.name}: this is no file; choose a PDF")
    if size > LARGEST_FILE:
        raise FileError(f"{path.name}: it is larger than 512 MB; save the page that you need as a PDF of its own")
    try:
        document = pypdfium2.PdfDocument(path)
    except pypdfium2.PdfiumError as error:
        if error.err_code in {pdfium.FPDF_ERR_PASSWORD, pdfium.FPDF_ERR_SECURITY}:
            raise FileError(f"{path.name}: it is locked with a password; save a copy without one") from error
        raise FileError(
            f"{path.name}: it is no PDF, or damaged beyond reading; save or send it again from where it came"
        ) from error
    except OSError as error:
        raise FileError(f"{path.name}: it cannot be read; choose it again") from error
    try:
        if len(document) == 0:
            raise FileError(f"{path.name}: it holds no page; save it again from where it came")
        yield document
    finally:
        document.close()


@contextmanager
def open_page(document: PdfDocument, name: str, page: int, plain: PlainCopy) -> Iterator[tuple[PdfPage, Sheet]]:
    """Open one page, counted from 1, and close it afterwards.

    Raises:
        FileError: when there is no such page, or it is damaged.
    """
    import pypdfium2

    if not 1 <= page <= len(document):
        pages = f"pages 1 to {len(document)}" if len(document) > 1 else "one page"
        raise FileError(f"{name}: there is no page {page}; it has {pages}")
    try:
        opened = document[page - 1]
    except pypdfium2.PdfiumError as error:
        raise FileError(f"{name}: page {page} is damaged; save it again from where it came") from error
    try:
        yield opened, _sheet(opened, plain.user_unit(page))
    finally:
        opened.close()


def _sheet(page: PdfPage, user_unit: float) -> Sheet:
    """Return how a page is shown: cut to its crop box, turned by its own quarter turns, enlarged by its unit."""
    pdfium = calls()

    box = pdfium.FS_RECTF()
    pdfium.FPDF_GetPageBoundingBox(page, ctypes.byref(box))
    left, right = sorted((box.left, box.right))
    low, top = sorted((box.bottom, box.top))
    k = POINT_MM * user_unit
    wide, high = k * (right - left), k * (top - low)
    match page.get_rotation():
        case 90:  # clockwise as it is shown
            return Sheet((high, wide), (0, -k, k, 0, -k * low, k * right))
        case 180:
            return Sheet((wide, high), (-k, 0, 0, -k, k * right, k * top))
        case 270:
            return Sheet((high, wide), (0, k, -k, 0, k * top, -k * left))
        case _:
            return Sheet((wide, high), (k, 0, 0, k, -k * left, -k * low))


def then(first: Matrix, second: Matrix) -> Matrix:
    """Return the matrix that does the first and then the second."""
    a, b, c, d, e, f = first
    p, q, r, s, t, u = second
    return (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u)


def placed(m: Matrix, x: float, y: float) -> Vector:
    """Return where a matrix takes a point."""
    return m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]
