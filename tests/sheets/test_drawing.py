"""The plan as a drawing: on its sheet to scale, readable, and with nothing written over anything."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from layoutdesk.engine.derive import derive
from layoutdesk.geometry.vector import distance, dot, minus, turned, unit
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Baseline, BeamLine, Detail, Paper, Pier, Plan
from layoutdesk.sheets.drawing import plan_drawing
from layoutdesk.sheets.drawing_dimensions import readable
from layoutdesk.sheets.drawing_marks import Drawing, Filling, Label, Stroke
from tests.sheets.drawing_checks import on_one_another, texts_in_plan, texts_on_sheet

NAMES = tuple(sorted(path.name.removesuffix(".layout.json") for path in SAMPLES.glob("*.layout.json")))
PAPERS: tuple[Paper, ...] = ("letter", "a4")


@pytest.fixture(params=[(name, paper) for name in NAMES for paper in PAPERS], ids="-".join)
def drawing(request: pytest.FixtureRequest) -> Drawing:
    """Return each sample on each paper."""
    name, paper = request.param
    return plan_drawing(derive(read_plan(SAMPLES / f"{name}.layout.json")), paper=paper)


def test_no_text_stands_on_another(drawing: Drawing) -> None:
    assert on_one_another(texts_in_plan(drawing)) == []
    assert on_one_another(texts_on_sheet(drawing)) == []


def test_no_name_stands_on_a_pier_or_a_dimension_line(drawing: Drawing) -> None:
    lines = [shapely.LineString([m.line_start, m.line_end]) for m in drawing.dimensions]
    piers = {p.symbol: p for p in drawing.placed if p.symbol.startswith("PIER")}
    assert piers
    rings = [shapely.Point(p.at).buffer(100) for p in drawing.placed if p.symbol in piers]
    for name, area in texts_in_plan(drawing).items():
        if not name.startswith("dimension"):
            assert not any(area.intersects(line) for line in lines), name
            assert not any(area.intersects(pier) for pier in rings), name


def test_no_name_of_a_line_stands_on_the_wide_foot_of_its_pier() -> None:
    """Such a line begins and ends at a pier, whose circle reaches beyond it."""
    plan = edits.add_grid(Plan(), (0.0, 0.0), (0.0, -1.0), [0.0, 3000.0], [3600.0, 3600.0])
    plan = edits.add_detail(plan, ((0.0, 300.0), (900.0, 300.0), (1100.0, 900.0)))
    plan = edits.assign_detail(plan, [pier.id for pier in plan.piers], plan.details[0].id)
    drawing = plan_drawing(derive(plan))
    feet = [shapely.Point(pier.at).buffer(450.0) for pier in plan.piers]
    names = [
        area
        for name, area in texts_in_plan(drawing).items()
        if any(f" {line.id} " in f" {name} " for line in plan.lines)
    ]
    assert len(names) == len(plan.lines)
    assert not any(area.intersects(foot) for area in names for foot in feet)


def test_texts_of_the_sheet_lie_in_their_cells(drawing: Drawing) -> None:
    """No text of the title block crosses a line of it."""
    lines = [
        shapely.LineString([*mark.points, mark.points[0]] if mark.closed else mark.points)
        for mark in drawing.sheet.marks
        if isinstance(mark, Stroke)
    ]
    for text, area in texts_on_sheet(drawing).items():
        assert not any(area.intersects(line) for line in lines), text


def test_dimension_lines_stand_apart(drawing: Drawing) -> None:
    """Two lines beside one another are at least 6 mm of paper apart, so that their texts have room."""
    ratio = drawing.sheet.ratio
    for i, a in enumerate(drawing.dimensions):
        way = unit(minus(a.line_end, a.line_start))
        for b in drawing.dimensions[i + 1 :]:
            other = unit(minus(b.line_end, b.line_start))
            if abs(abs(dot(way, other)) - 1) > 1e-9:
                continue
            low, high = sorted((dot(a.line_start, way), dot(a.line_end, way)))
            b_low, b_high = sorted((dot(b.line_start, way), dot(b.line_end, way)))
            if min(high, b_high) - max(low, b_low) > 1.0:
                apart = abs(dot(minus(a.line_start, b.line_start), turned(way, 90)))
                assert apart >= 6 * ratio


def test_extension_lines_begin_clear_of_what_is_drawn(drawing: Drawing) -> None:
    """None runs along a beam line, and each begins between what it measures and its dimension line."""
    beams = [m for m in drawing.marks if isinstance(m, Stroke) and m.role == "beam line"]
    for measured in drawing.dimensions:
        ends = (
            (measured.start, measured.from_start, measured.line_start),
            (measured.end, measured.from_end, measured.line_end),
        )
        for place, begin, end in ends:
            assert distance(place, begin) + distance(begin, end) == pytest.approx(distance(place, end), abs=1e-6)
            run = shapely.LineString([begin, end])
            for beam in beams:
                assert run.intersection(shapely.LineString(beam.points).buffer(0.1)).length < 1.0


def test_hatches_are_cleared_where_something_is_written(drawing: Drawing) -> None:
    fillings = [
        shapely.Polygon(mark.outline, mark.holes)
        for mark in drawing.marks
        if isinstance(mark, Filling) and mark.pattern != "solid"
    ]
    assert fillings
    assert all(filling.is_valid for filling in fillings)
    for name, area in texts_in_plan(drawing).items():
        assert not any(filling.intersects(area) for filling in fillings), name


def test_a_narrow_chain_writes_its_texts_at_different_heights() -> None:
    """Three piers 300 mm apart on a plan of 12 m: no two of their dimensions may be written on one another."""
    offsets = (1000, 1300, 1600, 1900, 12000)
    plan = Plan(
        units="mm",
        rounding=1.0,
        baseline=Baseline(origin=(0, 0), toward=(9000, 0), yard_side="right"),
        lines=(
            BeamLine(id="L1", start=(0, 0), end=(0, -12500)),
            BeamLine(id="L2", start=(9000, 0), end=(9000, -12500)),
        ),
        piers=tuple(
            Pier(id=f"P{x}-{y}", at=(x, -y), line=line, detail="D1")
            for x, line in ((0, "L1"), (9000, "L2"))
            for y in offsets
        ),
        details=(Detail(id="D1", profile=((0, 150), (600, 150))),),
    )
    drawing = plan_drawing(derive(plan))
    texts = {name: area for name, area in texts_in_plan(drawing).items() if name.startswith("dimension")}
    assert len(texts) >= 5
    assert on_one_another(texts) == []
    assert any(m.moved for m in drawing.dimensions)


def test_a_hundred_piers_are_still_readable() -> None:
    """At 1:200 most names and dimensions have little room: small type and steps keep them apart."""
    rows = [(f"L{r}", 2400.0 * (r + 1)) for r in range(10)]
    plan = Plan(
        units="m",
        rounding=1.0,
        paper="a4",
        baseline=Baseline(origin=(0, 0), toward=(26_400, 0), yard_side="right"),
        lines=tuple(BeamLine(id=line, start=(x, 0), end=(x, -18_500)) for line, x in rows),
        piers=tuple(
            Pier(id=f"{line}-{n}", at=(x, -1800.0 * n), line=line) for line, x in rows for n in range(1, 11)
        ),
    )
    drawing = plan_drawing(derive(plan))
    assert drawing.sheet.scale_name == "1:200"
    assert on_one_another(texts_in_plan(drawing)) == []


@pytest.mark.parametrize(
    ("degrees", "page_turn", "expected"),
    [
        (0, 0, 0),
        (180, 0, 0),
        (90, 0, 90),
        (-90, 0, 90),
        (135, 0, -45),
        (168, -12, -12),
        (78, -12, 78),
        (-102, -12, 78),
    ],
)
def test_text_reads_from_below_or_from_the_right(degrees: float, page_turn: float, expected: float) -> None:
    assert readable(degrees, page_turn) == pytest.approx(expected)


def test_turning_the_whole_plan_turns_the_drawing_and_changes_nothing_on_the_sheet() -> None:
    """The page is bound to the baseline, so that the plan's own axes do not matter to who reads it."""
    plan = read_plan(SAMPLES / f"{NAMES[1]}.layout.json")
    everything = [piece.id for piece in plan.pieces()]
    spun = edits.turn(plan, everything, (0.0, 0.0), 90.0)
    base = plan.baseline
    assert base is not None
    spun = replace(spun, baseline=replace(base, origin=turned(base.origin, 90), toward=turned(base.toward, 90)))
    before, after = plan_drawing(derive(plan)), plan_drawing(derive(spun))
    assert after.turn == pytest.approx(before.turn + 90)
    assert after.sheet.scale_name == before.sheet.scale_name
    assert [m.text for m in after.dimensions] == [m.text for m in before.dimensions]
    for a, b in zip(before.placed, after.placed, strict=True):
        assert b.values == a.values
        assert distance(turned(a.label_at, 90), b.label_at) < 1e-3


def test_a_plan_too_large_for_any_standard_scale_still_fits() -> None:
    far = Plan(piers=(Pier(id="P1", at=(-9e6, 0)), Pier(id="P2", at=(9e6, 0))))
    sheet = plan_drawing(derive(far)).sheet
    assert 18e6 / sheet.ratio < sheet.window[2]
    assert sheet.scale_name == f"1:{sheet.ratio:.0f}"


def test_a_long_title_is_cut_to_its_cell() -> None:
    plan = Plan(title="Porch of many words " * 30)
    titles = [
        m for m in plan_drawing(derive(plan)).sheet.marks if isinstance(m, Label) and m.text.startswith("Porch")
    ]
    assert [title.text[-1] for title in titles] == ["…"]


def test_walls_keep_their_corners() -> None:
    for name in NAMES:
        plan = read_plan(SAMPLES / f"{name}.layout.json")
        strokes = [m for m in plan_drawing(derive(plan)).marks if isinstance(m, Stroke) and m.role == "wall"]
        assert [stroke.points for stroke in strokes] == [wall.points for wall in plan.walls]
