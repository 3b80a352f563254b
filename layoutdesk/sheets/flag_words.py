"""Flags where the crew sees them: on the cover, and at the rows and cards of the piers that they are about."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.engine.layout import Flag, Layout
from layoutdesk.sheets.lettering import paragraph_height
from layoutdesk.sheets.marks import Mark, Paragraph, Polyline
from layoutdesk.sheets.numbers import counted
from layoutdesk.sheets.paper import Box

MEND_FIRST: Final = "Do not stake before this is mended"
SIGN: Final = "!"
"""Stands at whatever a red flag is about, so that it shows in black and white."""
_LOOK: Final = "Look at this before you begin"
_SIZE: Final = 9.0
_PAD: Final = 2.5
_BETWEEN: Final = 0.8
_MOST: Final = 30.0
"""How high the sentences of red flags may stand, in millimetres; what has no room is counted."""
_MOST_TITLES: Final = 4
_AFTER: Final = 2.0
_WHOLE_LIST: Final = "more on the last sheets, under What to look at"


def errors_of(layout: Layout) -> tuple[Flag, ...]:
    """Return the flags that must be mended before anything is staked."""
    return tuple(flag for flag in layout.flags if flag.severity == "error")


def errors_by_piece(layout: Layout) -> dict[str, Flag]:
    """Return the first red flag of every piece that one is about, by the piece's id."""
    found: dict[str, Flag] = {}
    for flag in errors_of(layout):
        for piece in flag.about:
            found.setdefault(piece, flag)
    return found


def mend_first_text(layout: Layout) -> str:
    """Return the red flags by their titles, for the foot of a sheet; empty without any."""
    errors = errors_of(layout)
    if not errors:
        return ""
    titles = "; ".join(flag.title for flag in errors[:3])
    more = f"; and {len(errors) - 3} more" if len(errors) > 3 else ""
    return f"**{SIGN} {MEND_FIRST}:** {titles}{more}. The cover says more."


def flag_boxes(layout: Layout, left: float, top: float, width: float) -> tuple[list[Mark], float]:
    """Return the flags in boxes and where the last box ends (mm, y up).

    The red ones stand in a heavy frame with their sentences, the others by their titles.
    """
    marks: list[Mark] = []
    errors = [flag.text for flag in errors_of(layout)]
    if not layout.plan.piers:
        errors.insert(0, "This plan has no piers yet: there is nothing to stake.")
    others = [flag.title for flag in layout.flags if flag.severity != "error"]
    if errors:
        more, top = _box([f"**{SIGN} {MEND_FIRST}:**", *_fitting(errors, width)], left, top, width, 1.2)
        marks += more
    if others:
        titles = "; ".join(others[:_MOST_TITLES])
        rest = f"; and {len(others) - _MOST_TITLES} {_WHOLE_LIST}" if len(others) > _MOST_TITLES else ""
        more, top = _box([f"**{_LOOK}:** {titles}{rest}"], left, top, width, 0.3)
        marks += more
    return marks, top


def _fitting(texts: Sequence[str], width: float) -> list[str]:
    """Return the sentences that a box has room for, the first always, and how many more there are."""
    shown: list[str] = []
    high = 0.0
    for i, text in enumerate(texts):
        high += paragraph_height(text, _SIZE, width - 2 * _PAD) + _BETWEEN
        if i and high > _MOST:
            return [*shown, f"{counted(len(texts) - i, 'flag')} {_WHOLE_LIST}"]
        shown.append(text)
    return shown


def _box(texts: Sequence[str], left: float, top: float, width: float, frame: float) -> tuple[list[Mark], float]:
    """Return texts in a frame, and where the next box may begin."""
    wide = width - 2 * _PAD
    marks: list[Mark] = []
    y = top - _PAD
    for text in texts:
        marks.append(Paragraph((left + _PAD, y), wide, text, _SIZE))
        y -= paragraph_height(text, _SIZE, wide) + _BETWEEN
    low = y + _BETWEEN - _PAD
    marks.append(Polyline(Box(left, low, left + width, top).inset(frame / 2).corners, width=frame, closed=True))
    return marks, low - _AFTER
