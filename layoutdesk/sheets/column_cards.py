"""Column cards: one for each column, four to a page, with the column lying on its side and every mark drawn on it.

A card goes with its post to the saw: how long it is cut, how its head slopes, where the cross piece is fixed that
hangs it over its hole, and which stock it comes from.
"""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.layout import ColumnCut, Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import caution_box, caution_height
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.lettering import fitted, measure_width, paragraph_height, text_width
from layoutdesk.sheets.marks import Anchor, Line, Mark, Measure, Paragraph, Polyline, Text
from layoutdesk.sheets.numbers import parts, said, within_parts
from layoutdesk.sheets.paper import Box
from layoutdesk.units import LengthParts

SECTION: Final = "Column cards"
CAUTIONS: Final = (
    "**Hung over its hole:** cross piece on both side supports, column plumb both ways; only then pour.",
    "**Brace** every column both ways before anybody lets go of it, and until the frame holds by itself.",
    "**Lift** with enough people, or a machine; nobody stands under a load.",
    "**Overhead lines:** look up first; keep posts, beams and ladders far away; ask the power company how far.",
)
_PER_PAGE: Final = 4
_BETWEEN: Final = 4.0
_NAME_WIDE: Final = 40.0
_NAME_SIZE: Final = 34.0
_FIGURE_SIZE: Final = 30.0
_SECOND_SIZE: Final = 17.0
_SMALL: Final = 9.0
_WORDS: Final = 8.5
_WORD_SIZES: Final = (_WORDS, 8.0, 7.5, 7.0, 6.5, 6.0)
_POST: Final = 6.0
"""How thick a column is drawn, in millimetres."""
_BELOW: Final = 6.8
"""Room below it for its length."""
_ENDS: Final = 6.0
_LEAN: Final = 2.2
"""How far a sloped head is drawn slanted: the slope itself would not be seen."""


def column_cards(layout: Layout, size: Vector) -> list[Draft]:
    """Return the pages of column cards, with the cautions of setting columns at the foot of each."""
    cuts, plan = layout.columns, layout.plan
    if not cuts:
        return []
    room = body(size)
    under = caution_height(CAUTIONS, room.width)
    high = (room.height - under - _BETWEEN * _PER_PAGE) / _PER_PAGE
    longest = max(cut.rough for cut in cuts)
    drafts = []
    for first in range(0, len(cuts), _PER_PAGE):
        here = cuts[first : first + _PER_PAGE]
        marks: list[Mark] = []
        for k, cut in enumerate(here):
            top = room.top - k * (high + _BETWEEN)
            marks += _card(cut, plan, Box(room.left, top - high, room.right, top), longest)
        bottom = room.top - len(here) * (high + _BETWEEN)
        marks += caution_box(CAUTIONS, room.left, bottom, room.width)
        name = f"{here[0].label} to {here[-1].label}" if len(here) > 1 else here[0].label
        drafts.append(Draft(SECTION, name, SECTION, size, tuple(marks), taped=False))
    if len(drafts) == 1:
        return [Draft(SECTION, SECTION, SECTION, size, drafts[0].marks, taped=False)]
    return drafts


def _card(cut: ColumnCut, plan: Plan, box: Box, longest: float) -> list[Mark]:
    """Return one card: name and numbers above, the column below, all columns of a job at one scale."""
    marks: list[Mark] = [Polyline(box.corners, width=0.3, ink="soft", closed=True)]
    inner = box.inset(3.5)
    name, name_size = fitted(cut.label, _NAME_WIDE - 3.0, _NAME_SIZE, "black", least=10.0)
    marks.append(Text((inner.left, inner.top - 14.0), name, name_size, "black"))
    line, line_size = fitted(f"beam line {cut.line}", _NAME_WIDE - 3.0, _SMALL, least=6.0)
    marks.append(Text((inner.left, inner.top - 2.2), line, line_size, ink="soft"))
    numbers = Box(inner.left + _NAME_WIDE, inner.bottom, inner.right, inner.top)
    marks += _numbers(cut, plan, numbers)
    marks += _column(cut, plan, Box(inner.left, inner.bottom, inner.right, inner.top - 24.0), longest)
    return marks


