"""Centres in nested blocks, found in every release and unit, against matrices multiplied by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from ezdxf.document import Drawing as Document
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from layoutdesk.importers.linework import Linework
from tests.importers.dxf_makings import (
    CM,
    FOOT,
    INCH,
    MM,
    NONE,
    RELEASES,
    SIZES,
    M,
    binary_of,
    new,
    read_again,
    read_bytes,
    text_of,
)

Matrix = NDArray[np.float64]
NEAR = 1e-6


def placed(at: tuple[float, float], turn: float = 0.0, scale: tuple[float, float] = (1.0, 1.0)) -> Matrix:
    """Return the matrix of a block put at a place."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return np.array([[c * scale[0], -s * scale[1], at[0]], [s * scale[0], c * scale[1], at[1]], [0, 0, 1]])


def seen(*matrices: Matrix, point: tuple[float, float] = (0.0, 0.0)) -> tuple[float, float]:
    """Return where a point of the innermost block is seen, the outermost matrix first."""
    whole = np.eye(3)
    for matrix in matrices:
        whole = whole @ matrix
    x, y, _ = whole @ np.array([*point, 1.0])
    return float(x), float(y)


def nested(release: str, unit: int) -> tuple[Document, list[tuple[float, float]]]:
    """Return a drawing of piers in blocks in blocks, and where their centres are, in drawing units."""
    document, model = new(release, unit)
    pier = document.blocks.new("PIER", base_point=(10, 20))
    pier.add_circle((13, 24), 6)
    row = document.blocks.new("ROW", base_point=(0, 0))
    row.add_blockref("PIER", (100, 0), dxfattribs={"rotation": 30})
    row.add_blockref("PIER", (300, 50), dxfattribs={"xscale": -2, "yscale": 2, "rotation": 17})
    wing = document.blocks.new("WING", base_point=(5, 5))
    wing.add_blockref("ROW", (0, 0), dxfattribs={"rotation": 90, "xscale": 1.5, "yscale": 1.5})
    model.add_blockref("WING", (1000, 2000), dxfattribs={"rotation": -12.5})
    model.add_blockref("WING", (-777.125, 41.3), dxfattribs={"xscale": 1, "yscale": -1, "rotation": 200})
    model.add_circle((123.456, -654.321), 7.5)
    centre, base = (13 - 10, 24 - 20), (-5.0, -5.0)
    rows = [placed((100, 0), 30), placed((300, 50), 17, (-2, 2))]
    wings = [placed((1000, 2000), -12.5), placed((-777.125, 41.3), 200, (1, -1))]
    centres = [
        seen(outer, placed(base), placed((0, 0), 90, (1.5, 1.5)), inner, point=centre)
        for outer in wings
        for inner in rows
    ]
    return document, [*centres, (123.456, -654.321)]


def centres_of(linework: Linework) -> list[tuple[float, float]]:
    return [s.centre for s in linework.shapes if s.is_circle and s.centre is not None]


def assert_found(linework: Linework, wanted: list[tuple[float, float]]) -> None:
    found = sorted(centres_of(linework))
    assert len(found) == len(wanted)
    for a, b in zip(found, sorted(wanted), strict=True):
        assert math.dist(a, b) < NEAR


@pytest.mark.parametrize("save", [text_of, binary_of])
@pytest.mark.parametrize("unit", [NONE, INCH, FOOT, MM, CM, M])
@pytest.mark.parametrize("release", RELEASES)
def test_centres_are_found_in_every_release_and_unit(
    tmp_path: Path, release: str, unit: int, save: Callable[[Document], bytes]
) -> None:
    document, wanted = nested(release, unit)
    linework = read_bytes(tmp_path, save(document))
    assert_found(linework, wanted)
    # The first release has no variable for the unit.
    assert linework.unit == (None if release == "R12" else SIZES[unit])
    assert sorted(round(s.radius, 9) for s in linework.shapes) == [7.5, 9.0, 9.0, 18.0, 18.0]
    assert not linework.passed


def test_survey_feet_are_longer_by_two_millionths(tmp_path: Path) -> None:
    document, model = new(unit=21)
    model.add_circle((0, 0), 1)
    unit = read_again(tmp_path, document).unit
    assert unit is not None
    assert unit / 304.8 == pytest.approx(1.000002, abs=1e-9)


