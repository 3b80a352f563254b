"""The level sheet and the string sheet: what the layout says stands on them, with blanks for what is to be read."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import BeamLine, Levels, LineHeights, Pier, PierHeights, Plan, Reading
from layoutdesk.sheets.extents import mark_boxes
from layoutdesk.sheets.frame import Draft, framed
from layoutdesk.sheets.level_sheet import level_sheets
from layoutdesk.sheets.marks import Measure, Paragraph, Text
from layoutdesk.sheets.paper import printable_part, sheet_size
from layoutdesk.sheets.string_sheet import string_sheets
from tests.engine.test_level_flags import sound

LETTER = sheet_size("letter")


def words(drafts: list[Draft]) -> str:
    found = [m.text for d in drafts for m in d.marks if isinstance(m, Text | Paragraph)]
    return "\n".join(found).replace("\u00a0", " ")


def figures(drafts: list[Draft]) -> list[str]:
    marks = [m for d in drafts for m in d.marks if isinstance(m, Measure)]
    return [
        f"{m.before}{'−' if m.parts.negative else ''}{m.parts.whole}{m.parts.mark}".replace("\u00a0", " ")
        for m in marks
    ]


def booked(again: float = 1301.0) -> Plan:
    """Return the sound job read from one setup, with what the benchmark read ``again`` at the end, mm."""
    plan = sound()
    book = (("B1", "back", 1300.0), ("P1", "fore", 1500.0), ("P2", "fore", 1520.0), ("B1", "fore", again))
    readings = tuple(
        Reading(setup=1, point=point, kind="back" if kind == "back" else "fore", reading=mm)
        for point, kind, mm in book
    )
    return plan.with_(levels=replace(plan.levels, piers=(), readings=readings))


def two_lines() -> Plan:
    plan = sound()
    return plan.with_(
        lines=(*plan.lines, BeamLine(id="L2", start=(3000.0, 0.0), end=(3000.0, -4300.0))),
        piers=(
            *plan.piers,
            Pier(id="P3", at=(3000.0, -2000.0), line="L2", detail="D1"),
            Pier(id="P4", at=(3000.0, -4000.0), line="L2", detail="D1"),
        ),
        levels=replace(
            plan.levels,
            lines=(LineHeights(line="L1", string=300.0), LineHeights(line="L2", string=250.0)),
            piers=(
                *plan.levels.piers,
                PierHeights(pier="P3", ground=-200.0),
                PierHeights(pier="P4", ground=-230.0),
            ),
        ),
    )


def test_a_plan_without_heights_has_neither_sheet() -> None:
    layout = derive(sound().with_(levels=Levels()))
    assert level_sheets(layout, LETTER) == []
    assert string_sheets(layout, LETTER) == []


def test_every_pier_has_its_heights_and_how_its_ground_is_known() -> None:
    drafts = level_sheets(derive(sound()), LETTER)
    layout = derive(sound())
    said = figures(drafts)
    for height in layout.heights:
        assert height.ground is not None
        assert height.bottom is not None
        assert f"−{-height.ground:.0f} mm" in said
        assert f"−{-height.bottom:.0f} mm" in said
    assert words(drafts).count("typed") == 2
    assert "**not given**: ask the local building department" in words(drafts)


def test_the_book_stands_as_it_was_read_with_its_verdict() -> None:
    drafts = level_sheets(derive(booked()), LETTER)
    text, said = words(drafts), figures(drafts)
    assert "The level book" in text
    assert {"1300 mm", "1500 mm", "1520 mm", "1301 mm"} <= set(said)
    assert "Check of the arithmetic: back 1300 mm less fore" in text
    book = derive(booked()).level_book
    assert book is not None
    assert book.loops[0].says.replace("\u00a0", " ") in text


def test_the_book_says_when_its_elevations_are_not_line_less_reading() -> None:
    text = words(level_sheets(derive(booked(again=1304.0)), LETTER))
    assert "less fore 1304 mm is −4 mm, and the last elevation as booked less the first is the same." in text
    assert "what the book misses by **spread** over its readings" in text
    assert "spread" not in words(level_sheets(derive(booked(again=1300.0)), LETTER))


def test_blanks_ask_only_for_what_was_not_read() -> None:
    text = words(level_sheets(derive(booked()), LETTER))
    assert "P1 ground" not in text
    assert "P1 support" in text
    assert "P2 top" in text
    assert "B1 again" in text


def test_strings_say_boards_heights_and_which_lies_on_top() -> None:
    layout = derive(two_lines())
    drafts = string_sheets(layout, LETTER)
    text, said = words(drafts), figures(drafts)
    assert "nail in the house" in text
    assert "+300 mm" in said
    assert "across P1–P3** lies over L1 by 13 mm, L2 by 63 mm" in text
    assert "500 mm" in said, "the string of L1 is 300 up and the ground at P1 200 down"


def test_strings_that_touch_are_said_in_bold() -> None:
    plan = two_lines()
    touching = replace(plan.levels, settings=replace(plan.levels.settings, line_gap=0.0))
    assert "would touch" not in words(string_sheets(derive(plan.with_(levels=touching)), LETTER))


def test_the_foot_says_what_is_signed_for() -> None:
    layout = derive(sound())
    for drafts, by in ((level_sheets(layout, LETTER), "read by"), (string_sheets(layout, LETTER), "set by")):
        page = framed(drafts[0], layout.plan, 1, 1)
        assert [
            m.text for m in page.marks if isinstance(m, Text) and m.text in {"read by", "set by", "taped by"}
        ] == [by]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_everything_lies_on_the_printable_part(paper: str) -> None:
    size = sheet_size("letter" if paper == "letter" else "a4")
    room = printable_part(size)
    layout = derive(two_lines())
    for page in (*level_sheets(layout, size), *string_sheets(layout, size)):
        for mark in page.marks:
            for box in mark_boxes(mark):
                assert room.left - 0.5 <= box.left
                assert box.right <= room.right + 0.5
                assert room.bottom - 0.5 <= box.bottom
                assert box.top <= room.top + 0.5
