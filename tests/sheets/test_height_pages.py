"""The pages of heights, whatever is odd about a plan: nothing over the margins, no text on another."""

from __future__ import annotations

from typing import get_args

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Paper
from layoutdesk.sheets.book import stake_out_set
from layoutdesk.sheets.marks import Measure, Paragraph, SheetSet, Text
from layoutdesk.units import write_parts
from tests.sheets.height_plans import height_plans, many_heights
from tests.sheets.page_checks import check_set, marks_of
from tests.sheets.sheet_plans import NAMES, sample_layout

PLANS = height_plans()


def words(sheets: SheetSet, section: str) -> str:
    """Return all that is written on the pages of a section, one text a line."""
    return "\n".join(
        mark.text.replace("\u00a0", " ") if isinstance(mark, Text | Paragraph) else write_parts(mark.parts)
        for page in sheets.pages
        if section in {page.under, page.name}
        for mark in marks_of(page)
        if isinstance(mark, Text | Paragraph | Measure)
    )


@pytest.mark.parametrize("paper", get_args(Paper))
@pytest.mark.parametrize("name", PLANS)
def test_every_page_keeps_its_margins_and_its_texts_apart(name: str, paper: Paper) -> None:
    check_set(stake_out_set(derive(PLANS[name]), paper=paper))


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_has_all_pages_of_heights_in_the_order_of_the_work(name: str) -> None:
    sections = list(dict.fromkeys(page.under or page.name for page in stake_out_set(sample_layout(name)).pages))
    wanted = ["Levels", "Strings", "Side views", "Column cards", "Materials"]
    assert [section for section in sections if section in wanted] == wanted


@pytest.mark.parametrize("name", NAMES)
def test_every_column_has_its_card_and_a_post_that_it_is_cut_from(name: str) -> None:
    layout = sample_layout(name)
    sheets = stake_out_set(layout)
    cards, materials = words(sheets, "Column cards"), words(sheets, "Materials")
    assert "Posts for the columns" in materials
    for cut in layout.columns:
        assert cut.label in cards.split("\n")
    pieces = sorted(label for group in layout.stock for piece in group.cuts for label in piece)
    assert pieces == sorted(cut.label for cut in layout.columns)
    for caution in ("**Brace**", "**Lift**", "**Overhead lines:**"):
        assert caution in cards


def test_blanks_are_asked_for_in_the_order_of_the_work() -> None:
    sheets = stake_out_set(derive(PLANS["no benchmark"]))
    text = words(sheets, "Levels")
    assert text.index("To read before digging") < text.index("To read after the pour")
    assert "benchmark again" in text
    assert "No benchmark is named" in text


def test_the_cover_tells_levels_before_digging_and_columns_before_concrete() -> None:
    cover = words(stake_out_set(sample_layout(NAMES[0])), "Cover")
    steps = ["**Levels.**", "**Then dig.**", "**Columns.**", "**Again before concrete.**"]
    assert [cover.index(step) for step in steps] == sorted(cover.index(step) for step in steps)
    assert "level or laser with its rod, or a water level" in cover


def test_a_bad_loop_is_said_on_the_level_sheet() -> None:
    layout = derive(PLANS["a loop that does not close"])
    book = layout.level_book
    assert book is not None
    assert not all(loop.closes for loop in book.loops)
    text = words(stake_out_set(layout), "Levels")
    assert all(loop.says.replace("\u00a0", " ") in text for loop in book.loops)


def test_hundreds_of_piers_have_a_row_each() -> None:
    layout = derive(many_heights(10, 20))
    sheets = stake_out_set(layout)
    check_set(sheets)
    levels = words(sheets, "Levels").split("\n")
    assert all(pier.label in levels for pier in layout.plan.piers)
