"""The DXF document of a plan drawing: model space with the plan and side views, and their paper layouts."""

from __future__ import annotations

from typing import Any, Final

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.layouts import BaseLayout, BlockLayout
from ezdxf.units import MM

from layoutdesk.exporters.dxf_dimensions import add_dimension
from layoutdesk.exporters.dxf_forms import Forms, Numbers, Texts
from layoutdesk.exporters.dxf_layers import LAYERS, SIDE_DIMENSIONS, STRONG_TYPE, TYPE, add_standards, add_units
from layoutdesk.exporters.dxf_marks import add_mark, placement
from layoutdesk.exporters.dxf_sheet import add_sheet
from layoutdesk.exporters.dxf_text import block_name, single_line
from layoutdesk.geometry.vector import left, plus, turned
from layoutdesk.sheets.drawing_marks import TEXT_MM, Drawing, Placed, Symbol

RELEASE: Final = "R2013"

_HIDDEN: Final = 1
"""Flag of an attribute that is carried and not shown."""


def document_of(drawing: Drawing) -> Document:
    """Return the document: units, standards, symbols, the plan, its dimensions, the sheet and what opens first."""
    document = ezdxf.new(RELEASE, units=MM)
    add_units(document, drawing)
    add_standards(document, drawing)
    model = document.modelspace()
    for mark in (*drawing.marks, *(mark for side in drawing.sides for mark in side.marks)):
        add_mark(model, mark)
    names = _add_symbols(document, drawing)
    forms = Forms(document)
    symbols = {symbol.name: symbol for symbol in drawing.symbols}
    for placed in drawing.placed:
        name = placed.symbol
        _add_placed(forms, model, placed, symbol=symbols[name], block=names[name])
    for measured in drawing.dimensions:
        add_dimension(document, forms, model, measured, drawing, ratio=drawing.sheet.ratio)
    for side in drawing.sides:
        for measured in side.dimensions:
            ratio = drawing.side_sheets[0].ratio
            add_dimension(document, forms, model, measured, drawing, ratio=ratio, style=SIDE_DIMENSIONS)
    for sheet in (drawing.sheet, *drawing.side_sheets):
        add_sheet(document, drawing, sheet)
    _open_on_plan(document, drawing)
    for record in document.block_records:
        record.dxf.units = MM
    # The library adds these classes by itself, but in the order of a set, which differs from process to process.
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)
    return document


def _add_symbols(document: Document, drawing: Drawing) -> dict[str, str]:
    """Add a block for each symbol and return the blocks' names by the symbols'."""
    taken: set[str] = set()
    names: dict[str, str] = {}
    for symbol in drawing.symbols:
        names[symbol.name] = block_name(symbol.name, taken)
        block = document.blocks.new(names[symbol.name])
        for mark in symbol.marks:
            add_mark(block, mark)
        _add_fields(block, symbol, TEXT_MM * drawing.sheet.ratio)
    return names


def _add_fields(block: BlockLayout, symbol: Symbol, height: float) -> None:
    """Add the definitions of a symbol's attributes, one under the other."""
    for i, (tag, prompt, shown) in enumerate(symbol.fields):
        looks = _field_looks(symbol, height, shown=shown) | {"prompt": prompt}
        block.add_attdef(tag, (height, height * (1 - 1.6 * i)), dxfattribs=looks)


def _add_placed(forms: Forms, model: BaseLayout, placed: Placed, *, symbol: Symbol, block: str) -> None:
    """Add a reference to a symbol's block, with its attributes one under the other, the shown one first."""
    values, height = dict(placed.values), placed.height
    places = [
        plus(placed.label_at, turned((0.0, -1.6 * height * i), placed.turn)) for i in range(len(symbol.fields))
    ]

    def make(layout: BlockLayout, numbers: Numbers, texts: Texts) -> None:
        attributes = {"layer": LAYERS[symbol.role].name, "rotation": placed.turn}
        insert = layout.add_blockref(block, numbers[:2], dxfattribs=attributes)
        for i, (tag, _prompt, shown) in enumerate(symbol.fields):
            at = (numbers[2 + 2 * i], numbers[3 + 2 * i])
            looks = _field_looks(symbol, height, shown=shown) | {"rotation": placed.turn}
            insert.add_attrib(tag, texts[i], dxfattribs=looks | placement(at, placed.anchor, centred=True))

    numbers = [*placed.at, *(number for place in places for number in place)]
    texts = [single_line(values.get(tag, "")) for tag, _prompt, _shown in symbol.fields]
    forms.add(model, ("placed", symbol.name, placed.anchor, placed.turn, height), numbers, texts, make)


def _field_looks(symbol: Symbol, height: float, *, shown: bool) -> dict[str, Any]:
    """Return how an attribute of a symbol is written, and whether it is shown."""
    return {
        "height": height,
        "style": STRONG_TYPE if shown and symbol.role == "pier" else TYPE,
        "layer": LAYERS["text"].name,
        "flags": 0 if shown else _HIDDEN,
    }


def _open_on_plan(document: Document, drawing: Drawing) -> None:
    """Set what the file opens on: the whole plan in model space, turned as on the sheet."""
    model = document.modelspace()
    corners = [drawing.low, drawing.high, *(corner for side in drawing.sides for corner in (side.low, side.high))]
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    model.reset_extents((min(xs), min(ys), 0.0), (max(xs), max(ys), 0.0))
    model.reset_limits(drawing.low, drawing.high)
    sheet = drawing.sheet
    _x, _y, wide, high = sheet.window
    view = document.set_modelspace_vport(max(high, wide / 1.34) * sheet.ratio, (0.0, 0.0))
    view.dxf.target = (*sheet.looks_at, 0.0)
    view.dxf.view_twist = -drawing.turn % 360.0
    if drawing.baseline:
        origin, way = drawing.baseline
        across = left(way)
        document.ucs.new(
            "BASELINE",
            dxfattribs={"origin": (*origin, 0.0), "xaxis": (*way, 0.0), "yaxis": (*across, 0.0)},
        )
