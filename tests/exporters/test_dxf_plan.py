"""What a DXF file says about the plan, read by the library that wrote it and by a reader of our own."""

from __future__ import annotations

import math

import pytest
from ezdxf import units
from ezdxf.entities import Dimension, Insert

from layoutdesk.geometry.vector import distance
from layoutdesk.units import format_length
from tests.exporters.dxf_scene import NAMES, Written, of_kind, sample
from tests.exporters.tag_reader import Record

FINE_MM = 1e-6


@pytest.fixture(params=NAMES)
def file(request: pytest.FixtureRequest) -> Written:
    """Return each sample in turn."""
    return sample(request.param)


def test_the_audit_finds_nothing(file: Written) -> None:
    auditor = file.document.audit()
    assert [error.message for error in auditor.errors] == []
    assert [fix.message for fix in auditor.fixes] == []


def test_the_release_is_r2013_or_newer_and_the_unit_is_the_millimetre(file: Written) -> None:
    """Published codes of $INSUNITS: 4 is millimetres (header variables of the DXF reference)."""
    assert file.tags.header["$ACADVER"] >= ["AC1027"]
    assert file.tags.header["$INSUNITS"] == ["4"]
    assert file.document.units == units.MM
    assert {record.dxf.units for record in file.document.block_records} == {units.MM}
    assert file.document.modelspace().units == units.MM


def test_every_pier_is_a_block_at_its_very_place_with_its_numbers(file: Written) -> None:
    """Both readers: the block's own origin is the centre of its rings."""
    plan, points = file.layout.plan, file.layout.points
    blocks = file.tags.blocks()
    piers = [(insert, values) for insert, values in file.tags.with_attributes() if "DETAIL" in values]
    assert len(piers) == len(plan.piers)
    for i, (pier, (insert, values)) in enumerate(zip(plan.piers, piers, strict=True)):
        row = points[points.first_pier + i]
        assert distance(insert.place(10), pier.at) < FINE_MM
        assert row.station is not None
        assert row.offset is not None
        places = {
            "MARK": pier.label,
            "STATION": format_length(row.station, plan.units, plan.rounding),
            "OFFSET": format_length(row.offset, plan.units, plan.rounding),
            "DETAIL": pier.detail,
        }
        assert {tag: values[tag] for tag in places} == places
        assert values.keys() - places.keys() == {"GROUND", "TOP", "BOTTOM", "COLUMN"}
        rings = [ring for ring in blocks[insert.text(2)] if ring.kind == "CIRCLE"]
        assert {ring.place(10) for ring in rings} == {(0.0, 0.0)}
        detail = plan.detail(pier.detail)
        assert detail is not None
        widest = max(diameter for _, diameter in detail.profile)
        assert max(2 * ring.number(40) for ring in rings) == pytest.approx(widest, abs=FINE_MM)
    read = [i for i in of_kind(file.document.modelspace(), Insert) if i.has_attrib("DETAIL")]
    for pier, reference in zip(plan.piers, read, strict=True):
        assert distance((reference.dxf.insert.x, reference.dxf.insert.y), pier.at) < FINE_MM
        assert reference.get_attrib_text("MARK") == pier.label
        assert [a.dxf.tag for a in reference.attribs if not a.is_invisible] == ["MARK"]


def test_control_points_and_attachments_are_blocks_too(file: Written) -> None:
    plan = file.layout.plan
    found = {
        values["MARK"]: insert
        for insert, values in file.tags.with_attributes()
        if not values.keys() & {"DETAIL", "OFF_ALONG", "ELEVATION"}
    }
    places = {c.id: c.at for c in plan.controls} | {a.id: a.at for a in plan.attachments}
    assert found.keys() == places.keys()
    for name, insert in found.items():
        assert distance(insert.place(10), places[name]) < FINE_MM


def plan_dimensions(file: Written) -> list[Record]:
    """Return the dimensions of the plan, without those of side views."""
    return [record for record in file.tags.entities("DIMENSION") if record.text(3) == "PLAN-DIMENSIONS"]


