"""Tables of points: every way of writing one that was met, and what each becomes."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.exporters.tables import COLUMNS, HEIGHTS, points_csv
from layoutdesk.geometry.frame import Frame
from layoutdesk.importers.points import OWN_HEADINGS, OWN_HEIGHTS, read_points, read_points_file
from layoutdesk.importers.proposal import Proposal
from layoutdesk.importers.recognise import plan_of
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Baseline

SAME = 1e-6


def _places(proposal: Proposal) -> list[tuple[str, str, float, float]]:
    return [(c.mark, c.becomes, round(c.centre[0], 6), round(c.centre[1], 6)) for c in proposal.candidates]


def _marks_and_places(proposal: Proposal) -> list[tuple[str, float, float]]:
    return [(mark, x, y) for mark, _, x, y in _places(proposal)]


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.layout.json")), ids=lambda p: p.name.split(".")[0])
def test_the_table_that_the_program_writes_reads_back(sample: Path, tmp_path: Path) -> None:
    layout = derive(read_plan(sample))
    path = tmp_path / "points.csv"
    path.write_text(points_csv(layout), encoding="utf-8", newline="")
    proposal = read_points_file(path)
    assert proposal.scale.sure
    assert proposal.scale.scale == 1.0
    kinds = {"control": "control point", "attachment": "attachment", "pier": "pier"}
    assert len(proposal.candidates) == len(layout.points)
    for candidate, point in zip(proposal.candidates, layout.points, strict=True):
        assert math.dist(candidate.centre, point.at) <= SAME
        assert candidate.mark == point.label
        assert candidate.becomes == kinds[point.kind]
    plan = plan_of(proposal)
    assert {p.id: p.label for p in plan.piers} == {p.id: p.label for p in layout.plan.piers}
    ground = {height.id: height.ground for height in layout.heights}
    assert {h.pier: h.ground for h in plan.levels.piers} == pytest.approx(ground, abs=SAME)


def test_own_headings_are_those_of_the_exporter() -> None:
    assert OWN_HEADINGS == COLUMNS
    assert OWN_HEIGHTS == HEIGHTS


WAYS = {
    "comma, brackets": "id,x [mm],y [mm]\nP1,1250.5,-3500\nP2,2500,250\n",
    "semicolon, decimal comma": "Punkt;x [m];y [m]\nP1;1,2505;-3,5\nP2;2,5;0,25\n",
    "tab, parentheses": "Name\tEasting (cm)\tNorthing (cm)\nP1\t125.05\t-350\nP2\t250\t25\n",
    "bar, underline": "no|x_mm|y_mm\nP1|1250.5|-3500\nP2|2500|250\n",
    "unit row": "# a porch\n\nNo,East,North\n,m,m\nP1,1.2505,-3.5\nP2,2.5,0.25\n",
    "remark": "# units: mm\npier,x,y\nP1,1250.5,-3500\nP2,2500,250\n",
    "title row": "Some porch,,\nid,x in mm,y in mm\nP1,1250.5,-3500\nP2,2500,250\n",
    "order": "North (m);East (m);Point\n-3,5;1,2505;P1\n0,25;2,5;P2\n",
    "quoted": '"id","x (mm)","y (mm)"\r\n"P1","1,250.5","-3,500"\r\n"P2","2,500","250"\r\n',
    "line break in a heading": 'id,"x\n[mm]","y\n[mm]"\nP1,1250.5,-3500\nP2,2500,250\n',
    "byte order mark": "\ufeffid,x [mm],y [mm]\nP1,1250.5,-3500\nP2,2500,250\n",
    "number sign": "#,x (mm),y (mm)\nP1,1250.5,-3500\nP2,2500,250\n",
    "blanks": "id   x(mm)   y(mm)\nP1   1250.5   -3500\nP2   2500   250\n",
    "exponents": "id,x(m),y(m)\nP1,1.2505E+0,-3.5e0\nP2,25e-1,.25\n",
    "true minus": "id,x(mm),y(mm)\nP1,1250.5,−3500\nP2,2500,+250\n",
    "headings after blanks": "  id , x (mm) , y (mm) , z\n P1 , 1250.5 , -3500 , 12 \n P2,2500,250,\n",
    "two systems": "id,station,offset,x mm,y mm\nP1,1,2,1250.5,-3500\nP2,1,2,2500,250\n",
    "stations of an instrument": "station,east (mm),north (mm)\nP1,1250.5,-3500\nP2,2500,250\n",
    "old line ends": "id,x (mm),y (mm)\rP1,1250.5,-3500\rP2,2500,250\r",
}


@pytest.mark.parametrize("text", WAYS.values(), ids=WAYS.keys())
def test_one_table_in_many_ways(text: str) -> None:
    proposal = read_points(text, "points.csv")
    assert _marks_and_places(proposal) == [("P1", 1250.5, -3500.0), ("P2", 2500.0, 250.0)]
    assert proposal.scale.sure
    assert proposal.passed == ()


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1"])
def test_codes_of_text_files(code: str, tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_bytes("id;x [mm];y [mm];description\nPü;100,5;200;Stütze\n".encode(code))
    assert _marks_and_places(read_points_file(path)) == [("Pü", 100.5, 200.0)]


def test_feet_and_inches_in_cells() -> None:
    text = 'Pier\tX\tY\nP1\t12\' 4 1/2"\t-6\'\nP2\t12-6 3/8\t4 1/2"\nP3\t"8"""\t0\'-3 1/16"\nP4\t10.5\'\t3.81 m\n'
    proposal = read_points(text, "clipboard")
    assert proposal.scale.sure
    assert proposal.units == "ft-in"
    assert _marks_and_places(proposal) == [
        ("P1", 3771.9, -1828.8),
        ("P2", 3819.525, 114.3),
        ("P3", 203.2, 77.7875),
        ("P4", 3200.4, 3810.0),
    ]


