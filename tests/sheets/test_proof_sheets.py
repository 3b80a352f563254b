"""The taping sheet and the proof sheet: all that the Layout says, in its order, on both papers."""

from __future__ import annotations

from dataclasses import replace
from typing import cast, get_args

import pytest

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import distance, minus, plus, times
from layoutdesk.plan.model import Paper
from layoutdesk.sheets.marks import Measure, Page, SheetSet, Text
from layoutdesk.sheets.numbers import small_parts, within_parts
from layoutdesk.sheets.paper import sheet_size
from layoutdesk.sheets.proof_picture import ellipse, enlarged
from layoutdesk.sheets.proof_sheet import proof_sheets
from layoutdesk.sheets.taping_sheet import taping_sheets
from tests.sheets.page_checks import check_set, marks_of
from tests.sheets.proof_pages import sheets_of, words_of
from tests.sheets.proof_scene import LOST, MOVED, ProvedLayout, proof_of, proved
from tests.sheets.sheet_plans import NAMES, PORCH, odd_plans, sample

PAPERS: tuple[Paper, ...] = get_args(Paper)


def row_of(page: Page, first: str) -> list[Text | Measure]:
    """Return what stands on the same foot as a text, from left to right."""
    feet = [m.at[1] for m in marks_of(page) if isinstance(m, Text) and m.text == first and m.at[0] < 40]
    row = [m for m in marks_of(page) if isinstance(m, Text | Measure) and abs(m.at[1] - feet[-1]) < 0.2]
    return sorted(row, key=lambda m: m.at[0])


def page_with(sheets: SheetSet, heading: str) -> Page:
    """Return the first page that has a heading."""
    return next(p for p in sheets.pages if any(isinstance(m, Text) and m.text == heading for m in marks_of(p)))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_samples_fit_both_papers(name: str, paper: Paper) -> None:
    layout = proved(sample(name))
    check_set(sheets_of(layout, taping_sheets, paper))
    check_set(sheets_of(layout, proof_sheets, paper))


@pytest.mark.parametrize(
    "odd", ["no baseline", "one pier", "many piers", "far away", "long names", "foreign signs"]
)
def test_odd_plans_fit(odd: str) -> None:
    layout = proved(odd_plans()[odd], pulls=2)
    check_set(sheets_of(layout, taping_sheets))
    check_set(sheets_of(layout, proof_sheets))


def test_there_is_no_proof_sheet_without_measures() -> None:
    assert proof_sheets(proved(sample(PORCH), measured=False), sheet_size("letter")) == []


def test_every_stake_has_its_move_its_verdict_and_how_sure_it_is() -> None:
    layout = proved(sample(PORCH))
    page = page_with(sheets_of(layout, proof_sheets), "Stakes")
    plan = layout.plan
    piers = [p for p in proof_of(layout).points if not p.held]
    for n, point in enumerate(piers):
        if n == LOST:
            continue
        name, verdict, along, away, out, sure = row_of(page, point.label)
        assert isinstance(name, Text)
        assert isinstance(verdict, Text)
        assert verdict.text == point.verdict
        assert [m.parts for m in (along, away, out, sure) if isinstance(m, Measure)] == [
            small_parts(plan, abs(point.along)),
            small_parts(plan, abs(point.away)),
            small_parts(plan, point.out),
            within_parts(plan, point.semi_major),
        ]
    moved = row_of(page, piers[MOVED].label)
    assert [m.before for m in moved if isinstance(m, Measure)] == ["back ", "away ", "", "± "]
    assert any(piers[LOST].says in text for text in words_of(sheets_of(layout, proof_sheets)))


def test_every_measure_is_there_and_a_suspect_one_has_a_sign() -> None:
    layout = proved(sample(PORCH))
    words = words_of(sheets_of(layout, proof_sheets))
    for tape in proof_of(layout).tapes:
        assert (f"! {tape.index + 1}" if tape.suspect else str(tape.index + 1)) in words
    assert "P2 on string P1–C1" in words
    assert "at P1, P2 to C1" in words
    assert "P1 square off C1–C2" in words
    assert any("! The tape C4 to P1 looks read one foot too long." in text for text in words)


def test_the_sheet_says_what_was_found_and_who_decides() -> None:
    layout = proved(sample(PORCH))
    words = words_of(sheets_of(layout, proof_sheets))
    text = " ".join(words)
    for bay in proof_of(layout).bays:
        assert bay.says in words
    assert "They do not agree with each other" in text
    assert "Without what is suspect they agree." in text
    assert "! A distance of zero says nothing." in text
    assert "P2 and P3 seem to have changed places." in text
    assert {"Move P3.", "Move P5."} <= set(words)
    assert "Move P1." not in words
    assert "Chosen: **hold the design**. The layout stays as it is drawn" in text
    assert "drawn 50 times their size" in text
    assert "licensed designer decide" in text
    assert {"taped by", "checked by", "date"} <= set(words)


def test_a_measured_corner_of_the_house_is_told_and_never_to_be_moved() -> None:
    layout = proved(sample(PORCH))
    corner = next(p for p in proof_of(layout).points if p.kind == "control")
    found = replace(corner, held=False, found=(30.0, 40.0), along=-30.0, away=40.0, out=50.0, verdict="move")
    points = (found, *(p for p in proof_of(layout).points if p is not corner))
    told = ProvedLayout(layout, replace(proof_of(layout), points=points), layout.taping_plan)
    sheets = sheets_of(cast("Layout", told), proof_sheets)
    row = row_of(page_with(sheets, "Stakes"), corner.label)
    assert [m.text for m in row if isinstance(m, Text)] == [corner.label]
    assert next(m.parts for m in row if isinstance(m, Measure)) == small_parts(layout.plan, found.out)
    assert "**control point** as found: it is not moved" in words_of(sheets)
    assert corner.says not in words_of(sheets)


def test_the_exaggeration_is_the_plans_own() -> None:
    plan = sample(PORCH)
    layout = proved(replace(plan, proof=replace(plan.proof, exaggeration=20.0)))
    assert any("drawn 20 times" in text for text in words_of(sheets_of(layout, proof_sheets)))


def test_places_and_ellipses_are_enlarged_about_the_planned_place() -> None:
    point = next(p for p in proof_of(proved(sample(PORCH))).points if p.verdict == "move")
    assert point.found is not None
    at = enlarged(point, 50.0)
    assert at == plus(point.planned, times(minus(point.found, point.planned), 50.0))
    assert at is not None
    away = [distance(at, p) for p in ellipse(point, 50.0)]
    assert max(away) == pytest.approx(50.0 * point.semi_major)
    assert min(away) == pytest.approx(50.0 * point.semi_minor)


def test_a_plan_in_metres_has_its_moves_in_millimetres() -> None:
    plan = replace(sample(PORCH), units="m", rounding=1.0)
    text = page_with(sheets_of(proved(plan), proof_sheets), "Stakes")
    units = {m.parts.mark for m in marks_of(text) if isinstance(m, Measure)}
    assert units == {" mm"}


def test_the_class_of_each_tape_is_told() -> None:
    layout = proved(sample(PORCH))
    assert layout.plan.tapes[-1].tape_class == "H44"
    assert "H44" in words_of(sheets_of(layout, proof_sheets))
