"""Columns: their lengths from heights, their sloped heads, what hangs them, and the stock they come from."""

import itertools
import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutdesk.engine.levels.columns import column_cuts, stock_lengths
from layoutdesk.engine.levels.cutting import stock_groups
from layoutdesk.engine.levels.entries import SURE_95, ColumnCut, LevelBook, LevelPoint, PierHeight
from layoutdesk.plan.model import BeamLine, ColumnRule, HeightSettings, Levels, LineHeights, Pier, PierHeights, Plan

RULE = ColumnRule(width=140, depth=140, foot=25, cap=6, margin=10, support=150)


def height(
    *, ground: float = 0.0, top: float = 50.0, seat: float | None = 2600.0, built: float | None = None
) -> PierHeight:
    return PierHeight(
        id="P1",
        label="P1",
        line="L1",
        ground=ground,
        ground_from="reading",
        within=3.0,
        lowest=ground,
        top=top,
        top_rule="reveal",
        built=built,
        bottom=ground - 800,
        dig=800.0,
        frost_governs=False,
        seat=seat,
        says="",
    )


def site(*, fall: float = 0.0, rule: ColumnRule = RULE, support: float | None = None) -> Plan:
    return Plan(
        units="mm",
        rounding=1.0,
        lines=(BeamLine(id="L1", start=(0, 0), end=(0, -3000)),),
        piers=(Pier(id="P1", at=(0, -2000), line="L1"),),
        levels=Levels(
            lines=(LineHeights(line="L1", seat=2600.0, fall=fall),),
            piers=(PierHeights(pier="P1", support=support),),
            columns=rule,
            settings=HeightSettings(deviation=1.5),
        ),
    )


def only(plan: Plan, of: PierHeight, book: LevelBook | None = None) -> ColumnCut:
    (cut,) = column_cuts(plan, (of,), book)
    return cut


def test_a_column_reaches_from_its_stand_off_to_below_the_cap() -> None:
    cut = only(site(), height())
    assert (cut.foot, cut.head) == (75.0, 2594.0)
    assert cut.length == cut.long == cut.short == 2519.0
    assert cut.rough == 2529.0
    assert (
        cut.says
        == "Cut the column of P1 2519\u00a0mm long on its axis; fix its cross piece 75\u00a0mm above the foot."
    )


def test_a_column_that_is_cast_in_is_longer_by_what_stands_in_the_concrete() -> None:
    cast = only(site(rule=replace(RULE, foot=-300)), height())
    assert cast.foot == -250.0
    assert cast.length == 2519.0 + 325.0
    assert cast.jig == pytest.approx(150.0 + 250.0)


def test_the_head_slopes_with_the_beam_by_half_its_depth_to_either_side() -> None:
    cut = only(site(fall=1 / 48), height())
    assert cut.long - cut.length == pytest.approx(140 / 48 / 2)
    assert cut.length - cut.short == pytest.approx(140 / 48 / 2)
    assert math.tan(math.radians(cut.slope_deg)) == pytest.approx(1 / 48)
    assert cut.rough == pytest.approx(cut.long + 10)


def test_typed_supports_come_before_those_at_the_usual_height() -> None:
    cut = only(site(support=420.0), height())
    assert (cut.support, cut.jig) == (420.0, 345.0)


def test_supports_below_the_foot_hang_nothing_and_it_is_said() -> None:
    cut = only(site(support=60.0), height())
    assert cut.jig is None
    assert "its side supports lie 15\u00a0mm below its foot" in cut.says


def test_a_finished_pier_that_was_read_is_what_the_column_stands_on() -> None:
    point = LevelPoint("P1 top", "P1 top", "pier top", 58.0, 2 * SURE_95, 1, None)
    book = LevelBook((), (point,), (), None, None, None, None, None, ())
    cut = only(site(), height(built=58.0), book)
    assert cut.foot == 83.0
    assert cut.within == pytest.approx(SURE_95 * math.hypot(2.0, 1 / math.sqrt(12)))
    assert cut.says.endswith("it stands on the finished pier as it was read.")


def test_a_pier_above_its_seat_and_one_without_a_seat_get_no_column() -> None:
    assert column_cuts(site(), (height(seat=70.0),), None) == ()
    assert column_cuts(site(), (height(seat=None),), None) == ()


def test_stock_is_the_shortest_that_is_long_enough_and_none_when_none_is() -> None:
    assert only(site(), height()).stock == 2700.0
    assert only(site(rule=replace(RULE, stock=(2500.0, 3050.0))), height()).stock == 3050.0
    assert only(site(rule=replace(RULE, stock=(1800.0,))), height()).stock is None


def test_usual_lengths_of_stock_follow_the_units() -> None:
    assert stock_lengths(Plan(units="ft-in"))[:2] == pytest.approx((2438.4, 3048.0))
    assert stock_lengths(Plan(units="m"))[0] == 2400.0


