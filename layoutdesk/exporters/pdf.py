"""Neutral pages to a PDF file: every mark is translated as it stands and nothing is decided here.

The same pages give the same bytes: no clock, no random number, fonts embedded from the program's own files.
Printers are asked not to scale, because a plan at true scale must stay so. The file is not tagged for screen
readers; its lengths carry their plain text.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from typing import TYPE_CHECKING

from layoutdesk import __version__
from layoutdesk.errors import ExportError
from layoutdesk.exporters.pdf_content import POINTS, Content, Lines, moved_to
from layoutdesk.places import typeface
from layoutdesk.sheets.marks import Mark, Page, SheetSet, Stamp, Weight
from layoutdesk.sheets.type import FACES

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


def write_pdf(sheets: SheetSet) -> bytes:
    """Return the pages as a PDF file: fonts embedded, pages numbered, one bookmark a page.

    Raises:
        ExportError: when there is no page.
    """
    if not sheets.pages:
        raise ExportError("There is no sheet to print")
    from reportlab.pdfgen.canvas import Canvas

    _register_type()
    out = io.BytesIO()
    canvas = Canvas(out, pageCompression=1, invariant=1, lang="en", initialFontName=_font_name("regular"))
    canvas.setTitle(_plain(sheets.title))
    canvas.setSubject(_plain(sheets.subject))
    canvas.setAuthor("")
    canvas.setCreator(f"layoutdesk {__version__}")
    canvas.setProducer(f"layoutdesk {__version__}")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.showOutline()
    press = _Press(canvas)
    under = ""
    for number, page in enumerate(sheets.pages, start=1):
        canvas.setPageSize((page.size[0] * POINTS, page.size[1] * POINTS))
        under = _bookmark(canvas, page, number, under)
        press.page(page.marks)
    canvas.save()
    return out.getvalue()


def _plain(text: str) -> str:
    """Return text that every PDF string can hold: without halves of characters and without control signs."""
    whole = text.encode("utf-8", "replace").decode("utf-8")
    return "".join(c if c.isprintable() else " " for c in whole)


def _bookmark(canvas: Canvas, page: Page, number: int, under: str) -> str:
    """Set the bookmark of a page, and the one it stands below when that is new; return what it stands below."""
    key = f"sheet-{number}"
    canvas.bookmarkPage(key)
    canvas.addPageLabel(number - 1, style="ARABIC", start=number)
    if page.under and page.under != under:
        # The library keeps one title for each place, so the section has a place of its own on the same page.
        canvas.bookmarkPage(f"section-{number}")
        canvas.addOutlineEntry(_plain(page.under), f"section-{number}", level=0, closed=1)
    canvas.addOutlineEntry(_plain(page.name), key, level=1 if page.under else 0, closed=1)
    return page.under


def _font_name(weight: Weight) -> str:
    return f"Lato-{FACES[weight]}"


def _register_type() -> None:
    """Make the typeface known to the library, once in a process, and have it write streams as plain bytes."""
    from reportlab import rl_config
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    rl_config.useA85 = 0  # type: ignore[attr-defined]
    known = pdfmetrics.getRegisteredFontNames()
    for weight, face in FACES.items():
        if _font_name(weight) not in known:
            pdfmetrics.registerFont(TTFont(_font_name(weight), str(typeface(face))))


class _Press:
    """Puts pages and the stencils that they use into one file."""

    def __init__(self, canvas: Canvas) -> None:
        from reportlab.pdfbase import pdfmetrics

        self._canvas = canvas
        self._document = canvas._doc  # noqa: SLF001  the fonts ask for it to know whose subset they are in
        self._fonts = {weight: pdfmetrics.getFont(_font_name(weight)) for weight in FACES}
        self._coded: dict[tuple[Weight, str], list[tuple[str, str]]] = {}
        self._lines: Lines = {}
        self._forms: dict[str, str] = {}

    def page(self, marks: tuple[Mark, ...]) -> None:
        """Write one page, after the stencils that it is the first to use."""
        for mark in marks:
            if isinstance(mark, Stamp) and mark.stencil.name not in self._forms:
                name = f"stencil{len(self._forms)}"
                # A stencil may reach to all sides of its own origin, as far as any sheet is long.
                self._canvas.beginForm(name, -2000, -2000, 2000, 2000)
                self._write(mark.stencil.marks, stencil=True)
                self._canvas.endForm()
                self._forms[mark.stencil.name] = name
        self._write(marks)
        self._canvas.showPage()

    def _write(self, marks: Iterable[Mark], *, stencil: bool = False) -> None:
        content = Content(self._encoded, self._lines, stencil=stencil)
        for mark in marks:
            if isinstance(mark, Stamp):
                self._canvas.addLiteral(content.taken())
                self._canvas.addLiteral(moved_to(mark.at))
                self._canvas.doForm(self._forms[mark.stencil.name])
                self._canvas.addLiteral("Q")
            else:
                content.add(mark)
        self._canvas.addLiteral(content.taken())

    def _encoded(self, weight: Weight, text: str) -> list[tuple[str, str]]:
        """Return a text in the code of the font subsets that hold its letters."""
        coded = self._coded.get((weight, text))
        if coded is None:
            font = self._fonts[weight]
            coded = self._coded[weight, text] = [
                (font.getSubsetInternalName(subset, self._document), part.hex())
                for subset, part in font.splitString(text, self._document)
            ]
        return coded
