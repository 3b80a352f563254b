"""What a DXF draws, kind by kind: the points, centres and radii that come out, and what is passed over."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from ezdxf.math import Vec3

from layoutdesk.importers.linework import Linework, Shape
from tests.importers.dxf_makings import RELEASES, new, read_again

NEAR = 1e-6


def only(linework: Linework) -> Shape:
    (shape,) = linework.shapes
    return shape


def test_a_line_keeps_every_digit(tmp_path: Path) -> None:
    document, model = new()
    ends = ((0.1, 1 / 3), (123456.789012345, -98765.432109876))
    model.add_line(*ends, dxfattribs={"layer": "A-WALL"})
    shape = only(read_again(tmp_path, document))
    assert shape.points == ends
    assert shape.layer == "A-WALL"
    assert not shape.closed
    assert shape.centre is None


def test_a_line_straight_up_is_passed_over(tmp_path: Path) -> None:
    document, model = new()
    model.add_line((1, 2, 0), (1, 2, 300))
    model.add_line((1, 2, 0), (4, 6, 300))
    linework = read_again(tmp_path, document)
    assert only(linework).points == ((1, 2), (4, 6))
    assert [(p.what, p.count) for p in linework.passed] == [("lines of no length", 1)]


@pytest.mark.parametrize("release", RELEASES)
def test_flat_runs_in_every_release(tmp_path: Path, release: str) -> None:
    document, model = new(release)
    corners = [(0, 0), (40, 0), (40, 30), (0, 30)]
    model.add_polyline2d(corners, close=True)
    if release != "R12":
        model.add_lwpolyline(corners, close=True)
        model.add_lwpolyline([*corners, corners[0]])
    model.add_polyline3d([(x, y, 5 * x) for x, y in corners], close=True)
    for shape in read_again(tmp_path, document).shapes:
        assert shape.points == tuple(corners)
        assert shape.closed


def test_bulges_are_arcs_whose_points_lie_on_the_circle(tmp_path: Path) -> None:
    document, model = new()
    bulge = math.tan(math.radians(90) / 4)
    model.add_lwpolyline([(0, 0, 0), (10, 0, bulge), (13, 3, 0), (13, 20, -0.3), (0, 20, 0)], format="xyb")
    shape = only(read_again(tmp_path, document))
    assert shape.centre is None
    assert [p for p in shape.points if p in {(0, 0), (10, 0), (13, 3), (13, 20), (0, 20)}] == [
        (0, 0),
        (10, 0),
        (13, 3),
        (13, 20),
        (0, 20),
    ]
    quarter = [p for p in shape.points if 10 < p[0] < 13 and p[1] < 3]
    assert len(quarter) == 8
    assert all(math.dist(p, (10, 3)) == pytest.approx(3, abs=NEAR) for p in quarter)


@pytest.mark.parametrize("parts", [2, 4, 7])
@pytest.mark.parametrize("sign", [1, -1])
def test_a_closed_run_of_bulges_on_one_circle_is_a_circle(tmp_path: Path, parts: int, sign: int) -> None:
    document, model = new()
    turns = [sign * 2 * math.pi * k / parts + 0.3 for k in range(parts)]
    bulge = sign * math.tan(math.pi / parts / 2)
    model.add_lwpolyline(
        [(5 + 6 * math.cos(t), 7 + 6 * math.sin(t), bulge) for t in turns], format="xyb", close=True
    )
    shape = only(read_again(tmp_path, document))
    assert shape.is_circle
    assert shape.centre is not None
    assert math.dist(shape.centre, (5, 7)) < NEAR
    assert shape.radius == pytest.approx(6, abs=NEAR)


def test_one_bulged_side_is_an_arc(tmp_path: Path) -> None:
    document, model = new()
    model.add_lwpolyline([(30, 0, -math.tan(math.pi / 8)), (0, -30, 0)], format="xyb")
    shape = only(read_again(tmp_path, document))
    assert shape.centre == pytest.approx((0, 0), abs=NEAR)
    assert shape.radius == pytest.approx(30)
    assert {tuple(round(c, 6) + 0.0 for c in p) for p in (shape.points[0], shape.points[-1])} == {(30, 0), (0, -30)}
    assert max(math.dist(a, b) for a, b in zip(shape.points, shape.points[1:], strict=False)) < 30 * math.radians(
        15
    )


def test_an_arc_has_centre_radius_and_points_from_end_to_end(tmp_path: Path) -> None:
    document, model = new()
    model.add_arc((100, 200), 50, 300, 45)
    model.add_arc((100, 200), 50, 0, 360)
    arc, whole = read_again(tmp_path, document).shapes
    assert arc.centre == (100.0, 200.0)
    assert arc.radius == 50
    assert not arc.closed
    first, last = arc.points[0], arc.points[-1]
    assert first == pytest.approx((100 + 25, 200 - 50 * math.sqrt(3) / 2))
    assert last == pytest.approx((100 + 50 / math.sqrt(2), 200 + 50 / math.sqrt(2)))
    assert all(math.dist(p, (100, 200)) == pytest.approx(50, abs=NEAR) for p in arc.points)
    assert whole.is_circle


def test_an_ellipse_lies_on_its_axes(tmp_path: Path) -> None:
    document, model = new()
    model.add_ellipse((10, 20), major_axis=(0, 8), ratio=0.25)
    model.add_ellipse((10, 20), major_axis=(3, 4), ratio=1)
    model.add_ellipse((0, 0), major_axis=(4, 0), ratio=0.5, start_param=0, end_param=math.pi / 2)
    whole, circle, part = read_again(tmp_path, document).shapes
    assert whole.closed
    assert all(((y - 20) / 8) ** 2 + ((x - 10) / 2) ** 2 == pytest.approx(1) for x, y in whole.points)
    assert circle.is_circle
    assert circle.radius == pytest.approx(5)
    assert not part.closed
    assert part.points[0] == pytest.approx((4, 0))
    assert part.points[-1] == pytest.approx((0, 2))


def test_an_ellipse_from_below_runs_the_other_way(tmp_path: Path) -> None:
    document, model = new()
    model.add_ellipse(
        (0, 0), major_axis=(4, 0), ratio=0.5, start_param=0, end_param=1, dxfattribs={"extrusion": (0, 0, -1)}
    )
    assert only(read_again(tmp_path, document)).points[-1] == pytest.approx((4 * math.cos(1), -2 * math.sin(1)))


def test_splines_become_short_sides(tmp_path: Path) -> None:
    document, model = new()
    model.add_open_spline([(0, 0), (10, 10), (20, -10), (30, 0)])
    model.add_spline([(0, 0), (10, 10), (20, 0)])
    model.add_open_spline([(0, 0), (10, 0), (10, 5)], degree=1)
    smooth, fitted, straight = read_again(tmp_path, document).shapes
    assert smooth.points[0] == pytest.approx((0, 0))
    assert smooth.points[-1] == pytest.approx((30, 0))
    assert smooth.points[len(smooth.points) // 2] == pytest.approx((15, 0), abs=1)
    assert min(math.dist(p, (10, 10)) for p in fitted.points) < 0.5
    assert straight.points == ((0, 0), (10, 0), (10, 5))


def test_a_solid_is_its_outline(tmp_path: Path) -> None:
    document, model = new()
    model.add_solid([(0, 0), (10, 0), (0, 5), (10, 5)])
    model.add_solid([(0, 0), (10, 0), (0, 5)])
    square, triangle = read_again(tmp_path, document).shapes
    assert square.points == ((0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0))
    assert triangle.points == ((0.0, 0.0), (10.0, 0.0), (0.0, 5.0))
    assert square.closed
    assert triangle.closed


def test_points_and_side_by_side_lines(tmp_path: Path) -> None:
    document, model = new()
    model.add_point((3, 4))
    model.add_mline([(0, 0), (100, 0)])
    spot, *sides = read_again(tmp_path, document).shapes
    assert spot.points == ((3.0, 4.0),)
    assert len(sides) == 2
    assert all(abs(a[0] - b[0]) == pytest.approx(100) for a, b in (side.points for side in sides))


def test_dashes_come_from_the_line_or_its_layer(tmp_path: Path) -> None:
    document, model = new()
    document.linetypes.add("GAPS", [3.0, 2.0, -1.0])
    document.layers.add("HIDDEN", linetype="GAPS")
    model.add_line((0, 0), (1, 0), dxfattribs={"layer": "hidden"})
    model.add_line((0, 0), (2, 0), dxfattribs={"linetype": "GAPS"})
    model.add_line((0, 0), (3, 0), dxfattribs={"layer": "HIDDEN", "linetype": "Continuous"})
    model.add_line((0, 0), (4, 0))
    linework = read_again(tmp_path, document)
    assert [s.dashed for s in linework.shapes] == [True, True, False, False]
    assert linework.shapes[0].layer == "HIDDEN"


def test_what_is_passed_over_is_counted_with_its_reason(tmp_path: Path) -> None:
    document, model = new()
    model.add_circle((0, 0), 1)
    for _ in range(3):
        model.add_hatch().paths.add_polyline_path([(0, 0), (1, 0), (1, 1)])
    model.add_xline((0, 0), (1, 0))
    model.add_ray((0, 0), (1, 0))
    model.add_3dface([(0, 0), (1, 0), (1, 1), (0, 1)])
    model.add_leader([(0, 0), (5, 5)])
    model.add_circle((0, 0), 5, dxfattribs={"invisible": 1})
    passed = {p.what: (p.count, p.why) for p in read_again(tmp_path, document).passed}
    assert passed["hatches"] == (3, "they fill what other lines outline")
    assert passed["endless lines"][0] == 2
    assert passed["solid bodies"][0] == 1
    assert passed["leaders"][0] == 1
    assert passed["things made invisible"][0] == 1


def test_a_helix_from_above_is_round(tmp_path: Path) -> None:
    document, model = new()
    model.add_helix(radius=5, pitch=1, turns=1)
    shape = only(read_again(tmp_path, document))
    assert all(math.dist(p, (0, 0)) == pytest.approx(5, rel=0.01) for p in shape.points)


def test_sheets_are_named_and_one_is_chosen(tmp_path: Path) -> None:
    document, model = new()
    model.add_circle((0, 0), 1)
    sheet = document.layouts.new("Footings")
    sheet.add_line((0, 0), (10, 0))
    sheet.add_viewport((5, 5), (4, 4), (0, 0), 100)
    document.layouts.new("Bare")
    first = read_again(tmp_path, document)
    assert first.layouts == ("Model", "Footings")
    assert (first.layout, first.unit) == ("Model", 1.0)
    other = read_again(tmp_path, document, layout="footings")
    assert (other.layout, other.unit) == ("Footings", None)
    assert only(other).points == ((0, 0), (10, 0))
    assert [p.what for p in other.passed] == ["windows on the model"]


def test_a_drawing_on_a_sheet_alone_is_read_there(tmp_path: Path) -> None:
    document, _ = new()
    document.layout("Layout1").add_line((0, 0), (10, 0))
    linework = read_again(tmp_path, document)
    assert linework.layout == "Layout1"
    assert linework.notes[0] == "The model is empty, so the sheet “Layout1” was read."


def test_a_tilted_circle_is_seen_as_an_ellipse(tmp_path: Path) -> None:
    document, model = new()
    out = Vec3(0, 1, 1)
    model.add_circle((0, 0), 10, dxfattribs={"extrusion": out})
    model.add_circle((0, 0), 10, dxfattribs={"extrusion": (1, 0, 0)})
    linework = read_again(tmp_path, document)
    shape = only(linework)
    assert max(x for x, _ in shape.points) == pytest.approx(10)
    assert max(y for _, y in shape.points) == pytest.approx(10 / math.sqrt(2))
    assert [p.what for p in linework.passed] == ["lines of no length"]