def _numbers(cut: ColumnCut, plan: Plan, box: Box) -> list[Mark]:
    """Return what is read at the saw: the cut on the axis, its edges, the cross piece, the stock."""
    sloped = cut.long - cut.short >= plan.rounding
    figures = [("cut, on the axis" if sloped else "cut", cut.length, 0.0, _FIGURE_SIZE)]
    if cut.jig is not None:
        figures.append(("cross piece above the foot", cut.jig, 0.45, _SECOND_SIZE))
    if cut.stock is not None:
        figures.append(("from a post of", cut.stock, 0.76, _SECOND_SIZE))
    marks: list[Mark] = []
    for caption, mm, share, size in figures:
        at = (box.left + share * box.width, box.top)
        marks += _figure(caption, parts(plan, mm), at, room=box.width * (0.42 if share == 0 else 0.24), size=size)
    lines = []
    if sloped:
        lines.append(
            f"long edge **{said(plan, cut.long)}**, short edge **{said(plan, cut.short)}** toward the beam's low"
            f" end ({cut.slope_deg:.1f}°)"
        )
    if cut.rough - cut.long >= plan.rounding:
        lines.append(f"rough **{said(plan, cut.rough)}**")
    if cut.stock is None:
        lines.append("**no stock length is long enough**")
    if cut.jig is None and cut.support is not None:
        lines.append(f"**{cut.says.split('; ', 1)[-1].rstrip('.')}**")
    text = "; ".join(lines)
    if text:
        one_line = paragraph_height("x", _WORDS, box.width)
        size = next((s for s in _WORD_SIZES if paragraph_height(text, s, box.width) <= one_line), _WORD_SIZES[-1])
        marks.append(Paragraph((box.left, box.top - 16.2), box.width, text, size))
    return marks


def _figure(caption: str, figure: LengthParts, at: Vector, *, room: float, size: float) -> list[Mark]:
    """Return a figure under its caption, its top left corner at a place, no wider than its room."""
    fit = size * min(1.0, room / measure_width(figure, size))
    return [
        Text((at[0], at[1] - 2.4), caption, _SMALL, ink="soft"),
        Measure((at[0], at[1] - 5.6 - fit * _CAPITAL), figure, fit),
    ]


_CAPITAL: Final = 0.26
"""How high a figure stands, in millimetres for each point of its size."""


def _column(cut: ColumnCut, plan: Plan, box: Box, longest: float) -> list[Mark]:
    """Return the column lying on its side, foot to the left, with its cuts and marks measured from the foot."""
    left, right = box.left + _ENDS, box.right - _ENDS
    scale = (right - left) / longest
    low, high = box.bottom + _BELOW, box.bottom + _BELOW + _POST
    head = left + cut.long * scale
    lean = _LEAN if cut.long - cut.short >= plan.rounding else 0.0
    marks: list[Mark] = [
        Polyline(
            ((left, low), (head - lean, low), (head, high), (left, high)), width=0.5, closed=True, fill="wash"
        ),
        Text((left - 1.5, low + 2.0), "foot", _SMALL, anchor="end", turn=0.0),
    ]
    rough = left + cut.rough * scale
    if cut.rough - cut.long >= plan.rounding:
        outline = ((head, high), (rough, high), (rough, low), (head - lean, low))
        marks.append(Polyline(outline, width=0.25, ink="soft", dash=(1.2, 0.9)))
    marks += _measured(left, head - lean / 2, low - 2.6, parts(plan, cut.length))
    if cut.jig is not None:
        x = left + cut.jig * scale
        marks.append(Line((x, low - 1.5), (x, high + 3.0), 0.9, "work"))
        near = x + 1.5 + text_width(_CROSS_PIECE, _SMALL, "semibold") < box.right - _SEAT_WITHIN
        aside = x + 1.5 if near else x - 1.5
        anchor: Anchor = "start" if near else "end"
        marks.append(Text((aside, high + 1.2), _CROSS_PIECE, _SMALL, "semibold", "work", anchor))
        wide = measure_width(parts(plan, cut.jig), _SMALL)
        if x - left > wide + 1.0 and (left + x + wide) / 2 < box.left + _NAME_WIDE:
            marks += _measured(left, x, high + 4.8, parts(plan, cut.jig), size=_SMALL, below=False)
    within, before = within_parts(plan, cut.within), "seat within ± "
    size = min(_SMALL, _SMALL * _SEAT_WITHIN / measure_width(within, _SMALL, "regular", before=before))
    marks.append(Measure((box.right, high + 1.2), within, size, "regular", "soft", "end", before=before))
    return marks


_CROSS_PIECE: Final = "underside of the cross piece"
_SEAT_WITHIN: Final = 40.0
"""Room for how sure the seat is, in millimetres."""


def _measured(
    start: float, end: float, y: float, figure: LengthParts, *, size: float = 11.0, below: bool = True
) -> list[Mark]:
    """Return a dimension line with ticks at its ends and its figure in the middle."""
    marks: list[Mark] = [Line((start, y), (end, y), 0.2)]
    marks += [Line((x - 0.9, y - 0.9), (x + 0.9, y + 0.9), 0.4) for x in (start, end)]
    marks.append(Measure(((start + end) / 2, y - 3.8 if below else y + 1.0), figure, size, anchor="middle"))
    return marks
