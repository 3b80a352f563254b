"""Heights in a DXF file: spots, contours, strings, boards, and side views at true scale on sheets of their own."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from ezdxf.entities import Dimension, Line, Viewport

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import distance, middle, turned
from layoutdesk.plan.model import Levels
from layoutdesk.sheets.drawing_heights import elevation_text, plain_spots
from layoutdesk.sheets.drawing_marks import Label
from layoutdesk.units import format_length
from tests.exporters.dxf_scene import NAMES, Written, of_kind, sample, written
from tests.sheets.drawing_checks import ring
from tests.sheets.height_plans import height_plans

FINE_MM = 1e-6
HEIGHT_LAYERS = {
    "V-TOPO-SPOT", "V-TOPO-MINR", "V-CTRL-STRG", "V-CTRL-BRDS", "S-ELEV-OTLN", "S-ELEV-GRND", "S-ELEV-SEAT",
}  # fmt: skip
ODD = ("a long line", "piers close together", "a cliff", "steep", "no seats", "one spot", "no benchmark")


@pytest.fixture(params=NAMES)
def file(request: pytest.FixtureRequest) -> Written:
    """Return each sample in turn."""
    return sample(request.param)


def lines_on(file: Written, layer: str) -> set[frozenset[tuple[float, float]]]:
    """Return the ends of the straight lines on a layer of model space."""
    return {
        frozenset(((line.dxf.start.x, line.dxf.start.y), (line.dxf.end.x, line.dxf.end.y)))
        for line in of_kind(file.document.modelspace(), Line)
        if line.dxf.layer == layer
    }


def views(layout: Layout) -> list[str]:
    """Return the beam lines that have a side view."""
    return [view.line for view in layout.side_views if view.ground or view.beam or view.string]


def test_every_spot_is_a_block_with_its_elevation(file: Written) -> None:
    plan = file.layout.plan
    found = {
        values["MARK"]: (insert, values) for insert, values in file.tags.with_attributes() if "ELEVATION" in values
    }
    spots = plain_spots(file.layout)
    assert found.keys() == {spot.label for spot in spots} != set()
    for spot in spots:
        insert, values = found[spot.label]
        assert distance(insert.place(10), spot.at) < FINE_MM
        assert insert.text(8) == "V-TOPO-SPOT"
        assert values["ELEVATION"] == elevation_text(plan, spot.elevation)


def test_piers_carry_their_heights(file: Written) -> None:
    plan = file.layout.plan
    carried = {values["MARK"]: values for _, values in file.tags.with_attributes() if "DETAIL" in values}
    cuts = {cut.label: cut.length for cut in file.layout.columns}
    for height in file.layout.heights:
        values = carried[height.label]
        assert height.ground is not None
        assert height.bottom is not None
        assert values["GROUND"].lstrip("+") == format_length(height.ground, plan.units, plan.rounding)
        assert values["BOTTOM"].lstrip("+") == format_length(height.bottom, plan.units, plan.rounding)
        assert values["COLUMN"] == format_length(cuts[height.label], plan.units, plan.rounding)


def test_strings_and_boards_are_on_layers_of_their_own(file: Written) -> None:
    strings = lines_on(file, "V-CTRL-STRG")
    assert {frozenset(board.at for board in run.boards) for run in file.layout.strings} <= strings
    boards = sum(board.held_by == "board" for run in file.layout.strings for board in run.boards)
    assert len(lines_on(file, "V-CTRL-BRDS")) == boards > 0
    contours = [
        entity
        for entity in file.document.modelspace()
        if entity.dxf.layer == "V-TOPO-MINR" and entity.dxftype() in {"LINE", "LWPOLYLINE"}
    ]
    assert len(contours) == len(file.layout.ground.contours) > 0


def test_side_views_are_at_true_scale_and_measured(file: Written) -> None:
    """Columns and spacings as the library measures them in the file are the lengths of the layout."""
    measured = sorted(
        dimension.get_measurement()
        for dimension in of_kind(file.document.modelspace(), Dimension)
        if dimension.dxf.dimstyle == "SIDE-DIMENSIONS"
    )
    assert measured

    def found(length: float) -> bool:
        return any(math.isclose(length, value, abs_tol=1e-6) for value in measured)

    assert all(found(cut.length) for cut in file.layout.columns)
    for run in file.layout.runs:
        places = sorted({0.0, *(stop.running for stop in run.stops)})
        assert all(found(b - a) for a, b in pairwise(places))


def test_side_views_lie_clear_of_the_plan_and_of_each_other(file: Written) -> None:
    drawing = file.drawing
    assert [side.line for side in drawing.sides] == views(file.layout)
    plan = shapely.box(*drawing.low, *drawing.high)
    turns = [shapely.box(*side.low, *side.high) for side in drawing.sides]
    on_page = [shapely.affinity.rotate(box, -drawing.turn, origin=(0, 0)) for box in turns]
    for i, box in enumerate(on_page):
        assert not box.intersects(shapely.affinity.rotate(plan, -drawing.turn, origin=(0, 0)))
        assert all(box.intersection(other).area < box.area * 0.5 for other in on_page[:i])


@pytest.mark.parametrize("name", [*NAMES, "a long line", "a cliff"])
def test_each_side_sheet_shows_its_views_and_nothing_of_the_plan(name: str) -> None:
    file = sample(name) if name in NAMES else written(height_plans()[name])
    drawing, document = file.drawing, file.document
    assert len(drawing.side_sheets) >= 1
    places = [middle(side.low, side.high) for side in drawing.sides]
    seen = []
    for sheet in drawing.side_sheets:
        (view,) = (v for v in of_kind(document.paperspace(sheet.name), Viewport) if v.dxf.id != 1)
        assert view.get_scale() == pytest.approx(1 / sheet.ratio, rel=1e-12)
        onto_paper = view.get_transformation_matrix()
        low, high = view.clipping_rect()

        def shows(place: tuple[float, float]) -> bool:
            at = onto_paper.transform((*place, 0))  # noqa: B023
            return bool(low.x < at.x < high.x and low.y < at.y < high.y)  # noqa: B023

        seen += [i for i, place in enumerate(places) if shows(place)]
        assert not any(shows(pier.at) for pier in file.layout.plan.piers)
    assert sorted(seen) == list(range(len(places)))


def test_the_texts_of_side_views_keep_off_each_other(file: Written) -> None:
    """Names, titles and elevations; figures of dimensions stand where a receiver may move them."""
    for side in file.drawing.sides:
        boxes = [
            shapely.Polygon(ring(m.at, m.text, m.height, m.anchor, m.turn, centred=m.centred))
            for m in side.marks
            if isinstance(m, Label)
        ]
        for i, box in enumerate(boxes):
            assert all(box.intersection(other).area < FINE_MM for other in boxes[:i])


def test_side_views_read_along_their_sheet(file: Written) -> None:
    """Running grows to the right on paper and elevations up, whichever way the plan's own axes lie."""
    turn = file.drawing.turn
    for side in file.drawing.sides:
        seat = next(m for m in side.marks if getattr(m, "role", "") == "side seat")
        (ax, ay), (bx, by) = (turned(place, -turn) for place in seat.points)  # type: ignore[union-attr]
        (view,) = (v for v in file.layout.side_views if v.line == side.line)
        assert view.beam is not None
        (a, low), (b, high) = view.beam
        assert (bx - ax, by - ay) == pytest.approx((b - a, high - low), abs=1e-6)


def test_without_heights_there_is_none_of_it() -> None:
    plan = sample(NAMES[0]).layout.plan
    plain = written(plan.with_(levels=Levels(), spots=()))
    assert not plain.drawing.sides
    assert not plain.drawing.side_sheets
    used = {record.text(8) for record in plain.tags.sections["ENTITIES"]}
    assert not used & HEIGHT_LAYERS
    assert len(list(plain.document.layout_names())) == 2
    assert not any("GROUND" in values for _, values in plain.tags.with_attributes())


@pytest.mark.parametrize("name", ODD)
def test_odd_heights_give_a_sound_file(name: str) -> None:
    made = written(height_plans()[name])
    audit = made.document.audit()
    assert not audit.errors
    assert not audit.fixes
    assert [side.line for side in made.drawing.sides] == views(made.layout)
