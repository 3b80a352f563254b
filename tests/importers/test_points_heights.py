"""Heights in a table of points: spots of ground, and the ground at piers."""

from __future__ import annotations

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.importers.points import read_points
from layoutdesk.importers.recognise import plan_of
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, SpotHeight
from layoutdesk.plan.validate import check

TABLE = """id,x (m),y (m),z (m),kind
P1,1,-2,-0.150,pier
P2,4,-2,-0.180,pier
P3,7,-2,,pier
G1,0,0,-0.100,ground
101,8,0,-0.120,spot height
102,8,-5,-0.250,contour
103,0,-5,,ground
C1,0,1,0.5,control
T1,3,-9,-0.3,tree
"""


def test_ground_becomes_spots_and_piers_get_their_ground() -> None:
    proposal = read_points(TABLE, "site.csv")
    plan = plan_of(proposal)
    check(plan)
    assert [(spot.id, spot.at, spot.elevation) for spot in plan.spots] == [
        ("G1", (0.0, 0.0), -100.0),
        ("G2", (8000.0, 0.0), -120.0),
        ("G3", (8000.0, -5000.0), -250.0),
    ]
    assert [(h.pier, h.ground) for h in plan.levels.piers] == [("P1", -150.0), ("P2", -180.0)]
    assert [control.id for control in plan.controls] == ["C1"]
    assert proposal.notes == (
        "Heights in it are taken as elevations above the zero of the job: check the benchmark.",
    )


def test_ground_without_a_height_stays_out_and_a_spot_needs_one() -> None:
    by_mark = {c.mark: c for c in read_points(TABLE, "site.csv").candidates}
    assert by_mark["103"].becomes == "nothing"
    assert "spot" not in by_mark["103"].can_become
    assert "spot" in by_mark["P1"].can_become
    assert by_mark["T1"].becomes == "nothing"


def test_a_point_called_like_a_spot_is_one_when_it_has_a_height() -> None:
    plan = plan_of(read_points("id,x (mm),y (mm),z (mm)\nG7,0,0,5\nG8,100,0,\nP1,0,900,7\n", "t.csv"))
    assert [(s.id, s.elevation) for s in plan.spots] == [("G7", 5.0)]
    assert [p.label for p in plan.piers] == ["G8", "P1"]


@pytest.mark.parametrize(
    ("heading", "cell", "height"),
    [("z (ft)", "-1.5", -457.2), ("rl", "-1.5", -1500.0), ("elev (mm)", "-150", -150.0), ("h", "6 in", 152.4)],
)
def test_heights_have_the_unit_of_their_heading_or_that_of_the_places(
    heading: str, cell: str, height: float
) -> None:
    plan = plan_of(read_points(f"id,x (m),y (m),{heading},kind\nG1,0,0,{cell},ground\n", "t.csv"))
    assert plan.spots[0].elevation == pytest.approx(height)


def test_heights_that_cannot_be_read_are_counted_and_the_point_stays() -> None:
    proposal = read_points("id,x (m),y (m),z\nP1,1,2,high\nP2,3,4,1e9\nP3,5,6,0.1\n", "t.csv")
    assert proposal.notes[-1] == "2 heights are no lengths, and left out."
    assert len(plan_of(proposal).piers) == 3
    assert [h.pier for h in plan_of(proposal).levels.piers] == ["P3"]


def test_heights_come_along_under_the_names_that_their_piers_get() -> None:
    there = edits.set_pier_heights(edits.add_pier(Plan(), (0, 0)), ["P1"], top=30)
    there = edits.add_spot(there, (1, 1), elevation=2)
    both = edits.take_in(there, plan_of(read_points(TABLE, "site.csv")))
    check(both)
    ground = {h.pier: (h.ground, h.top) for h in both.levels.piers}
    assert ground.pop("P1") == (None, 30.0)
    assert sorted(ground.values()) == [(-180.0, None), (-150.0, None)]
    at = {pier.id: pier.at for pier in both.piers}
    assert {at[name] for name in ground} == {(1000.0, -2000.0), (4000.0, -2000.0)}
    assert both.spots[0] == SpotHeight(id="G1", at=(1.0, 1.0), elevation=2.0)
    assert len({spot.id for spot in both.spots}) == 4
    known = {height.id: height.ground for height in derive(both).heights}
    assert sorted(known[name] for name in ground) == [-180.0, -150.0]  # type: ignore[type-var]
