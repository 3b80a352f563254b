"""The steel of the job: piers, kinds, what is bought, and how it is cut."""

from __future__ import annotations

import math
import random
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutdesk.engine.cutting import Piece, Stock, best_cutting
from layoutdesk.engine.derive import derive
from layoutdesk.engine.holes import pier_cages as cages_module
from layoutdesk.engine.holes.cages import cage_of
from layoutdesk.engine.holes.pier_cages import length_step
from layoutdesk.engine.holes.schedule import schedule
from layoutdesk.engine.holes.steel_list import best_steel
from layoutdesk.engine.layout import SteelList
from layoutdesk.engine.steel.stock import stock_sold
from layoutdesk.plan.edits import usual_steel
from layoutdesk.plan.model import (
    BeamLine,
    Detail,
    HeightSettings,
    Levels,
    LineHeights,
    Pier,
    Plan,
    SpotHeight,
)
from layoutdesk.units import UNITS, Units
from tests import hole_strategies

FOOT, INCH = 304.8, 25.4
SHAFT = Detail(id="D1", profile=((0.0, FOOT), (32 * INCH, FOOT)), reveal=6 * INCH, steel=usual_steel("ft-in"))
WIDE = replace(
    SHAFT, id="D2", profile=((0.0, 16 * INCH), (32 * INCH, 16 * INCH)), steel=replace(usual_steel("ft-in"), bars=6)
)
PLAIN = replace(SHAFT, id="D3", steel=None)


def plan_of(*details: Detail, piers: int, units: Units = "ft-in") -> Plan:
    """Return a row of piers 8 ft apart, by turns of these details."""
    row = tuple(
        Pier(id=f"P{k + 1}", at=(k * 8 * FOOT, 0.0), detail=details[k % len(details)].id, line="B1")
        for k in range(piers)
    )
    line = BeamLine(id="B1", start=(0.0, 0.0), end=(piers * 8 * FOOT, 0.0))
    return Plan(
        units=units, rounding=25.4 / 16 if units == "ft-in" else 1.0, details=details, lines=(line,), piers=row
    )


def on_a_slope(plan: Plan, fall: float, settings: HeightSettings) -> Plan:
    """Return the plan on ground that falls along its row, with level tops."""
    far = plan.piers[-1].at[0] + 2000.0
    spots = tuple(
        SpotHeight(id=f"E{k}", at=(x, y), elevation=-fall * x)
        for k, (x, y) in enumerate([(-2000.0, -2000.0), (far, -2000.0), (far, 2000.0), (-2000.0, 2000.0)], 1)
    )
    lines = (LineHeights(line="B1", top="level", pier_top=152.4),)
    return replace(plan, spots=spots, levels=Levels(lines=lines, settings=settings))


def check_whole(plan: Plan, steel: SteelList) -> None:
    """Assert that piers, kinds, sizes and cuts tell of the same pieces."""
    from_piers: Counter[tuple[str | None, str, str, float]] = Counter()
    for pier in steel.piers:
        for kind in pier.kinds:
            from_piers[pier.detail, kind.what, kind.bar.name, round(kind.cut, 4)] += kind.count
    from_kinds: Counter[tuple[str | None, str, str, float]] = Counter()
    for name, kind in steel.kinds:
        from_kinds[name, kind.what, kind.bar.name, round(kind.cut, 4)] += kind.count
    assert from_piers == from_kinds
    assert steel.mass == pytest.approx(math.fsum(pier.mass for pier in steel.piers))
    assert steel.mass == pytest.approx(math.fsum(one.mass for one in steel.sizes))
    sold = stock_sold(plan.units)
    for one in steel.sizes:
        group = [kind for _, kind in steel.kinds if kind.bar.name == one.size]
        assert one.count == sum(kind.count for kind in group)
        assert one.length == pytest.approx(math.fsum(kind.count * kind.cut for kind in group))
        if one.cutting is None:
            assert one.says.endswith(".")
            continue
        assert sum(len(piece.cuts) for piece in one.cutting.pieces) == one.count
        bought = math.fsum(piece.stock.length for piece in one.cutting.pieces)
        assert {piece.stock.length for piece in one.cutting.pieces} <= set(sold.lengths)
        saws = sum(len(piece.cuts) - 1 for piece in one.cutting.pieces) * sold.kerf
        left = math.fsum(piece.left_over for piece in one.cutting.pieces)
        assert bought == pytest.approx(one.length + saws + left, abs=1e-3)
        assert "proven" in one.cutting.says or "A first answer" in one.cutting.says