def test_dimensions_measure_what_the_layout_says(file: Written) -> None:
    """Measured points, measured value and written text, by code: 13 and 14, 42, 1."""
    plan = file.layout.plan
    dimensions = plan_dimensions(file)
    assert len(dimensions) == len(file.layout.dimensions) > 5
    pictures = file.tags.blocks()
    for said, found in zip(file.layout.dimensions, dimensions, strict=True):
        assert distance(found.place(13), said.start) < FINE_MM
        assert distance(found.place(14), said.end) < FINE_MM
        assert found.number(42) == pytest.approx(said.value, abs=FINE_MM)
        assert distance(found.place(13), found.place(14)) == pytest.approx(said.value, abs=FINE_MM)
        text = format_length(said.value, plan.units, plan.rounding)
        (picture,) = (record for record in pictures[found.text(2)] if record.kind == "MTEXT")
        assert picture.text(1) == text
        assert found.text(1) == (text if plan.units == "ft-in" else f"<> {plan.units}")
    shown = [d for d in of_kind(file.document.modelspace(), Dimension) if d.dxf.dimstyle == "PLAN-DIMENSIONS"]
    for said, read in zip(file.layout.dimensions, shown, strict=True):
        assert read.get_measurement() == pytest.approx(said.value, abs=FINE_MM)
        assert read.get_geometry_block() is not None


def test_dimension_lines_lie_square_beside_what_they_measure(file: Written) -> None:
    """The point that fixes the line (code 10) is square from the second measured point, on the Layout's side."""
    for said, found in zip(file.layout.dimensions, plan_dimensions(file), strict=True):
        (ax, ay), (bx, by), (lx, ly) = found.place(13), found.place(14), found.place(10)
        way, out = (bx - ax, by - ay), (lx - bx, ly - by)
        assert abs(way[0] * out[0] + way[1] * out[1]) < FINE_MM * math.hypot(*way) * math.hypot(*out)
        assert math.copysign(1, way[0] * out[1] - way[1] * out[0]) == math.copysign(1, said.shift)


def test_the_dimension_style_writes_the_plan_s_units(file: Written) -> None:
    """A receiver that draws the dimensions afresh must come to the same numbers; DIMRND must stay unset or zero."""
    (style,) = (entry for entry in file.tags.table("DIMSTYLE") if entry.text(2) == "PLAN-DIMENSIONS")
    assert style.number(40) == file.drawing.sheet.ratio
    assert style.number(278) == ord(".")
    assert not any(float(value) for value in style.all(45))
    if file.layout.plan.units == "ft-in":
        assert (style.number(277), style.number(276), style.number(271)) == (4, 2, 4)
        assert style.number(144) == pytest.approx(1 / 25.4)
    else:
        assert (style.number(277), style.number(271)) == (2, 3)
        assert style.number(144) == 0.001


def test_every_layer_in_use_is_named_for_what_it_holds(file: Written) -> None:
    layers = {entry.text(2): entry for entry in file.tags.table("LAYER")}
    used = {record.text(8) for record in file.tags.sections["ENTITIES"]}
    used |= {record.text(8) for name, block in file.tags.blocks().items() if name[0] != "*" for record in block}
    assert used <= layers.keys()
    assert used >= {
        "A-WALL-E", "S-BEAM", "S-FNDN", "S-COLS", "S-SLAB-E", "V-SITE-KEEP", "V-CTRL", "V-CTRL-BASE",
        "S-ANNO-DIMS", "S-ANNO-TEXT", "S-ANNO-TTLB",
    }  # fmt: skip
    by_kind = {"DIMENSION": "S-ANNO-DIMS", "VIEWPORT": "S-ANNO-NPLT"}
    for kind, layer in by_kind.items():
        assert {record.text(8) for record in file.tags.entities(kind)} == {layer}
    line_types = {entry.text(2).upper() for entry in file.tags.table("LTYPE")}
    assert {entry.text(6).upper() for entry in layers.values()} <= line_types
    assert layers["S-ANNO-NPLT"].number(290) == 0


def test_walls_and_outlines_are_drawn_where_they_are(file: Written) -> None:
    plan = file.layout.plan
    drawn = {
        (line.text(8), tuple((float(x), float(y)) for x, y in zip(line.all(10), line.all(20), strict=True)))
        for line in file.tags.entities("LWPOLYLINE")
    }
    assert {("A-WALL-E", wall.points) for wall in plan.walls} <= drawn
    assert {("S-SLAB-E", slab.outline) for slab in plan.slabs} <= drawn
    assert {("S-SLAB-OPNG-D", opening.outline) for opening in file.layout.openings} <= drawn
    assert {("V-SITE-KEEP", keepout.outline) for keepout in plan.keepouts} <= drawn
    lines = {(line.place(10), line.place(11)) for line in file.tags.entities("LINE") if line.text(8) == "S-BEAM"}
    assert lines == {(line.start, line.end) for line in plan.lines}


def test_the_baseline_is_a_coordinate_system(file: Written) -> None:
    """Whoever switches to it reads stations along x."""
    frame = file.layout.frame
    assert frame is not None
    (system,) = file.tags.table("UCS")
    assert system.text(2) == "BASELINE"
    assert distance(system.place(10), frame.origin) < FINE_MM
    assert distance(system.place(11), frame.along) < 1e-12
