"""Holes as dug: what they hold, whether they may be poured, and their covers."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from layoutdesk.engine.derive import derive
from layoutdesk.engine.holes.dug import dug_volume, hole_parts, planned_volume
from layoutdesk.plan.heights import HeightSettings, Levels
from layoutdesk.plan.holes import CastIn, DigRule, HoleLog, Holes, Steel
from layoutdesk.plan.model import BagProduct, Baseline, Control, Detail, Pier, Plan, Slab

STRAIGHT = Detail(id="D1", profile=((0.0, 300.0), (900.0, 300.0)), cast_in=CastIn(width=140.0, depth=140.0))
BELL = Detail(id="D1", profile=((0.0, 300.0), (600.0, 300.0), (900.0, 500.0)))
STEP = Detail(id="D1", profile=((100.0, 300.0), (600.0, 300.0), (600.0, 500.0), (900.0, 500.0)), square_from=600.0)
AS_DRAWN = HoleLog(pier="P1", depth=900.0, top=300.0, bottom=300.0)


def dug_plan(*logs: HoleLog, detail: Detail = STRAIGHT, **holes: object) -> Plan:
    """Return a plan in millimetres with two piers of a detail and some holes logged."""
    return Plan(
        units="mm",
        rounding=1.0,
        baseline=Baseline(origin=(0.0, 0.0), toward=(9000.0, 0.0), yard_side="right"),
        controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(9000.0, 0.0))),
        details=(detail,),
        piers=(Pier(id="P1", at=(3000.0, -2000.0), detail="D1"), Pier(id="P2", at=(6000.0, -2000.0), detail="D1")),
        bags=(
            BagProduct(product="small bag", yield_m3=0.01),
            BagProduct(product="big bag", yield_m3=0.02, price=9.5),
        ),
        holes=Holes(log=logs, **holes),  # type: ignore[arg-type]
    )


def verdict(log: HoleLog, *, detail: Detail = STRAIGHT) -> tuple[str, str]:
    """Return the verdict about a hole and what is said of it."""
    row = derive(dug_plan(log, detail=detail)).holes[0]
    return row.verdict, row.says.replace("\u00a0", " ")


@pytest.mark.parametrize("detail", [STRAIGHT, BELL, STEP, replace(BELL, reveal=-150.0), replace(STEP, tube=400.0)])
def test_a_hole_dug_as_drawn_holds_what_is_drawn(detail: Detail) -> None:
    log = HoleLog(pier="P1", depth=900.0, top=300.0, bottom=detail.profile[-1][1])
    assert dug_volume(log, detail) == pytest.approx(planned_volume(detail), rel=1e-12)
    (row, _) = derive(dug_plan(log, detail=detail)).holes
    assert row.factor == pytest.approx(1.0, rel=1e-12)
    assert row.extra_m3 == pytest.approx(0.0, abs=1e-12)
    assert (row.verdict, row.says) == ("as planned", "It is as planned.")


def test_a_straight_hole_is_the_frustum_between_its_widths_round_or_square() -> None:
    log = HoleLog(pier="P1", depth=1000.0, top=330.0, bottom=280.0)
    frustum = 1000 * (330**2 + 330 * 280 + 280**2) / 3 / 1e9
    assert dug_volume(log, STRAIGHT) == pytest.approx(math.pi / 4 * frustum, rel=1e-12)
    assert dug_volume(log, replace(STRAIGHT, square_from=0.0)) == pytest.approx(frustum, rel=1e-12)
    formed = dug_volume(log, replace(STRAIGHT, tube=1000.0))
    assert formed == pytest.approx(math.pi / 4 * 0.3**2 * 1.0, rel=1e-12)


@settings(max_examples=25)
@given(
    st.sampled_from((STRAIGHT, BELL, STEP)),
    st.tuples(st.floats(300, 1500), st.floats(200, 600), st.floats(200, 600)),
    st.sampled_from((0.0, 50.0, -200.0)),
    st.none() | st.floats(0, 1200),
)
def test_what_a_hole_holds_is_the_integral_of_its_area(
    detail: Detail, dug: tuple[float, float, float], reveal: float, tube: float | None
) -> None:
    """Against numeric integration of the widths, depth by depth: the tube as drawn, below it as dug."""
    detail = replace(detail, reveal=reveal, tube=tube)
    depth, top, bottom = dug
    parts = hole_parts(detail, depth)
    shares = top / parts[0].upper, bottom / parts[-1].lower

    def area(z: float) -> float:
        part = next(part for part in parts if part.top <= z <= part.bottom)
        formed = tube is not None and z < tube
        share = 1.0 if formed else shares[0] + (shares[1] - shares[0]) * z / depth
        return (part.width(z) * share) ** 2 * (1.0 if part.shape == "square" else math.pi / 4)

    begin = max(0.0, -reveal)
    breaks = {begin, *(part.bottom for part in parts), 0.0 if tube is None else tube}
    ends = sorted(z for z in breaks if begin <= z <= depth)
    expected = math.fsum(quad(area, a, b, epsrel=1e-12)[0] for a, b in pairwise(ends))
    log = HoleLog(pier="P1", depth=depth, top=top, bottom=bottom)
    assert dug_volume(log, detail) * 1e9 == pytest.approx(expected, rel=1e-9)


def test_deeper_and_wider_are_good_and_cost_so_much() -> None:
    """100 mm more of a round hole 300 wide is 7.07 l; the chosen bag makes 20 l and costs 9.50."""
    deeper = replace(AS_DRAWN, depth=1000.0)
    good, says = verdict(deeper)
    assert good == "good"
    assert says == (
        "It is 100 mm deeper than planned, which is fine: fill it with concrete, not with soil. It takes 0.007 m³"
        " more concrete than planned, up to 1 × big bag for 9.50."
    )
    assert verdict(replace(deeper, poured=True))[1] == (
        "It is 100 mm deeper than planned, which is fine. It took 0.007 m³ more concrete than planned, up to"
        " 1 × big bag for 9.50."
    )
    row = derive(dug_plan(deeper, dig=DigRule(bag="small bag"))).holes[0]
    assert row.says.endswith("up to 1 × small bag.")
    assert row.extra_m3 == pytest.approx(math.pi / 4 * 0.3**2 * 0.1)
    assert row.factor == pytest.approx(10 / 9)
    caged = verdict(deeper, detail=replace(STRAIGHT, steel=Steel()))[1]
    assert "not with soil, and hang the cage from the top." in caged
    wide, says = verdict(replace(AS_DRAWN, top=340.0, bottom=320.0))
    assert wide == "good"
    assert says.startswith("It is wider than planned, 40 mm at the top and 20 mm at the bottom, which is fine.")


def test_less_deep_and_narrower_are_to_be_mended_beyond_10_mm() -> None:
    assert verdict(replace(AS_DRAWN, depth=890.0, top=290.0))[0] == "as planned"
    assert verdict(replace(AS_DRAWN, depth=889.0)) == (
        "to mend",
        "It is 11 mm less deep than planned: dig on to 900 mm.",
    )
    assert verdict(replace(AS_DRAWN, top=289.0, bottom=280.0)) == (
        "to mend",
        "It is narrower than planned, 11 mm at the top and 20 mm at the bottom: widen it to 300 mm.",
    )


def test_the_centre_may_be_off_as_far_as_the_base_keeps_its_concrete() -> None:
    """A base 140 square reaches 99 mm from its middle and keeps 40 mm: 11 mm of 150 are left, 12.7 always are."""
    assert verdict(replace(AS_DRAWN, along=12.7))[0] == "as planned"
    off, says = verdict(replace(AS_DRAWN, along=-18.0, away=24.0))
    assert off == "to mend"
    assert says.startswith("Its centre is 30 mm off, and the column's base allows 13 mm: cut its side back by")
    assert "toward C2" in says
    assert "toward the house" in says
    wider = verdict(replace(AS_DRAWN, top=350.0, bottom=305.0, along=30.0))
    assert wider[0] == "good"  # 25 mm more room on every side: 36 mm
    assert "the column's base allows 36 mm: set the base where it is planned" in wider[1]
    # In a square pier corners have room: 150 - 70 - 40 is 40 mm either way.
    square = replace(STRAIGHT, square_from=0.0)
    assert verdict(replace(AS_DRAWN, along=39.0, away=39.0), detail=square)[0] == "good"
    assert verdict(replace(AS_DRAWN, along=41.0), detail=square)[0] == "to mend"
    _, far = verdict(replace(AS_DRAWN, along=100.0, away=100.0), detail=square)
    assert "cut its side back by 60 mm" in far
    assert far.count("60 mm") == 2  # either way


def test_water_is_pumped_out_and_a_poured_hole_is_past_mending() -> None:
    assert verdict(replace(AS_DRAWN, water=60.0)) == (
        "to mend",
        "Water stands 60 mm deep in it: pump it out, take out the mud, and pour the same day.",
    )
    assert verdict(replace(AS_DRAWN, water=60.0, poured=True))[0] == "as planned"
    shallow = replace(AS_DRAWN, depth=700.0, poured=True)
    assert verdict(shallow)[1].startswith("It is poured as it was: ask the designer and the inspector")
    flags = {flag.code: flag for flag in derive(dug_plan(shallow)).plan_flags}
    assert flags["hole-poured-unmended"].severity == "error"
    assert flags["hole-poured-unmended"].about == ("P1",)


def test_flags_say_what_the_log_says_and_all_of_many_together() -> None:
    shallow = replace(AS_DRAWN, depth=800.0)
    (one,) = (flag for flag in derive(dug_plan(shallow)).plan_flags if flag.code == "hole-to-mend")
    assert one.text.replace("\u00a0", " ") == "P1: It is 100 mm less deep than planned: dig on to 900 mm."
    plan = dug_plan(shallow, replace(shallow, pier="P2"), replace(shallow, pier="P3", depth=1600.0, water=10.0))
    plan = plan.with_(piers=(*plan.piers, Pier(id="P3", at=(8000.0, -2000.0), detail="D1")))
    codes = {flag.code: flag for flag in derive(plan).plan_flags}
    assert codes["hole-to-mend"].text == "Mend holes P1, P2 and P3 before they are poured."
    assert "stay out" in codes["dug-hole-deep"].text


def test_slips_and_piers_without_a_detail_are_said() -> None:
    slip, says = verdict(replace(AS_DRAWN, top=3000.0, bottom=3000.0))
    assert slip == "to mend"
    assert says == "As logged it takes 100 times what is drawn, which is a slip of the pen: measure it again."
    plan = dug_plan(AS_DRAWN)
    bare = derive(plan.with_(piers=(replace(plan.piers[0], detail=None),)))
    assert bare.holes[0].verdict == "to mend"
    assert (bare.holes[0].planned_depth, bare.holes[0].factor) == (None, None)
    flat, says = verdict(AS_DRAWN, detail=replace(STRAIGHT, profile=((0.0, 300.0),)))
    assert (flat, says) == ("to mend", "Its detail D1 is no hole to hold it against: give it a depth.")


def test_planned_depths_go_by_frost_and_by_heights() -> None:
    plan = dug_plan(replace(AS_DRAWN, depth=1200.0))
    assert [row.planned_depth for row in derive(plan).holes] == [900.0, 900.0]
    assert derive(plan).holes[1].verdict == "not logged"
    frosty = plan.with_(levels=Levels(settings=HeightSettings(frost=1200.0)))
    rows = derive(frosty).holes
    assert [row.planned_depth for row in rows] == [1200.0, 1200.0]
    assert rows[0].verdict == "as planned"
    assert rows[0].factor == pytest.approx(1.0)
    assert (rows[0].planned_top, rows[0].planned_bottom) == (300.0, 300.0)
    as_deep = math.pi / 4 * 300.0**2 * 1200.0 / 1e9
    assert [pier.net_m3 for pier in derive(frosty).concrete.piers] == pytest.approx([as_deep, as_deep])
    need = derive(frosty).order.need
    assert need is not None
    assert (need.known, need.drawn) == pytest.approx((as_deep, as_deep))


def test_covers_lie_150_mm_on_the_ground_and_over_the_margin_of_an_opening() -> None:
    """300 and 150 on both sides are 600; as dug 340 wide it is 650; in a slab 76.2 mm more on both sides, 800."""
    plan = dug_plan(replace(AS_DRAWN, top=340.0))
    assert [(c.size, c.mark, c.piers) for c in derive(plan).covers] == [
        (600.0, "HOLE", ("P2",)),
        (650.0, "HOLE", ("P1",)),
    ]
    slab = Slab(id="S1", outline=((5000, -3000), (7000, -3000), (7000, -1000), (5000, -1000)), thickness=100.0)
    assert [(c.size, c.piers) for c in derive(plan.with_(slabs=(slab,))).covers] == [
        (650.0, ("P1",)),
        (800.0, ("P2",)),
    ]
    slip = dug_plan(replace(AS_DRAWN, top=34000.0))
    assert [(c.size, c.piers) for c in derive(slip).covers] == [(600.0, ("P1", "P2"))]
    belled = plan.with_(details=(BELL,), slabs=(slab,))  # sawn 500 and twice 76.2 mm wide
    assert [(c.size, c.piers) for c in derive(belled).covers][-1] == (1000.0, ("P2",))
    poured = dug_plan(replace(AS_DRAWN, poured=True))
    assert [c.piers for c in derive(poured).covers] == [("P2",)]


def test_a_cover_over_a_tube_on_a_pad_reaches_over_the_pad_and_one_opening_has_one_cover() -> None:
    """A pad 600 wide is dug 600 wide from the top: 600 and twice 150. Two piers sawn as one: the longer side."""
    padded = replace(STRAIGHT, profile=((0.0, 300.0), (800.0, 300.0), (800.0, 600.0), (1000.0, 600.0)), tube=800.0)
    plan = dug_plan(detail=padded)
    assert [(c.size, c.piers) for c in derive(plan).covers] == [(900.0, ("P1", "P2"))]
    near = plan.with_(
        details=(STRAIGHT,),
        piers=(plan.piers[0], replace(plan.piers[1], at=(plan.piers[0].at[0] + 600.0, plan.piers[0].at[1]))),
        slabs=(Slab(id="S1", outline=((-4e3, -4e3), (9e3, -4e3), (9e3, 4e3), (-4e3, 4e3)), thickness=100.0),),
    )
    layout = derive(near)
    (opening,) = layout.openings
    sides = [math.dist(a, b) for a, b in pairwise((*opening.outline, opening.outline[0]))]
    assert [c.piers for c in layout.covers] == [("P1 and P2",)]
    assert max(sides) + 300.0 <= layout.covers[0].size < max(sides) + 350.0
