"""Plans with little in them, or far too much: the DXF is sound, and says as much as there is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from ezdxf.entities import Dimension, Insert
from hypothesis import given, settings

from layoutdesk.geometry.vector import distance
from layoutdesk.plan.model import Baseline, BeamLine, Control, Detail, Keepout, Pier, Plan, Slab, Wall
from layoutdesk.sheets.scales import standard_scales
from tests.exporters.dxf_scene import Written, of_kind, written
from tests.strategies import plans

BASELINE = Baseline(origin=(0, 0), toward=(6000, 0), yard_side="right")
WALL = Wall(id="W1", points=((0, 0), (6000, 0)), house_side="left")
HOLE = Detail(id="D1", profile=((0, 300), (800, 300)), reveal=50)
PIER = Pier(id="P1", at=(500, -2000), detail="D1")
PLANS = {
    "nothing": Plan(),
    "nothing, metric, on A4": Plan(units="m", rounding=1.0, paper="a4"),
    "a wall": Plan(walls=(WALL,)),
    "a pier without detail or baseline": Plan(piers=(Pier(id="P1", at=(0, 0)),)),
    "a pier far from the origin": Plan(piers=(replace(PIER, at=(9e6, -9e6)),), details=(HOLE,)),
    "a baseline without a length": Plan(baseline=replace(BASELINE, toward=(0, 0)), piers=(PIER,), details=(HOLE,)),
    "a detail without a depth": Plan(piers=(PIER,), details=(replace(HOLE, profile=((0, 300),)),)),
    "a detail that is not there": Plan(piers=(replace(PIER, detail="D9"),)),
    "piers in one place": Plan(baseline=BASELINE, piers=tuple(replace(PIER, id=f"P{n}") for n in range(5))),
    "a line without a length": Plan(lines=(BeamLine(id="L1", start=(5, 5), end=(5, 5)),)),
    "outlines without area": Plan(
        slabs=(Slab(id="S1", outline=((0, 0), (1000, 0), (2000, 0)), thickness=100),),
        keepouts=(Keepout(id="K1", outline=((0, 0), (0, 0), (0, 0))),),
    ),
    "an outline that crosses itself": Plan(
        slabs=(Slab(id="S1", outline=((0, 0), (3000, 3000), (3000, 0), (0, 3000)), thickness=100),)
    ),
    "control points in one place": Plan(controls=(Control(id="C1", at=(1, 1)), Control(id="C2", at=(1, 1)))),
    "ten kilometres": Plan(walls=(replace(WALL, points=((-1e7, -1e7), (1e7, 1e7))),), piers=(PIER,)),
    "coarse rounding": Plan(
        units="mm", rounding=5.0, baseline=BASELINE, lines=(BeamLine(id="L1", start=(0, 0), end=(0, -9000)),),
        piers=tuple(Pier(id=f"P{n}", at=(0, -1234.0 * n), line="L1") for n in range(1, 5)),
    ),
}  # fmt: skip

ASIDE = {"V-NODE-STKD", "V-TOPO-SPOT"}
"""Layers of what is no point of the plan: stakes as found, and spots."""


def assert_sound(file: Written) -> None:
    """Assert that the audit finds nothing and that every point of the plan is there, and each stake as found."""
    auditor = file.document.audit()
    assert [error.message for error in auditor.errors] == []
    assert [fix.message for fix in auditor.fixes] == []
    every = of_kind(file.document.modelspace(), Insert)
    inserts = [one for one in every if one.dxf.layer not in ASIDE]
    plan = file.layout.on_site.plan
    places = [c.at for c in plan.controls] + [a.at for a in plan.attachments] + [p.at for p in plan.piers]
    assert len(inserts) == len(places)
    assert len(every) == len(file.tags.with_attributes())
    for insert, place in zip(inserts, places, strict=True):
        assert distance((insert.dxf.insert.x, insert.dxf.insert.y), place) < 1e-6
    styles = [one.dxf.dimstyle for one in of_kind(file.document.modelspace(), Dimension)]
    assert styles.count("PLAN-DIMENSIONS") == len(file.layout.dimensions)
    assert styles.count("SIDE-DIMENSIONS") == sum(len(side.dimensions) for side in file.drawing.sides)


@pytest.mark.parametrize("name", PLANS)
def test_a_degenerate_plan_gives_a_sound_file(name: str) -> None:
    assert_sound(written(PLANS[name]))


@settings(max_examples=25)
@given(plans())
def test_any_plan_gives_a_sound_file(plan: Plan) -> None:
    assert_sound(written(plan))


def test_without_a_baseline_stations_are_left_empty() -> None:
    file = written(PLANS["a pier without detail or baseline"])
    ((_, values),) = file.tags.with_attributes()
    assert values == {"MARK": "P1", "STATION": "", "OFFSET": "", "DETAIL": ""}
    assert not file.tags.table("UCS")


def test_a_text_that_decimals_cannot_say_is_written_out() -> None:
    """On a tape of 5 mm, 1234 mm reads 1235: the receiver's own 1234 would be another number."""
    dimensions = of_kind(written(PLANS["coarse rounding"]).document.modelspace(), Dimension)
    assert {d.dxf.text for d in dimensions} == {"1235 mm"}
    assert {round(d.dxf.actual_measurement, 6) for d in dimensions} == {1234.0}


def test_two_thousand_piers() -> None:
    """A plan far larger than the sheet is for still comes out whole, at a standard scale."""
    lines = tuple(BeamLine(id=f"L{n}", start=(n * 2400, 0), end=(n * 2400, -90_000)) for n in range(40))
    piers = tuple(
        Pier(id=f"P{n}", at=((n % 40) * 2400, -1800 * (1 + n // 40)), line=f"L{n % 40}", detail="D1")
        for n in range(2000)
    )
    file = written(Plan(baseline=BASELINE, lines=lines, piers=piers, details=(HOLE,)))
    assert_sound(file)
    assert file.drawing.sheet.scale_name in {scale.name for scale in standard_scales("ft-in")}
