"""Points as CSV (RFC 4180), for a spreadsheet or another instrument."""

from __future__ import annotations

import csv
import io
from typing import Final

from layoutdesk.engine.layout import Layout

COLUMNS: Final = ("id", "x", "y", "station", "offset", "mark")
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


def points_csv(layout: Layout) -> str:
    """Return every control point, attachment and pier, in that order, one a row under a heading.

    The columns are :data:`COLUMNS`; lengths are millimetres with at most six decimals, ``x`` and ``y`` in the
    plan's own axes, ``station`` and ``offset`` from the baseline and empty without one. A name that a spreadsheet
    would take for a formula is written with an apostrophe before it. Where the house was measured, places are those
    that follow from what is held.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for point in layout.on_site.points:
        numbers = (*point.at, point.station, point.offset)
        writer.writerow((_name(point.id), *map(_number, numbers), _name(point.label)))
    return out.getvalue()


def _number(mm: float | None) -> str:
    """Return a length to a millionth of a millimetre, without zeros that say nothing."""
    if mm is None:
        return ""
    text = f"{mm:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _name(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text