def test_blocks_from_below_are_mirrored(tmp_path: Path) -> None:
    """A block that was raised downward is seen from its back: x runs the other way."""
    document, model = new()
    block = document.blocks.new("B")
    block.add_circle((3, 4), 1)
    model.add_blockref("B", (100, 50), dxfattribs={"extrusion": (0, 0, -1), "rotation": 90})
    model.add_circle((7, 8), 1, dxfattribs={"extrusion": (0, 0, -1)})
    # In its own frame: turned by 90 it lies at (100 - 4, 50 + 3); then x is turned over.
    assert_found(read_again(tmp_path, document), [(-96, 53), (-7, 8)])


def test_arrays_are_drawn_cell_by_cell(tmp_path: Path) -> None:
    document, model = new()
    document.blocks.new("B").add_circle((1, 0), 0.25)
    model.add_blockref(
        "B",
        (10, 20),
        dxfattribs={
            "rotation": 30,
            "xscale": 2,
            "yscale": 2,
            "column_count": 3,
            "row_count": 2,
            "column_spacing": 8,
            "row_spacing": 5,
        },
    )
    turned = placed((10, 20), 30)
    wanted = [seen(turned, point=(8 * c + 2, 5 * r)) for c in range(3) for r in range(2)]
    linework = read_again(tmp_path, document)
    assert_found(linework, wanted)
    assert len(linework.uses) == 6


def test_uneven_scale_makes_an_ellipse_about_the_right_centre(tmp_path: Path) -> None:
    document, model = new()
    document.blocks.new("B").add_circle((3, 4), 2)
    model.add_blockref("B", (10, 20), dxfattribs={"xscale": 3, "yscale": 0.5, "rotation": 40})
    (shape,) = read_again(tmp_path, document).shapes
    assert shape.closed
    assert shape.centre is None
    matrix = placed((10, 20), 40, (3, 0.5))
    centre = np.mean(shape.points, axis=0)
    assert math.dist(centre, seen(matrix, point=(3, 4))) < NEAR
    back = np.linalg.inv(matrix)
    for x, y in shape.points:
        u, v, _ = back @ np.array([x, y, 1.0])
        assert math.hypot(u - 3, v - 4) == pytest.approx(2, abs=NEAR)


def test_two_uneven_scales_that_cancel_leave_a_circle(tmp_path: Path) -> None:
    document, model = new()
    document.blocks.new("IN").add_circle((3, 4), 2)
    document.blocks.new("OUT").add_blockref("IN", (1, 1), dxfattribs={"xscale": 4, "yscale": 0.5})
    model.add_blockref("OUT", (10, 20), dxfattribs={"xscale": 0.5, "yscale": 4})
    linework = read_again(tmp_path, document)
    assert_found(linework, [(10 + 0.5 * (1 + 12), 20 + 4 * (1 + 2))])
    assert linework.shapes[0].radius == pytest.approx(4)


_PLACES = st.tuples(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5))
_TURNS = st.floats(-360, 360)
_SCALES = st.floats(0.1, 10).map(lambda k: round(k, 3)) | st.floats(-10, -0.1).map(lambda k: round(k, 3))


