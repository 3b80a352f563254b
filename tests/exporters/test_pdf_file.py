"""The PDF as a file: the same bytes everywhere, bookmarks, numbers, fonts, and text that reads back as shown."""

from __future__ import annotations

import hashlib
import io
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import pdfplumber
import pypdfium2 as pdfium
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pdfminer.pdftypes import resolve1

from layoutdesk.engine.derive import derive
from layoutdesk.errors import ExportError
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.sheets.book import stake_out_set
from layoutdesk.sheets.marks import Line, Measure, Page, SheetSet, Stamp, Stencil, Text
from layoutdesk.units import format_length, length_parts
from tests.sheets.sheet_plans import NAMES, PORCH, odd_plans, sample_layout

WRITE = """
import hashlib, sys
from pathlib import Path
from layoutdesk.engine.derive import derive
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.plan.file import read_plan
from layoutdesk.sheets.book import stake_out_set
for name in sys.argv[1:]:
    print(hashlib.sha256(write_pdf(stake_out_set(derive(read_plan(Path(name)))))).hexdigest())
"""


@cache
def pdf(name: str) -> bytes:
    """Return a sample's sheets as a file."""
    return write_pdf(stake_out_set(sample_layout(name)))


def text_of(data: bytes, page: int) -> str:
    """Return the text of a page with plain marks for feet and inches."""
    file = pdfium.PdfDocument(data)
    text: str = file[page].get_textpage().get_text_range()
    file.close()
    return text.replace("′", "'").replace("″", '"').replace("−", "-")


@pytest.mark.parametrize("seed", ["0", "1", "77"])
def test_other_processes_write_the_same_bytes(seed: str, checkout: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", WRITE, *(str(checkout / "samples" / f"{name}.layout.json") for name in NAMES)],
        capture_output=True,
        text=True,
        check=True,
        cwd=checkout,
        env={**os.environ, "PYTHONHASHSEED": seed},
    )
    assert done.stdout.split() == [hashlib.sha256(pdf(name)).hexdigest() for name in NAMES]


def test_a_second_file_of_one_process_is_the_same() -> None:
    assert write_pdf(stake_out_set(sample_layout(PORCH))) == pdf(PORCH)


@pytest.mark.parametrize("name", NAMES)
def test_pages_are_there_and_numbered(name: str) -> None:
    sheets = stake_out_set(sample_layout(name))
    file = pdfium.PdfDocument(pdf(name))
    assert len(file) == len(sheets.pages)
    assert [file.get_page_label(i) for i in range(len(file))] == [str(i + 1) for i in range(len(file))]
    for page, sheet in zip(file, sheets.pages, strict=True):
        assert page.get_size() == pytest.approx((sheet.size[0] * 72 / 25.4, sheet.size[1] * 72 / 25.4), abs=0.01)
    file.close()


@pytest.mark.parametrize("name", NAMES)
def test_bookmarks_lead_to_every_page(name: str) -> None:
    """One for each page, those of a section with several pages below its own."""
    sheets = stake_out_set(sample_layout(name))
    file = pdfium.PdfDocument(pdf(name))
    marks = [(mark.get_title(), mark.level, mark.get_dest().get_index()) for mark in file.get_toc()]
    file.close()
    wanted: list[tuple[str, int, int]] = []
    under = ""
    for i, page in enumerate(sheets.pages):
        if page.under and page.under != under:
            wanted.append((page.under, 0, i))
        wanted.append((page.name, 1 if page.under else 0, i))
        under = page.under
    assert marks == wanted
    assert ("Helper cards", 0) in [mark[:2] for mark in marks]


def test_the_file_says_what_it_is_and_asks_not_to_be_scaled() -> None:
    with pdfplumber.open(io.BytesIO(pdf(PORCH))) as file:
        assert file.metadata["Title"] == "Heron Lane porch"
        assert file.metadata["Subject"] == "Stake-out set, plan of 12 March 2026, issue B"
        assert resolve1(file.doc.catalog["ViewerPreferences"])["PrintScaling"].name == "None"


