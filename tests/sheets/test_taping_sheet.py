"""The taping sheet: every tape in its order, large, on as few pages as hold them, on both papers."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.sheets.labels import Name, Taken, place_names
from layoutdesk.sheets.marks import Measure, SheetSet, Text
from layoutdesk.sheets.numbers import parts
from layoutdesk.sheets.paper import Box, sheet_size
from layoutdesk.sheets.taping_sheet import taping_sheets
from tests.sheets.page_checks import marks_of, text_slices
from tests.sheets.proof_pages import sheets_of, taping_rows, words_of
from tests.sheets.proof_scene import ProvedLayout, proved, taping_of
from tests.sheets.sheet_plans import CARPORT, PORCH, rows_of_piers, sample, sample_layout


def test_tapes_are_in_the_order_of_the_plan_with_what_is_planned() -> None:
    layout = proved(sample(PORCH))
    sheets = sheets_of(layout, taping_sheets)
    measures = [m.parts for page in sheets.pages for m in marks_of(page) if isinstance(m, Measure)]
    assert measures == [parts(layout.plan, planned) for _, _, planned in taping_of(layout).pulls]
    named = [(str(n), start, end) for n, (start, end, _) in enumerate(taping_of(layout).pulls, 1)]
    assert taping_rows(sheets) == named
    assert taping_of(layout).says in words_of(sheets)


@pytest.mark.parametrize("name", [PORCH, CARPORT])
def test_the_tapes_of_ten_piers_have_room_on_one_page_in_large_type(name: str) -> None:
    layout = sample_layout(name)
    (page,) = sheets_of(layout, taping_sheets, layout.plan.paper).pages
    sizes = [m.size for m in marks_of(page) if isinstance(m, Measure)]
    assert len(sizes) == len(taping_of(layout).pulls)
    assert min(sizes) >= 12.0
    assert len(taping_rows(SheetSet("", "", (page,)))) == len(sizes)


@pytest.mark.parametrize("pulls", [2, 4])
def test_several_pages_of_tapes_are_filled_evenly(pulls: int) -> None:
    sheets = sheets_of(proved(rows_of_piers(6, 10), pulls=pulls), taping_sheets)
    counts = [len(taping_rows(SheetSet("", "", (page,)))) for page in sheets.pages]
    assert sum(counts) == len(taping_rows(sheets))
    assert max(counts[1:]) - min(counts[1:]) <= len(counts)


def named_beside(*strokes: tuple[Vector, Vector]) -> Box:
    """Return where a name at the middle of a window stands, which is shy of some strokes."""
    window = Box(0.0, 0.0, 60.0, 60.0)
    lie = Taken(window)
    for start, end in strokes:
        lie.take_stroke(start, end)
    (text,), missing = place_names([Name("P1", (30.0, 30.0), 2.0)], Taken(window), (10.0,), shy_of=lie)
    assert missing == 0
    (box,) = text_slices(text)
    return box


def test_a_name_keeps_off_the_tapes_where_it_can() -> None:
    usual = named_beside()
    through = ((usual.left, usual.bottom), (usual.right, usual.top))
    assert not named_beside(through).meets(usual)


def test_a_name_that_has_no_place_off_the_tapes_stays_where_it_is_best() -> None:
    everywhere = [((0.0, y / 2), (60.0, y / 2)) for y in range(120)]
    assert named_beside(*everywhere) == named_beside()


def test_few_tapes_have_their_numbers_on_the_picture() -> None:
    layout = proved(replace(sample(PORCH), piers=sample(PORCH).piers[:4], bays=()), pulls=2)
    page = sheets_of(layout, taping_sheets).pages[0]
    count = len(taping_of(layout).pulls)
    numbers = [m.text for m in marks_of(page) if isinstance(m, Text) and m.ink == "check"]
    assert sorted(map(int, numbers)) == list(range(1, count + 1))


@pytest.mark.parametrize("count", [0, 1])
def test_nothing_is_to_be_taped_without_two_control_points(count: int) -> None:
    plan = sample(PORCH)
    taping = proved(plan, measured=False).taping_plan
    bare = derive(replace(plan, controls=plan.controls[:count]))
    layout = cast("Layout", ProvedLayout(bare, None, taping))
    assert taping_sheets(layout, sheet_size("letter")) == []
