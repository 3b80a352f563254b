"""The pages of heights read back from the PDF: every elevation, string, cut and post stands on its page."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pypdfium2 as pdfium
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.sheets.book import stake_out_set
from tests.sheets.height_plans import height_plans
from tests.sheets.sheet_plans import NAMES, PORCH, sample

SECTIONS = ("Levels", "Strings", "Side views", "Column cards", "Materials")


def plain(text: str) -> str:
    """Return a text with plain marks and single spaces."""
    return re.sub(r"\s+", " ", text.replace("−", "-").replace("\u00a0", " "))


@cache
def file_of(name: str) -> tuple[Layout, bytes]:
    """Return a sample with its numbers in whole millimetres, plain on paper, and its set as a file."""
    layout = derive(sample(name).with_(units="mm", rounding=1.0))
    return layout, write_pdf(stake_out_set(layout))


def text_of(data: bytes, section: str) -> str:
    """Return the text of all pages of a section."""
    file = pdfium.PdfDocument(data)
    texts = [plain(page.get_textpage().get_text_range()) for page in file]
    file.close()
    return " ".join(text for text in texts if text.startswith(section))


def mm(value: float, *, signed: bool = False) -> str:
    """Return a length as the sheets write it in whole millimetres, rounded half away from zero."""
    whole = int(abs(value) + 0.5 + 1e-9)
    if not whole:
        return "0 mm"
    return f"{'-' if value < 0 else '+' if signed else ''}{whole} mm"


@pytest.mark.parametrize("name", NAMES)
def test_the_level_sheet_tells_every_height(name: str) -> None:
    layout, data = file_of(name)
    text = text_of(data, "Levels")
    for height in layout.heights:
        for value in (height.ground, height.top, height.bottom, height.seat):
            assert value is not None
            assert mm(value, signed=True) in text
    book = layout.level_book
    assert book is not None
    assert all(plain(loop.says) in text for loop in book.loops)
    assert "Before any digging: have buried lines located and marked" in text


@pytest.mark.parametrize("name", NAMES)
def test_strings_say_how_high_their_boards_and_how_far_above_every_top(name: str) -> None:
    layout, data = file_of(name)
    text = text_of(data, "Strings")
    for run in layout.strings:
        for board in run.boards:
            assert board.string is not None
            assert mm(board.string, signed=True) in text
        for stop in run.stops:
            assert stop.above_top is not None
            assert mm(stop.above_top) in text


@pytest.mark.parametrize("name", NAMES)
def test_side_views_and_cards_say_every_cut(name: str) -> None:
    layout, data = file_of(name)
    views, cards = text_of(data, "Side views"), text_of(data, "Column cards")
    for cut in layout.columns:
        assert mm(cut.length) in views
        assert mm(cut.length) in cards
        assert cut.jig is None or mm(cut.jig) in cards
        assert cut.stock is not None
        assert mm(cut.stock) in cards
    for line in layout.plan.lines:
        assert f"Beam line {line.id}" in views
        assert f"As built along {line.id}" in views
    assert "Overhead lines: look up first" in cards


@pytest.mark.parametrize("name", NAMES)
def test_materials_say_what_posts_to_buy(name: str) -> None:
    layout, data = file_of(name)
    text = text_of(data, "Materials")
    for group in layout.stock:
        assert f"{len(group.cuts)} {mm(group.stock)}" in text


@pytest.mark.parametrize("name", NAMES)
def test_every_section_has_its_bookmark(name: str) -> None:
    _, data = file_of(name)
    file = pdfium.PdfDocument(data)
    titles = [mark.get_title() for mark in file.get_toc()]
    file.close()
    assert [title for title in titles if title in SECTIONS] == list(SECTIONS)


def test_what_is_not_known_is_said_and_not_made_up() -> None:
    data = write_pdf(stake_out_set(derive(height_plans()["no benchmark"])))
    text = text_of(data, "Levels")
    assert "No benchmark is named" in text
    assert "not known" in text
    assert not text_of(data, "Column cards")


def test_without_a_frost_depth_the_level_sheet_says_whom_to_ask() -> None:
    plan = sample(PORCH)
    levels = plan.levels
    plan = plan.with_(levels=replace(levels, settings=replace(levels.settings, frost=None)))
    text = text_of(write_pdf(stake_out_set(derive(plan))), "Levels")
    assert "How deep the ground freezes is not given: ask the local building department" in text
