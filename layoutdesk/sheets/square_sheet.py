"""The squareness sheet: every bay with its diagonals, blanks for what was taped, and what a difference means."""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.explain import barred_check, difference, expected_difference
from layoutdesk.engine.layout import BayCheck, Layout
from layoutdesk.geometry.vector import Vector, along
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.camera import fitted_camera, page_right
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.labels import Name, Taken, place_names
from layoutdesk.sheets.lettering import fitted, measure_width, paragraph_height
from layoutdesk.sheets.marks import Circle, Line, Mark, Measure, Paragraph, Polyline, Text
from layoutdesk.sheets.numbers import parts
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.scene import DASHED

SECTION: Final = "Squareness"
_COLUMNS: Final = 2
_ROWS: Final = 3
_GAP: Final = 6.0
_PICTURE: Final = 40.0
"""How wide the drawing of a bay is, in millimetres."""
_TITLE: Final = 7.5
_FIGURE: Final = 16.0
_LETTER: Final = 2.3
"""Half the room of the letter on a diagonal."""
_FIGURE_ROW: Final = 6.9
_UNDER_BLANK: Final = 1.8
_EQUAL_ROW: Final = 4.8
_WORDS_HEIGHT: Final = 12.6
"""How high what a difference means may stand: three lines at full size."""
_SOURCES: Final = {"found": "", "outline": "the whole outline", "named": "named in the plan"}