def test_nought_needs_no_unit_and_one_bare_number_is_asked_about() -> None:
    rows = "P1,0,0\nP2,8'-2\",0.0\nP3,16'-4\",0\n"
    proposal = read_points("pier,x,y\n" + rows, "a.csv")
    assert proposal.scale.sure
    assert _marks_and_places(proposal)[2] == ("P3", 4978.4, 0.0)
    assert not read_points("pier,x,y\n" + rows + "P4,98,0\n", "a.csv").scale.sure


def test_the_survey_foot_is_its_own_unit() -> None:
    proposal = read_points("id,x (usft),y (usft)\nP1,3937,0\n", "a.csv")
    assert proposal.candidates[0].centre == (1_200_000.0, 0.0)


def test_kinds_come_from_their_column_or_else_from_the_name() -> None:
    text = (
        "id,x (m),y (m),type\nP1,1,1,\nF7,2,1,\nC1,0,0,\nCP2,0,1,\nA1,3,3,\n12,4,4,\nQ1,5,5,House corner\n"
        "Q2,6,6,footing\nC9,7,7,pier\nQ3,8,8,ledger\nQ4,9,9,oak tree\n"
    )
    becomes = {c.mark: c.becomes for c in read_points(text, "a.csv").candidates}
    assert becomes == {
        "P1": "pier",
        "F7": "pier",
        "C1": "control point",
        "CP2": "control point",
        "A1": "attachment",
        "12": "pier",
        "Q1": "control point",
        "Q2": "pier",
        "C9": "pier",
        "Q3": "attachment",
        "Q4": "nothing",
    }


def test_points_of_a_kind_are_chosen_together() -> None:
    proposal = read_points("id,x (m),y (m)\nP1,1,1\nP2,2,1\nC1,0,0\n", "a.csv")
    piers = next(c.group for c in proposal.candidates if c.mark == "P1")
    assert [c.becomes for c in proposal.choose("nothing", group=piers).candidates] == [
        "nothing",
        "nothing",
        "control point",
    ]


def test_twins_and_nameless_points_stay() -> None:
    proposal = read_points("id,x (m),y (m)\nP1,1,1\nP1,1,1\n,2,2\n", "a.csv")
    assert _marks_and_places(proposal) == [("P1", 1000.0, 1000.0), ("P1", 1000.0, 1000.0), ("", 2000.0, 2000.0)]
    assert len(plan_of(proposal).piers) == 3


