"""Flags of ground, tops and holes: each in one sentence with its numbers, at its limit, none without a reason."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Flag
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.heights import (
    Benchmark,
    HeightSettings,
    LineHeights,
    PierHeights,
    Reading,
)
from layoutdesk.plan.model import Detail, Levels, Plan
from layoutdesk.units import format_slope
from tests.engine.scenes import PORCH, STRAIGHT
from tests.engine.yards import spots

SP = "\u00a0"
AROUND = (
    (-1000.0, 1000.0),
    (9000.0, 1000.0),
    (9000.0, -9000.0),
    (-1000.0, -9000.0),
    (4000.0, -4000.0),
    (0.0, -4500.0),
)
DRY = HeightSettings(frost=0.0)


def flags(plan: Plan, code: str) -> list[Flag]:
    """Return the flags of one code."""
    return [flag for flag in derive(plan).flags if flag.code == code]


def sloping(
    *, east: float = 0.0, north: float = 0.02, places: tuple[Vector, ...] = AROUND, settings: HeightSettings = DRY
) -> Plan:
    """Return the porch on a yard that rises so much toward the house; deep enough, and with nothing of columns."""
    heights = [east * x + north * y for x, y in places]
    return PORCH.with_(spots=spots(places, heights), levels=Levels(settings=settings))


def typed(plan: Plan, spot: str, elevation: float) -> Plan:
    """Return the plan with another height typed for one spot."""
    return plan.with_(spots=tuple(replace(s, elevation=elevation) if s.id == spot else s for s in plan.spots))


def ruled(plan: Plan, *said: LineHeights, piers: tuple[PierHeights, ...] = ()) -> Plan:
    """Return the plan with heights of some lines and piers."""
    return plan.with_(levels=replace(plan.levels, lines=said, piers=piers))


OURS = {
    "ground-not-known",
    "pier-beyond-spots",
    "spots-in-one-line",
    "spots-disagree",
    "spot-off-the-ground",
    "ground-steep",
    "ground-above-seat",
    "top-below-ground",
    "frost-not-given",
    "base-above-frost",
    "hole-shallow",
    "hole-deep",
    "top-not-as-planned",
}


def test_a_sound_yard_has_none_of_these_flags() -> None:
    assert OURS.isdisjoint(flag.code for flag in derive(sloping()).flags)


def test_a_plan_without_heights_has_no_flags_of_heights() -> None:
    """Settings alone say nothing of heights: they are there before the first reading."""
    for plan in (PORCH, PORCH.with_(levels=Levels(settings=HeightSettings(frost=900.0)))):
        assert [flag for flag in derive(plan).flags if flag.stage == "levels"] == []


def test_frost_depth_that_nobody_asked_for_is_told_with_where_to_ask() -> None:
    (flag,) = flags(sloping(settings=HeightSettings()), "frost-not-given")
    assert flag.severity == "note"
    assert "local building department" in flag.text
    assert "R403.1.4.1" in flag.text
    assert flags(sloping(settings=HeightSettings(frost=0.0)), "frost-not-given") == []


def test_detail_that_ends_above_the_frost_is_told() -> None:
    (flag,) = flags(sloping(settings=HeightSettings(frost=1200.0)), "base-above-frost")
    assert flag.text == (
        f"Detail D1 goes 800{SP}mm deep and the ground freezes to 1200{SP}mm; its holes, concrete and"
        " bars are reckoned down to there. Make its profile deeper."
    )
    assert flag.about == ("P1", "P2", "P3", "P4", "P5", "P6")
    assert flags(sloping(settings=HeightSettings(frost=800.0)), "base-above-frost") == []


def deep(depth: float) -> Plan:
    """Return the yard with holes of a depth."""
    return sloping(north=0.0).with_(details=(replace(STRAIGHT, profile=((0.0, 300.0), (depth, 300.0))),))


def test_holes_from_five_feet_on_are_told() -> None:
    """29 CFR 1926.652(a)(1): 5 ft, 1524 mm."""
    assert flags(deep(1523.9), "hole-deep") == []
    (flag,) = flags(deep(1524.0), "hole-deep")
    assert f"up to 1524{SP}mm deep: stay out; from 1524{SP}mm on an excavation is protected" in flag.text
    assert len(flag.about) == 6


def test_holes_of_less_than_a_foot_are_told() -> None:
    """IRC R403.1.4: 12 in, 304.8 mm."""
    assert flags(deep(304.8), "hole-shallow") == []
    (flag,) = flags(deep(304.0), "hole-shallow")
    assert f"less than 305{SP}mm below the lowest ground" in flag.text
    two = deep(300.0).with_(piers=PORCH.piers[:2])
    assert [f.about for f in flags(two, "hole-shallow")] == [("P1",), ("P2",)]


def test_piers_beyond_the_spots_are_told_one_by_one_or_together() -> None:
    inner = ((500.0, 0.0), (5000.0, 0.0), (500.0, -6000.0), (5000.0, -6000.0))
    two = flags(sloping(places=inner), "pier-beyond-spots")
    assert [f.about for f in two] == [("P3",), ("P6",)]
    assert two[0].text.startswith(
        "P3 stands beyond the spots, so its ground is only what their plane gives there, ±"
    )
    (all_,) = flags(sloping(places=((0.0, 0.0), (1000.0, 0.0), (500.0, -500.0))), "pier-beyond-spots")
    assert all_.about == ("P1", "P2", "P3", "P4", "P5", "P6")
    assert all_.title == "6 piers stand beyond the spots"


def test_a_pier_beyond_the_spots_that_was_read_is_not_told() -> None:
    inner = ((500.0, 0.0), (5000.0, 0.0), (500.0, -6000.0), (5000.0, -6000.0))
    plan = ruled(sloping(places=inner), piers=(PierHeights(pier="P3", ground=-40.0),))
    assert "P3" not in {piece for flag in flags(plan, "pier-beyond-spots") for piece in flag.about}


def test_ground_that_nothing_tells_is_told() -> None:
    plan = ruled(PORCH, piers=(PierHeights(pier="P1", ground=0.0),))
    (flag,) = flags(plan, "ground-not-known")
    assert flag.about == ("P2", "P3", "P4", "P5", "P6")


def test_spots_in_one_line_are_told() -> None:
    (flag,) = flags(sloping(places=((0.0, 0.0), (0.0, -3000.0), (0.0, -6000.0))), "spots-in-one-line")
    assert flag.about == ("S1", "S2", "S3")
    assert "take the height of a spot beside that line" in flag.text


def test_spots_at_one_place_that_differ_are_told_from_what_readings_explain() -> None:
    """Two typed heights, ±2.94 each: 4.16 is explained."""
    base = sloping(places=(*AROUND, (4000.0, -4000.5)))
    assert flags(typed(base, "S7", -80.0 + 4.1), "spots-disagree") == []
    (flag,) = flags(typed(base, "S7", -80.0 + 30.0), "spots-disagree")
    assert flag.about == ("S5", "S7")
    assert f"their ground differs by 30{SP}mm where readings explain 4{SP}mm; the mean is taken." in flag.text


SLIPS = {
    "a wrong sign": -1.0,
    "metres typed as mm": 1 / 1000,
    "a decimal place too few": 1 / 10,
    "a decimal place too many": 10.0,
}


@pytest.mark.parametrize(("slip", "factor"), SLIPS.items(), ids=SLIPS)
def test_a_spot_in_the_wrong_unit_is_told_with_what_would_explain_it(slip: str, factor: float) -> None:
    base = sloping(north=0.02).with_(units="mm")
    raised = base.with_(spots=tuple(replace(s, elevation=(s.elevation or 0.0) - 900.0) for s in base.spots))
    true = next(s.elevation for s in raised.spots if s.id == "S5") or 0.0
    (flag,) = flags(typed(raised, "S5", true * factor), "spot-off-the-ground")
    assert flag.about == ("S5",)
    assert f"{slip} would explain it: type it again." in flag.text


def test_feet_typed_as_inches_are_told() -> None:
    base = sloping().with_(units="ft-in", rounding=1.5875)
    raised = base.with_(spots=tuple(replace(s, elevation=(s.elevation or 0.0) - 900.0) for s in base.spots))
    true = next(s.elevation for s in raised.spots if s.id == "S5") or 0.0
    (flag,) = flags(typed(raised, "S5", true / 12), "spot-off-the-ground")
    assert "feet typed as inches would explain it" in flag.text


def test_a_spot_that_was_read_is_to_be_read_again() -> None:
    readings = [Reading(setup=1, point="B1", kind="back", reading=1000.0)]
    readings += [Reading(setup=1, point=f"S{k}", kind="fore", reading=1000.0 + 5 * k) for k in range(1, 6)]
    readings.append(Reading(setup=1, point="S6", kind="fore", reading=1150.0))
    plan = sloping().with_(
        levels=Levels(benchmarks=(Benchmark(id="B1", elevation=0.0),), readings=tuple(readings), settings=DRY)
    )
    (flag,) = flags(plan, "spot-off-the-ground")
    assert flag.about == ("S6",)
    assert flag.text.endswith("below the plane of all other spots; read it again.")


def test_what_is_less_than_two_inches_off_is_ground() -> None:
    assert flags(typed(sloping(), "S5", -80.0 - 50.0), "spot-off-the-ground") == []
    assert flags(typed(sloping(), "S5", -80.0 - 90.0), "spot-off-the-ground") != []


def test_rough_ground_seldom_has_odd_spots() -> None:
    """Twenty spots of ground rough by 40 mm, 200 times: hardly one in a thousand spots is called odd."""
    rng = np.random.default_rng(3)
    called = 0
    for _ in range(200):
        places = [(float(x), float(y)) for x, y in rng.uniform(-9000, 9000, (20, 2))]
        plan = Plan(units="mm", rounding=1.0, spots=spots(places, rng.normal(0, 40, 20).tolist()))
        called += sum(len(flag.about) for flag in flags(plan, "spot-off-the-ground"))
    assert called <= 8


def test_steep_ground_is_told_from_one_in_three_on() -> None:
    assert flags(sloping(north=0.333), "ground-steep") == []
    (flag,) = flags(sloping(north=0.4), "ground-steep")
    assert flag.text.startswith(f"The ground falls {format_slope(0.4, 'mm')}, steeper than 1 in 3;")


def test_ground_is_not_called_steep_for_a_reading_that_the_book_doubts() -> None:
    """The last of six spots reads 15 m, which no rod does: the plane leans, and only the reading is told of."""
    readings = [Reading(setup=1, point="B1", kind="back", reading=1500.0)]
    readings += [Reading(setup=1, point=f"S{k}", kind="fore", reading=1500.0 + 20 * k) for k in range(1, 6)]
    readings.append(Reading(setup=1, point="S6", kind="fore", reading=15_000.0))
    plan = sloping().with_(
        spots=tuple(replace(s, elevation=None) for s in sloping().spots),
        levels=Levels(benchmarks=(Benchmark(id="B1", elevation=0.0),), readings=tuple(readings), settings=DRY),
    )
    assert derive(plan).ground.plane.slope > 1 / 3  # type: ignore[union-attr]
    assert flags(plan, "reading-doubtful") != []
    assert flags(plan, "ground-steep") == []


def test_spots_along_the_baseline_do_not_tell_how_the_ground_falls_away_from_the_house() -> None:
    plane = derive(sloping(east=-0.02, places=((0.0, -2000.0), (3000.0, -2000.0), (6000.0, -2000.0)))).ground.plane
    assert plane is not None
    assert plane.away is None
    assert plane.along == pytest.approx(0.02)
    plane = derive(sloping(places=((2000.0, -1000.0), (2000.0, -3000.0)))).ground.plane
    assert plane is not None
    assert plane.away == pytest.approx(0.02)
    assert plane.along is None


def test_beam_in_the_ground_is_an_error() -> None:
    """At x = 7000 the beam, 100 at its zero of 800 and falling 2 %, lies at -24; the ground rises to 70."""
    plan = ruled(sloping(east=0.01, north=0.0), LineHeights(line="L1", seat=100.0, fall=0.02))
    found = flags(plan, "ground-above-seat")
    assert [f.about for f in found] == [("P2",), ("P3",)]
    last = found[-1]
    assert last.severity == "error"
    assert f"At P3 the ground lies 94{SP}mm above the seat of the beam; check the seat of L1" in last.text


def test_level_tops_that_lie_in_the_ground_are_told_by_beam_line() -> None:
    """The ground rises from 10 at P1 to 70 at P3; tops at 50."""
    plan = ruled(sloping(east=0.01, north=0.0), LineHeights(line="L1", top="level", pier_top=50.0))
    (flag,) = flags(plan, "top-below-ground")
    assert flag.about == ("P3",)
    assert flag.text.startswith(
        f"The tops of L1 are level and lie below the ground at P3, by up to 20{SP}mm; raise"
    )
    assert flags(ruled(plan, LineHeights(line="L1", top="level", pier_top=70.0)), "top-below-ground") == []


def test_typed_top_in_the_ground_is_told() -> None:
    (flag,) = flags(ruled(sloping(north=0.0), piers=(PierHeights(pier="P2", top=-35.0),)), "top-below-ground")
    assert flag.about == ("P2",)
    assert f"planned 35{SP}mm below the ground beside it" in flag.text


def test_finished_top_off_its_plan_is_told() -> None:
    """P1 is planned at 50 and was read 20 lower, P2 as planned but for 12."""
    readings = (
        Reading(setup=1, point="B1", kind="back", reading=1000.0),
        Reading(setup=1, point="P1 top", kind="fore", reading=970.0),
        Reading(setup=1, point="P2 top", kind="fore", reading=962.0),
    )
    plan = sloping(north=0.0).with_(
        levels=Levels(benchmarks=(Benchmark(id="B1", elevation=0.0),), readings=readings, settings=DRY)
    )
    (flag,) = flags(plan, "top-not-as-planned")
    assert flag.about == ("P1",)
    assert flag.severity == "note"
    assert f"was read 20{SP}mm below its plan" in flag.text


def test_top_that_its_detail_shows_in_the_ground_is_meant() -> None:
    sunk = Detail(id="D1", profile=((0.0, 300.0), (800.0, 300.0)), reveal=-100.0)
    plan = sloping(north=0.0).with_(details=(sunk,))
    assert flags(plan, "top-below-ground") == []
    deeper = ruled(plan, piers=(PierHeights(pier="P2", top=-150.0),))
    assert [f.about for f in flags(deeper, "top-below-ground")] == [("P2",)]
