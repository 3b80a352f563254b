"""Flags of piers that are hard to stake, what is just allowed, and what happens with very many."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Attachment, BeamLine, Pier, Plan, Slab, TapeAtHand
from tests.engine.scenes import PORCH, STRAIGHT, rows_plan, tree
from tests.engine.test_flags import SP, flags, moved


def test_no_two_open_tapes_reach_a_pier() -> None:
    """One of two control points is behind a tree; square from the baseline remains."""
    plan = PORCH.with_(
        controls=PORCH.controls[:2], keepouts=(tree((8000.0, -300.0), 250.0), tree((9000.0, -1400.0), 900.0, "K2"))
    )
    found = flags(plan, "no-open-pair")
    assert found
    assert found[0].title.startswith("No two open tapes reach P")
    assert "barred are C2 by tree" in found[0].text


def test_pier_that_cannot_be_staked_at_all() -> None:
    plan = PORCH.with_(baseline=None, controls=PORCH.controls[:2], piers=PORCH.piers[:1])
    (flag,) = flags(plan.with_(keepouts=(tree((500.0, -1000.0)),)), "no-way-to-stake")
    assert flag.severity == "error"
    assert flag.text == (
        "Nothing puts this pier on the ground: there is no baseline to go square from, and no two open tapes cross"
        " there (barred are C1 by tree K1). Add a control point from which it can be seen."
    )
    assert flag.about == ("P1",)


def test_flat_crossing_is_flagged_with_its_angle_and_error() -> None:
    far = moved(PORCH.with_(controls=PORCH.controls[:2]), "P1", (5000.0, -25_000.0))
    (flag,) = flags(far, "weak-crossing")
    assert flag.title == "Tapes cross flat at P1"
    assert flag.text == (
        f"The best two tapes, from C1 and C2, cross at only 23° and put the stake within ±{SP}20{SP}mm; add a"
        " control point to the side of it."
    )
    assert flag.about == ("P1", "C1", "C2")


def test_tape_too_short_is_flagged_once_with_the_longest_tie() -> None:
    (flag,) = flags(PORCH.with_(tape_at_hand=TapeAtHand(length=8000.0)), "tape-too-short")
    assert flag.text == (
        f"4 ties are longer than the tape at hand (8000{SP}mm) and not used; the longest, C2 to P4, is 10296{SP}mm."
    )
    (alone,) = flags(PORCH.with_(tape_at_hand=TapeAtHand(length=10_290.0)), "tape-too-short")
    assert alone.text.startswith("1 tie is longer")


def test_piers_that_only_touch_do_not_overlap() -> None:
    assert flags(moved(PORCH, "P2", (1300.0, -2000.0)), "piers-overlap") == []


def test_pier_that_touches_the_house_is_not_under_it() -> None:
    assert flags(moved(PORCH, "P1", (1000.0, -150.0)), "pier-under-house") == []


def test_half_a_step_off_the_line_is_nothing() -> None:
    assert flags(moved(PORCH, "P1", (1000.0, -2000.5)), "pier-off-line") == []


def test_errors_come_first() -> None:
    plan = moved(moved(PORCH, "P1", (1000.0, -2003.0)), "P2", (1100.0, -2000.0)).with_(
        lines=(*PORCH.lines, BeamLine(id="L3", start=(0.0, -8000.0), end=(9000.0, -8000.0)))
    )
    rank = ["error", "warning", "note"]
    severities = [rank.index(flag.severity) for flag in derive(plan).flags]
    assert severities == sorted(severities)
    assert set(severities) == {0, 1, 2}


def many(count: int) -> Plan:
    """Return a plan with so many piers without a detail."""
    plan = rows_plan([[2000.0 * k for k in range(count)]], (0.0,))
    return plan.with_(piers=tuple(replace(pier, detail=None) for pier in plan.piers))


@pytest.mark.parametrize(("count", "singly"), [(1, 1), (6, 6), (7, 5), (200, 5)])
def test_many_of_one_kind_are_summed_up(count: int, singly: int) -> None:
    found = flags(many(count), "pier-without-detail")
    assert len(found) == (singly if count == singly else singly + 1)
    if count == 7:
        assert found[-1].text == "The same is true of P6 and P7."
    if count == 200:
        assert found[-1].title == "More piers without a detail"
        assert found[-1].text == "The same is true of P6, P7, P8 and 192 more."
        assert found[-1].about[:2] == ("P6", "P7")


def test_thousands_of_piers_in_one_place_are_counted_up_to_five_hundred() -> None:
    """A pasted heap must not stop the program."""
    heap = Plan(
        piers=tuple(Pier(id=f"P{k}", at=(float(k % 7), 0.0), detail="D1") for k in range(3000)), details=(STRAIGHT,)
    )
    found = flags(heap, "piers-overlap")
    assert len(found) == 6
    assert found[-1].text.endswith("and 492 more.")


BROKEN: dict[str, Callable[[], Plan]] = {
    "slab without a pier": lambda: PORCH.with_(
        slabs=(Slab(id="S1", outline=((0, 9000), (1, 9000), (1, 9001)), thickness=100.0),)
    ),
    "bow-tie slab": lambda: PORCH.with_(
        slabs=(Slab(id="S1", outline=((0, 0), (8000, -8000), (8000, 0), (0, -8000)), thickness=100.0),)
    ),
    "attachment and no wall": lambda: PORCH.with_(attachments=(Attachment(id="A1", at=(0.0, 9.0), kind="ledger"),)),
}


@pytest.mark.parametrize("make", BROKEN.values(), ids=BROKEN)
def test_odd_outlines_are_no_trouble(make: Callable[[], Plan]) -> None:
    assert isinstance(derive(make()).flags, tuple)