@settings(
    deadline=None, derandomize=True, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(levels=st.lists(st.tuples(_PLACES, _TURNS, _SCALES, _SCALES), min_size=1, max_size=5), point=_PLACES)
def test_points_in_any_nest_lie_where_matrices_put_them(
    tmp_path: Path, levels: list[tuple[tuple[float, float], float, float, float]], point: tuple[float, float]
) -> None:
    document, model = new()
    inner = document.blocks.new("L0")
    inner.add_point(point)
    for k, (at, turn, sx, sy) in enumerate(levels):
        holder: Any = model if k == len(levels) - 1 else document.blocks.new(f"L{k + 1}")
        holder.add_blockref(f"L{k}", at, dxfattribs={"rotation": turn, "xscale": sx, "yscale": sy})
    wanted = seen(*(placed(at, turn, (sx, sy)) for at, turn, sx, sy in reversed(levels)), point=point)
    if max(map(abs, wanted)) >= 1e9:
        return
    linework = read_again(tmp_path, document)
    (shape,) = linework.shapes
    assert math.dist(shape.points[0], wanted) < 1e-9 * max(1.0, *map(abs, wanted)) + NEAR
    innermost = linework.uses[shape.use or 0]
    assert innermost.name == "L0"
    assert innermost.low == innermost.high == shape.points[0]


def test_a_use_tells_its_place_turn_and_scale(tmp_path: Path) -> None:
    document, model = new()
    block = document.blocks.new("SYMBOL", base_point=(1, 1))
    block.add_line((0, 0), (4, 2))
    model.add_blockref("SYMBOL", (50, 60), dxfattribs={"rotation": 90, "xscale": 2, "yscale": -3, "layer": "PIERS"})
    linework = read_again(tmp_path, document)
    (use,) = linework.uses
    assert use.name == "SYMBOL"
    assert use.layer == "PIERS"
    assert math.dist(use.at, (50, 60)) < NEAR
    assert use.turn == pytest.approx(90)
    assert use.scale == pytest.approx((2, -3))
    # (-1, -1) and (3, 1) about the base, enlarged to (-2, 3) and (6, -3), turned to (-3, -2) and (3, 6).
    assert use.low == pytest.approx((47, 58))
    assert use.high == pytest.approx((53, 66))
    assert linework.shapes[0].use == 0
    assert linework.shapes[0].layer == "PIERS"


def test_attributes_are_words_of_their_use(tmp_path: Path) -> None:
    document, model = new()
    block = document.blocks.new("PIER")
    block.add_circle((0, 0), 6)
    block.add_attdef("MARK", (0, 0), "P0")
    for k, at in enumerate([(0, 0), (96, 0)]):
        insert = model.add_blockref("PIER", at)
        insert.add_attrib("MARK", f"P{k + 1}", (at[0] + 8, at[1]), dxfattribs={"height": 4})
        insert.add_attrib("COST", "12", at, dxfattribs={"flags": 1})
    linework = read_again(tmp_path, document)
    assert [(w.text, w.tag, w.at, w.use) for w in linework.words] == [
        ("P1", "MARK", (8.0, 0.0), 0),
        ("P2", "MARK", (104.0, 0.0), 1),
    ]
    assert [(p.what, p.count) for p in linework.passed] == [("hidden attributes of blocks", 2)]


def test_layer_nought_of_a_block_is_the_layer_of_its_use(tmp_path: Path) -> None:
    document, model = new()
    for name in ("OFF", "FROZEN", "ON", "OWN"):
        document.layers.add(name, linetype="DASHED" if name == "ON" else "Continuous")
    document.linetypes.add("DASHED", [2.0, 1.0, -1.0])
    document.layers.get("OFF").off()
    document.layers.get("FROZEN").freeze()
    block = document.blocks.new("B")
    block.add_circle((0, 0), 1)
    block.add_circle((0, 0), 2, dxfattribs={"layer": "OWN"})
    block.add_circle((0, 0), 3, dxfattribs={"linetype": "BYBLOCK"})
    for name in ("OFF", "FROZEN", "ON"):
        model.add_blockref("B", (0, 0), dxfattribs={"layer": name})
    linework = read_again(tmp_path, document)

    def of(use: int) -> list[tuple[str, bool]]:
        return [(s.layer, s.dashed) for s in linework.shapes if s.use == use]

    assert of(0) == [("OFF", False), ("OWN", False), ("OFF", False)]
    assert of(1) == [("FROZEN", False)] * 3
    assert of(2) == [("ON", True), ("OWN", False), ("ON", True)]
    assert set(linework.frozen) == {"OFF", "FROZEN"}
    assert set(linework.layers) == {"OFF", "FROZEN", "ON", "OWN"}


def test_a_block_that_is_another_drawing_is_named(tmp_path: Path) -> None:
    document, model = new()
    document.add_xref_def(r"C:\jobs\house walls.dwg", "HOUSE")
    model.add_blockref("HOUSE", (0, 0))
    model.add_blockref("NOWHERE", (0, 0))
    model.add_circle((0, 0), 1)
    passed = {p.what: p.count for p in read_again(tmp_path, document).passed}
    assert passed == {"uses of the other drawing “house walls.dwg”": 1, "blocks that are missing": 1}
