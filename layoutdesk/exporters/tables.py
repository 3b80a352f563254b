"""Points as CSV (RFC 4180), for a spreadsheet or another instrument."""

from __future__ import annotations

import csv
import io
from typing import Final

from layoutdesk.engine.layout import Layout

COLUMNS: Final = ("id", "x", "y", "station", "offset", "mark")
HEIGHTS: Final = ("ground", "top", "bottom", "cut_length")
"""Behind the others, where the plan says anything of heights."""
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


def points_csv(layout: Layout) -> str:
    """Return every control point, attachment and pier, in that order, one a row under a heading.

    The columns are :data:`COLUMNS`; lengths are millimetres with at most six decimals, ``x`` and ``y`` in the
    plan's own axes, ``station`` and ``offset`` from the baseline and empty without one. A name that a spreadsheet
    would take for a formula is written with an apostrophe before it. Where the house was measured, places are those
    that follow from what is held. A plan with heights has the columns of :data:`HEIGHTS` too: elevations of the
    ground, of the pier's top and of its bottom, and the length of its column; empty where they are not known.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow((*COLUMNS, *(HEIGHTS if layout.has_heights else ())))
    heights = _heights(layout)
    for point in layout.on_site.points:
        numbers = (*point.at, point.station, point.offset)
        writer.writerow(
            (
                plain_name(point.id),
                *map(plain_number, numbers),
                plain_name(point.label),
                *map(plain_number, heights.get(point.id, ())),
            )
        )
    return out.getvalue()


def _heights(layout: Layout) -> dict[str, tuple[float | None, ...]]:
    """Return the heights of every point by its id; nothing for a plan that says nothing of them."""
    if not layout.has_heights:
        return {}
    unknown: dict[str, tuple[float | None, ...]] = {point.id: (None,) * len(HEIGHTS) for point in layout.points}
    cut = {cut.pier: cut.length for cut in layout.columns}
    return unknown | {h.id: (h.ground, h.top, h.bottom, cut.get(h.id)) for h in layout.heights}


def plain_number(mm: float | None) -> str:
    """Return a length to a millionth of a millimetre, without zeros that say nothing."""
    if mm is None:
        return ""
    text = f"{mm:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def plain_name(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(_FORMULA) else text
