"""Openings sawn out of slabs: sizes, joins, edges, cuts, pieces and words, by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.geometry.vector import Vector, turned
from layoutdesk.plan.holes import Holes, OpeningRule
from layoutdesk.plan.model import Baseline, Detail, Keepout, Pier, Plan, Slab

RULE = OpeningRule(margin=75.0, least_strip=300.0, blade=40.0, carry=45.0)
ROUND = Detail(id="D1", profile=((0.0, 300.0), (900.0, 300.0)))
PAD = Detail(id="D1", profile=((0.0, 300.0), (600.0, 300.0), (600.0, 500.0), (900.0, 500.0)), square_from=600.0)
YARD: tuple[Vector, ...] = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0))
ELL: tuple[Vector, ...] = ((0, 0), (5000, 0), (5000, 1500), (2000, 1500), (2000, 4000), (0, 4000))


def slab_plan(
    *places: Vector,
    outline: Sequence[Vector] = YARD,
    rule: OpeningRule = RULE,
    detail: Detail = ROUND,
    angle: float = 0.0,
) -> Plan:
    """Return a slab 100 mm thick with piers at some places, all of it turned with its baseline."""
    return Plan(
        units="mm",
        rounding=1.0,
        baseline=Baseline(origin=(0.0, 0.0), toward=turned((1000.0, 0.0), angle), yard_side="left"),
        details=(detail,),
        piers=tuple(
            Pier(id=f"P{k}", at=turned(at, angle), detail=detail.id) for k, at in enumerate(places, start=1)
        ),
        slabs=(Slab(id="S1", outline=tuple(turned(corner, angle) for corner in outline), thickness=100.0),),
        holes=Holes(openings=rule),
    )


def spans(plan: Plan, angle: float = 0.0) -> list[tuple[int, int, int, int]]:
    """Return the upright rectangle round each opening, turned back, to whole millimetres."""
    found = []
    for opening in derive(plan).openings:
        xs, ys = zip(*(turned(corner, -angle) for corner in opening.outline), strict=True)
        found.append((round(min(xs)), round(min(ys)), round(max(xs)), round(max(ys))))
    return found


def test_one_square_opening_has_its_margin_four_cuts_and_pieces_that_can_be_carried() -> None:
    (opening,) = derive(slab_plan((2000, 1500), angle=23.0)).openings
    assert spans(slab_plan((2000, 1500), angle=23.0), 23.0) == [(1775, 1275, 2225, 1725)]
    assert (opening.id, opening.slab, opening.piers, opening.pier_ids) == ("O1", "S1", ("P1",), ("P1",))
    assert opening.area == pytest.approx(450.0**2)
    assert [cut.passes for cut in opening.cuts] == [3, 3, 3, 3]
    assert [cut.length for cut in opening.cuts] == pytest.approx([450.0] * 4)
    # 0.45 m by 0.45 m by 0.1 m at 2400 kg to the m³ is 48.6 kg: two pieces.
    assert [cut.length for cut in opening.inner] == pytest.approx([450.0])
    assert opening.pieces == 2
    assert opening.heaviest == pytest.approx(24.3)
    assert opening.saw_length == pytest.approx(5 * 450.0)
    assert opening.rubble == pytest.approx(0.02025)
    assert opening.says == ("For P1 saw 2250\u00a0mm in 3 passes; 2 pieces of up to 24 kg, 0.020 m³ of rubble.")


def test_a_round_opening_is_a_circle_while_it_stands_alone() -> None:
    """Its area and cut are the circle's, and a pad that is square below fits into it with its corners."""
    rule = replace(RULE, shape="round", carry=1000.0)
    (opening,) = derive(slab_plan((2000, 1500), rule=rule)).openings
    assert opening.area == pytest.approx(math.pi * 225**2, rel=1e-12)
    assert opening.saw_length == pytest.approx(2 * math.pi * 225, rel=1e-12)
    assert (len(opening.outline), len(opening.cuts), opening.pieces) == (96, 1, 1)
    (pad,) = derive(slab_plan((2000, 1500), rule=rule, detail=PAD)).openings
    assert pad.area == pytest.approx(math.pi * (250 * math.sqrt(2) + 75) ** 2)
    (square,) = derive(slab_plan((2000, 1500), detail=PAD)).openings
    assert square.area == pytest.approx(650.0**2)
    near_edge = derive(slab_plan((2000, 520), rule=rule)).openings
    assert [len(opening.cuts) for opening in near_edge] == [3]


@pytest.mark.parametrize(
    ("places", "expected"),
    [
        ([(1500, 1500), (2250, 1500)], [(1275, 1275, 1725, 1725), (2025, 1275, 2475, 1725)]),  # 300 stand
        ([(1500, 1500), (2249, 1500)], [(1275, 1275, 2474, 1725)]),  # 299 do not
        ([(1500, 1500), (2100, 2100)], [(1275, 1275, 2325, 2325)]),  # 212 from corner to corner
        ([(1500, 1500), (2200, 1500), (1850, 2200)], [(1275, 1275, 2425, 2425)]),  # the third by way of the join
    ],
)
def test_openings_with_less_than_the_limit_between_them_are_sawn_as_one(
    places: list[Vector], expected: list[tuple[int, int, int, int]]
) -> None:
    assert spans(slab_plan(*places)) == expected
    assert spans(slab_plan(*places, angle=131.0), 131.0) == expected


