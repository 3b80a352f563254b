"""Flags of strings and columns: each slip has its own, with its numbers, and a sound job has none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutdesk.engine.derive import PlanLayout
from layoutdesk.engine.layout import Flag
from layoutdesk.plan.model import (
    Attachment,
    BeamLine,
    Benchmark,
    ColumnRule,
    Detail,
    Keepout,
    Levels,
    LineHeights,
    Pier,
    PierHeights,
    Plan,
)

RULE = ColumnRule(width=140, depth=140, foot=30, cap=6, support=250)


def sound() -> Plan:
    """Return a line of two piers on level ground that is known, with a beam 2.5 m up and columns on stand-offs."""
    return Plan(
        units="mm",
        rounding=1.0,
        attachments=(Attachment(id="A1", at=(0.0, 0.0), kind="ledger"),),
        lines=(BeamLine(id="L1", start=(0.0, 0.0), end=(0.0, -4300.0), attachment="A1"),),
        piers=(
            Pier(id="P1", at=(0.0, -2000.0), line="L1", detail="D1"),
            Pier(id="P2", at=(0.0, -4000.0), line="L1", detail="D1"),
        ),
        details=(Detail(id="D1", profile=((0.0, 300.0), (800.0, 300.0)), reveal=130.0),),
        levels=Levels(
            benchmarks=(Benchmark(id="B1", elevation=0.0),),
            lines=(LineHeights(line="L1", seat=2500.0),),
            piers=(PierHeights(pier="P1", ground=-200.0), PierHeights(pier="P2", ground=-220.0)),
            columns=RULE,
        ),
    )


def flags(plan: Plan) -> dict[str, Flag]:
    """Return the flags of strings and columns by code."""
    return {
        flag.code: flag
        for flag in PlanLayout(plan).flags
        if flag.code.startswith(("string", "column", "seat", "wood"))
    }


def with_columns(**changes: float) -> Plan:
    plan = sound()
    return plan.with_(levels=replace(plan.levels, columns=replace(RULE, **changes)))  # type: ignore[arg-type]


def with_line(**changes: float) -> Plan:
    plan = sound()
    said = replace(plan.levels.lines[0], **changes)  # type: ignore[arg-type]
    return plan.with_(levels=replace(plan.levels, lines=(said,)))


def test_a_sound_job_has_none_of_these_flags() -> None:
    assert flags(sound()) == {}


def test_a_plan_without_heights_has_none_of_these_flags() -> None:
    assert flags(sound().with_(levels=Levels())) == {}


def test_a_string_that_is_typed_too_low_says_by_how_much_and_where() -> None:
    found = flags(with_line(string=-190.0))
    assert set(found) == {"string-too-low"}
    assert found["string-too-low"].text.replace("\u00a0", " ") == (
        "The string of L1 runs 120 mm below the pier top at P1; hang it at least that much higher."
    )
    assert found["string-too-low"].stage == "levels"


def test_a_string_through_a_tree_is_said() -> None:
    tree = Keepout(id="K1", outline=((-300, -2700), (300, -2700), (300, -3200), (-300, -3200)), kind="tree")
    found = flags(sound().with_(keepouts=(tree,)))
    assert set(found) == {"string-not-free"}
    assert found["string-not-free"].text.startswith("Tree K1 stands in the way of the string of L1; ")


@pytest.mark.parametrize(
    ("foot", "code", "words"),
    [
        (10.0, "wood-near-concrete", "stand 10 mm above the concrete"),
        (-300.0, "wood-in-concrete", "stand 300 mm deep in the concrete"),
    ],
)
def test_wood_in_or_near_concrete_names_its_section_and_defers_to_local_code(
    foot: float, code: str, words: str
) -> None:
    found = flags(with_columns(foot=foot, support=400.0))
    text = found[code].text.replace("\u00a0", " ")
    assert words in text
    assert "R317.1.4" in text
    assert "local code decides" in text


def test_wood_near_the_ground_says_at_which_pier() -> None:
    plan = sound()
    high = replace(
        plan.levels, piers=(PierHeights(pier="P1", ground=-200.0), PierHeights(pier="P2", ground=-100.0))
    )
    low = plan.with_(
        levels=replace(high, lines=(LineHeights(line="L1", seat=2500.0, top="level", pier_top=-60.0),))
    )
    found = flags(low)
    assert set(found) == {"wood-near-ground"}
    assert found["wood-near-ground"].about == ("P2",)
    assert "70\u00a0mm above the ground" in found["wood-near-ground"].text


def test_a_column_longer_than_all_stock_says_how_long_both_are() -> None:
    found = flags(with_line(seat=7000.0))
    assert set(found) == {"column-too-long"}
    assert found["column-too-long"].about == ("P1", "P2")
    assert "6000\u00a0mm" in found["column-too-long"].text


def test_a_seat_too_low_for_any_column_is_an_error_with_the_room_left() -> None:
    found = flags(with_line(seat=-50.0))
    assert found["column-has-no-length"].severity == "error"
    assert found["column-has-no-length"].about == ("P1",)
    assert "20\u00a0mm below the seat" in found["column-has-no-length"].text


def test_supports_below_the_foot_are_said_for_each_pier() -> None:
    found = flags(with_columns(support=100.0))
    assert set(found) == {"column-cannot-hang"}
    assert "raise them" in found["column-cannot-hang"].text


def test_a_line_without_a_seat_is_noted_where_another_has_one() -> None:
    plan = sound()
    more = plan.with_(
        lines=(*plan.lines, BeamLine(id="L2", start=(3000.0, 0.0), end=(3000.0, -4300.0))),
        piers=(*plan.piers, Pier(id="P3", at=(3000.0, -2000.0), line="L2", detail="D1")),
    )
    found = flags(more)
    assert found["seat-not-given"].severity == "note"
    assert found["seat-not-given"].about == ("L2",)


def test_many_strings_that_sag_are_told_in_one_note_with_the_worst() -> None:
    plan = sound()
    slack = replace(plan.levels.settings, line_mass=6.0, line_pull=10.0)
    one = flags(plan.with_(levels=replace(plan.levels, settings=slack)))
    assert one["string-sags"].title == "The string of L1 sags"
    more = plan.with_(
        lines=(*plan.lines, BeamLine(id="L2", start=(9000.0, 0.0), end=(9000.0, -4300.0))),
        piers=(*plan.piers, Pier(id="P3", at=(9000.0, -2000.0), line="L2", detail="D1")),
        levels=replace(plan.levels, settings=slack),
    )
    both = [flag for flag in PlanLayout(more).flags if flag.code == "string-sags"]
    assert [flag.title for flag in both] == ["3 strings sag"]
    assert "across P1–P3 most" in both[0].text
