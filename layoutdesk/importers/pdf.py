"""A page of a PDF: as a picture to lie under the sheet, and as the lines, circles and texts that it is drawn of."""

from __future__ import annotations

import ctypes
import math
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any, Final

from layoutdesk.errors import FileError
from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.linework import MOST_SHAPES, Linework, Passed, Progress
from layoutdesk.importers.pdf_file import POINT_MM, open_page, open_pdf
from layoutdesk.importers.pdf_letters import Letter, Letters
from layoutdesk.importers.pdf_library import calls
from layoutdesk.importers.pdf_objects import MOST_CONTENT, MOST_PIXELS, PlainCopy
from layoutdesk.importers.pdf_paths import PathReader, TooManyError
from layoutdesk.importers.pdf_words import words_of

if TYPE_CHECKING:
    from pypdfium2 import PdfDocument, PdfPage

MOST_PICTURE_PIXELS: Final = 24_000_000
"""A picture of a page never has more pixels: 96 MB."""
LONGEST_DRAWING: Final = 180.0
"""Seconds after which drawing a page is given up: a million lines across it took 22 to 56, on two shared cores."""
_TELL_EVERY: Final = 512
_TELL_SECONDS: Final = 0.1
_ROUGH_MM: Final = 0.02
"""Places that are less sure than this, on paper, are told."""
_WHOLE_PAGE: Final = 0.3
"""Pictures that cover this part of a page make it a scan."""


def page_count(path: Path) -> int:
    """Return how many pages a PDF has.

    Raises:
        FileError: when it cannot be opened.
    """
    with open_pdf(path) as document:
        return len(document)


def page_size(path: Path, page: int) -> Vector:
    """Return width and height of a page as it is shown, in points (1/72 in): cut, turned, and in its own unit.

    Raises:
        FileError: when it cannot be opened, or has no such page.
    """
    with open_pdf(path) as document:
        plain = PlainCopy(document, path.stat().st_size)
        with open_page(document, path.name, page, plain) as (_, sheet):
            return sheet.size[0] / POINT_MM, sheet.size[1] / POINT_MM


def page_picture(
    path: Path, page: int, width_px: int, *, tell: Progress | None = None
) -> tuple[int, int, int, bytes]:
    """Return a page as a picture on white: width, height, bytes in a row, and rows of blue, green, red, unused.

    It is as wide as asked for, or less where it would have more than :data:`MOST_PICTURE_PIXELS` pixels.

    Args:
        path: the file.
        page: counted from 1.
        width_px: the width that is wanted.
        tell: is told now and then how much of :data:`LONGEST_DRAWING` has passed, and may raise to end the work.

    Raises:
        FileError: when the file cannot be opened, has no such page, or the page is more than can be drawn.
    """
    pdfium = calls()

    with open_pdf(path) as document:
        plain = PlainCopy(document, path.stat().st_size)
        _check_content(plain, document, path.name, page)
        if 1 <= page <= len(document) and plain.burden(page).pixels > MOST_PIXELS:
            raise FileError(
                f"{path.name}: a picture on page {page} has more than {MOST_PIXELS // 10**6} million pixels; "
                "save it at half the size"
            )
        with open_page(document, path.name, page, plain) as (opened, sheet):
            shape = sheet.size[1] / sheet.size[0]
            width = max(1, min(width_px, math.isqrt(int(MOST_PICTURE_PIXELS / shape)), 32_000))
            height = max(1, min(32_000, round(width * shape)))
            bitmap = pdfium.FPDFBitmap_CreateEx(width, height, pdfium.FPDFBitmap_BGRx, None, 0)
            if not bitmap:
                raise FileError(f"{path.name}: there is no memory left for page {page}; close other programs")
            try:
                pdfium.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, 0xFFFFFFFF)
                if not _drawn(opened, bitmap, (width, height), tell or _nothing):
                    raise FileError(
                        f"{path.name}: page {page} takes more than {LONGEST_DRAWING:.0f} seconds to draw; "
                        "save a picture of it and lay that under the sheet"
                    )
                stride = pdfium.FPDFBitmap_GetStride(bitmap)
                data = ctypes.string_at(pdfium.FPDFBitmap_GetBuffer(bitmap), stride * height)
            finally:
                pdfium.FPDFBitmap_Destroy(bitmap)
            return width, height, stride, data


def _drawn(page: PdfPage, bitmap: Any, size: tuple[int, int], tell: Progress) -> bool:
    """Draw a page; return False when it takes too long.

    PDFium asks between the things that it draws whether it is to pause. It does not ask within one of them, such as
    an area tiled with millions of tiles.
    """
    pdfium = calls()
    begun = told = monotonic()

    def is_enough(_: Any) -> int:
        return int(monotonic() - told > _TELL_SECONDS)

    pause = pdfium.IFSDK_PAUSE(version=1)
    pause.NeedToPauseNow = type(pause.NeedToPauseNow)(is_enough)
    at = ctypes.byref(pause)
    state = pdfium.FPDF_RenderPageBitmap_Start(bitmap, page, 0, 0, *size, 0, pdfium.FPDF_ANNOT, at)
    try:
        while state == pdfium.FPDF_RENDER_TOBECONTINUED:
            told = monotonic()
            if told - begun > LONGEST_DRAWING:
                return False
            tell((told - begun) / LONGEST_DRAWING)
            state = pdfium.FPDF_RenderPage_Continue(page, at)
    finally:
        pdfium.FPDF_RenderPage_Close(page)
    return bool(state == pdfium.FPDF_RENDER_DONE)


