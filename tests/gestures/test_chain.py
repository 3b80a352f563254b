"""A chain of dimensions typed from a paper plan lays out pieces directly, and is kept to be checked."""

from __future__ import annotations

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.errors import EditError
from layoutdesk.plan.model import Plan
from layoutdesk.plan.validate import check
from tests.gestures.hand import FT, IN, Hand
from tests.gestures.scenes import wall_only

PAPER = "6'-0\", 8'-2\", 8'-2\" = 22'-4\""


def typed(hand: Hand, text: str = PAPER, makes: str = "row of piers") -> Hand:
    hand.click(2 * FT, -5 * FT, free=True).click(6 * FT, -5 * FT, free=True)
    return hand.enter(numbers=text, **{"lays out": makes})


def test_a_row_of_piers_with_one_at_the_start() -> None:
    hand = typed(Hand(wall_only(), "Chain"))
    xs = [pier.at[0] - 2 * FT for pier in hand.plan.piers]
    assert xs == pytest.approx([0, 6 * FT, 14 * FT + 2 * IN, 22 * FT + 4 * IN])
    (chain,) = hand.plan.chains
    assert chain.parts == pytest.approx((6 * FT, 98 * IN, 98 * IN))
    assert chain.overall == pytest.approx(268 * IN)
    assert chain.about == ("L1", "P1", "P2", "P3", "P4")
    assert chain.text == PAPER
    assert derive(hand.plan).chains[0].closes
    check(hand.plan)


def test_at_the_house_the_first_number_is_measured_from_there() -> None:
    hand = Hand(wall_only(), "Chain")
    hand.click(2 * FT, 0.0).click(2 * FT, -6 * FT).enter(numbers="8', 6'")
    assert [pier.at[1] for pier in hand.plan.piers] == pytest.approx([-8 * FT, -14 * FT])


@pytest.mark.parametrize(
    ("makes", "name", "count"),
    [
        ("rows", "lines", 4),
        ("wall", "walls", 2),
        ("attachments", "attachments", 4),
        ("control points", "controls", 4),
    ],
)
def test_what_else_it_lays_out(makes: str, name: str, count: int) -> None:
    plan = typed(Hand(wall_only(), "Chain"), makes=makes).plan
    assert len(getattr(plan, name)) == count
    assert len(plan.chains) == 1
    check(plan)


def test_rows_go_into_the_yard_as_long_as_typed_and_are_attached_at_the_house() -> None:
    hand = Hand(wall_only(), "Chain")
    hand.click(0.0, 0.0).click(10 * FT, 0.0)
    hand.type(numbers="2', 10' 6\", 7' 6\"").type(**{"lays out": "rows"}).enter(**{"rows long": 14 * FT})
    assert [line.start[0] for line in hand.plan.lines] == pytest.approx([2 * FT, 12.5 * FT, 20 * FT])
    assert [line.end[1] for line in hand.plan.lines] == pytest.approx([-14 * FT] * 3)
    assert [line.attachment for line in hand.plan.lines] == ["A1", "A2", "A3"]


def test_one_that_does_not_close_says_so_before_and_after() -> None:
    hand = Hand(Plan(), "Chain")
    hand.click(0.0, 0.0, free=True).click(1000.0, 0.0, free=True)
    hand.type(numbers="6', 8' = 15'")
    assert "1′ 0″ less than 15′ 0″" in hand.gesture.hint.replace("\u00a0", " ")
    hand.enter()
    assert [flag.code for flag in derive(hand.plan).flags if flag.stage == "plan"] == ["chain-does-not-close"]
    assert len(hand.plan.piers) == 3


def test_one_step_takes_it_back() -> None:
    hand = typed(Hand(wall_only(), "Chain"))
    hand.document.undo()
    assert hand.plan == wall_only()


@pytest.mark.parametrize("text", ["six feet", "6' = = 6'", "0, 6'", ""])
def test_what_is_no_chain_is_refused_at_the_box(text: str) -> None:
    hand = Hand(Plan(), "Chain")
    hand.click(0.0, 0.0, free=True).click(1000.0, 0.0, free=True)
    with pytest.raises(EditError, match="type for example"):
        hand.type(numbers=text)