def test_steel_of_two_details_is_counted_and_cut() -> None:
    """Seven piers: three of D1, two of D2, two without steel; 12 bars of 2 ft 8 in and 12 more."""
    plan = plan_of(SHAFT, WIDE, PLAIN, piers=7)
    steel = derive(plan).steel
    check_whole(plan, steel)
    assert [(name, kind.what, kind.count) for name, kind in steel.kinds] == [
        ("D1", "bar", 12),
        ("D1", "hoop", 15),
        ("D2", "bar", 12),
        ("D2", "hoop", 10),
    ]
    assert [pier.label for pier in steel.piers if not pier.kinds] == ["P3", "P6"]
    no_4, no_3 = steel.sizes
    assert (no_4.size, no_4.count, no_3.size, no_3.count) == ("No. 4", 24, "No. 3", 25)
    assert no_4.length / FOOT == pytest.approx(64.0)
    assert no_4.cutting is not None
    assert no_4.cutting.proven
    assert "for no heights are known" in steel.says[0]
    section = derive(plan).section_of("D1")
    assert section is not None
    assert [(row.what, row.each, row.count) for row in schedule(steel, section)] == [
        ("bar", 4, 12),
        ("hoop", 5, 15),
    ]


@pytest.mark.parametrize("units", UNITS)
def test_bars_are_cut_for_the_height_of_each_pier(units: Units) -> None:
    """No cover is lost, and less than a step of length; all piers of one height share their pieces."""
    detail = replace(SHAFT, steel=usual_steel(units))
    plan = on_a_slope(plan_of(detail, PLAIN, piers=24, units=units), 0.02, HeightSettings(frost=0.0))
    layout = derive(plan)
    check_whole(plan, layout.steel)
    step, ends = length_step(units), 2 * usual_steel(units).cover_ends
    lengths = set()
    for pier in layout.steel.piers:
        if pier.detail != "D1":
            assert pier.kinds == ()
            continue
        height = layout.height_of(pier.pier)
        assert height.top is not None
        assert height.bottom is not None
        spare = height.top - height.bottom - ends - pier.kinds[0].cut
        assert -0.01 <= spare < step + 0.01
        lengths.add(round(pier.kinds[0].cut, 3))
        assert pier.kinds[1].cut == layout.steel.piers[0].kinds[1].cut
    assert len(lengths) > 3
    assert "planned height of each pier" in layout.steel.says[0]
    first = layout.steel.sizes[0].cutting
    assert first is not None
    assert all(" bar " in label for piece in first.pieces for label in piece.cuts)


def test_frost_makes_cages_deeper_and_a_hole_that_came_out_deeper_does_not() -> None:
    plan = on_a_slope(plan_of(SHAFT, piers=2), 0.0, HeightSettings(frost=42 * INCH))
    steel = derive(plan).steel
    assert steel.piers[0].kinds[0].cut == pytest.approx(32 * INCH + 10 * INCH)
    assert steel.piers[0].kinds[1].count == 6


PROFILES = st.lists(st.tuples(st.floats(300, 2500), st.floats(250, 1500)), min_size=1, max_size=3).map(
    lambda points: tuple(sorted(points))
)


def test_a_pier_that_is_too_low_for_its_cage_is_flagged() -> None:
    """The ground falls by a tenth along the row, and all tops are level: the first of them is in the ground."""
    low = replace(SHAFT, profile=((0.0, FOOT), (12 * INCH, FOOT)), reveal=4 * INCH)
    plan = on_a_slope(plan_of(low, piers=3), 0.1, HeightSettings(frost=0.0))
    levels = replace(plan.levels, lines=(LineHeights(line="B1", top="level", pier_top=-7 * INCH),))
    layout = derive(replace(plan, levels=levels))
    (flag,) = [one for one in layout.height_flags if one.code == "pier-too-low-for-cage"]
    assert flag.about == ("P1",)
    assert flag.text.startswith("Pier P1: Nothing is left of the bars")
    assert layout.steel.piers[0].kinds == ()
    assert layout.steel.piers[2].kinds[0].count == 4
    assert layout.steel.says[-1].startswith("The steel of 1 pier of D1 cannot be reckoned: Nothing is left")