@pytest.mark.parametrize(
    ("place", "outline", "expected", "cuts"),
    [
        ((2000, 525), YARD, (1775, 300, 2225, 750), 4),  # 300 stand to the edge
        ((2000, 524), YARD, (1775, 0, 2225, 749), 3),  # 299 do not
        ((400, 400), YARD, (0, 0, 625, 625), 2),  # into the corner
        ((2000, -100), YARD, (1775, 0, 2225, 125), 3),  # half outside
        ((1900, 1400), ELL, (1675, 1175, 2125, 1625), 4),  # over the inner corner already
        ((1600, 1100), ELL, (1375, 875, 2000, 1500), 4),  # a neck of 247 to the inner corner, from corner to corner
        ((1700, 3000), ELL, (1475, 2775, 2000, 3225), 3),
    ],
)
def test_an_opening_goes_on_to_an_edge_that_it_would_leave_a_strip_to(
    place: Vector, outline: Sequence[Vector], expected: tuple[int, int, int, int], cuts: int
) -> None:
    plan = slab_plan(place, outline=outline)
    assert spans(plan) == [expected]
    assert len(derive(plan).openings[0].cuts) == cuts


def test_an_edge_that_slants_is_gone_on_to_and_one_that_crosses_only_up_to() -> None:
    slanting = ((0.0, 0.0), (4000.0, 400.0), (4000.0, 3000.0), (0.0, 3000.0))
    assert spans(slab_plan((2000, 650), outline=slanting)) == [(1775, 178, 2225, 875)]  # sawn to its lowest place
    notched = (
        (0.0, 0.0),
        (1900.0, 0.0),
        (2000.0, 1000.0),
        (2100.0, 0.0),
        (4000.0, 0.0),
        (4000.0, 3000.0),
        (0, 3000),
    )
    assert spans(slab_plan((2000, 1400), outline=notched)) == [(1775, 1000, 2225, 1625)]  # to the tip of the notch


def test_a_joined_opening_is_cut_in_both_directions_with_the_least_sawing() -> None:
    """1.05 m by 0.45 m of 100 mm is 113 kg: three pieces side by side, two cuts across the short way."""
    (opening,) = derive(slab_plan((1500, 1500), (2100, 1500))).openings
    assert (opening.pieces, [round(cut.length) for cut in opening.inner]) == (3, [450, 450])
    assert opening.heaviest == pytest.approx(1.05 * 0.45 * 0.1 * 2400 / 3)
    (small,) = derive(slab_plan((1500, 1500), (2100, 1500), rule=replace(RULE, carry=15.0))).openings
    assert (small.pieces, [round(cut.length) for cut in small.inner]) == (8, [450, 450, 450, 1050])


def test_openings_are_numbered_through_all_slabs_and_a_touch_needs_none() -> None:
    plan = slab_plan((3500, 1500), (1000, 1500), (2000, 6000), (2000, 3149.5))
    other = Slab(id="S2", outline=((1000, 5000), (3000, 5000), (3000, 7000), (1000, 7000)), thickness=50.0)
    openings = derive(plan.with_(slabs=(*plan.slabs, other))).openings
    assert [(o.id, o.slab, o.piers) for o in openings] == [
        ("O1", "S1", ("P1",)),
        ("O2", "S1", ("P2",)),
        ("O3", "S2", ("P3",)),
    ]
    assert openings[2].cuts[0].passes == 2
    bare = plan.with_(piers=tuple(replace(pier, detail=None) for pier in plan.piers))
    assert derive(bare).openings == ()


def test_flags_tell_of_joins_of_a_slab_in_parts_and_of_what_lies_below_a_cut() -> None:
    strip: tuple[Vector, ...] = ((0, 0), (4000, 0), (4000, 1000), (0, 1000))
    pipe = Keepout(id="K1", outline=((1700, -500), (1760, -500), (1760, 1500), (1700, 1500)), kind="utility")
    plan = slab_plan((2000, 500), outline=strip).with_(keepouts=(pipe,))
    told = {flag.code: flag.text for flag in derive(plan).plan_flags}
    assert "cut-in-keepout" not in told  # the cut stays 15 mm off it
    assert told["slab-in-parts"].startswith("Openings O1 part slab S1 into 2 pieces")
    near = replace(RULE, margin=100.0)
    flags = derive(plan.with_(holes=Holes(openings=near))).plan_flags
    (over,) = (flag.text for flag in flags if flag.code == "cut-in-keepout")
    assert over.startswith("Opening O1 reaches over utility K1: do not saw there before it was found and marked;")
    joined = derive(slab_plan((1500, 1500), (2100, 1500))).plan_flags
    (one,) = (flag.text for flag in joined if flag.code == "openings-joined")
    assert one.startswith("The openings of P1 and P2 are sawn as one, O1: less than 300\u00a0mm of slab S1 would")
    small: tuple[Vector, ...] = ((0, 0), (600, 0), (600, 600), (0, 600))
    gone = derive(slab_plan((300, 300), outline=small))
    assert "slab-gone" in {flag.code for flag in gone.plan_flags}
    assert gone.openings[0].says.startswith(
        "For P1 saw 600\u00a0mm in 3 passes, on to the slab's edge; 2 pieces of up to 43 kg"
    )


def test_what_nobody_can_carry_in_pieces_is_left_whole_and_flagged() -> None:
    layout = derive(slab_plan((2000, 1500), rule=replace(RULE, carry=0.001)))
    assert layout.openings[0].pieces == 1
    assert layout.openings[0].heaviest == pytest.approx(48.6)
    assert "too heavy to carry" in layout.openings[0].says
    assert "piece-too-heavy" in {flag.code for flag in layout.plan_flags}
