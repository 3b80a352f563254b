"""Holes, steel, openings and the order in the figures and in the table of holes, with rows made by hand."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

from layoutdesk.exporters.figures_holes import hole_figures
from layoutdesk.exporters.hole_table import HOLE_COLUMNS, holes_csv
from layoutdesk.plan.model import Slab
from tests.sheets.hole_rows import by_hand, with_details
from tests.sheets.sheet_plans import PORCH, sample

YARD = Slab(id="S1", outline=((0.0, 0.0), (20000.0, 0.0), (20000.0, -9000.0), (0.0, -9000.0)), thickness=100.0)


def test_figures_hold_every_row_of_holes_as_plain_values() -> None:
    layout = by_hand(with_details(sample(PORCH)).with_(slabs=(YARD,)))
    found = json.loads(json.dumps(hole_figures(layout), allow_nan=False))
    assert [one["size"] for one in found["steel"]] == ["No. 4", "No. 3"]
    assert found["steel"][0].keys() >= {"size", "count", "length", "mass_kg"}
    assert found["steel"][0]["mass_kg"] == layout.steel.sizes[0].mass
    assert [one["detail"] for one in found["sections"]] == [detail.id for detail in layout.plan.details]
    assert found["sections"][1]["cast_in"]["kind"] == "post"
    assert found["order"]["products"][0]["chance_short"] == layout.order.products[0].supply.chance <= 0.05
    assert len(found["openings"]) == len(found["holes"]) == len(layout.plan.piers)
    assert sum(hole["dug"] is not None for hole in found["holes"]) == sum(h.depth is not None for h in layout.holes)


def test_the_table_of_holes_has_a_row_for_every_pier_and_no_formula() -> None:
    layout = by_hand(with_details(sample(PORCH)))
    first = replace(layout.holes[0], label="=1+1", by="@mason", says="a, b\nc")
    rows = list(csv.reader(io.StringIO(holes_csv(by_hand(layout.plan, holes=(first, *layout.holes[1:]))))))
    assert tuple(rows[0]) == HOLE_COLUMNS
    assert len(rows) == 1 + len(layout.plan.piers)
    told = dict(zip(HOLE_COLUMNS, rows[1], strict=True))
    assert told["mark"] == "'=1+1"
    assert told["by"] == "'@mason"
    assert told["text"] == "a, b\nc"
    assert (told["planned_depth"], told["depth"], told["away"]) == ("1066.8", "1117.6", "-6.35")
    assert set(rows[2][5:13]) == {""}