@settings(max_examples=25)
@given(
    details=st.tuples(
        *(hole_strategies.details(name, PROFILES, st.just(()), st.just("No. 5")) for name in ("D1", "D2", "D3"))
    ),
    piers=st.integers(0, 9),
    units=st.sampled_from(UNITS),
)
def test_every_plan_has_steel_that_adds_up(details: tuple[Detail, ...], piers: int, units: Units) -> None:
    plan = plan_of(*details, piers=piers, units=units)
    check_whole(plan, derive(plan).steel)


def test_what_no_stock_is_long_enough_for_is_told() -> None:
    deep = replace(SHAFT, profile=((0.0, FOOT), (70 * FOOT, FOOT)))
    one = derive(plan_of(deep, piers=1)).steel.sizes[0]
    assert one.cutting is None
    assert one.says.startswith("The bar of D1 is 70′")
    assert one.says.endswith("have it lapped.")


def test_a_hundred_thousand_bars_are_told_in_one_sentence() -> None:
    many = replace(SHAFT, steel=replace(usual_steel("ft-in"), bars=100_000))
    steel = derive(plan_of(many, piers=3)).steel
    assert steel.sizes == ()
    (says,) = steel.says
    assert says.startswith("The steel of 3 piers of D1 cannot be reckoned: 100,000 bars cannot stand on a circle;")
    row = plan_of(replace(SHAFT, profile=((0.0, 3 * FOOT), (32 * INCH, 3 * FOOT))), piers=10_001)
    wide = replace(row.details[0], steel=replace(usual_steel("ft-in"), bars=10))
    steel = derive(replace(row, details=(wide,))).steel
    assert steel.sizes[0].cutting is None
    assert steel.sizes[0].says.startswith("100,010 pieces are more than the 100,000")


def test_hundreds_of_lengths_in_thousands_of_pieces_are_counted_but_not_cut() -> None:
    plan = on_a_slope(plan_of(SHAFT, piers=3000), 0.0015, HeightSettings(frost=0.0))
    steel = derive(plan).steel
    (bars,) = [one for one in steel.sizes if one.size == "No. 4"]
    assert bars.count == 12_000
    assert bars.cutting is None
    assert bars.says.startswith("12,000 pieces of ")
    assert bars.says.endswith("are too many for one list of cuts; make it several.")
    assert bars.mass == pytest.approx(bars.length / FOOT * 0.668 * 0.45359237)


def test_ten_thousand_piers_have_their_cage_reckoned_once_for_each_height(monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[object] = []

    def counted(*given: object, **named: object) -> object:
        calls.append(named)
        return cage_of(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(cages_module, "cage_of", counted)
    steel = derive(plan_of(SHAFT, WIDE, piers=10_000)).steel
    assert len(calls) == 2
    assert sum(len(pier.kinds) for pier in steel.piers) == 20_000


def test_best_cutting_is_asked_for_where_it_takes_long() -> None:
    """So many lengths that the list is cut by a first answer; the best one takes less, and is proven."""
    plan = on_a_slope(plan_of(SHAFT, piers=16), 0.013, HeightSettings(frost=0.0))
    steel = derive(plan).steel
    first = steel.sizes[0].cutting
    assert first is not None
    assert not first.proven
    assert first.says.startswith("A first answer")
    found = best_steel(plan, steel)
    check_whole(plan, found)
    best = found.sizes[0].cutting
    assert best is not None
    assert best.proven
    assert first.cost - best.cost == pytest.approx(20 * FOOT)


@pytest.mark.parametrize("stock", [(6000.0, 12_000.0), (20 * FOOT, 40 * FOOT, 60 * FOOT)])
def test_a_brief_look_proves_nothing_that_is_not_so_and_is_the_same_every_time(stock: tuple[float, ...]) -> None:
    """Oracle: the thorough look, on lists like those of piers on a slope."""
    draw = random.Random(20)  # noqa: S311 - lists for a test, not secrets
    sold = [Stock(length) for length in stock]
    proven = 0
    for _ in range(7):
        base = draw.uniform(600.0, 1500.0)
        demand = [Piece(base + 25.0 * k, draw.choice([4, 8])) for k in range(draw.randint(2, 5))]
        brief = best_cutting(demand, sold, kerf=3.0, brief=True)
        best = best_cutting(demand, sold, kerf=3.0)
        assert best.bound - 1e-6 <= brief.cost
        assert brief.bound <= best.cost + 1e-6
        assert brief == best_cutting(demand, sold, kerf=3.0, brief=True)
        if brief.proven:
            proven += 1
            assert brief.cost == pytest.approx(best.cost)
    assert proven > 3