def read_pdf(path: Path, *, page: int = 1, tell: Progress | None = None) -> Linework:
    """Return what a page is drawn of, in mm on paper from its lower left corner as it is shown.

    Layers are those that the file names; what is on none is named after its look, as ``0.35 mm black``.

    Args:
        path: the file.
        page: counted from 1.
        tell: is told how much is done, and may raise to end the work.

    Raises:
        FileError: when it cannot be opened, has no such page, or holds more shapes than a plan can need.
    """
    say = tell or _nothing
    say(0.0)
    with open_pdf(path) as document:
        pages = len(document)
        plain = PlainCopy(document, path.stat().st_size)
        _check_content(plain, document, path.name, page)
        say(0.1)
        with open_page(document, path.name, page, plain) as (opened, sheet):
            reader = PathReader(opened, sheet)
            try:
                for done, count in reader.objects():
                    if done % _TELL_EVERY == 0:
                        say(0.1 + 0.6 * done / count)
            except TooManyError as error:
                raise FileError(_too_many(path.name, page)) from error
            say(0.7)
            letters = Letters(opened, sheet.to_paper)
            read: list[Letter] = []
            for letter in letters:
                read.append(letter)
                if len(read) % _TELL_EVERY == 0:
                    say(0.7 + 0.2 * min(1.0, len(read) / 50_000))
            say(0.9)
            found = words_of(read)
            words = tuple(
                w for w in found if all(0 <= v <= side for v, side in zip(w.middle, sheet.size, strict=True))
            )
            passed = [*reader.passed(), *_passed_texts(letters), *_passed_notes(opened)]
            if len(words) < len(found):
                passed.append(Passed("texts beside the page", len(found) - len(words), "they cannot be seen on it"))
            if reader.pictures:
                why = "a picture has no lines to read; the page can lie under the sheet to be traced"
                passed.append(Passed("pictures", reader.pictures, why))
            layers = dict.fromkeys([*(s.layer for s in reader.shapes), *(w.layer for w in words)])
            say(1.0)
            return Linework(
                name=path.name,
                kind="pdf",
                unit=1.0,
                shapes=tuple(reader.shapes),
                words=words,
                layers=tuple(layers),
                frozen=tuple(name for name in layers if name in plain.layers_off),
                passed=tuple(passed),
                notes=_notes(reader, has_words=bool(words), has_size=plain.has_size(page)),
                page=page,
                pages=pages,
                paper=sheet.size,
            )


def _nothing(done: float) -> None:
    """Take no notice."""


def _too_many(name: str, page: int) -> str:
    return (
        f"{name}: page {page} holds more than {MOST_SHAPES:,} lines, which is a map or a scan in lines and no "
        "footing plan; it can still lie under the sheet to be traced"
    )


def _check_content(plain: PlainCopy, document: PdfDocument, name: str, page: int) -> None:
    """Refuse a page before it is loaded when that would take more memory or time than there is."""
    if 1 <= page <= len(document) and plain.burden(page).content > MOST_CONTENT:
        raise FileError(
            f"{name}: page {page} holds more drawing than can be read; save a picture of it and lay that under the "
            "sheet"
        )


def _passed_texts(letters: Letters) -> list[Passed]:
    passed = []
    if letters.unreadable:
        passed.append(Passed("letters", letters.unreadable, "their typeface does not say which letters they are"))
    if letters.cut:
        passed.append(Passed("texts", 1, "there are more letters than on any plan"))
    return passed


def _passed_notes(page: PdfPage) -> list[Passed]:
    """Return what is stuck on the page and not part of it, without links."""
    pdfium = calls()

    count = 0
    for index in range(min(10_000, pdfium.FPDFPage_GetAnnotCount(page))):
        annotation = pdfium.FPDFPage_GetAnnot(page, index)
        kind = pdfium.FPDFAnnot_GetSubtype(annotation)
        count += kind not in {pdfium.FPDF_ANNOT_LINK, pdfium.FPDF_ANNOT_POPUP}
        pdfium.FPDFPage_CloseAnnot(annotation)
    return [Passed("remarks", count, "they are stuck on the page and not part of the drawing")] if count else []


def _notes(reader: PathReader, *, has_words: bool, has_size: bool) -> tuple[str, ...]:
    notes = []
    if not has_size:
        notes.append("The page does not say how large it is: US letter is assumed")
    if reader.picture_share >= _WHOLE_PAGE and len(reader.shapes) < 50:
        notes.append("The page is a picture of a drawing: lay it under the sheet and trace it")
    elif not reader.shapes:
        notes.append("The page holds no lines")
    if reader.rough > _ROUGH_MM:
        notes.append(
            f"The file counts from so far off that places on the page are sure to {reader.rough:.2f} mm only"
        )
    if not has_words and reader.shapes:
        notes.append("The page holds no text that can be read; if it shows any, that is drawn as lines")
    return tuple(notes)
