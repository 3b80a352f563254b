"""Points as CSV: what a spreadsheet reads is what the Layout has, and no name becomes a formula."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest
from hypothesis import given, settings

from layoutdesk.engine.derive import derive
from layoutdesk.exporters.tables import points_csv
from layoutdesk.plan.model import Baseline, Pier, Plan
from tests.sheets.sheet_plans import NAMES, PORCH, sample, sample_layout
from tests.strategies import plans

HEADING = ["id", "x", "y", "station", "offset", "mark"]


def rows_of(text: str) -> list[list[str]]:
    """Return a CSV's rows as a spreadsheet would read them."""
    return list(csv.reader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("name", NAMES)
def test_every_point_is_a_row_in_order(name: str) -> None:
    layout = sample_layout(name)
    heading, *rows = rows_of(points_csv(layout))
    assert heading[:6] == HEADING
    assert [row[0] for row in rows] == [p.id for p in layout.points]
    for row, point in zip(rows, layout.points, strict=True):
        assert [float(v) for v in row[1:5]] == pytest.approx([*point.at, point.station, point.offset], abs=1e-6)
        assert row[5] == point.label


def test_numbers_have_no_noughts_that_say_nothing() -> None:
    text = points_csv(sample_layout(PORCH))
    assert "\nP1,609.6,-2438.4,609.6,2438.4,P1" in text
    assert "-0," not in text


def test_without_a_baseline_station_and_offset_are_empty() -> None:
    _, *rows = rows_of(points_csv(derive(replace(sample(PORCH), baseline=None))))
    assert all(row[3:5] == ["", ""] for row in rows)


@pytest.mark.parametrize("mark", ["=1+1", "+1", "-1", "@SUM(A1)"])
def test_a_name_is_never_a_formula(mark: str) -> None:
    plan = Plan(piers=(Pier(id="P1", at=(-1.5, 0.0), mark=mark),))
    _, row = rows_of(points_csv(derive(plan)))
    assert row == ["P1", "-1.5", "0", "", "", f"'{mark}"]


def test_quotes_and_commas_in_names_stay_in_their_cell() -> None:
    plan = Plan(piers=(Pier(id='P"1', at=(0.0, 0.0), mark="a,b;c"),))
    _, row = rows_of(points_csv(derive(plan)))
    assert (row[0], row[5]) == ('P"1', "a,b;c")


def test_a_baseline_on_the_point_writes_plain_noughts() -> None:
    baseline = Baseline(origin=(100.0, 50.0), toward=(0.0, 0.0), yard_side="left")
    plan = Plan(piers=(Pier(id="P1", at=(100.0, 50.0)),), baseline=baseline)
    _, row = rows_of(points_csv(derive(plan)))
    assert row[3:5] == ["0", "0"]


@settings(max_examples=50)
@given(plan=plans())
def test_any_plan_gives_a_table_as_wide_as_its_heading(plan: Plan) -> None:
    rows = rows_of(points_csv(derive(plan)))
    assert rows[0][:6] == HEADING
    assert all(len(row) == len(rows[0]) for row in rows)
    assert len(rows) == 1 + len(plan.controls) + len(plan.attachments) + len(plan.piers)