def square_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the squareness sheet: six bays to a page."""
    room = body(size)
    wide = (room.width - _GAP * (_COLUMNS - 1)) / _COLUMNS
    high = (room.height - _GAP * (_ROWS - 1)) / _ROWS
    bays = list(layout.bays)
    drafts: list[Draft] = []
    for first in range(0, len(bays), _COLUMNS * _ROWS):
        marks: list[Mark] = []
        for i, bay in enumerate(bays[first : first + _COLUMNS * _ROWS]):
            left = room.left + (i % _COLUMNS) * (wide + _GAP)
            top = room.top - (i // _COLUMNS) * (high + _GAP)
            marks += _bay(layout, bay, Box(left, top - high, left + wide, top))
        drafts.append(Draft(SECTION, f"{SECTION}, page {len(drafts) + 1}", SECTION, size, tuple(marks)))
    if len(drafts) == 1:
        return [Draft(SECTION, SECTION, SECTION, size, drafts[0].marks)]
    return drafts


def _bay(layout: Layout, bay: BayCheck, box: Box) -> list[Mark]:
    plan = layout.plan
    inner = box.inset(2.5)
    said = _meaning(layout, bay)
    words = paragraph_height(said, 8.5, inner.width, 1.2)
    size = 8.5
    while size > 5.0 and words > _WORDS_HEIGHT:
        size -= 0.5
        words = paragraph_height(said, size, inner.width, 1.2)
    title, title_size = fitted(f"Bay {' '.join(bay.labels)}", inner.width * 0.66, 12.0, "bold")
    marks: list[Mark] = [
        Polyline(box.corners, width=0.25, closed=True),
        Text((inner.left, inner.top - 3.6), title, title_size, "bold"),
        Paragraph((inner.left, inner.bottom + words), inner.width, said, size, "ink", 1.2),
    ]
    if source := _SOURCES[bay.source]:
        marks.append(Text((inner.right, inner.top - 3.6), source, 8.5, anchor="end"))
    middle_part = Box(inner.left, inner.bottom + words + 1.5, inner.right, inner.top - _TITLE)
    marks += _drawing(layout, bay, middle_part.between(inner.left, inner.left + _PICTURE))
    marks += _fields(plan, bay, middle_part.between(inner.left + _PICTURE + 3.0, inner.right))
    return marks


def _meaning(layout: Layout, bay: BayCheck) -> str:
    """Return what the taped lengths of a bay say of it; a difference takes both diagonals."""
    if barred := barred_check(bay):
        return barred
    means = difference(layout, bay)
    return means if bay.equal else f"{expected_difference(layout, bay)} {means}"


def _drawing(layout: Layout, bay: BayCheck, box: Box) -> list[Mark]:
    """Return the bay as it lies: its sides, its corners by name, its diagonals A and B."""
    room = Box(box.left + 8.0, box.bottom + 6.0, box.right - 8.0, box.top - 6.0)
    corners = fitted_camera(bay.places, page_right(layout), room).path(bay.places)
    taken = Taken(box)
    marks: list[Mark] = [Polyline(corners, width=0.3, closed=True)]
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        taken.take_stroke(a, b)
    letters: list[Mark] = []
    letters_taken = Taken(box)
    for a, b in (corners[::2], corners[1::2]):
        marks.append(Line(a, b, 0.3, "check", DASHED))
        taken.take_stroke(a, b)
    for letter, (a, b) in zip("AB", (corners[::2], corners[1::2]), strict=True):
        # The letters stand where the diagonals are well apart: nearer to a corner than to the middle.
        for at in (along(a, b, share) for share in (0.27, 0.73, 0.36, 0.64, 0.18, 0.82)):
            box = Box(at[0] - _LETTER, at[1] - _LETTER, at[0] + _LETTER, at[1] + _LETTER)
            if letters_taken.free(box):
                letters_taken.take(box)
                taken.take(box)
                letters.append(Circle(at, _LETTER, ink=None, fill="paper"))
                letters.append(Text((at[0], at[1] - 1.2), letter, 9.5, "bold", "check", "middle"))
                break
    for corner in corners:
        marks.append(Circle(corner, 1.1, width=0.4, fill="paper"))
        taken.take_round(corner, 1.1)
    names, _ = place_names(
        [Name(label, at, 1.1) for label, at in zip(bay.labels, corners, strict=True)],
        taken,
        (9.0, 8.0, 7.0, 6.0, 5.0),
    )
    return [*marks, *letters, *names]


def _fields(plan: Plan, bay: BayCheck, box: Box) -> list[Mark]:
    """Return the two expected lengths with a blank under each, and a blank for their difference."""
    marks: list[Mark] = []
    blank = (box.height - 2 * (_FIGURE_ROW + _UNDER_BLANK) - _EQUAL_ROW) / 3
    y = box.top
    for letter, value, (i, j) in zip("AB", bay.diagonals, ((0, 2), (1, 3)), strict=True):
        name, size = fitted(f"{letter}  {bay.labels[i]} to {bay.labels[j]}", box.width * 0.44, 9.0, "semibold")
        figure = parts(plan, value)
        room = box.width * 0.56 - 1.0
        figure_size = _FIGURE * min(1.0, room / measure_width(figure, _FIGURE))
        marks.append(Text((box.left, y - 5.0), name, size, "semibold"))
        marks.append(Measure((box.right, y - 5.1), figure, figure_size, "bold", "ink", "end"))
        y -= _FIGURE_ROW
        field = Box(box.left, y - blank, box.right, y)
        barred = bay.barred["AB".index(letter)]
        marks += _blank("read", field) if barred is None else _barred(barred, field)
        y -= blank + _UNDER_BLANK
    if any(bay.barred):
        return marks
    must = "must be equal" if bay.equal else "differ by plan"
    marks.append(Text((box.left, y - 3.3), f"A and B {must}", 9.0, "bold"))
    y -= _EQUAL_ROW
    marks += _blank("difference", Box(box.left, y - blank, box.right, y))
    return marks


def _barred(what: str, box: Box) -> list[Mark]:
    """Return what stands in place of a blank where no tape can lie."""
    text = f"**barred by {what}:** check by the sides"
    size = 9.0
    while size > 4.0 and paragraph_height(text, size, box.width, 1.15) > box.height:
        size -= 0.5
    return [Paragraph((box.left, box.top), box.width, text, size, "ink", 1.15)]


def _blank(word: str, box: Box) -> list[Mark]:
    """Return a framed field to write in, named in its corner."""
    return [
        Polyline(box.corners, width=0.25, closed=True),
        Text((box.left + 1.2, box.top - 3.0), word, 7.5),
    ]
