"""Measures from pasted text: as a hand writes them, as a table holds them, and what is wrong with a row."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.plan import edits
from layoutdesk.plan.model import Control, Pier, Plan, Tape
from layoutdesk.units import format_exact
from tests.strategies import plans

PLAN = Plan(
    controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="nail 2", at=(6000.0, 0.0))),
    piers=(
        Pier(id="P1", at=(0.0, -3000.0)),
        Pier(id="P2", at=(6000.0, -3000.0), mark="north end"),
        Pier(id="P3", at=(0.0, -6000.0), mark="twin"),
        Pier(id="P4", at=(6000.0, -6000.0), mark="twin"),
    ),
)


def read(text: str) -> list[tuple[str, str, float, str]]:
    """Return what is read from a text that is all good."""
    found = edits.tapes_from_text(text, PLAN)
    assert found.trouble == ()
    return [(t.start, t.end, t.distance, t.tape_class) for t in found.tapes]


def test_rows_parted_by_blanks_are_read_as_they_are_written_on_site() -> None:
    text = "C1 P1 12' 4 3/8\"\n\nnail 2  north end  12-6  I\nc1 p1 3.5 m\n"
    assert read(text) == [
        ("C1", "P1", 3768.725, "II"),
        ("nail 2", "P2", 3810.0, "I"),
        ("C1", "P1", 3500.0, "II"),
    ]


@pytest.mark.parametrize("sign", ["\t", ";", ","])
def test_a_table_names_its_columns_in_any_order(sign: str) -> None:
    rows = [["Class", "To", "note", "From", "Distance"], ["H44", "P1", "wind", "C1", "12' 4 3/8\""]]
    assert read("\n".join(sign.join(row) for row in rows)) == [("C1", "P1", 3768.725, "H44")]


@pytest.mark.parametrize("sign", ["\t", ";", ","])
def test_a_table_without_a_header_is_from_to_distance_class(sign: str) -> None:
    assert read(sign.join(["C1", "P1", "12'", "III"]))[0] == ("C1", "P1", 3657.6, "III")


def test_a_cell_between_quotation_marks_may_hold_commas_and_inch_marks() -> None:
    text = 'from,to,distance\nC1,P1,"12\' 4 3/8"""\nC1,"P2","3,5 m"\nC1,P1,6"'
    assert [distance for _, _, distance, _ in read(text)] == [3768.725, 3500.0, 152.4]


def test_the_unit_of_a_column_counts_for_bare_numbers_only() -> None:
    text = "from;to;distance (mm)\nC1;P1;3750,5\nC1;P1;12'"
    assert [distance for _, _, distance, _ in read(text)] == [3750.5, 3657.6]


def test_other_kinds_of_measures_have_their_columns() -> None:
    text = (
        "from\tto\tkind\tthird\tdistance\tlegs\trise\n"
        "C1\tP1\tsquare\tnail 2\t-3 m\t\t4 in\n"
        "C1\tP1\tstring\tP3\t0\t\t\n"
        "C1\tP1\tright angle\tnail 2\t90\t6' x 8'\t\n"
    )
    assert edits.tapes_from_text(text, PLAN).tapes == (
        Tape(start="C1", end="P1", distance=-3000.0, kind="square", third="nail 2", rise=101.6),
        Tape(start="C1", end="P1", distance=0.0, kind="string", third="P3"),
        Tape(start="C1", end="P1", distance=90.0, kind="right angle", third="nail 2", legs=(1828.8, 2438.4)),
    )


WRONG = [
    ("C1 P9 4'", "row 1: there is no control point, attachment or pier “P9” in this plan"),
    ("C1 twin 4'", "row 1: P3 and P4 are both called “twin”; write the id"),
    ("C1 P1", "row 1: the distance is missing"),
    ("C1", "row 1: the second point is missing"),
    ("C1 P1 long", "row 1: “long” is no length"),
    ("C1 C1 4'", "row 1: the second point is C1 at both ends"),
    ("C1 P1 0", "row 1: the distance must be more than 0"),
    ("\n\nC1;P1;4';IV", "row 3: the class of the tape must be one of I, II, III, H44, own"),
    ("C1 P1 1,250", "row 1: “1,250” has a comma"),
    ("from;to;kind;third;distance;legs\nC1;P1;right angle;P2;90;5", "row 2: the legs of the triangle are two"),
]


@pytest.mark.parametrize(("text", "sentence"), WRONG, ids=[text for text, _ in WRONG])
def test_a_row_that_cannot_be_read_is_said_with_its_number(text: str, sentence: str) -> None:
    found = edits.tapes_from_text(text, PLAN)
    assert found.tapes == ()
    assert len(found.trouble) == 1
    assert found.trouble[0].startswith(sentence)


def test_good_rows_are_kept_beside_bad_ones() -> None:
    found = edits.tapes_from_text("C1 P1 4'\nC1 P9 4'\nC1 P2 5'", PLAN)
    assert [t.end for t in found.tapes] == ["P1", "P2"]
    assert len(found.trouble) == 1


def test_nothing_and_far_too_much() -> None:
    assert edits.tapes_from_text(" \n\n", PLAN) == edits.TapesRead((), ())
    found = edits.tapes_from_text("C1 P1 4'\n" * 10_001, PLAN)
    assert found == edits.TapesRead((), ("there are 10001 rows; paste at most 10000 at a time",))


@given(st.text(max_size=200))
def test_any_text_gives_measures_or_sentences(text: str) -> None:
    found = edits.tapes_from_text(text, PLAN)
    edits.add_tapes(PLAN, found.tapes)
    rows = sum(1 for line in text.splitlines() if line.strip())
    assert len(found.tapes) + len(found.trouble) in {rows, rows - 1}, "a header is neither"


@given(plans(near=True))
def test_measured_distances_written_as_rows_read_back_exactly(plan: Plan) -> None:
    """Whatever the ids are; lengths are whole sixteenths or millimetres, which their units write exactly."""
    step = 1.5875 if plan.units == "ft-in" else 1.0
    kept = [
        Tape(start=t.start, end=t.end, distance=(1 + abs(t.distance) // step) * step, tape_class=t.tape_class)
        for t in plan.tapes
        if t.tape_class != "own"
    ]
    rows = [f"{t.start}\t{t.end}\t{format_exact(t.distance, plan.units)}\t{t.tape_class}" for t in kept]
    found = edits.tapes_from_text("\n".join(rows), plan)
    assert found.trouble == ()
    assert list(found.tapes) == kept
