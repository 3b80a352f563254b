"""All points of the stake-out, by column and by row."""

from __future__ import annotations

import math

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Attachment, Baseline, Control, Pier, Plan, Side

PLAN = Plan(
    baseline=Baseline(origin=(100.0, 50.0), toward=(500.0, 350.0), yard_side="right"),
    controls=(Control(id="C1", at=(100.0, 50.0)),),
    attachments=(Attachment(id="A1", at=(500.0, 350.0), kind="ledger"),),
    piers=(Pier(id="P1", at=(400.0, -350.0), mark="NE"), Pier(id="P2", at=(0.0, 0.0))),
)


def test_controls_come_first_then_attachments_then_piers() -> None:
    points = derive(PLAN).points
    assert list(points.ids) == ["C1", "A1", "P1", "P2"]
    assert list(points.labels) == ["C1", "A1", "NE", "P2"]
    assert list(points.kinds) == ["control", "attachment", "pier", "pier"]
    assert points.first_pier == 2
    assert len(points) == len(list(points)) == 4


def test_station_and_offset_of_a_skewed_baseline() -> None:
    """The baseline rises 3 in 4: the pier lies 500 mm square from its origin, in the yard."""
    points = derive(PLAN).points
    assert points.station == pytest.approx([0, 500, 0, -110], abs=1e-9)
    assert points.offset == pytest.approx([0, 0, 500, -20], abs=1e-9)
    row = points[2]
    assert (row.id, row.label, row.kind, row.at) == ("P1", "NE", "pier", (400.0, -350.0))
    assert row.station == pytest.approx(0, abs=1e-9)
    assert row.offset == pytest.approx(500)


@pytest.mark.parametrize(("side", "sign"), [("right", 1), ("left", -1)])
def test_offsets_grow_into_the_yard(side: Side, sign: int) -> None:
    line = Baseline(origin=(0.0, 0.0), toward=(1000.0, 0.0), yard_side=side)
    points = derive(Plan(baseline=line, piers=(Pier(id="P1", at=(300.0, -700.0)),))).points
    assert (points[0].station, points[0].offset) == (300.0, sign * 700.0)


@pytest.mark.parametrize("line", [None, Baseline(origin=(1.0, 1.0), toward=(1.0, 1.0), yard_side="left")])
def test_without_a_baseline_there_are_no_stations(line: Baseline | None) -> None:
    layout = derive(PLAN.with_(baseline=line))
    assert layout.frame is None
    assert all(math.isnan(value) for value in (*layout.points.station, *layout.points.offset))
    assert layout.points[0].station is None
    assert layout.points[0].offset is None


def test_points_are_found_by_id() -> None:
    points = derive(PLAN).points
    assert points.index("P2") == 3
    with pytest.raises(KeyError):
        points.index("P9")
    with pytest.raises(IndexError):
        points[4]
    assert points[-1].id == "P2"


def test_of_two_points_with_one_id_the_first_is_found() -> None:
    twice = PLAN.with_(piers=(Pier(id="P1", at=(1.0, 1.0)), Pier(id="P1", at=(2.0, 2.0))))
    assert derive(twice).points.index("P1") == 2
