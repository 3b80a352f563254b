"""Dimensions as DXF entities: the DIMENSION that says what is measured, and the block that shows it."""

from __future__ import annotations

from typing import Any, Final

from ezdxf.document import Drawing as Document
from ezdxf.layouts import BaseLayout, BlockLayout

from layoutdesk.exporters.dxf_forms import Forms, Numbers, Texts
from layoutdesk.exporters.dxf_layers import DIMENSIONS, LAYERS, TICK_MM, TYPE, written
from layoutdesk.exporters.dxf_text import multi_line
from layoutdesk.geometry.vector import Vector, distance, minus, plus, times, turned, unit
from layoutdesk.sheets.drawing_marks import BEYOND_MM, Drawing, Measured

_ALIGNED: Final = 1
_OWN_BLOCK: Final = 32
_MOVED: Final = 128
_MIDDLE_CENTRE: Final = 5
_NO_LINE_MM: Final = 0.01
_DRAWN: Final = {"layer": LAYERS["dimension"].name}


def add_dimension(
    document: Document,
    forms: Forms,
    model: BaseLayout,
    measured: Measured,
    drawing: Drawing,
    *,
    ratio: float,
    style: str = DIMENSIONS,
) -> None:
    """Add a dimension between the very places that are measured, with its picture in a block of its own.

    Its number is written out unless a receiver would write the same from the dimension ``style``; ``ratio`` is
    that of the paper which shows it.
    """
    height = measured.height
    text = multi_line(measured.text)
    lines = _lines(measured, ratio)

    def picture(block: BlockLayout, numbers: Numbers, texts: Texts) -> None:
        *ends, x, y, turn = numbers
        for i in range(0, len(ends), 4):
            block.add_line(ends[i : i + 2], ends[i + 2 : i + 4], _DRAWN)
        looks = {"char_height": height, "style": TYPE, "attachment_point": _MIDDLE_CENTRE, "rotation": turn}
        block.add_mtext(texts[0], {**_DRAWN, **looks, "insert": (x, y)})

    def dimension(block: BlockLayout, numbers: Numbers, texts: Texts) -> None:
        name, shown = texts
        attributes: dict[str, Any] = {
            "layer": LAYERS["dimension"].name,
            "dimstyle": style,
            "geometry": name,
            "dimtype": _ALIGNED | _OWN_BLOCK | (_MOVED if measured.moved else 0),
            "attachment_point": _MIDDLE_CENTRE,
            "actual_measurement": numbers[8],
            "text": shown,
        }
        for i, point in enumerate(("defpoint", "defpoint2", "defpoint3", "text_midpoint")):
            attributes[point] = numbers[2 * i : 2 * i + 2]
        if drawing.turn:
            attributes["horizontal_direction"] = -drawing.turn
        block.new_entity("DIMENSION", attributes)

    own = document.blocks.new_anonymous_block("D")
    ends = (number for line in lines for end in line for number in end)
    shown_at = (*ends, *measured.text_at, measured.turn)
    forms.add(own, ("picture", len(lines), height), shown_at, (text,), picture)
    places = (*measured.line_end, *measured.start, *measured.end, *measured.text_at)
    shown = written(text, measured.value, drawing.units, drawing.rounding)
    forms.add(model, ("dimension", measured.moved, style), (*places, measured.value), (own.name, shown), dimension)


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
