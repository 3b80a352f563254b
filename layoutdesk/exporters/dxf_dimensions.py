"""Dimensions as DXF entities: the DIMENSION that says what is measured, and the block that shows it."""

from __future__ import annotations

from typing import Final

from ezdxf.document import Drawing as Document
from ezdxf.layouts import BaseLayout

from layoutdesk.exporters.dxf_layers import DIMENSIONS, LAYERS, TICK_MM, TYPE, written
from layoutdesk.exporters.dxf_text import multi_line
from layoutdesk.geometry.vector import Vector, distance, minus, plus, times, turned, unit
from layoutdesk.sheets.drawing_marks import BEYOND_MM, TEXT_MM, Drawing, Measured

_ALIGNED: Final = 1
_OWN_BLOCK: Final = 32
_MOVED: Final = 128
_MIDDLE_CENTRE: Final = 5
_NO_LINE_MM: Final = 0.01
_DRAWN: Final = {"layer": LAYERS["dimension"].name}


def add_dimension(document: Document, model: BaseLayout, measured: Measured, drawing: Drawing) -> None:
    """Add a dimension between the very places that are measured, with its picture in a block of its own.

    Its number is written out unless a receiver would write the same from the dimension style.
    """
    ratio = drawing.sheet.ratio
    block = document.blocks.new_anonymous_block("D")
    for start, end in _lines(measured, ratio):
        block.add_line(start, end, _DRAWN)
    text = multi_line(measured.text)
    block.add_mtext(
        text,
        {
            **_DRAWN,
            "insert": measured.text_at,
            "char_height": TEXT_MM * ratio,
            "rotation": measured.turn,
            "style": TYPE,
            "attachment_point": _MIDDLE_CENTRE,
        },
    )
    attributes = {
        "layer": LAYERS["dimension"].name,
        "dimstyle": DIMENSIONS,
        "geometry": block.name,
        "dimtype": _ALIGNED | _OWN_BLOCK | (_MOVED if measured.moved else 0),
        "defpoint": measured.line_end,
        "defpoint2": measured.start,
        "defpoint3": measured.end,
        "text_midpoint": measured.text_at,
        "attachment_point": _MIDDLE_CENTRE,
        "actual_measurement": measured.value,
        "text": written(text, measured.value, drawing.units, drawing.rounding),
    }
    if drawing.turn:
        attributes["horizontal_direction"] = -drawing.turn
    model.new_entity("DIMENSION", attributes)


def _lines(measured: Measured, ratio: float) -> list[tuple[Vector, Vector]]:
    """Return the lines of a dimension: its own, two extension lines where there is room, and two ticks."""
    a, b = measured.line_start, measured.line_end
    way = unit(minus(b, a))
    beyond = times(way, BEYOND_MM * ratio)
    tick = times(turned(way, 45.0), TICK_MM * 2**0.5 * ratio)
    lines = [(minus(a, beyond), plus(b, beyond)), *((minus(p, tick), plus(p, tick)) for p in (a, b))]
    for begin, end in ((measured.from_start, a), (measured.from_end, b)):
        if distance(begin, end) > _NO_LINE_MM:
            lines.append((begin, plus(end, times(unit(minus(end, begin)), BEYOND_MM * ratio))))
    return lines
