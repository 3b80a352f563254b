"""The sheet of paper that shows a plan drawing: its border, its window on the plan, and its title block."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Paper, Plan
from layoutdesk.sheets.drawing_marks import (
    PLAN_SHEET,
    SMALL_TEXT_MM,
    TEXT_MM,
    DrawingSheet,
    Drawn,
    Filling,
    Label,
    Stroke,
)
from layoutdesk.sheets.lettering import fitted
from layoutdesk.sheets.numbers import day_text
from layoutdesk.sheets.scales import scale_bar
from layoutdesk.sheets.type import CAPITAL, MM_PER_POINT
from layoutdesk.units import format_length

PAPER_MM: Final[dict[Paper, Vector]] = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
"""Upright sheets: ANSI/ASME Y14.1 size A (8 1/2 by 11 in) and ISO 216 A4."""
PAPER_NAMES: Final[dict[Paper, str]] = {"letter": "Letter", "a4": "A4"}

BORDER_MM: Final = 10.0
"""From the edge of the paper to the border."""
BLOCK_MM: Final = 31.0
"""Height of the title block."""
_BAR_CELL_MM: Final = 66.0
_TITLE_CELL_MM: Final = 64.0
_PAD_MM: Final = 2.5
_CAPTION_MM: Final = 1.4
_TITLE_MM: Final = 3.6

_UNIT_WORDS: Final = {"ft-in": "feet and inches", "m": "metres", "mm": "millimetres"}


@dataclass(frozen=True, slots=True)
class Frame:
    """Paper the one way or the other: its size and its window on the plan (x, y, width, height), in mm."""

    paper: Paper
    size: Vector
    window: tuple[float, float, float, float]


def frame(paper: Paper, *, across: bool) -> Frame:
    """Return the paper standing, or lying ``across``, and the window that border and title block leave."""
    width, height = PAPER_MM[paper][::-1] if across else PAPER_MM[paper]
    low = BORDER_MM + BLOCK_MM
    return Frame(paper, (width, height), (BORDER_MM, low, width - 2 * BORDER_MM, height - low - BORDER_MM))


def sheet_of(
    plan: Plan,
    paper: Frame,
    *,
    looks_at: Vector,
    ratio: float,
    scale_name: str,
    name: str = PLAN_SHEET,
    number: int = 1,
    count: int = 1,
) -> DrawingSheet:
    """Return the sheet with its border, title block, notes and bar scale.

    Args:
        plan: whose title, issue and date it carries.
        paper: the paper and its window.
        looks_at: the place of the plan in the middle of the window.
        ratio: millimetres of ground to one of paper.
        scale_name: what the scale is called.
        name: what the sheet is called.
        number: which sheet it is.
        count: of how many.
    """
    marks = (
        *_border(paper),
        *_bar(plan, paper, ratio, scale_name),
        *_notes(plan, paper, sides=name != PLAN_SHEET),
        *_title(plan, paper, name, f"{number} of {count}"),
    )
    return DrawingSheet(paper.paper, paper.size, paper.window, looks_at, ratio, scale_name, marks, name)


def _border(paper: Frame) -> Iterator[Drawn]:
    """Yield the border and the lines between the cells of the title block."""
    x, top, wide, high = paper.window
    low = BORDER_MM
    yield Stroke(((x, low), (x + wide, low), (x + wide, top + high), (x, top + high)), "title block", closed=True)
    yield Stroke(((x, top), (x + wide, top)), "title block")
    for cell in (x + _BAR_CELL_MM, x + wide - _TITLE_CELL_MM):
        yield Stroke(((cell, low), (cell, top)), "title block")


def _bar(plan: Plan, paper: Frame, ratio: float, scale_name: str) -> Iterator[Drawn]:
    """Yield the bar scale: black and white steps of whole plan units, with the name of the scale over them."""
    x, top = paper.window[0] + _PAD_MM + 1.0, paper.window[1]
    yield Label((x, top - 7.0), f"Scale {scale_name}", TEXT_MM, "title block", strong=True)
    yield Label((x, top - 11.0), f"true on {PAPER_NAMES[paper.paper]} paper", SMALL_TEXT_MM, "title block")
    bar = scale_bar(ratio, plan.units, paper_mm=_BAR_CELL_MM - 2 * _PAD_MM - 8.0, least_step=8.0)
    step, low, high = bar.step / ratio, BORDER_MM + 5.0, BORDER_MM + 7.0
    for i in range(bar.count):
        a, b = x + i * step, x + (i + 1) * step
        box = ((a, low), (b, low), (b, high), (a, high))
        if i % 2 == 0:
            yield Filling(box, "title block", "solid")
        yield Stroke(box, "title block", closed=True)
    for i, text in enumerate(bar.labels):
        number, _, unit = text.partition(" ")
        yield Label((x + i * step, high + 1.4), number, SMALL_TEXT_MM, "title block", "middle")
        if unit:
            yield Label((x + i * step + 1.5, low), unit, SMALL_TEXT_MM, "title block")


def _notes(plan: Plan, paper: Frame, *, sides: bool) -> Iterator[Drawn]:
    """Yield what whoever reads the drawing must know."""
    x, top = paper.window[0] + _BAR_CELL_MM + _PAD_MM, paper.window[1]
    room = paper.window[2] - _BAR_CELL_MM - _TITLE_CELL_MM - 2 * _PAD_MM
    step = format_length(plan.rounding, "ft-in" if plan.units == "ft-in" else "mm", plan.rounding)
    lines = (
        f"Dimensions are in {_UNIT_WORDS[plan.units]}, to the nearest {step}.",
        "Written dimensions govern: do not scale the print.",
        "Elevations are above (+) or below (-) the zero of the job."
        if sides
        else "Each pier carries its station and offset."
        if plan.baseline
        else "No baseline has been chosen.",
        "Have buried lines located before any digging.",
        "Local code and the licensed designer decide.",
    )
    for i, line in enumerate(lines):
        text, height = _fitted(line, room, SMALL_TEXT_MM)
        yield Label((x, top - 6.0 - i * 5.0), text, height, "title block", strong=i >= 3)


def _title(plan: Plan, paper: Frame, name: str, sheet: str) -> Iterator[Drawn]:
    """Yield the job's title, what is drawn, and the cells of issue, date and sheet."""
    left, top = paper.window[0] + paper.window[2] - _TITLE_CELL_MM, paper.window[1]
    room = _TITLE_CELL_MM - 2 * _PAD_MM
    title, height = _fitted(plan.title, room, _TITLE_MM)
    yield Label((left + _PAD_MM, top - 7.5), title, height, "title block", strong=True)
    yield Label((left + _PAD_MM, top - 13.5), name, TEXT_MM, "title block")
    low, line = BORDER_MM, BORDER_MM + 12.5
    yield Stroke(((left, line), (left + _TITLE_CELL_MM, line)), "title block")
    cells = (
        ("issue", plan.issue, 0.0, 18.0),
        ("date", day_text(plan.date), 18.0, 28.0),
        ("sheet", sheet, 46.0, 18.0),
    )
    for caption, value, start, wide in cells:
        x = left + start
        if start:
            yield Stroke(((x, low), (x, line)), "title block")
        yield Label((x + 2.0, line - 3.4), caption, _CAPTION_MM, "title block")
        text, size = _fitted(value, wide - 3.0, TEXT_MM)
        yield Label((x + 2.0, low + 2.8), text, size, "title block")


def _fitted(text: str, room: float, height: float) -> tuple[str, float]:
    """Return text and the height of its capitals at which it stays within ``room``, cut off where it must be."""
    to_points = 1.0 / (CAPITAL * MM_PER_POINT)
    line = " ".join(text.split())[:400]
    fit, points = fitted(line, room / 1.08, height * to_points, least=height * to_points * 0.6)
    return fit, points / to_points
