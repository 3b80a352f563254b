"""Cards and the stake table as PDF, against the same ink from the PDF library alone.

The bare side puts the same number of strings, fractions and strokes on the same number of pages, with the
same embedded type, what all cards share drawn once, and its lengths written by a line of arithmetic. It fits
nothing to its room, breaks no line, and sets no bookmarks.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from fractions import Fraction
from functools import partial

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import LongTable, SimpleDocTemplate, TableStyle

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.geometry.vector import Vector
from layoutdesk.places import typeface
from layoutdesk.sheets.cards import card_sheets
from layoutdesk.sheets.frame import Draft, framed
from layoutdesk.sheets.marks import SheetSet
from layoutdesk.sheets.paper import sheet_size
from layoutdesk.sheets.stake_sheet import stake_sheets
from tests.benchmarks.big_plans import grid_plan
from tests.benchmarks.ratio import Row, race

POINTS = 72 / 25.4
PER_PAGE = 4
CARD_TARGET, TABLE_TARGET = 1.25, 1.11
LETTER = (612.0, 792.0)
INCH = 25.4


def inches_of(mm: float) -> tuple[str, int, int]:
    """Return a length as what stands before its fraction, and the fraction."""
    whole, over = divmod(round(mm / INCH * 16), 16)
    feet, inch = divmod(whole, 12)
    part = Fraction(over, 16)
    return f"{feet}' {inch}", part.numerator, part.denominator


class Bare:
    """The PDF library by itself, with the numbers of the piers at hand."""

    def __init__(self, layout: Layout) -> None:
        self.marks = [stake.label for stake in layout.stakes]
        self.numbers = [
            (stake.station or 0.0, stake.offset or 0.0, stake.ties[0].distance, stake.ties[1].distance, 3.0)
            for stake in layout.stakes
        ]
        extent = layout.extent
        scale = 120 / (extent.x_max - extent.x_min)
        self.dots = [
            ((stake.at[0] - extent.x_min) * scale, (stake.at[1] - extent.y_min) * scale) for stake in layout.stakes
        ]

    def shared(self, canvas: Canvas) -> None:
        """Draw what all cards share: rules, captions, boxes to tick, and the picture of the site."""
        canvas.beginForm("card")
        for k in range(6):
            canvas.line(0, 30 * k, 260, 30 * k)
        canvas.setFont("Plain", 9)
        for k in range(14):
            canvas.drawString(4, 20 * k, "along the baseline")
        for k in range(3):
            canvas.rect(80 * k, 4, 14, 14)
        for x, y in self.dots:
            canvas.circle(x, y, 1, stroke=1, fill=0)
        canvas.endForm()

    def measure(self, canvas: Canvas, right: float, y: float, mm: float, size: float) -> None:
        """Write a length to the left of a place, its fraction with a bar."""
        whole, over, under = inches_of(mm)
        canvas.setFont("Heavy", size)
        canvas.drawRightString(right - size, y, whole)
        if over:
            canvas.setFont("Heavy", size * 0.6)
            canvas.drawCentredString(right - size / 2, y + size * 0.45, str(over))
            canvas.drawCentredString(right - size / 2, y - size * 0.1, str(under))
            canvas.line(right - size, y + size * 0.4, right, y + size * 0.4)

    def cards(self) -> bytes:
        """Return all cards, four to a page."""
        out = io.BytesIO()
        canvas = Canvas(out, pagesize=LETTER, pageCompression=1, invariant=1)
        self.shared(canvas)
        for k, (mark, numbers) in enumerate(zip(self.marks, self.numbers, strict=True)):
            if k and k % PER_PAGE == 0:
                canvas.showPage()
            canvas.saveState()
            canvas.translate(30 + 290 * (k % 2), 40 + 370 * (k // 2 % 2))
            canvas.doForm("card")
            canvas.circle(*self.dots[k], 4, stroke=0, fill=1)
            canvas.setFont("Heavy", 60)
            canvas.drawString(0, 270, mark)
            for row, (mm, size) in enumerate(zip(numbers, (34, 34, 26, 26, 9), strict=True)):
                self.measure(canvas, 260, 220 - 40 * row, mm, size)
            canvas.setFont("Heavy", 12)
            canvas.drawString(0, 90, "from C1")
            canvas.drawString(130, 90, "from C2")
            canvas.drawString(0, 40, "hole Ø 1' 0, 2' 8 deep")
            canvas.restoreState()
        canvas.showPage()
        canvas.save()
        return out.getvalue()

    def table(self) -> bytes:
        """Return the stake table by the library's own tables, with fixed row heights."""
        out = io.BytesIO()
        rows = [["pier", "station", "read", "offset", "read", "C1", "C2", "within", "agrees"]]
        for mark, numbers in zip(self.marks, self.numbers, strict=True):
            station, offset, first, second, within = (
                f"{whole} {over}/{under}" for whole, over, under in map(inches_of, numbers)
            )
            rows.append([mark, station, "", offset, "", first, second, within, ""])
        style = TableStyle([("FONT", (0, 0), (-1, -1), "Heavy", 10), ("LINEBELOW", (0, 0), (-1, -1), 0.3, "black")])
        table = LongTable(rows, colWidths=[58] * 9, rowHeights=22, repeatRows=1, style=style)
        SimpleDocTemplate(out, pagesize=LETTER, invariant=1).build([table])
        return out.getvalue()


def printed(layout: Layout, sheets: Callable[[Layout, Vector], list[Draft]]) -> bytes:
    """Return one kind of sheet of our own as PDF."""
    drafts = sheets(layout, sheet_size("letter"))
    pages = tuple(framed(draft, layout.plan, k, len(drafts)) for k, draft in enumerate(drafts, start=1))
    return write_pdf(SheetSet(title=layout.plan.title, subject="", pages=pages))


def rows() -> list[Row]:
    """Return a row for the cards of 100 and 1 000 piers, and one for a table of 1 000."""
    vars(rl_config)["useA85"] = 0
    pdfmetrics.registerFont(TTFont("Plain", str(typeface("Regular"))))
    pdfmetrics.registerFont(TTFont("Heavy", str(typeface("Bold"))))
    found = []
    for count in (100, 1_000):
        layout = derive(grid_plan(count))
        bare = Bare(layout)
        rounds = 9 if count == 100 else 5
        least, taken = race(bare.cards, partial(printed, layout, card_sheets), rounds=rounds)
        size = f"{count:,} cards".replace(",", " ")
        found.append(Row("PDF cards", size, "canvas", least, taken, CARD_TARGET))
    least, taken = race(bare.table, partial(printed, layout, stake_sheets), rounds=5)
    found.append(Row("PDF stake table", "1 000 rows", "platypus", least, taken, TABLE_TARGET))
    return found
