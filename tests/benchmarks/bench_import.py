"""A drawing of ten thousand things read and proposed from, against the DXF library reading the file and no more.

The drawing is an architect's: lines of walls, closed outlines, circles, texts, and blocks with their marks. What
is made of it is left out of the first row, so that reading and recognising can be told apart.
"""

from __future__ import annotations

import random
import tempfile
from functools import partial
from pathlib import Path

import ezdxf
from ezdxf.units import MM

from layoutdesk.importers.reading import propose_file, read_linework
from tests.benchmarks.ratio import Row, race

THINGS = 10_000
TARGET = 1.5


def drawing(things: int) -> ezdxf.document.Drawing:
    """Return a drawing of so many things."""
    document = ezdxf.new("R2010", units=MM)
    model = document.modelspace()
    pier = document.blocks.new("PIER")
    pier.add_circle((0, 0), 150)
    pier.add_line((-80, 0), (80, 0))
    pier.add_line((0, -80), (0, 80))
    lot = random.Random(1)  # noqa: S311
    for k in range(things):
        x, y = lot.uniform(0, 1e5), lot.uniform(0, 1e5)
        match k % 10:
            case 0 | 1 | 2 | 3 | 4:
                model.add_line((x, y), (x + lot.uniform(1, 1000), y), dxfattribs={"layer": "A-WALL"})
            case 5 | 6:
                model.add_lwpolyline([(x, y), (x + 100, y), (x + 100, y + 50), (x, y + 50)], close=True)
            case 7:
                model.add_circle((x, y), 100)
            case 8:
                model.add_text(f"P{k}", height=100).set_placement((x, y))
            case _:
                model.add_blockref("PIER", (x, y)).add_attrib("MARK", f"P{k}", (x, y))
    return document


def rows() -> list[Row]:
    """Return a row for reading alone, and one for reading and proposing."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "drawing.dxf"
        drawing(THINGS).saveas(path)
        bare, read, proposed = race(
            partial(ezdxf.readfile, path), partial(read_linework, path), partial(propose_file, path), rounds=7
        )
    size = f"{THINGS:,} things"
    return [
        Row("read a DXF", size, "ezdxf.readfile", bare, read, None),
        Row("read a DXF and propose", size, "ezdxf.readfile", bare, proposed, TARGET),
    ]