def test_only_our_own_type_is_used_and_it_is_embedded() -> None:
    with pdfplumber.open(io.BytesIO(pdf(PORCH))) as file:
        fonts = {char["fontname"] for page in file.pages for char in page.chars}
    assert fonts
    assert all("Lato-" in font and "+" in font for font in fonts)
    assert b"Helvetica" not in pdf(PORCH)


@pytest.mark.parametrize("name", NAMES)
def test_numbers_read_back_as_they_are_formatted(name: str) -> None:
    """Fractions too, which are drawn in pieces: who copies one from the page gets it whole."""
    layout = sample_layout(name)
    sheets = stake_out_set(layout)
    plan = layout.plan
    pages = [i for i, page in enumerate(sheets.pages) if "Stakes" in {page.name, page.under}]
    text = " ".join(text_of(pdf(name), i) for i in pages)
    for stake in layout.stakes:
        assert stake.station is not None
        assert stake.offset is not None
        assert stake.best is not None
        for mm in (stake.station, stake.offset, stake.best.first.distance, stake.best.second.distance):
            assert format_length(mm, plan.units, plan.rounding) in text


def test_a_fraction_reads_back_from_its_marks() -> None:
    figure = length_parts(11 * 304.8 + 3 * 1.5875, "ft-in", 1.5875)
    marks = (Measure((20.0, 50.0), figure), Measure((20.0, 30.0), figure, turn=90.0, before="± "))
    data = write_pdf(SheetSet("t", "s", (Page("one", (100.0, 100.0), marks),)))
    assert text_of(data, 0).split("\r\n") == ["11' 0 3/16\"", "± 11' 0 3/16\""]


def test_a_stencil_is_written_once_and_put_down_often() -> None:
    stencil = Stencil("frame", (Text((0.0, 0.0), "frame"), Line((0.0, 0.0), (10.0, 0.0))))
    pages = tuple(
        Page(f"p{i}", (100.0, 100.0), (Stamp((10.0, 20.0), stencil), Stamp((50.0, 70.0), stencil)))
        for i in range(9)
    )
    data = write_pdf(SheetSet("t", "s", pages))
    assert data.count(b"/Subtype /Form") == 1
    file = pdfium.PdfDocument(data)
    assert all(page.get_textpage().get_text_range().count("frame") == 2 for page in file)
    file.close()


def test_a_stencil_has_its_own_colours_and_dashes_whatever_came_before_it() -> None:
    stencil = Stencil("black", (Line((0.0, 0.0), (10.0, 0.0), 4.0),))
    before = Line((5.0, 80.0), (95.0, 80.0), 4.0, "wrong", (1.0, 2.0))
    data = write_pdf(SheetSet("t", "s", (Page("p", (100.0, 100.0), (before, Stamp((45.0, 50.0), stencil))),)))
    with pdfplumber.open(io.BytesIO(data)) as file:
        first, second = file.pages[0].lines
    assert first["stroking_color"] != second["stroking_color"]
    assert second["dash"] in (None, ([], 0), [[], 0])


def test_foreign_signs_become_question_marks_on_the_page_and_stay_in_the_title() -> None:
    layout = derive(odd_plans()["foreign signs"])
    data = write_pdf(stake_out_set(layout))
    assert "????? ?? ???" in text_of(data, 0)
    with pdfplumber.open(io.BytesIO(data)) as file:
        assert file.metadata["Title"].startswith("מרפסת 漢字")


@settings(max_examples=60)
@given(title=st.text(), name=st.text(min_size=1))
def test_any_text_can_be_written(title: str, name: str) -> None:
    marks = (Text((10.0, 10.0), name), Text((10.0, 20.0), title, weight="black"))
    data = write_pdf(SheetSet(title, name, (Page(name, (100.0, 100.0), marks, under=title),)))
    file = pdfium.PdfDocument(data)
    assert len(file) == 1
    file.close()


def test_nothing_to_print_is_refused_in_a_sentence() -> None:
    with pytest.raises(ExportError, match="no sheet"):
        write_pdf(SheetSet("t", "s"))
