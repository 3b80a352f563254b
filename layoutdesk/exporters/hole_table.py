"""The holes as CSV (RFC 4180): as planned, as dug, and what was found, for a spreadsheet."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Final

from layoutdesk.exporters.tables import plain_name, plain_number

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

HOLE_COLUMNS: Final = (
    "pier", "mark", "planned_depth", "planned_top", "planned_bottom", "depth", "top", "bottom", "along", "away",
    "water", "factor", "extra_m3", "poured", "date", "by", "verdict", "text",
)  # fmt: skip


def holes_csv(layout: Layout) -> str:
    """Return every hole in plan order, one a row under a heading.

    The columns are :data:`HOLE_COLUMNS`; lengths are millimetres, ``factor`` is the dug volume over the planned one
    and ``extra_m3`` the concrete that the hole takes more. What was not measured is empty; ``poured`` is yes or
    empty. A name that a spreadsheet would take for a formula is written with an apostrophe before it.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(HOLE_COLUMNS)
    for hole in layout.holes:
        planned = (hole.planned_depth, hole.planned_top, hole.planned_bottom)
        dug = (hole.depth, hole.top, hole.bottom, hole.along, hole.away, hole.water)
        writer.writerow(
            (
                plain_name(hole.pier),
                plain_name(hole.label),
                *map(plain_number, (*planned, *dug, hole.factor, hole.extra_m3)),
                "yes" if hole.poured else "",
                *map(plain_name, (hole.date, hole.by, hole.verdict, hole.says)),
            )
        )
    return out.getvalue()
