"""Whole sets of sheets: nothing outside the margins, nothing written over, nothing left out."""

from __future__ import annotations

from collections import Counter
from typing import get_args

import pytest
import shapely
from hypothesis import given, settings

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Paper, Plan
from layoutdesk.sheets.book import stake_out_set
from layoutdesk.sheets.marks import Circle, Line, Measure, Page, Paragraph, SheetSet, Text
from layoutdesk.sheets.numbers import parts
from layoutdesk.sheets.paper import SIZES
from layoutdesk.sheets.plan_dimensions import EXTENSION
from tests.sheets.page_checks import check_set, marks_of
from tests.sheets.sheet_plans import NAMES, odd_plans, sample_layout
from tests.strategies import plans

PAPERS: tuple[Paper, ...] = get_args(Paper)


def section(sheets: SheetSet, name: str) -> list[Page]:
    """Return the pages of one section."""
    return [page for page in sheets.pages if name in {page.name, page.under}]


def words_of(page: Page) -> list[str]:
    """Return all texts of a page."""
    return [mark.text for mark in marks_of(page) if isinstance(mark, Text | Paragraph)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_samples_fit_both_papers(name: str, paper: Paper) -> None:
    sheets = stake_out_set(sample_layout(name), paper=paper)
    check_set(sheets)
    for page in sheets.pages:
        assert tuple(sorted(page.size)) == SIZES[paper], page.name


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("odd", odd_plans())
def test_odd_plans_fit_both_papers(odd: str, paper: Paper) -> None:
    check_set(stake_out_set(derive(odd_plans()[odd]), paper=paper))


@settings(max_examples=40)
@given(plan=plans(near=True))
def test_any_plan_of_a_site_fits(plan: Plan) -> None:
    check_set(stake_out_set(derive(plan)))


@settings(max_examples=25)
@given(plan=plans())
def test_any_plan_at_all_fits(plan: Plan) -> None:
    check_set(stake_out_set(derive(plan)))


def test_the_paper_is_the_plans_own_unless_asked() -> None:
    assert stake_out_set(sample_layout(NAMES[0])).pages[0].size == SIZES["letter"]
    assert stake_out_set(sample_layout(NAMES[1])).pages[0].size == SIZES["a4"]


@pytest.mark.parametrize("name", NAMES)
def test_every_pier_has_a_row_and_a_card(name: str) -> None:
    """The row and the card show station, offset and the best two tapes as the Layout has them."""
    layout = sample_layout(name)
    sheets = stake_out_set(layout)
    for where in ("Stakes", "Helper cards"):
        measures = Counter(
            mark.parts for page in section(sheets, where) for mark in marks_of(page) if isinstance(mark, Measure)
        )
        names = [text for page in section(sheets, where) for text in words_of(page)]
        wanted: Counter[object] = Counter()
        for stake in layout.stakes:
            assert stake.label in names, (where, stake.label)
            assert stake.station is not None
            assert stake.offset is not None
            assert stake.best is not None
            numbers = (stake.station, stake.offset, stake.best.first.distance, stake.best.second.distance)
            wanted.update(parts(layout.plan, mm) for mm in numbers)
        assert wanted <= measures, where


def test_three_hundred_piers_all_have_a_row_and_a_card() -> None:
    layout = derive(odd_plans()["many piers"])
    sheets = stake_out_set(layout)
    labels = {stake.label for stake in layout.stakes}
    assert len(labels) == 300
    cards = section(sheets, "Helper cards")
    assert len(cards) == 75
    for where in (cards, section(sheets, "Stakes")):
        assert labels <= {text for page in where for text in words_of(page)}


@pytest.mark.parametrize("name", NAMES)
def test_every_bay_is_on_the_squareness_sheet(name: str) -> None:
    layout = sample_layout(name)
    pages = section(stake_out_set(layout), "Squareness")
    headings = [text for page in pages for text in words_of(page) if text.startswith("Bay ")]
    assert headings == [f"Bay {' '.join(bay.labels)}" for bay in layout.bays]
    lengths = Counter(m.parts for page in pages for m in marks_of(page) if isinstance(m, Measure))
    assert lengths == Counter(parts(layout.plan, d) for bay in layout.bays for d in bay.diagonals)


@pytest.mark.parametrize("name", NAMES)
def test_every_stop_is_on_the_running_sheet(name: str) -> None:
    layout = sample_layout(name)
    pages = section(stake_out_set(layout), "Running dimensions")
    lengths = Counter(m.parts for page in pages for m in marks_of(page) if isinstance(m, Measure))
    wanted = Counter(parts(layout.plan, stop.running) for run in layout.runs for stop in run.stops)
    wanted += Counter(parts(layout.plan, stop.spacing) for run in layout.runs for stop in run.stops[1:])
    wanted += Counter(parts(layout.plan, end) for gap in layout.gaps for end in (gap.at_start, gap.at_end))
    assert lengths == wanted


@pytest.mark.parametrize("name", NAMES)
def test_every_flag_is_a_sentence_of_the_report(name: str) -> None:
    layout = sample_layout(name)
    words = " ".join(text for page in section(stake_out_set(layout), "Materials") for text in words_of(page))
    assert all(flag.text in words for flag in layout.flags)
    assert "licensed designer" in words


def test_red_flags_stand_on_the_cover_and_at_their_piers() -> None:
    layout = derive(odd_plans()["two of one name"])
    (error,) = [flag for flag in layout.flags if flag.severity == "error"]
    sheets = stake_out_set(layout)
    cover = words_of(sheets.pages[0])
    assert "**! Do not stake before this is mended:**" in cover
    assert error.text in cover
    stakes = words_of(section(sheets, "Stakes")[0])
    assert stakes.count("! P8") == 2
    assert any(error.title in text and "Do not stake" in text for text in stakes)
    cards = [text for page in section(sheets, "Helper cards") for text in words_of(page)]
    assert sum(f"mend first: {error.title}" in text for text in cards) == 2


def test_other_flags_are_named_on_the_cover() -> None:
    layout = sample_layout(NAMES[0])
    assert layout.flags
    words = " ".join(words_of(stake_out_set(layout).pages[0]))
    assert all(flag.title in words for flag in layout.flags)
    assert "Do not stake" not in words


def test_a_barred_diagonal_has_words_instead_of_a_blank() -> None:
    layout = sample_layout(NAMES[0])
    barred = [by for bay in layout.bays for by in bay.barred if by]
    assert barred
    words = [text for page in section(stake_out_set(layout), "Squareness") for text in words_of(page)]
    for by in barred:
        assert any(f"barred by {by}" in text for text in words)
    assert words.count("read") == 2 * len(layout.bays) - len(barred)
    whole = [bay for bay in layout.bays if bay.barred == (None, None)]
    assert len(whole) < len(layout.bays)
    assert words.count("difference") == len(whole), "one diagonal makes no difference"
    assert sum(text.endswith("alone shows whether this bay is right.") for text in words) == len(barred)


def test_a_line_that_hangs_on_nothing_says_where_its_zero_is() -> None:
    """The start of such a line is no mark on the ground."""
    layout = sample_layout(NAMES[1])
    assert all(line.attachment is None for line in layout.plan.lines)
    words = [text for page in section(stake_out_set(layout), "Running dimensions") for text in words_of(page)]
    starts = [text.replace("\u00a0", " ") for text in words if text.startswith(("L1 from", "L2 from"))]
    assert starts == ["L1 from station 0.000 m, offset 0.500 m", "L2 from station 0.000 m, offset 6.150 m"]


def test_one_long_name_makes_no_number_smaller() -> None:
    """Only the name itself goes in several lines."""

    def largest(name: str) -> float:
        sheets = stake_out_set(derive(odd_plans()[name] if name != "none" else sample_layout(NAMES[0]).plan))
        return max(m.size for page in section(sheets, "Stakes") for m in marks_of(page) if isinstance(m, Measure))

    assert largest("one long name") >= largest("none") - 2.0


def test_names_go_before_dimensions() -> None:
    """Every pier of the samples is named on its plan, at a size that can be read."""
    for name in NAMES:
        layout = sample_layout(name)
        (page,) = section(stake_out_set(layout), "Plan")
        sizes = {mark.text: mark.size for mark in marks_of(page) if isinstance(mark, Text)}
        assert all(sizes[stake.label] >= 9.0 for stake in layout.stakes)


def test_no_extension_line_runs_through_a_pier() -> None:
    """Nor along the beam line that leads to it, which would make its dashes a plain line."""
    for name in NAMES:
        (page,) = section(stake_out_set(sample_layout(name)), "Plan")
        marks = list(marks_of(page))
        piers = [shapely.Point(m.centre).buffer(m.radius) for m in marks if isinstance(m, Circle)]
        lines = [
            shapely.LineString((m.start, m.end)) for m in marks if isinstance(m, Line) and m.width == EXTENSION
        ]
        assert len(lines) > 4
        assert not any(line.intersects(pier) for line in lines for pier in piers)


def test_equal_spacings_are_written_once() -> None:
    """The four equal spacings of the carport's first row are one dimension, the three of the second are not.

    The first row stands 0.5 m from the baseline, and that is written too.
    """
    (page,) = section(stake_out_set(sample_layout(NAMES[1])), "Plan")
    written = [mark for mark in marks_of(page) if isinstance(mark, Measure)]
    assert [m.before for m in written if m.before] == ["4 @ "]
    assert {m.parts.whole for m in written} == {"2.650", "3.300", "3.900", "3.400", "5.650", "0.500"}


def test_concrete_that_is_not_known_is_no_nought() -> None:
    words = [
        text
        for page in section(stake_out_set(derive(odd_plans()["no details"])), "Materials")
        for text in words_of(page)
    ]
    assert "not known" in words
    assert not any("0.00" in text for text in words)


def test_control_sheet_tapes_every_pair() -> None:
    layout = sample_layout(NAMES[0])
    (page,) = section(stake_out_set(layout), "Control")
    lengths = Counter(m.parts for m in marks_of(page) if isinstance(m, Measure))
    wanted = Counter(parts(layout.plan, tie.distance) for tie in layout.control_ties)
    assert len(layout.control_ties) == 6
    assert wanted <= lengths


def test_sheets_are_numbered_and_listed_on_the_cover() -> None:
    sheets = stake_out_set(sample_layout(NAMES[0]))
    cover, *rest = sheets.pages
    assert {"Plan", "Control", "Stakes", "Squareness", "Helper cards", "Running dimensions", "Materials"} <= set(
        words_of(cover)
    )
    for number, page in enumerate(sheets.pages, start=1):
        if page.under != "Helper cards":
            assert f"sheet {number} of {len(sheets.pages)}" in words_of(page)
    assert rest[0].name == "Plan"


def test_cautions_are_on_the_cover() -> None:
    words = " ".join(words_of(stake_out_set(sample_layout(NAMES[0])).pages[0]))
    for caution in ("buried lines", "Open holes", "burns skin", "Lifting", "silica", "Local code"):
        assert caution in words


def test_a_plan_without_a_baseline_says_so_where_stations_would_be() -> None:
    sheets = stake_out_set(derive(odd_plans()["no baseline"]))
    assert "no baseline" in words_of(section(sheets, "Helper cards")[0])
    assert any("no baseline" in text for text in words_of(section(sheets, "Stakes")[0]))


def test_a_pier_that_no_tape_reaches_says_what_bars_it() -> None:
    sheets = stake_out_set(derive(odd_plans()["shut in"]))
    words = [text for page in section(sheets, "Stakes") for text in words_of(page)]
    assert any("barred" in text for text in words)


def test_the_same_plan_gives_the_same_pages() -> None:
    layout = sample_layout(NAMES[0])
    assert stake_out_set(layout) == stake_out_set(derive(layout.plan))