def test_a_size_column_gives_the_diameter() -> None:
    proposal = read_points('id,x (m),y (m),dia (in)\nP1,1,1,12\nP2,2,2,16"\n', "a.csv")
    assert [c.size for c in proposal.candidates] == [pytest.approx(304.8), pytest.approx(406.4)]


def test_without_headings_a_name_x_and_y_are_taken_and_it_says_so() -> None:
    proposal = read_points("P1,1000,2000\nP2,3000,4000\n", "a.csv", unit=1.0)
    assert _marks_and_places(proposal) == [("P1", 1000.0, 2000.0), ("P2", 3000.0, 4000.0)]
    assert any("no headings" in note for note in proposal.notes)
    numbered = read_points("1;1000;2000;pier\n2;3000;4000;pier\n", "a.csv", unit=1.0)
    assert _marks_and_places(numbered) == [("1", 1000.0, 2000.0), ("2", 3000.0, 4000.0)]
    bare = read_points("1000 2000\n3000 4000\n", "a.csv", unit=1.0)
    assert _marks_and_places(bare) == [("", 1000.0, 2000.0), ("", 3000.0, 4000.0)]


def test_a_unit_that_nobody_says_must_be_asked() -> None:
    text = "id,x,y\nP1,0,0\nP2,12,8\n"
    guess = read_points(text, "a.csv")
    assert not guess.scale.sure
    asked = read_points(text, "a.csv", unit=304.8)
    assert asked.scale.sure
    assert _marks_and_places(asked)[1] == ("P2", 3657.6, 2438.4)
    said = read_points("id,x (m),y (m)\nP2,12,8\n", "a.csv", unit=304.8)
    assert _marks_and_places(said) == [("P2", 12000.0, 8000.0)], (
        "what the table says goes before what was asked for"
    )


def test_stations_and_offsets_lie_on_the_baseline_or_along_x() -> None:
    text = "id,sta (ft),off (ft)\nP1,0+12.5,8\nP2,1+00,-2\n"
    bare = read_points(text, "a.csv")
    assert _marks_and_places(bare) == [("P1", 3810.0, -2438.4), ("P2", 30480.0, 609.6)]
    assert any("no baseline" in note for note in bare.notes)
    line = Baseline(origin=(100.0, 50.0), toward=(100.0, 9050.0), yard_side="right")
    laid = read_points(text, "a.csv", baseline=line)
    frame = Frame.through(line.origin, line.toward, yard_on_right=True)
    assert frame.station_offset(laid.candidates[0].centre) == pytest.approx((3810.0, 2438.4), abs=SAME)
    assert laid.candidates[0].centre == pytest.approx((2538.4, 3860.0), abs=SAME)


def test_stations_in_metres_count_thousands() -> None:
    proposal = read_points("id;chainage [m];offset [m]\nP1;0+012,500;3\n", "a.csv")
    assert _marks_and_places(proposal) == [("P1", 12500.0, -3000.0)]


def test_rows_that_cannot_be_read_are_passed_over_with_their_number_and_why() -> None:
    text = "id,x (mm),y (mm)\nP1,nan,3\nP2,3,inf\nP3,1e300,2\nP4,-,2\nP5,100,200\nP6\nP7,,\nP8,12 apples,3\n"
    proposal = read_points(text, "a.csv")
    assert _marks_and_places(proposal) == [("P5", 100.0, 200.0)]
    assert sum(p.count for p in proposal.passed) == 7
    assert any(p.why == "x is no length, as “nan” (row 2)" for p in proposal.passed)
    assert any(p.why == "x is empty (rows 7, 8)" for p in proposal.passed)


def test_points_far_from_zero_are_brought_near_and_it_says_so() -> None:
    text = "id,easting (m),northing (m)\n1,500000.123,4200000.5\n2,500003.123,4200004.5\n3,1,1\n"
    proposal = read_points(text, "a.csv")
    one, two = (c.centre for c in proposal.candidates)
    assert math.dist(one, two) == pytest.approx(5000.0, abs=SAME)
    assert one[0] - proposal.shift[0] == pytest.approx(500_000_123.0, abs=SAME)
    assert any("5 km" in note for note in proposal.notes)
    assert proposal.passed[0].count == 1