@given(
    st.tuples(st.floats(-2000, 500), st.floats(0, 300)),
    st.floats(-0.2, 0.2),
    st.tuples(st.floats(-400, 60), st.floats(0, 40)),
    st.floats(100, 800),
)
def test_what_is_cut_and_hung_puts_the_seat_where_it_must_be(
    levels: tuple[float, float], fall: float, ends: tuple[float, float], support: float
) -> None:
    """Assemble: supports, cross piece, column, cap: the seat comes out at its elevation, whatever the heights."""
    (ground, reveal), (foot, cap) = levels, ends
    plan = site(fall=fall, rule=replace(RULE, foot=foot, cap=cap, support=support))
    cut = only(plan, height(ground=ground, top=ground + reveal))
    if cut.jig is None or cut.support is None:
        assert cut.support is not None
        assert not 0 < cut.support - cut.foot < cut.short
        return
    hung_foot = cut.support - cut.jig
    assert hung_foot + cut.length + cap == pytest.approx(2600.0, abs=1e-9)


def test_seats_stand_within_what_is_stated_in_95_of_100_jobs() -> None:
    """1,000 jobs: the supports are read with errors, cut and mark are rounded to the tape; then it is assembled."""
    rng = np.random.default_rng(5)
    held = 0
    for _ in range(1000):
        true_support = rng.uniform(120, 260)
        deviation = 1.5
        read = true_support + rng.normal(0, deviation)
        point = LevelPoint("P1 support", "P1 support", "support", read, SURE_95 * deviation, 1, None)
        book = LevelBook((), (point,), (), None, None, None, None, None, ())
        cut = only(site(), replace(height(top=rng.uniform(20, 80)), seat=rng.uniform(2400, 2700)), book)
        assert cut.jig is not None
        seat = true_support - round(cut.jig) + round(cut.length) + 6
        held += abs(seat - (cut.head + 6)) <= cut.within
    assert 930 <= held <= 970


def pieces(*lengths: float) -> list[ColumnCut]:
    plain = only(site(), height())
    return [
        replace(plain, pier=f"P{k}", label=f"P{k}", rough=length, stock=6000.0)
        for k, length in enumerate(lengths, start=1)
    ]


def cheapest(lengths: tuple[float, ...], stock: tuple[float, ...], kerf: float) -> float:
    """Return the least length of stock, by trying every way to put the columns together."""

    def groupings(items: list[float]) -> Iterator[list[list[float]]]:
        if not items:
            yield []
            return
        head, rest = items[0], items[1:]
        for size in range(len(rest) + 1):
            for chosen in itertools.combinations(range(len(rest)), size):
                group = [head, *(rest[i] for i in chosen)]
                for others in groupings([x for i, x in enumerate(rest) if i not in chosen]):
                    yield [group, *others]

    best = math.inf
    for grouping in groupings(list(lengths)):
        total = 0.0
        for group in grouping:
            need = sum(group) + kerf * (len(group) - 1)
            total += next((s for s in stock if s >= need - 1e-6), math.inf)
        best = min(best, total)
    return best


@settings(max_examples=40)
@given(st.lists(st.integers(900, 3900).map(float), min_size=1, max_size=6))
def test_no_way_to_cut_buys_less(lengths: list[float]) -> None:
    stock = (2400.0, 3000.0, 3600.0, 4200.0, 4800.0)
    plan = site(rule=replace(RULE, stock=stock, kerf=3.0))
    groups = stock_groups(plan, pieces(*lengths))
    bought = sum(group.stock * len(group.cuts) for group in groups)
    assert bought == pytest.approx(cheapest(tuple(lengths), stock, 3.0))
    assert sorted(name for g in groups for piece in g.cuts for name in piece) == sorted(
        f"P{k}" for k in range(1, len(lengths) + 1)
    )
    assert sum(g.waste for g in groups) == pytest.approx(bought - sum(lengths))


def test_two_columns_share_a_longer_piece_only_where_that_buys_less() -> None:
    plan = site(rule=replace(RULE, stock=(2400.0, 4800.0, 5400.0), kerf=3.0))
    assert [(g.stock, g.cuts) for g in stock_groups(plan, pieces(2398.5, 2398.5))] == [
        (2400.0, (("P1",), ("P2",)))
    ], "two short pieces carry easier than one long one of the same length"
    assert [(g.stock, g.cuts) for g in stock_groups(plan, pieces(2650.0, 2650.0))] == [(5400.0, (("P1", "P2"),))]


def test_a_column_longer_than_all_stock_is_left_out_of_the_list() -> None:
    plan = site(rule=replace(RULE, stock=(2400.0,)))
    assert stock_groups(plan, [replace(pieces(2500.0)[0], stock=None)]) == ()


def test_hundreds_of_different_columns_are_all_cut() -> None:
    rng = np.random.default_rng(2)
    lengths = [round(float(x), 1) for x in rng.uniform(1800, 3000, 300)]
    groups = stock_groups(site(), pieces(*lengths))
    names = [name for group in groups for piece in group.cuts for name in piece]
    assert sorted(names) == sorted(f"P{k}" for k in range(1, 301))
    for group in groups:
        for piece in group.cuts:
            need = sum(lengths[int(name[1:]) - 1] for name in piece) + 3.175 * (len(piece) - 1)
            assert need <= group.stock + 1e-6
