"""Sections of details and the concrete of piers: every part, tube, reveal and what is cast in, at any depth."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest
from scipy.integrate import quad

from layoutdesk.engine import derive as door
from layoutdesk.engine import piers as pier_module
from layoutdesk.engine.derive import derive
from layoutdesk.engine.holes.section import pier_parts
from layoutdesk.engine.layout import Section
from layoutdesk.engine.piers import PierShape
from layoutdesk.engine.steel.sizes import STEEL_DENSITY, bar
from layoutdesk.plan.model import (
    BeamLine,
    CastIn,
    Detail,
    HeightSettings,
    Levels,
    LineHeights,
    Pier,
    Plan,
    SpotHeight,
    Steel,
)

STRAIGHT = Detail(id="D1", profile=((0.0, 400.0), (1000.0, 400.0)))


def random_detail(draw: random.Random) -> Detail:
    """Return a detail of one to six parts, some square from a depth on, some in a tube, with a reveal or sunken."""
    depth, profile = 0.0, [(0.0, draw.uniform(200.0, 900.0))]
    for _ in range(draw.randint(1, 6)):
        if draw.random() < 0.3:
            profile.append((depth, draw.uniform(200.0, 900.0)))
        depth += draw.uniform(20.0, 500.0)
        profile.append((depth, profile[-1][1] if draw.random() < 0.4 else draw.uniform(200.0, 900.0)))
    return Detail(
        id="D1",
        profile=tuple(profile),
        reveal=draw.choice([0.0, draw.uniform(1.0, 400.0), -draw.uniform(1.0, 0.9 * depth)]),
        square_from=draw.choice([None, 0.0, draw.uniform(0.0, 1.3 * depth)]),
        tube=draw.choice([None, 0.0, draw.uniform(0.0, 1.2 * depth)]),
    )


def area_of(detail: Detail) -> Callable[[float], float]:
    """Return the area of the concrete at a depth, written down afresh from what a detail means."""
    first = detail.profile[0][1]

    def area(z: float) -> float:
        if z < 0 and detail.tube is None:
            return first**2 if detail.square_from == 0 else math.pi / 4 * first**2
        if detail.tube is not None and z < detail.tube:
            return math.pi / 4 * first**2
        width = detail.profile[-1][1]
        for (z1, w1), (z2, w2) in pairwise(detail.profile):
            if z1 <= z <= z2 and z2 > z1:
                width = w1 + (w2 - w1) * (z - z1) / (z2 - z1)
                break
        square = detail.square_from is not None and z >= detail.square_from
        return width**2 if square else math.pi / 4 * width**2

    return area


def integrated(detail: Detail, top: float, bottom: float) -> float:
    """Return the volume in mm³ between two depths by adaptive quadrature, piece by piece."""
    edges = {top, bottom, 0.0, *(z for z, _ in detail.profile), detail.square_from or 0.0, detail.tube or 0.0}
    inside = sorted(z for z in edges if top <= z <= bottom)
    area = area_of(detail)
    hair = 1e-9  # a step belongs to the piece it is asked from
    return math.fsum(
        quad(lambda z, a=a, b=b: area(min(max(z, a + hair), b - hair)), a, b, epsabs=0)[0]
        for a, b in pairwise(inside)
        if b - a > 4 * hair
    )


def plan_of(detail: Detail, *, piers: int = 1, **more: object) -> Plan:
    """Return piers in a row, built to one detail."""
    row = tuple(Pier(id=f"P{k}", at=(3000.0 * k, -3000.0), detail=detail.id) for k in range(piers))
    return Plan(units="mm", rounding=1.0, details=(detail,), piers=row).with_(**more)


def plain(section: Section) -> list[str]:
    """Return its sentences with plain spaces before units."""
    return [said.replace("\u00a0", " ") for said in section.says]


@pytest.mark.parametrize("block", range(8))
def test_concrete_of_200_random_details_equals_numeric_integration(block: int) -> None:
    """Oracle: adaptive quadrature of the area at each depth, to 1e-9; as drawn, and deeper with another top."""
    for seed in range(25 * block, 25 * block + 25):
        draw = random.Random(seed)  # noqa: S311 - shapes, no secrets
        detail = random_detail(draw)
        bottom = detail.profile[-1][0]
        (pier,) = derive(plan_of(detail)).concrete.piers
        top = -detail.reveal
        assert pier.below_m3 * 1e9 == pytest.approx(integrated(detail, max(0.0, top), bottom), rel=1e-9)
        above = integrated(detail, top, 0.0) if top < 0 else 0.0
        assert pier.reveal_m3 * 1e9 == pytest.approx(above, rel=1e-9)
        deeper, reveal = bottom + draw.uniform(0.0, 600.0), draw.uniform(-0.5 * bottom, 500.0)
        found = PierShape(detail).at(deeper, reveal)
        assert found.below * 1e9 == pytest.approx(integrated(detail, max(0.0, -reveal), deeper), rel=1e-9)
        above = integrated(detail, -reveal, 0.0) if reveal > 0 else 0.0
        assert found.reveal * 1e9 == pytest.approx(above, rel=1e-9, abs=1e-3)
        against_earth = max(0.0, -reveal, min(detail.tube or 0.0, deeper))
        assert found.dug * 1e9 == pytest.approx(integrated(detail, against_earth, deeper), rel=1e-9)


@pytest.mark.parametrize("seed", range(30))
def test_parts_stand_on_one_another_from_the_top_to_the_bottom(seed: int) -> None:
    detail = random_detail(random.Random(seed))  # noqa: S311 - shapes, no secrets
    section = derive(plan_of(detail)).sections[0]
    assert (section.top, section.bottom) == (-detail.reveal, detail.profile[-1][0])
    assert section.parts[0].top == section.top
    assert section.parts[-1].bottom == section.bottom
    for above, below in pairwise(section.parts):
        assert below.top == pytest.approx(above.bottom, abs=1e-9)
    assert not section.trouble
    assert section.says[0].startswith("It holds ")


def test_tube_leaves_out_the_room_around_it() -> None:
    """A hole of 600 mm with a tube of 300 mm to 400 mm deep, 150 mm above the ground."""
    wide = Detail(id="D1", profile=((0.0, 300.0), (0.0, 600.0), (1000.0, 600.0)), reveal=150.0, tube=400.0)
    layout = derive(plan_of(wide))
    expected = math.pi / 4 * (300.0**2 * 550 + 600.0**2 * 600)
    assert layout.concrete.net_m3 * 1e9 == pytest.approx(expected)
    section = layout.section_of("D1")
    assert section is not None
    assert section.tube == (-150.0, 400.0)
    assert [(part.top, part.bottom, part.upper) for part in section.parts] == [
        (-150.0, 0.0, 300.0),
        (0.0, 400.0, 300.0),
        (400.0, 1000.0, 600.0),
    ]
    assert (
        plain(section)[1]
        == "The tube is 550 mm long and 300 mm wide inside; its lower 400 mm stands in the ground."
    )
    assert layout.section_of("D2") is None
    sunk = derive(plan_of(replace(wide, reveal=-150.0))).sections[0]
    assert plain(sunk)[1] == "The tube is 250 mm long and 300 mm wide inside, all of it in the ground."


def test_post_takes_the_place_of_concrete_above_and_below_the_ground_and_a_base_of_none() -> None:
    """A post of 100 by 90 mm, 350 mm into a pier that stands 150 mm out."""
    post = replace(STRAIGHT, reveal=150.0, cast_in=CastIn(kind="post", width=100.0, depth=90.0, foot=350.0))
    layout = derive(plan_of(post))
    (pier,) = layout.concrete.piers
    circle = math.pi / 4 * 400.0**2
    assert pier.below_m3 * 1e9 == pytest.approx(circle * 1000 - 9000 * 200)
    assert pier.reveal_m3 * 1e9 == pytest.approx((circle - 9000) * 150)
    section = layout.sections[0]
    assert section.cast_in == (-150.0, 200.0, 100.0, "post")
    assert "133 mm of concrete beside its corners and 800 mm under it" in plain(section)[2]
    assert plain(section)[1] == "What stands in it takes 3.15 l of that: 0.141 m³ is poured."
    base = replace(post, cast_in=replace(post.cast_in, kind="base"))  # type: ignore[type-var]
    assert derive(plan_of(base)).concrete.net_m3 * 1e9 == pytest.approx(circle * 1150)


@pytest.mark.parametrize(
    ("cast_in", "sentence"),
    [
        (CastIn(kind="post", width=300.0, depth=300.0, foot=300.0), "12 mm out of the concrete. The concrete is"),
        (CastIn(kind="base", width=350.0, depth=350.0, foot=300.0), "its corners stand 47 mm out of the concrete"),
        (CastIn(kind="post", width=100.0, depth=100.0, foot=1200.0), "a pier that is only 1000 mm high"),
    ],
)
def test_what_is_cast_in_and_does_not_go_in_is_told_with_its_numbers(cast_in: CastIn, sentence: str) -> None:
    layout = derive(plan_of(replace(STRAIGHT, cast_in=cast_in)))
    assert any(sentence in said for said in plain(layout.sections[0]))
    assert 0 < layout.concrete.net_m3 * 1e9 <= math.pi / 4 * 400.0**2 * 1000 * (1 + 1e-12)


def test_steel_takes_the_place_of_concrete_where_it_is_in_it() -> None:
    """Straight bars without hoops that stand out 500 mm: 75 mm cover below, none above; deeper by 200 mm."""
    steel = Steel(bars=6, bar="16 mm", cover=75.0, cover_ends=75.0, hoop="", stands_out=500.0)
    detail = replace(STRAIGHT, steel=steel)
    layout = derive(plan_of(detail))
    area = 6 * bar("16 mm").mass / 1000 / STEEL_DENSITY * 1e9
    circle = math.pi / 4 * 400.0**2
    assert layout.concrete.net_m3 * 1e9 == pytest.approx(circle * 1000 - area * 925, rel=1e-9)
    assert len(layout.sections[0].bars) == 6
    spots = tuple(
        SpotHeight(id=f"G{k}", at=at, elevation=0.0)
        for k, at in enumerate([(-2000.0, 0.0), (2000.0, 0.0), (0.0, -9000.0)])
    )
    deeper = plan_of(detail, levels=Levels(settings=HeightSettings(frost=1200.0)), spots=spots)
    assert derive(deeper).concrete.net_m3 * 1e9 == pytest.approx(circle * 1200 - area * 1125, rel=1e-9)


def test_holes_are_as_deep_as_frost_and_ground_ask_and_tops_where_they_are_ruled() -> None:
    """A slope of 1 in 10 along the row, frost at 1200 mm: holes go on as wide as they end."""
    spots = tuple(
        SpotHeight(id=f"G{k}", at=at, elevation=0.1 * at[0])
        for k, at in enumerate([(-5000.0, 0.0), (9000.0, 0.0), (-5000.0, -9000.0), (9000.0, -9000.0)])
    )
    belled = Detail(id="D1", profile=((0.0, 300.0), (700.0, 300.0), (900.0, 500.0)), reveal=100.0)
    layout = derive(plan_of(belled, piers=3, spots=spots, levels=Levels(settings=HeightSettings(frost=1200.0))))
    for pier, row in zip(layout.concrete.piers, layout.heights, strict=True):
        assert row.dig == pytest.approx(1200 + 25)  # the lowest ground within its circle of 500 mm
        assert row.dig is not None
        assert pier.depth == row.dig
        expected = integrated(belled, 0.0, row.dig)
        assert pier.below_m3 * 1e9 == pytest.approx(expected, rel=1e-9)
        assert pier.reveal_m3 * 1e9 == pytest.approx(math.pi / 4 * 300.0**2 * 100.0, rel=1e-9)
    (total,) = layout.concrete.details
    assert total.total_m3 == pytest.approx(layout.concrete.net_m3)
    assert total.each_m3 == pytest.approx(layout.concrete.net_m3 / 3)


def test_concrete_asks_for_no_heights_where_the_plan_has_none(monkeypatch: pytest.MonkeyPatch) -> None:
    def asked(*_: object) -> None:
        raise AssertionError("heights were worked out")

    monkeypatch.setattr(door, "pier_heights", asked)
    layout = derive(plan_of(STRAIGHT, piers=4))
    assert len(layout.concrete.piers) == len(layout.order.left) == 4


def test_parts_are_cut_once_for_ten_thousand_piers_on_a_slope(monkeypatch: pytest.MonkeyPatch) -> None:
    """However many depths there are, a straight piece of the last width is added to volumes reckoned once."""
    calls = 0

    def counted(*given: object, **named: object) -> object:
        nonlocal calls
        calls += 1
        return pier_parts(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(pier_module, "pier_parts", counted)
    spots = tuple(
        SpotHeight(id=f"G{k}", at=at, elevation=at[0] / 1e4)
        for k, at in enumerate([(-9e3, 0.0), (3.1e7, 0.0), (-9e3, -9e6), (3.1e7, -9e6)])
    )
    plan = plan_of(STRAIGHT, piers=10_000, spots=spots)
    line = BeamLine(id="L1", start=(0.0, -3000.0), end=(3e7, -3000.0))
    level = Levels(lines=(LineHeights(line="L1", top="level", pier_top=3500.0),))
    piers = tuple(replace(pier, line="L1") for pier in plan.piers)
    layout = derive(plan.with_(piers=piers, lines=(line,), levels=level))
    nets = [pier.net_m3 for pier in layout.concrete.piers]
    assert len(set(nets)) > 9_000
    tops = [3500 - 0.3 * k for k in range(10_000)]
    expected = [math.pi / 4 * 0.4**2 * (1 + top / 1000) for top in tops]
    assert nets == pytest.approx(expected, rel=1e-4)  # a hole goes a hair below the lowest ground in its circle
    assert calls < 10


def test_profile_without_depth_holds_nothing_and_says_so() -> None:
    layout = derive(plan_of(Detail(id="D1", profile=((0.0, 300.0),), reveal=50.0)))
    section = layout.sections[0]
    assert (section.parts, section.bars) == ((), ())
    assert section.trouble.startswith("This detail holds no concrete yet")
    assert layout.concrete.net_m3 == 0
