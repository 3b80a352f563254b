"""The pages of details, openings, holes, concrete and steel, with rows made by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any, get_args

import pytest

from layoutdesk.engine.holes.saw_places import SawMarks, saw_marks
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Detail, Paper, Plan, Slab
from layoutdesk.sheets.detail_sheet import detail_sheets
from layoutdesk.sheets.frame import Draft, framed
from layoutdesk.sheets.hole_sheet import hole_sheets
from layoutdesk.sheets.marks import Measure, Page, Paragraph, SheetSet, Text
from layoutdesk.sheets.opening_sheet import opening_sheets
from layoutdesk.sheets.order_sheet import order_sheets
from layoutdesk.sheets.paper import sheet_size
from layoutdesk.sheets.steel_sheet import steel_sheets
from layoutdesk.units import write_parts
from tests.sheets.hole_rows import by_hand, details, openings_of, with_details
from tests.sheets.page_checks import check_set, marks_of
from tests.sheets.sheet_plans import CARPORT, PORCH, rows_of_piers, sample

MAKERS = (opening_sheets, detail_sheets, hole_sheets, order_sheets, steel_sheets)
YARD = Slab(id="S1", outline=((0.0, 0.0), (60000.0, 0.0), (60000.0, -40000.0), (0.0, -40000.0)), thickness=100.0)


def many() -> Plan:
    """Return two hundred piers with long names in a slab, and forty details."""
    some = tuple(replace(d, id=f"{d.id} of kind {k}") for k in range(10) for d in details())
    plan = rows_of_piers(20, 10)
    piers = tuple(
        replace(p, detail=some[k % 40].id, mark=f"North-west corner post {p.id}") for k, p in enumerate(plan.piers)
    )
    return plan.with_(details=some, piers=piers, slabs=(YARD,))


def pages(layout: Any, paper: Paper) -> SheetSet:
    """Return all pages of holes of a layout."""
    drafts: list[Draft] = [draft for make in MAKERS for draft in make(layout, sheet_size(paper))]
    return SheetSet("job", "", tuple(framed(d, layout.plan, n, len(drafts)) for n, d in enumerate(drafts, start=1)))


def words(sheets: SheetSet, section: str) -> str:
    """Return all that is written on the pages of a section, one text a line."""
    return "\n".join(told for page in sheets.pages if section in {page.under, page.name} for told in _told(page))


def _told(page: Page) -> list[str]:
    return [
        mark.text.replace("\u00a0", " ").replace("\u2009", " ")
        if isinstance(mark, Text | Paragraph)
        else write_parts(mark.parts)
        for mark in marks_of(page)
        if isinstance(mark, Text | Paragraph | Measure)
    ]


@pytest.mark.parametrize("paper", get_args(Paper))
def test_pages_of_holes_keep_their_margins_and_their_texts_apart(paper: Paper) -> None:
    porch = with_details(sample(PORCH)).with_(slabs=(YARD,))
    metric = with_details(sample(CARPORT), metric=True)
    for plan in (porch, metric, many()):
        sheets = pages(by_hand(plan), paper)
        check_set(sheets)
        assert {page.under or page.name for page in sheets.pages} >= {"Details", "Holes", "Concrete order", "Steel"}


def test_a_section_shows_every_depth_width_and_piece() -> None:
    sheets = pages(by_hand(with_details(sample(PORCH))), "letter")
    text = words(sheets, "Details")
    for told in ("top 6″ above", "tube to 1′ 0″ below", "bottom 3′ 6″ below", "Ø 2′ 0″", "2′ 0″ square"):
        assert told in text
    for told in ("4 bars No. 4", "cover beside 3″", "foot of the post 2′ 0″ below", "base cast in, 5 ¹⁄₂″ wide"):
        assert told in text, text
    assert "against earth 3″ is wanted" in text
    assert text.count("Bars of detail") == 2


def test_every_hole_has_its_row_the_hold_point_and_its_verdict() -> None:
    layout = by_hand(with_details(sample(PORCH)))
    text = words(pages(layout, "letter"), "Holes")
    lines = text.split("\n")
    assert "HOLD" in lines
    assert "No concrete before the inspector has signed." in lines
    assert "inspector" in lines
    assert all(hole.label in lines for hole in layout.holes)
    told = [line for line in lines if "deeper than planned" in line]
    assert len(told) == sum(hole.depth is not None for hole in layout.holes)
    assert any("! to mend" in line for line in told)


def test_openings_say_where_they_are_marked_and_what_is_dangerous() -> None:
    plan = with_details(sample(PORCH)).with_(slabs=(YARD,))
    text = words(pages(by_hand(plan), "letter"), "Openings")
    for caution in ("silica", "Kickback", "Pipes and wires"):
        assert caution in text
    assert "Where to mark, from the baseline" in text
    one = openings_of(plan)[0]
    (x1, y1), (x2, _), *_ = one.outline
    turned = replace(one, outline=((x1, y1), (x2, y1), (x2, y1 + 300.0)))
    text = words(pages(by_hand(plan, openings=(turned,)), "letter"), "Openings")
    assert all(f"corner {n}" in text for n in (1, 2, 3))
    assert "corner 4" not in text


def test_the_order_says_how_many_bags_and_how_sure_that_is() -> None:
    layout = by_hand(with_details(sample(PORCH)))
    text = words(pages(layout, "letter"), "Concrete order")
    product = layout.order.products[0]
    assert f"{product.supply.count} × 80 lb bag" in text
    assert "not more than 5 of 100 such jobs run short" in text
    assert "truck" in text
    assert "chance of running short" in text
    assert all(says in text for says in layout.order.says)


def test_pages_with_nothing_to_say_do_not_appear() -> None:
    plan = sample(PORCH).with_(piers=(), slabs=(), details=(Detail(id="D1", profile=()),))
    layout = by_hand(plan, sections=(), order=replace(by_hand(sample(PORCH)).order, left=()))
    assert pages(layout, "letter").pages == ()


def test_a_rectangle_along_the_baseline_is_marked_by_its_sides_and_a_ring_by_its_middle() -> None:
    """From a baseline that is turned, too; a rectangle askew to it is marked by its corners."""
    frame = Frame.through((100.0, 200.0), (103.0, 204.0), yard_on_right=True)
    one = openings_of(many())[0]

    def marked(places: list[Vector]) -> SawMarks:
        return saw_marks(replace(one, outline=tuple(frame.point(*place) for place in places)), frame)

    square = marked([(10.0, 20.0), (510.0, 20.0), (510.0, 420.0), (10.0, 420.0)])
    assert square.sides == pytest.approx((10.0, 510.0, 20.0, 420.0))
    assert square.lengths == pytest.approx((500.0, 400.0, math.hypot(500.0, 400.0)))
    ring = [(70.0 + 300 * math.cos(k * math.pi / 48), 900.0 + 300 * math.sin(k * math.pi / 48)) for k in range(96)]
    found = marked(ring)
    assert found.radius == pytest.approx(300.0)
    assert (found.places[0].station, found.places[0].offset) == pytest.approx((70.0, 900.0))
    askew = marked([(0.0, 0.0), (300.0, 100.0), (200.0, 400.0), (-100.0, 300.0)])
    assert askew.sides is None
    assert askew.lengths is None
    assert [place.name for place in askew.places] == [f"corner {n}" for n in range(1, 5)]
