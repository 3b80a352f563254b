"""A cage seen from above, inside the narrowest of its concrete."""

from __future__ import annotations

import math
from typing import Final

from layoutdesk.engine.layout import Section
from layoutdesk.plan.model import Detail
from layoutdesk.sheets.marks import Circle, Mark, Polyline, Text
from layoutdesk.sheets.paper import Box

_CAPTION: Final = 5.0
_LEAST_BAR: Final = 0.4
_MOST_BARS: Final = 200


def cage_marks(section: Section, detail: Detail, box: Box) -> list[Mark]:
    """Return the cage of a detail from above, as large as a box allows; nothing without bars."""
    inside = [p for p in section.parts if any(bar.top < p.bottom and bar.bottom > p.top for bar in section.bars)]
    if detail.steel is None or not inside:
        return []
    part = min(inside, key=lambda p: min(p.upper, p.lower))
    wide = min(part.upper, part.lower)
    room = box.above(box.bottom + _CAPTION)
    reach = max(abs(bar.across) + bar.diameter / 2 for bar in section.bars)
    spans = max(wide, section.hoop_width, 2 * reach)
    ratio = spans / (min(room.width, room.height) - 3.0)
    x, y = room.centre
    half = wide / 2 / ratio
    marks: list[Mark] = [
        Circle((x, y), half, width=0.5, fill="shade")
        if part.shape == "round"
        else Polyline(Box(x - half, y - half, x + half, y + half).corners, width=0.5, closed=True, fill="shade")
    ]
    thick = section.bars[0].diameter
    if section.hoops:
        wire = min(max(section.hoop_diameter / ratio, 0.3), section.hoop_width / 2 / ratio)
        marks.append(Circle((x, y), section.hoop_width / 2 / ratio - wire / 2, width=wire))
    reach -= thick / 2
    size = max(thick / 2 / ratio, _LEAST_BAR)
    count = min(detail.steel.bars, _MOST_BARS)
    beside = 2 * math.asin(min(1.0, thick / 2 / reach)) if reach > 0 else 0.0
    turns = [2 * math.pi * k / count for k in range(count)]
    if detail.steel.lapped:
        turns += [turn + beside for turn in turns]
    away = reach / ratio if count > 1 else 0.0
    marks += [
        Circle((x + away * math.cos(turn), y + away * math.sin(turn)), size, ink=None, fill="ink") for turn in turns
    ]
    marks.append(Text((x, box.bottom + 0.8), "from above", 8.5, anchor="middle", ink="soft"))
    return marks
