"""Level books from pasted text: field books, tables and rows typed by hand."""

from __future__ import annotations

import pytest

from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, Reading
from layoutdesk.units import MM_PER_FOOT

FEET = Plan(units="ft-in")
METRES = Plan(units="m", rounding=1.0)


def taken(text: str, plan: Plan = METRES) -> list[tuple[int, str, str, float]]:
    """Return setup, point, kind and reading in m of every row, when all of them can be read."""
    read = edits.readings_from_text(text, plan)
    assert read.trouble == ()
    return [(r.setup, r.point, r.kind, round(r.reading / 1000, 6)) for r in read.readings]


RUN = [
    (1, "BM1", "back", 1.2),
    (1, "TP1", "fore", 0.8),
    (2, "TP1", "back", 1.5),
    (2, "G1", "fore", 1.1),
    (2, "BM1", "fore", 1.9),
]


@pytest.mark.parametrize(
    "text",
    [
        "Point\tBS\tHI\tFS\tElev\nBM1\t1.2\t\t\t\nTP1\t1.5\t\t0.8\t\nG1\t\t\t1.1\t\nBM1\t\t\t1.9\t",
        "point;BS;IS;FS\nBM1;1.2;;\nTP1;1.5;;0.8\nG1;;1.1;\nBM1;;;1.9",
        "Sta.,Sta,B.S.,I.S.,F.S.\n,BM1,1.2,,\n,TP1,1.5,,0.8\n,G1,,1.1,\n,BM1,,,1.9",
        "BM1,1.2,,\nTP1,1.5,,0.8\nG1,,1.1,\nBM1,,,1.9",
        "BM1;1,2;\nTP1;1,5;0,8\nG1;;1,1\nBM1;;1,9",
        "setup;point;back;fore\n1;BM1;1.2;\n1;TP1;;0.8\n2;TP1;1.5;\n2;G1;;1.1\n2;BM1;;1.9",
        "1\tBM1\t1.2\t\n1\tTP1\t\t0.8\n2\tTP1\t1.5\t\n2\tG1\t\t1.1\n2\tBM1\t\t1.9",
        "1 BM1 back 1.2\n1 TP1 fore 0.8\n2 TP1 BS 1.5\n2 G1 IS 1.1\n2 BM1 FS 1.9",
        "BM1 + 1.2\nTP1 - 0.8\nTP1 + 1.5\nG1 - 1.1\nBM1 - 1.9",
        "setup,point,kind,reading\n1,BM1,back,1.2\n1,TP1,fore,0.8\n2,TP1,back,1.5\n2,G1,fore,1.1\n2,BM1,fore,1.9",
        "point,kind,rod (mm)\nBM1,back,1200\nTP1,fore,800\nTP1,back,1500\nG1,fore,1100\nBM1,fore,1900",
        "Point  BS    FS\nBM1    1.2\nTP1    1.5   0.8\nG1           1.1\nBM1          1.9\n",
    ],
)
def test_one_run_in_many_ways_of_booking_it(text: str) -> None:
    assert taken(text) == RUN


def test_feet_are_read_as_the_rod_shows_them() -> None:
    read = edits.readings_from_text('BM1\t4.52\t\nG1\t\t4\' 6 1/4"\nG2\t\t54 1/4\nG3\t\t-3"', FEET)
    assert [r.reading for r in read.readings] == pytest.approx(
        [4.52 * MM_PER_FOOT, 54.25 * 25.4, 54.25 * 25.4, -3 * 25.4]
    )
    assert read.trouble == ()


def test_setups_go_on_after_those_that_are_there() -> None:
    plan = edits.add_reading(METRES, Reading(setup=4, point="BM1", kind="back", reading=1.0))
    assert [row[0] for row in taken("BM1,1.2,\nTP1,1.5,0.8", plan)] == [5, 5, 6]


def test_two_backsights_in_a_row_are_of_one_setup() -> None:
    assert [row[:3] for row in taken("BM1,1.2,\nBM2,1.4,\nTP1,,0.8")] == [
        (1, "BM1", "back"),
        (1, "BM2", "back"),
        (1, "TP1", "fore"),
    ]


def test_points_are_booked_by_their_ids() -> None:
    plan = edits.rename(edits.add_pier(METRES, (0, 0)), "P1", "north corner")
    assert [row[1] for row in taken("north corner,1.2,\nNorth Corner top,,0.8", plan)] == ["P1", "P1 top"]
    assert [row[1] for row in taken("north corner back 1.2\np1 fore 0.8", plan)] == ["P1", "P1"]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("BM1,1.2,\n,1.5,0.8\n", "row 2: the point is missing"),
        ("BM1,1.2,\nTP1,,\nTP2,,1.1", "row 2: the reading is missing"),
        ("BM1,1.2,\nTP1,,a bit\nTP2,,1.1", "row 2: “a bit” is no length"),
        ("setup,point,back,fore\n1,BM1,1.2,\nx,TP1,,0.8", "row 3: the setup “x” is no whole number"),
        ("setup,point,back,fore\n1,BM1,1.2,\n1,TP1,1.4,0.8", "row 3: it has two sights"),
        ("point,kind,reading\nBM1,back,1.2\nTP1,aside,0.8", "row 3: the kind of sight “aside” is neither"),
        ("BM1 back 1.2\nTP1 0.8", "row 2: it says neither back nor fore"),
    ],
)
def test_a_row_that_cannot_be_read_is_told_and_passed_over(text: str, sentence: str) -> None:
    read = edits.readings_from_text(text, METRES)
    assert len(read.trouble) == 1
    assert read.trouble[0].startswith(sentence)
    assert read.readings[0] == Reading(setup=1, point="BM1", kind="back", reading=1200.0)


def test_nothing_and_far_too_much_are_borne() -> None:
    assert edits.readings_from_text(" \n\t\n", METRES) == edits.ReadingsRead((), ())
    read = edits.readings_from_text("BM1,1.2,\n" * 10_001, METRES)
    assert read.trouble == ("there are 10001 rows; paste at most 10000 at a time",)
