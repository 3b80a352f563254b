"""Flags of piers that are hard to stake, what is just allowed, and what happens with very many."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Attachment, Bay, BeamLine, Control, Pier, Plan, Slab, TapeAtHand
from tests.engine.scenes import PORCH, STRAIGHT, by_the_wall, rows_plan, tree
from tests.engine.test_flags import SP, flags, moved


def test_no_two_open_tapes_reach_a_pier() -> None:
    """One of two control points is behind a tree; square from the baseline remains."""
    plan = PORCH.with_(
        controls=PORCH.controls[:2], piers=PORCH.piers[:1], keepouts=(tree((9000.0, -300.0), 250.0),)
    )
    (flag,) = flags(plan, "no-open-pair")
    assert flag.title == "No two open tapes reach P1"
    assert "barred are C2 by tree K1" in flag.text


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


def scattered(count: int, **changes: object) -> Plan:
    """Return a plan with one row of piers by a house, all changed alike."""
    plan = by_the_wall(rows_plan([[1000.0 * k for k in range(count)]], (-2000.0,)))
    return plan.with_(piers=tuple(replace(pier, **changes) for pier in plan.piers))  # type: ignore[arg-type]


def shifted(by: tuple[float, float]) -> Plan:
    """Return three piers on a line, all moved off it."""
    plan = scattered(3)
    return plan.with_(piers=tuple(replace(p, at=(p.at[0] + by[0], p.at[1] + by[1])) for p in plan.piers))


LINES = tuple(BeamLine(id=f"L{k}", start=(0.0, -900.0 * k), end=(2000.0, -900.0 * k)) for k in (2, 3, 4))
TOGETHER: dict[str, tuple[Plan, str, str, str]] = {
    "without a detail": (
        scattered(9, detail=None),
        "pier-without-detail",
        "9 piers have no detail",
        (
            "Piers P1, P2, P3, P4, P5, P6 and 3 more have no detail, so their holes and their concrete"
            " are not known;"
            " give them one."
        ),
    ),
    "marks": (
        scattered(6).with_(piers=tuple(replace(p, mark=f"M{k % 3}") for k, p in enumerate(scattered(6).piers))),
        "duplicate-mark",
        "3 marks are there more than once",
        "More than one point is called each of M0, M1 and M2, so stakes could be mixed up; rename all but one.",
    ),
    "controls": (
        Plan(units="mm", rounding=1.0, controls=tuple(Control(id=f"C{k}", at=(float(k), 0.0)) for k in range(3))),
        "controls-at-one-place",
        "3 pairs of control points are at one place",
        (
            f"C0 with C1, C0 with C2 and C1 with C2 are nearer to each other than 10{SP}mm; move or"
            f" delete one of each."
        ),
    ),
    "off the line": (
        shifted((0.0, 7.0)),
        "pier-off-line",
        "3 piers are off their lines",
        f"Piers P1, P2 and P3 stand up to 7{SP}mm beside their beam lines; move them onto the lines or free them.",
    ),
    "lines without piers": (
        scattered(3).with_(lines=(*scattered(3).lines, *(replace(line, id=f"{line.id}x") for line in LINES))),
        "line-without-piers",
        "3 beam lines have no piers",
        "No pier stands on beam lines L2x, L3x and L4x; put piers on them or delete them.",
    ),
    "lines without length": (
        Plan(lines=tuple(replace(line, end=line.start) for line in LINES)),
        "line-without-length",
        "3 beam lines have no length",
        "Beam lines L2, L3 and L4 begin and end at the same place; move one end of each.",
    ),
    "lines that miss": (
        Plan(
            units="mm",
            rounding=1.0,
            attachments=(Attachment(id="A1", at=(-30.0, -1800.0), kind="ledger"),),
            lines=tuple(replace(line, attachment="A1") for line in LINES),
        ),
        "line-misses-attachment",
        "3 beam lines miss their attachments",
        f"Beam lines L2, L3 and L4 pass their attachments by up to 1800{SP}mm; move one or the other.",
    ),
    "attachments": (
        scattered(0).with_(
            attachments=tuple(Attachment(id=f"A{k}", at=(10.0, -10.0 * k), kind="ledger") for k in (1, 2, 3))
        ),
        "attachment-off-wall",
        "3 attachments are on no wall",
        f"Attachments A1, A2 and A3 are up to 30{SP}mm away from the nearest wall; move them onto it.",
    ),
    "overlaps": (
        scattered(4).with_(details=(replace(STRAIGHT, profile=((0.0, 1200.0), (800.0, 1200.0))),)),
        "piers-overlap",
        "3 pairs of piers overlap",
        (
            "Piers P1 with P2, P2 with P3 and P3 with P4 come too near to each other; move them apart or make them"
            " narrower."
        ),
    ),
    "in the house": (
        shifted((0.0, 3000.0)),
        "pier-in-house",
        "3 piers stand in the house",
        "Piers P1, P2 and P3 stand in the house; move them into the yard.",
    ),
    "under the house": (
        shifted((0.0, 1900.0)),
        "pier-under-house",
        "3 piers reach under the house",
        (
            "Piers P1, P2 and P3 reach under the house; the widest part comes under the wall; dig there only as the"
            " designer allows."
        ),
    ),
    "in a tree": (
        scattered(3).with_(keepouts=(tree((1000.0, -2000.0), 1500.0),)),
        "pier-in-keepout",
        "3 piers stand in tree K1",
        "Piers P1, P2 and P3 stand in tree K1; neither auger nor tape may go there; move them.",
    ),
    "behind": (
        shifted((0.0, 2500.0)),
        "pier-behind-baseline",
        "3 piers are on the wrong side",
        f"Piers P1, P2 and P3 lie up to 500{SP}mm behind the baseline; turn the yard side round or move the piers.",
    ),
    "off the sheet": (
        shifted((200_000.0, 0.0)),
        "pier-outside-sheet",
        "3 piers are off the sheet",
        f"Piers P1, P2 and P3 are up to 202010{SP}mm from the baseline's origin; see where they belong.",
    ),
    "along the line": (
        scattered(7).with_(
            controls=(PORCH.controls[0], Control(id="C2", at=(2000.0, 0.0))),
            baseline=None,
            keepouts=(tree((3500.0, -1200.0), 700.0),),
        ),
        "pier-set-along-line",
        "3 piers are set along their lines",
        (
            "Neither square from the baseline nor two open tapes reach P5, P6 and P7; set them along their beam "
            "lines from the piers beside them."
        ),
    ),
    "lost": (
        scattered(3).with_(controls=PORCH.controls[:2], baseline=None, keepouts=(tree((0.0, -800.0), 700.0),)),
        "no-way-to-stake",
        "3 piers cannot be staked",
        (
            "Neither square from the baseline nor two open tapes put P1, P2 and P3 on the ground; add"
            " control points from"
            " which they can be seen."
        ),
    ),
    "barred": (
        scattered(3).with_(controls=(PORCH.controls[0], Control(id="C2", at=(0.0, 9000.0)))),
        "no-open-pair",
        "No two open tapes reach 3 piers",
        (
            "Only square from the baseline puts P1, P2 and P3 on the ground, and no second way checks"
            " it; add control"
            " points from which they can be seen."
        ),
    ),
    "flat": (
        scattered(3).with_(controls=(PORCH.controls[0], Control(id="C2", at=(1000.0, 0.0)))),
        "weak-crossing",
        "Tapes cross flat at 3 piers",
        (
            f"At P1, P2 and P3 the best two tapes cross at as little as 18° and put the stakes only"
            f" within ±{SP}4{SP}mm;"
            " add a control point to the side of them."
        ),
    ),
    "bays that are none": (
        PORCH.with_(bays=tuple(Bay(id=f"B{k}", corners=("P1", "P1", "P2", "P3")) for k in range(3))),
        "bay-proves-nothing",
        "3 bays prove nothing",
        (
            "The corners of the bays P1 P1 P2 P3, P1 P1 P2 P3 and P1 P1 P2 P3 coincide or lie in one"
            " line; choose corners"
            " that go round them."
        ),
    ),
    "barred diagonals": (
        PORCH.with_(keepouts=(tree((4000.0, -3500.0), 1400.0),)),
        "diagonal-blocked",
        "3 bays have a barred diagonal",
        (
            "Diagonals of P1 P4 P5 P2, P2 P5 P6 P3 and P1 P4 P6 P3 are barred by tree K1; check these"
            " bays by their sides"
            " and their neighbours."
        ),
    ),
    "rows": (
        Plan(
            units="mm",
            lines=tuple(
                BeamLine(id=f"L{k}", start=(0.0, -3000.0 * k), end=(9000.0, -3000.0 * k - 300.0 * (k % 2)))
                for k in range(4)
            ),
        ),
        "rows-not-parallel",
        "3 pairs of rows are not parallel",
        "The rows L0 with L1, L1 with L2 and L2 with L3 are not parallel; see that this is meant.",
    ),
}


@pytest.mark.parametrize(("plan", "code", "title", "text"), TOGETHER.values(), ids=TOGETHER)
def test_three_of_a_kind_are_said_together(plan: Plan, code: str, title: str, text: str) -> None:
    (flag,) = flags(plan, code)
    assert (flag.title, flag.text) == (title, text)
    assert len(flag.about) >= 3


def test_all_that_are_meant_are_named_in_about() -> None:
    (flag,) = flags(scattered(200, detail=None), "pier-without-detail")
    assert flag.about == tuple(f"P{k}" for k in range(1, 201))
    assert len(flags(scattered(2, detail=None), "pier-without-detail")) == 2


def test_thousands_of_piers_in_one_place_are_counted_up_to_five_hundred() -> None:
    """A pasted heap must not stop the program."""
    heap = Plan(
        piers=tuple(Pier(id=f"P{k}", at=(float(k % 7), 0.0), detail="D1") for k in range(3000)), details=(STRAIGHT,)
    )
    (flag,) = flags(heap, "piers-overlap")
    assert flag.title == "500 or more pairs of piers overlap"
    assert "P0 with P6 and 494 more come too near" in flag.text


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
