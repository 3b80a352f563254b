"""The sheet in a DXF file: its size, its scale, its title block, and what the file opens on."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from ezdxf.entities import Dimension, Insert, LWPolyline, MText, Text, Viewport

from layoutdesk.engine.derive import derive
from layoutdesk.exporters.dxf import write_dxf
from layoutdesk.geometry.vector import distance, plus, turned
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Paper
from layoutdesk.sheets.drawing import plan_drawing
from layoutdesk.sheets.numbers import day_text
from layoutdesk.sheets.scales import standard_scales
from tests.exporters.dxf_scene import NAMES, Written, of_kind, read_again, sample

SHEETS = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}


@pytest.fixture(params=NAMES)
def file(request: pytest.FixtureRequest) -> Written:
    """Return each sample in turn."""
    return sample(request.param)


SHEET = "Pier layout plan"


def window(file: Written) -> Viewport:
    """Return the viewport that shows the plan."""
    (shown,) = (view for view in of_kind(file.document.paperspace(SHEET), Viewport) if view.dxf.id != 1)
    return shown


def texts(file: Written) -> set[str]:
    """Return what is written on the sheet."""
    return {text.dxf.text for text in of_kind(file.document.paperspace(SHEET), Text)}


def test_the_viewport_is_at_the_named_standard_scale(file: Written) -> None:
    sheet, units = file.drawing.sheet, file.layout.plan.units
    named = {scale.name: scale.ratio for scale in standard_scales(units)}
    assert window(file).get_scale() == pytest.approx(1 / named[sheet.scale_name], rel=1e-12)
    assert f"Scale {sheet.scale_name}" in texts(file)


def test_everything_drawn_lies_in_the_window(file: Written) -> None:
    """Piers, dimensions and walls, carried onto the paper by the viewport's own matrix."""
    view = window(file)
    onto_paper = view.get_transformation_matrix()
    low, high = view.clipping_rect()
    places = [m for d in file.drawing.dimensions for m in (d.line_start, d.line_end, d.text_at)]
    places += [pier.at for pier in file.layout.plan.piers]
    places += [p for wall in file.layout.plan.walls for p in wall.points]
    for x, y in places:
        at = onto_paper.transform((x, y, 0))
        assert low.x < at.x < high.x
        assert low.y < at.y < high.y


def test_the_house_is_at_the_top_of_the_sheet(file: Written) -> None:
    """Stations run to the right on paper and offsets down, whichever way the plan's own axes lie."""
    frame = file.layout.frame
    assert frame is not None
    onto_paper = window(file).get_transformation_matrix()
    here, along, away = (
        onto_paper.transform((*plus(frame.origin, way), 0)) for way in ((0.0, 0.0), frame.along, frame.away)
    )
    ratio = file.drawing.sheet.ratio
    assert ((along - here) * ratio).isclose((1, 0, 0), abs_tol=1e-9)
    assert ((away - here) * ratio).isclose((0, -1, 0), abs_tol=1e-9)


def test_names_and_texts_read_along_the_sheet(file: Written) -> None:
    """Text in the plan is turned with the sheet, and dimensions read from below or from the right."""
    turn = file.drawing.turn
    for insert in of_kind(file.document.modelspace(), Insert):
        assert all(a.dxf.rotation == pytest.approx(turn, abs=1e-9) for a in insert.attribs)
    for dimension in of_kind(file.document.modelspace(), Dimension):
        block = dimension.get_geometry_block()
        assert block is not None
        (text,) = of_kind(block, MText)
        on_paper = (text.dxf.rotation - turn + 180) % 360 - 180
        assert -90 < on_paper <= 90 + 1e-6


@pytest.mark.parametrize("paper", SHEETS)
@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_has_the_size_of_its_paper(name: str, paper: Paper) -> None:
    drawing = plan_drawing(derive(read_plan(SAMPLES / f"{name}.layout.json")), paper=paper)
    layout = read_again(write_dxf(drawing)).paperspace(SHEET)
    size = (layout.dxf_layout.dxf.paper_width, layout.dxf_layout.dxf.paper_height)
    assert sorted(size) == pytest.approx(sorted(SHEETS[paper]))
    low, high = layout.get_paper_limits()
    assert (high.x - low.x, high.y - low.y) == pytest.approx(size)


def test_the_title_block_says_whose_plan_it_is(file: Written) -> None:
    plan = file.layout.plan
    assert texts(file) >= {
        plan.title,
        plan.issue,
        day_text(plan.date),
        f"1 of {1 + len(file.drawing.side_sheets)}",
        "Local code and the licensed designer decide.",
    }


def test_the_bar_is_true_to_scale(file: Written) -> None:
    """The bar's boxes are whole feet or metres of ground at the scale of the viewport, as their numbers say."""
    paper = file.document.paperspace(SHEET)
    rings = [line.get_points("xy") for line in of_kind(paper, LWPolyline)]
    boxes = [ring for ring in rings if max(y for _, y in ring) - min(y for _, y in ring) == pytest.approx(2.0)]
    lefts = sorted(min(x for x, _ in box) for box in boxes)
    unit = {"ft-in": 304.8, "m": 1000.0, "mm": 1.0}[file.layout.plan.units]
    numbers = [text for text in of_kind(paper, Text) if text.dxf.halign == 1]
    assert len(numbers) == len(boxes) + 1 >= 4
    for text in numbers:
        value = float(text.dxf.text.strip("'"))
        on_paper = text.dxf.align_point.x - lefts[0]
        assert on_paper / window(file).get_scale() == pytest.approx(value * unit, abs=1e-6)


def test_the_file_opens_on_the_whole_plan(file: Written) -> None:
    """The view of model space looks at the middle of the sheet's window, turned like it, and holds all of it."""
    (view,) = (entry for entry in file.tags.table("VPORT") if entry.text(2) == "*Active")
    sheet = file.drawing.sheet
    assert distance(view.place(17), sheet.looks_at) < 1e-6
    assert view.number(51) == pytest.approx(-file.drawing.turn % 360)
    assert view.number(40) >= sheet.window[3] * sheet.ratio * (1 - 1e-12)
    header = file.tags.header
    low, high = (tuple(map(float, header[name][:2])) for name in ("$EXTMIN", "$EXTMAX"))
    for pier in file.layout.plan.piers:
        assert low[0] < pier.at[0] < high[0]
        assert low[1] < pier.at[1] < high[1]


def test_a_yard_on_the_other_hand_turns_the_sheet_about() -> None:
    """Mirrored across the baseline, the house still comes to lie at the top: the page turns half round."""
    plan = read_plan(SAMPLES / f"{NAMES[0]}.layout.json")
    assert plan.baseline is not None
    flipped = replace(plan, baseline=replace(plan.baseline, yard_side="left"))
    before, after = plan_drawing(derive(plan)).turn, plan_drawing(derive(flipped)).turn
    assert math.cos(math.radians(after - before)) == pytest.approx(-1)


def test_the_window_shows_the_middle_of_the_drawing_in_its_middle(file: Written) -> None:
    view = window(file)
    at = view.get_transformation_matrix().transform((*file.drawing.sheet.looks_at, 0))
    assert at.isclose(view.dxf.center, abs_tol=1e-9)
    right = turned((1000.0, 0.0), file.drawing.turn)
    carried = view.get_transformation_matrix().transform_direction((*right, 0))
    assert carried.isclose((1000 / file.drawing.sheet.ratio, 0, 0), abs_tol=1e-9)
