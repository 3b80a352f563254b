"""What a plan must not do, each in one sentence with its numbers; and that a sound plan has no flags."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Flag
from layoutdesk.plan.model import (
    Baseline,
    Bay,
    BeamLine,
    Control,
    Detail,
    Pier,
    Plan,
    Slab,
)
from tests.engine.scenes import ATTACHED, PORCH, tree

SP = "\u00a0"


def flags(plan: Plan, code: str) -> list[Flag]:
    """Return the flags of one code."""
    return [flag for flag in derive(plan).flags if flag.code == code]


def moved(plan: Plan, pier: str, at: tuple[float, float]) -> Plan:
    """Return the plan with one pier elsewhere."""
    return plan.with_(piers=tuple(replace(p, at=at) if p.id == pier else p for p in plan.piers))


def with_line(plan: Plan, index: int, **changes: object) -> Plan:
    """Return the plan with one beam line changed."""
    lines = list(plan.lines)
    lines[index] = replace(lines[index], **changes)  # type: ignore[arg-type]
    return plan.with_(lines=tuple(lines))


@pytest.mark.parametrize("plan", [PORCH, ATTACHED, Plan()], ids=["porch", "attached", "empty"])
def test_sound_plan_has_no_flags(plan: Plan) -> None:
    assert derive(plan).flags == ()


PILE = tuple(Pier(id=f"P{k}", at=(1000.0, -2000.0), line="L1", detail="D1") for k in (1, 2))
CASES: dict[str, tuple[Plan, str, str, str, str, tuple[str, ...]]] = {
    "no baseline": (
        PORCH.with_(baseline=None),
        "no-baseline",
        "warning",
        "control",
        "Stations and offsets are read from a baseline; choose a wall face or a chalked line for it.",
        (),
    ),
    "baseline without length": (
        PORCH.with_(baseline=Baseline(origin=(1.0, 1.0), toward=(1.0, 1.0), yard_side="left")),
        "baseline-without-length",
        "error",
        "control",
        "Its origin and the point it runs toward are the same place; move one of them.",
        (),
    ),
    "no control point": (
        PORCH.with_(controls=()),
        "too-few-controls",
        "warning",
        "control",
        (
            "There is no control point; two tapes need two points that can be found again, such as the corners of"
            " the house."
        ),
        (),
    ),
    "one control point": (
        PORCH.with_(controls=PORCH.controls[:1]),
        "too-few-controls",
        "warning",
        "control",
        (
            "There is only one control point; two tapes need two points that can be found again, such as the"
            " corners of the house."
        ),
        ("C1",),
    ),
    "control points together": (
        PORCH.with_(controls=(*PORCH.controls, Control(id="C4", at=(3.0, 4.0)))),
        "controls-at-one-place",
        "error",
        "control",
        f"C1 and C4 are only 5{SP}mm apart; move one of them or delete it.",
        ("C1", "C4"),
    ),
    "control points at one place": (
        PORCH.with_(controls=(*PORCH.controls, Control(id="C4", at=(0.0, 0.0)))),
        "controls-at-one-place",
        "error",
        "control",
        "C1 and C4 are at the same place; move one of them or delete it.",
        ("C1", "C4"),
    ),
    "mark used twice": (
        PORCH.with_(piers=(replace(PORCH.piers[0], mark="P2"), *PORCH.piers[1:])),
        "duplicate-mark",
        "error",
        "plan",
        "2 points are called P2, so its stake could be any of them; rename all but one.",
        ("P1", "P2"),
    ),
    "no detail": (
        PORCH.with_(piers=(replace(PORCH.piers[0], detail=None), *PORCH.piers[1:])),
        "pier-without-detail",
        "warning",
        "piers",
        "Pier P1 has no detail, so its hole and its concrete are not known; give it one.",
        ("P1",),
    ),
    "detail without depth": (
        PORCH.with_(details=(Detail(id="D1", profile=((0.0, 300.0),)),)),
        "detail-without-depth",
        "error",
        "piers",
        "The profile of detail D1 has no depth; give it at least one depth below the ground.",
        ("D1",),
    ),
    "overlap": (
        moved(PORCH, "P2", (1250.0, -2000.0)),
        "piers-overlap",
        "error",
        "plan",
        (
            f"Piers P1 and P2 are 250{SP}mm apart and need 300{SP}mm at their widest; move one of them or make it"
            " narrower."
        ),
        ("P1", "P2"),
    ),
    "same place": (
        PORCH.with_(piers=PILE),
        "piers-overlap",
        "error",
        "plan",
        "Piers P1 and P2 stand at the same place; move one of them or delete it.",
        ("P1", "P2"),
    ),
    "in the house": (
        moved(PORCH, "P1", (1000.0, 400.0)),
        "pier-in-house",
        "error",
        "plan",
        "Pier P1 stands in the house; move it into the yard.",
        ("P1",),
    ),
    "under the house": (
        moved(PORCH, "P1", (1000.0, -100.0)),
        "pier-under-house",
        "warning",
        "plan",
        (
            "Pier P1 reaches under the house; the widest part comes under the wall; dig there only as the designer"
            " allows."
        ),
        ("P1",),
    ),
    "in a tree": (
        PORCH.with_(keepouts=(tree((1400.0, -2000.0)),)),
        "pier-in-keepout",
        "error",
        "plan",
        "Pier P1 stands in tree K1; neither auger nor tape may go there; move it.",
        ("P1", "K1"),
    ),
    "behind the baseline": (
        PORCH.with_(
            piers=(PORCH.piers[0], *PORCH.piers[3:]),
            baseline=Baseline(origin=(0.0, -2500.0), toward=(9000.0, -2500.0), yard_side="right"),
        ),
        "pier-behind-baseline",
        "warning",
        "control",
        f"Pier P1 lies 500{SP}mm behind the baseline; turn the yard side round or move the pier.",
        ("P1",),
    ),
    "off the sheet": (
        moved(PORCH, "P1", (1000.0, -120_000.0)),
        "pier-outside-sheet",
        "warning",
        "plan",
        f"Pier P1 is 120004{SP}mm from the baseline's origin; see where it belongs.",
        ("P1",),
    ),
    "off the sheet without a baseline": (
        moved(PORCH.with_(baseline=None), "P1", (0.0, -120_000.0)),
        "pier-outside-sheet",
        "warning",
        "plan",
        f"Pier P1 is 120000{SP}mm from C1; see where it belongs.",
        ("P1",),
    ),
    "through a slab": (
        PORCH.with_(
            slabs=(
                Slab(
                    id="S1",
                    outline=((0.0, 0.0), (4500.0, 0.0), (4500.0, -3000.0), (0.0, -3000.0)),
                    thickness=100.0,
                ),
            )
        ),
        "pier-in-slab",
        "note",
        "piers",
        f"Piers P1 and P2 come through slab S1 (100{SP}mm thick); saw openings before digging.",
        ("P1", "P2", "S1"),
    ),
    "off its line": (
        moved(PORCH, "P1", (1000.0, -2003.0)),
        "pier-off-line",
        "warning",
        "plan",
        f"Pier P1 stands 3{SP}mm beside beam line L1; move it onto the line or free it from it.",
        ("P1", "L1"),
    ),
    "line without piers": (
        PORCH.with_(lines=(*PORCH.lines, BeamLine(id="L3", start=(0.0, -8000.0), end=(9000.0, -8000.0)))),
        "line-without-piers",
        "note",
        "plan",
        "No pier stands on beam line L3; put piers on it or delete it.",
        ("L3",),
    ),
    "line without length": (
        with_line(PORCH, 0, start=(1000.0, -2000.0), end=(1000.0, -2000.0)),
        "line-without-length",
        "error",
        "plan",
        "Beam line L1 begins and ends at the same place; move one of its ends.",
        ("L1",),
    ),
    "line misses its attachment": (
        with_line(ATTACHED, 0, start=(1000.0, -40.0)),
        "line-misses-attachment",
        "warning",
        "plan",
        f"Beam line L1 passes its attachment A1 by 40{SP}mm; move one of them.",
        ("L1", "A1"),
    ),
    "rows not parallel": (
        moved(with_line(PORCH, 1, end=(7200.0, -5128.0)), "P6", (7000.0, -5124.0)),
        "rows-not-parallel",
        "note",
        "plan",
        f"Row L2 is 3000{SP}mm from L1 at one end and 3124{SP}mm at the other (1.15°); see that this is meant.",
        ("L1", "L2"),
    ),
    "attachment off the wall": (
        ATTACHED.with_(attachments=(replace(ATTACHED.attachments[0], at=(1000.0, -12.0)), ATTACHED.attachments[1])),
        "attachment-off-wall",
        "warning",
        "plan",
        f"Attachment A1 is 12{SP}mm away from the nearest wall; move it onto the wall.",
        ("A1",),
    ),
    "unknown corner": (
        PORCH.with_(bays=(Bay(id="B1", corners=("P1", "P2", "P5", "P77")),)),
        "bay-corner-unknown",
        "error",
        "stakes",
        "Bay B1 names P77, which is no point of this plan; choose its corners again.",
        ("B1",),
    ),
    "bay in one line": (
        PORCH.with_(
            bays=(Bay(id="B1", corners=("P1", "P2", "P3", "C1")),),
            controls=(Control(id="C1", at=(0.0, -2000.0)), *PORCH.controls[1:]),
        ),
        "bay-proves-nothing",
        "error",
        "stakes",
        (
            "The diagonals of bay B1 (P1, P2, P3, C1) do not show whether it is square: its corners coincide or"
            " lie in one line; choose four corners that go round it."
        ),
        ("B1", "P1", "P2", "P3", "C1"),
    ),
    "diagonal through a tree": (
        PORCH.with_(keepouts=(tree((2000.0, -3000.0), 200.0),)),
        "diagonal-blocked",
        "note",
        "stakes",
        (
            "In bay P1 P4 P5 P2 the diagonal P1 to P5 is barred by tree K1; check this bay by its sides and its"
            " neighbours."
        ),
        ("P1-P4-P5-P2", "P1", "P4", "P5", "P2"),
    ),
}


@pytest.mark.parametrize(("plan", "code", "severity", "stage", "text", "about"), CASES.values(), ids=CASES)
def test_flag_says_what_is_wrong_with_its_numbers(
    *, plan: Plan, code: str, severity: str, stage: str, text: str, about: tuple[str, ...]
) -> None:
    found = flags(plan, code)
    assert [flag.text for flag in found][:1] == [text]
    assert (found[0].severity, found[0].stage, found[0].about) == (severity, stage, about)
    assert 0 < len(found[0].title) <= 60
