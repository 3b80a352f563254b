"""The plan as a DXF file, against the DXF library writing the same picture straight from the numbers.

The bare side makes one block reference with four attributes for each pier and lets the library draw every
dimension, with texts and places at hand; it places no names, looks for no room and keeps nothing apart.
By hand and by itself: ``python tests/benchmarks/bench_drawing.py --piers 8 1000``.
"""

from __future__ import annotations

import argparse
import io
import sys
from dataclasses import replace
from functools import partial
from pathlib import Path

import ezdxf
from ezdxf.units import MM

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.exporters.dxf import write_dxf
from layoutdesk.geometry.vector import distance, plus
from layoutdesk.sheets.drawing import plan_drawing
from layoutdesk.sheets.drawing_marks import Drawing, Filling, Label, Measured, Stroke
from layoutdesk.units import format_length
from tests.benchmarks.big_plans import ALONG, OUT, grid_plan
from tests.benchmarks.ratio import Row, race, table

SIZES = (8, 1_000)
TARGETS = {8: 1.3, 1_000: 0.35}
FIELDS = ("MARK", "STATION", "OFFSET", "DETAIL")
STYLE = {
    "dimtxt": 2.5,
    "dimtsz": 0.9,
    "dimexo": 1.5,
    "dimexe": 1.2,
    "dimgap": 0.8,
    "dimtad": 1,
    "dimdsep": ord("."),
}


def bare(drawing: Drawing) -> bytes:
    """Return the same picture by the library alone, with dimensions that it renders."""
    document = ezdxf.new("R2013", units=MM)
    model = document.modelspace()
    style = document.dimstyles.new("PLAN", dxfattribs={**STYLE, "dimscale": drawing.sheet.ratio})
    block = document.blocks.new("PIER")
    block.add_circle((0, 0), 152.4)
    block.add_line((-80, 0), (80, 0))
    block.add_line((0, -80), (0, 80))
    height = 2.5 * drawing.sheet.ratio
    for tag in FIELDS:
        block.add_attdef(tag, (0, 0), dxfattribs={"height": height})
    for mark in drawing.marks:
        if isinstance(mark, Stroke):
            model.add_lwpolyline(mark.points, close=mark.closed)
        elif isinstance(mark, Label):
            model.add_text(mark.text, dxfattribs={"insert": mark.at, "height": mark.height})
        elif isinstance(mark, Filling):
            model.add_hatch().paths.add_polyline_path(mark.outline, is_closed=True)
    for placed in drawing.placed:
        insert = model.add_blockref("PIER", placed.at)
        for tag, text in placed.values:
            insert.add_attrib(tag, text, placed.label_at, dxfattribs={"height": height})
    for measured in drawing.dimensions:
        dimension = model.add_aligned_dim(
            p1=measured.start,
            p2=measured.end,
            distance=distance(measured.start, measured.line_start),
            text=measured.text,
            dimstyle=style.dxf.name,
        )
        dimension.render()
    stream = io.StringIO()
    document.write(stream)
    return document.encode(stream.getvalue())


def with_two_dimensions_a_pier(drawing: Drawing) -> Drawing:
    """Return the drawing with a dimension along its row and one across from every pier, as the limit asks."""
    measured: list[Measured] = []
    height = 2.5 * drawing.sheet.ratio
    for placed in drawing.placed:
        if "DETAIL" not in dict(placed.values):
            continue
        for way, out, turn in (((ALONG, 0.0), (0.0, -600.0), 0.0), ((0.0, OUT), (-600.0, 0.0), 90.0)):
            end = plus(placed.at, way)
            line = (plus(placed.at, out), plus(end, out))
            value = distance(placed.at, end)
            text = format_length(value, drawing.units, drawing.rounding)
            middle = ((line[0][0] + line[1][0]) / 2, (line[0][1] + line[1][1]) / 2)
            measured.append(Measured(placed.at, end, *line, placed.at, end, middle, turn, value, text, height))
    return replace(drawing, dimensions=tuple(measured))


def whole(layout: Layout) -> bytes:
    """Return the DXF of a plan as the program makes it: drawing and file."""
    return write_dxf(plan_drawing(layout))


def rows(sizes: tuple[int, ...] = SIZES) -> list[Row]:
    """Return two rows for each size: the file with two dimensions a pier, and the plan's own drawing and file."""
    found = []
    for count in sizes:
        layout = derive(grid_plan(count))
        drawing = plan_drawing(layout)
        full = with_two_dimensions_a_pier(drawing)
        size = f"{count:,} piers".replace(",", " ")
        rounds = 9 if count <= 100 else 5
        least, taken = race(partial(bare, full), partial(write_dxf, full), rounds=rounds)
        found.append(Row("DXF file, 2 dimensions a pier", size, "rendered", least, taken, TARGETS.get(count)))
        least, taken = race(partial(bare, drawing), partial(whole, layout), rounds=rounds)
        found.append(Row("DXF from the plan, drawing and all", size, "rendered", least, taken, None))
    return found


def main() -> None:
    """Print the table for the sizes asked for."""
    parser = argparse.ArgumentParser(description="DXF files against the bare library")
    parser.add_argument("--piers", type=int, nargs="+", default=list(SIZES), help="8, 100, 500, 1000 or 10000")
    sys.stdout.write(table(rows(tuple(parser.parse_args().piers))) + "\n")


if __name__ == "__main__":
    main()
