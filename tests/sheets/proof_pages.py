"""The pages of the taping sheet and the proof sheet by themselves, and what stands on them."""

from __future__ import annotations

from collections.abc import Callable

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Paper
from layoutdesk.sheets.frame import Draft, framed
from layoutdesk.sheets.marks import Paragraph, SheetSet, Text
from layoutdesk.sheets.paper import sheet_size
from tests.sheets.page_checks import marks_of

Section = Callable[[Layout, Vector], list[Draft]]


def sheets_of(layout: Layout, section: Section, paper: Paper = "letter") -> SheetSet:
    """Return the pages of one section as a set."""
    drafts = section(layout, sheet_size(paper))
    pages = tuple(framed(draft, layout.plan, n, len(drafts)) for n, draft in enumerate(drafts, 1))
    return SheetSet("title", "subject", pages)


def words_of(sheets: SheetSet) -> list[str]:
    """Return all texts of some pages, in order."""
    return [m.text for page in sheets.pages for m in marks_of(page) if isinstance(m, Text | Paragraph)]


def taping_rows(sheets: SheetSet) -> list[tuple[str, str, str]]:
    """Return number, from and to of every tape in the tables, column by column of each page."""
    rows = []
    for page in sheets.pages:
        texts = [m for m in marks_of(page) if isinstance(m, Text)]
        heads = [m for m in texts if m.text in {"tape", "no."}]
        for head in sorted(heads, key=lambda m: m.at[0]):
            below = [
                m for m in texts if m.text.isdigit() and abs(m.at[0] - head.at[0]) < 0.5 and m.at[1] < head.at[1]
            ]
            for number in sorted(below, key=lambda m: -m.at[1]):
                same = [m for m in texts if m.at[1] == number.at[1] and m.at[0] > number.at[0]]
                start, end = sorted(same, key=lambda m: m.at[0])[:2]
                rows.append((number.text, start.text, end.text))
    return rows
