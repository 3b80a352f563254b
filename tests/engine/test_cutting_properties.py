"""What holds for every cutting list, and what is said of those that make no sense."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutdesk.engine.cutting import CuttingError, Piece, Stock, best_cutting, first_cutting
from tests.engine.cutting_jobs import check

STOCK = (Stock(2438.4), Stock(3048.0), Stock(3657.6), Stock(4876.8))


@st.composite
def demands(draw: st.DrawFn, most: int = 12) -> list[Piece]:
    lengths = draw(st.lists(st.floats(150.0, 4876.8), min_size=1, max_size=most))
    return [Piece(length, draw(st.integers(0, 9)), f"K{k}") for k, length in enumerate(lengths)]


@settings(max_examples=60)
@given(demands(), st.sampled_from((0.0, 1.5, 3.175)))
def test_every_piece_is_cut_once_and_fits(demand: list[Piece], kerf: float) -> None:
    first, best = first_cutting(demand, STOCK, kerf=kerf), best_cutting(demand, STOCK, kerf=kerf)
    check(first, demand, STOCK, kerf)
    check(best, demand, STOCK, kerf)
    assert best.cost <= first.cost + 1e-6
    assert best.bound >= first.bound - 1e-6
    assert first.bound <= best.cost + 1e-6


@settings(max_examples=25)
@given(demands(6), st.permutations(STOCK))
def test_the_order_in_which_things_are_told_changes_no_cost(demand: list[Piece], stock: list[Stock]) -> None:
    turned = list(reversed(demand))
    one, other = best_cutting(demand, STOCK, kerf=3.0), best_cutting(turned, stock, kerf=3.0)
    if one.proven and other.proven:
        assert one.cost == pytest.approx(other.cost, abs=1e-6)
    assert best_cutting(demand, STOCK, kerf=3.0) == one, "the same list is cut the same way again"


@settings(max_examples=25)
@given(demands(5), st.floats(0.01, 0.5))
def test_one_more_piece_never_costs_less(demand: list[Piece], share: float) -> None:
    more = [*demand, Piece(4876.8 * share, 1, "one more")]
    one, other = best_cutting(demand, STOCK, kerf=3.0), best_cutting(more, STOCK, kerf=3.0)
    assert other.cost >= one.bound - 1e-6
    assert one.bound <= other.cost + 1e-6


def test_a_piece_that_fits_to_a_millionth_of_a_millimetre_fits_and_a_longer_one_does_not() -> None:
    stock = [Stock(2400.0)]
    half = (2400.0 - 3.0) / 2
    assert len(best_cutting([Piece(half, 2, "A")], stock, kerf=3.0).pieces) == 1
    assert len(best_cutting([Piece(half + 0.4e-6, 2, "A")], stock, kerf=3.0).pieces) == 1
    assert len(best_cutting([Piece(half + 0.6e-6, 2, "A")], stock, kerf=3.0).pieces) == 2
    assert len(best_cutting([Piece(2400.0, 1, "A")], stock, kerf=3.0).pieces) == 1
    with pytest.raises(CuttingError, match="No stock is long enough for A, C; add a longer length"):
        best_cutting([Piece(2400.00001, 1, "A"), Piece(90.0, 1, "B"), Piece(2500.0, 1, "C")], stock, kerf=3.0)


def test_tenths_of_millimetres_and_sixty_fourths_of_inches_add_up() -> None:
    ten = best_cutting([Piece(0.1, 30_000, "sliver")], [Stock(3000.0)], kerf=0.0)
    assert len(ten.pieces) == 1
    assert ten.proven
    inch = 25.4
    pieces = [Piece(47.9375 * inch, 2, "A"), Piece(31.875 * inch, 3, "B")]
    found = best_cutting(pieces, [Stock(96.0 * inch)], kerf=0.125 * inch)
    # 2 × 47 15/16 and a saw cut are 96 exactly; 3 × 31 7/8 and two saw cuts are 95 7/8.
    assert sorted(p.cuts for p in found.pieces) == [("A", "A"), ("B", "B", "B")]
    assert found.pieces[0].left_over + found.pieces[1].left_over == pytest.approx(0.125 * inch)
    assert found.proven


def test_the_saw_cuts_between_pieces_only() -> None:
    (piece,) = best_cutting([Piece(1000.0, 2, "A")], [Stock(2003.0)], kerf=3.0).pieces
    assert (piece.cuts, piece.left_over) == (("A", "A"), 0.0)


def test_two_short_pieces_come_before_one_long_piece_of_equal_cost() -> None:
    found = best_cutting([Piece(2398.5, 2, "A")], [Stock(2400.0), Stock(4800.0)], kerf=3.0)
    assert [p.stock.length for p in found.pieces] == [2400.0, 2400.0]


def test_prices_decide_where_there_are_any() -> None:
    stock = [Stock(2400.0, 10.0), Stock(4800.0, 15.0)]
    found = best_cutting([Piece(2300.0, 2, "A")], stock, kerf=3.0)
    assert [p.stock.length for p in found.pieces] == [4800.0]
    assert (found.cost, found.bound, found.waste) == (15.0, 15.0, 200.0)
    assert found.says == "1 piece of stock; no way to cut costs less: proven."


def test_what_lies_at_hand_for_nothing_is_used_first() -> None:
    stock = [Stock(2400.0, 0.0, 2), Stock(2400.0, 8.0)]
    found = best_cutting([Piece(1200.0, 2, "A"), Piece(2000.0, 2, "B")], stock, kerf=3.0)
    assert found.proven
    assert found.cost == 16.0
    assert sum(p.stock.price == 0.0 for p in found.pieces) == 2
    assert best_cutting([Piece(1000.0, 2, "A")], stock, kerf=3.0).cost == 0.0


def test_scarce_stock_is_used_no_more_often_than_there_is() -> None:
    stock = [Stock(2400.0, None, 1), Stock(3000.0, None, 2)]
    found = best_cutting([Piece(1100.0, 6, "A")], stock, kerf=3.0)
    check(found, [Piece(1100.0, 6, "A")], stock, 3.0)
    for way in (best_cutting, first_cutting):
        with pytest.raises(CuttingError, match="not enough"):
            way([Piece(1100.0, 7, "A")], stock, kerf=3.0)


def test_nothing_wanted_is_nothing_cut() -> None:
    for way in (best_cutting, first_cutting):
        for demand in ([], [Piece(100.0, 0, "A")]):
            found = way(demand, STOCK, kerf=3.0)
            assert (found.pieces, found.cost, found.proven, found.says) == ((), 0.0, True, "Nothing is to be cut.")


def test_a_first_answer_says_that_it_is_one() -> None:
    demand = [Piece(1500.0, 3, "A"), Piece(1300.0, 5, "B"), Piece(800.0, 7, "C")]
    first = first_cutting(demand, [Stock(4000.0)], kerf=0.0)
    assert first.proven or first.says.startswith("A first answer: ")
    best = best_cutting(demand, [Stock(4000.0)], kerf=0.0)
    assert best.proven
    assert best.says.endswith("no way to cut takes less stock: proven.")


def test_without_time_the_answer_is_still_whole_and_its_bound_holds() -> None:
    demand = [Piece(700.0 + 37.7 * k, 2, f"K{k}") for k in range(25)]
    best = best_cutting(demand, STOCK, kerf=3.0)
    hasty = best_cutting(demand, STOCK, kerf=3.0, seconds=0.0)
    check(hasty, demand, STOCK, 3.0)
    assert hasty.bound <= best.cost + 1e-6
    assert hasty.cost >= best.bound - 1e-6


@pytest.mark.parametrize(
    ("demand", "stock", "kerf", "says"),
    [
        ([Piece(-1.0, 1, "A")], STOCK, 3.0, "The piece “A” needs a length of more than zero"),
        ([Piece(math.nan, 1)], STOCK, 3.0, "A piece needs a length"),
        ([Piece(10.0, -2, "A")], STOCK, 3.0, "wanted -2 times"),
        ([Piece(10.0, 100_001, "A")], STOCK, 3.0, "100,001 pieces are more than the 100,000"),
        ([Piece(10.0, 1, "A")], STOCK, -0.1, "width of a saw cut"),
        ([Piece(10.0, 1, "A")], [Stock(0.0)], 3.0, "length of stock"),
        ([Piece(10.0, 1, "A")], [Stock(100.0, -1.0)], 3.0, "price of a piece"),
        ([Piece(10.0, 1, "A")], [Stock(100.0, None, -1)], 3.0, "can be had"),
        ([Piece(10.0, 1, "A")], [Stock(100.0), Stock(200.0, 3.0)], 3.0, "a price, or none of them"),
        ([Piece(10.0, 1, "A")], [], 3.0, "No stock is long enough for A"),
        ([Piece(10.0, 1, "A")], [Stock(20.0, None, 0)], 3.0, "No stock is long enough for A"),
    ],
)
def test_nonsense_gets_one_sentence(demand: list[Piece], stock: list[Stock], kerf: float, says: str) -> None:
    for way in (best_cutting, first_cutting):
        with pytest.raises(CuttingError, match=says) as told:
            way(demand, stock, kerf=kerf)
        assert str(told.value).endswith(".")
        assert str(told.value).count(". ") == 0
