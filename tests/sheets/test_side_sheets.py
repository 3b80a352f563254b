"""Side views and column cards: what they draw lies to scale, and what they say is what the layout has."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Levels, Plan
from layoutdesk.sheets.column_cards import CAUTIONS, column_cards
from layoutdesk.sheets.extents import mark_boxes
from layoutdesk.sheets.marks import Line, Mark, Measure, Paragraph, Polyline, Text
from layoutdesk.sheets.paper import Box, printable_part, sheet_size
from layoutdesk.sheets.side_picture import side_marks
from layoutdesk.sheets.side_sheet import side_sheets
from tests.engine.test_level_flags import sound

LETTER = sheet_size("letter")


def figures(marks: tuple[Mark, ...] | list[Mark]) -> list[str]:
    return [
        f"{m.before}{m.parts.whole}{m.parts.mark}".replace("\u00a0", " ") for m in marks if isinstance(m, Measure)
    ]


def falling(fall: float = 1 / 48, **changes: float) -> Plan:
    plan = sound()
    line = replace(plan.levels.lines[0], fall=fall)
    columns = replace(plan.levels.columns, **changes)  # type: ignore[arg-type]
    return plan.with_(levels=replace(plan.levels, lines=(line,), columns=columns))


def test_a_plan_without_heights_has_neither_side_views_nor_cards() -> None:
    layout = derive(sound().with_(levels=Levels()))
    assert side_sheets(layout, LETTER) == []
    assert column_cards(layout, LETTER) == []


@pytest.mark.parametrize("times", [1.0, 2.5])
def test_lengths_and_heights_of_a_side_view_are_to_scale(times: float) -> None:
    layout = derive(sound())
    (view,) = layout.side_views
    marks = side_marks(view, layout.strings[0], layout.plan, Box(0, 0, 180, 120), times=times)
    solid = [m for m in marks if isinstance(m, Polyline) and m.fill == "shade"]
    columns = [m for m in marks if isinstance(m, Polyline) and m.fill == "paper"]
    assert len(solid) == len(columns) == 2
    xs = [sum(x for x, _ in m.points) / len(m.points) for m in solid]
    along = (xs[1] - xs[0]) / 2000
    for drawn, cut in zip(columns, layout.columns, strict=True):
        high = max(y for _, y in drawn.points) - min(y for _, y in drawn.points)
        assert high / cut.length == pytest.approx(along * times)
    deep = max(y for _, y in solid[0].points) - min(y for _, y in solid[0].points)
    height = layout.height_of("P1")
    assert height.top is not None
    assert height.bottom is not None
    assert deep / (height.top - height.bottom) == pytest.approx(along * times)


def test_the_table_of_a_side_view_tells_signed_elevations_and_plain_lengths() -> None:
    (page,) = side_sheets(derive(sound()), LETTER)
    said = figures(page.marks)
    height = derive(sound()).height_of("P1")
    assert "+2500 mm" in said
    assert "2000 mm" in said
    assert height.bottom is not None
    assert [m for m in page.marks if isinstance(m, Measure) and m.parts.negative and m.parts.whole == "200"]


def test_cards_say_cut_cross_piece_and_stock_and_carry_the_cautions() -> None:
    layout = derive(sound())
    (page,) = column_cards(layout, LETTER)
    first = layout.columns[0]
    said = figures(page.marks)
    assert f"{first.length:.0f} mm" in said
    assert first.jig is not None
    assert f"{first.jig:.0f} mm" in said
    assert f"{first.stock:.0f} mm" in said
    words = [m.text for m in page.marks if isinstance(m, Paragraph)]
    assert set(CAUTIONS) <= set(words)
    assert not any("long edge" in text for text in words)


def test_a_sloped_head_says_both_edges_and_a_margin_its_rough_cut() -> None:
    layout = derive(falling(margin=50.0, depth=190.0))
    (page,) = column_cards(layout, LETTER)
    words = [
        m.text.replace("\u00a0", " ") for m in page.marks if isinstance(m, Paragraph) and "long edge" in m.text
    ]
    first = layout.columns[0]
    assert words[0] == (
        f"long edge **{first.long:.0f} mm**, short edge **{first.short:.0f} mm** toward the beam's low"
        f" end (1.2°); rough **{first.rough:.0f} mm**"
    )


def test_columns_of_a_job_are_drawn_at_one_scale() -> None:
    layout = derive(falling(fall=0.1))
    (page,) = column_cards(layout, LETTER)
    posts = [m for m in page.marks if isinstance(m, Polyline) and m.fill == "wash"]
    longs = [max(x for x, _ in m.points) - min(x for x, _ in m.points) for m in posts]
    assert longs[0] / longs[1] == pytest.approx(layout.columns[0].long / layout.columns[1].long)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_everything_lies_on_the_printable_part(paper: str) -> None:
    size = sheet_size("letter" if paper == "letter" else "a4")
    room = printable_part(size)
    layout = derive(falling(margin=40.0))
    for page in (*side_sheets(layout, size), *column_cards(layout, size)):
        for mark in page.marks:
            for box in mark_boxes(mark):
                assert room.left - 0.5 <= box.left
                assert box.right <= room.right + 0.5
                assert room.bottom - 0.5 <= box.bottom
                assert box.top <= room.top + 0.5


def test_names_of_columns_stand_on_their_cards() -> None:
    (page,) = column_cards(derive(sound()), LETTER)
    names = [m.text for m in page.marks if isinstance(m, Text) and m.weight == "black"]
    assert names == ["P1", "P2"]
    assert [m for m in page.marks if isinstance(m, Line) and m.ink == "work"]
