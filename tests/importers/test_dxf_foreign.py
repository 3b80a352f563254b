"""Drawings that others write: our own exporter's, the library's own makers', another library's, and R12 by hand."""

from __future__ import annotations

import io
import math
from importlib.metadata import distributions
from pathlib import Path

import ezdxf
import pytest
import trimesh
from ezdxf.addons import MTextExplode, TablePainter, r12writer
from ezdxf.render import forms

from layoutdesk.engine.derive import derive
from layoutdesk.errors import FileError
from layoutdesk.exporters.dxf import write_dxf
from layoutdesk.importers.dxf import read_dxf
from layoutdesk.importers.linework import Linework
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.sheets.drawing import plan_drawing
from tests.importers.dxf_makings import new, read_again, read_bytes

OWN = sorted(SAMPLES.glob("*.layout.json"))


@pytest.mark.parametrize("path", OWN, ids=lambda path: path.name)
def test_what_we_write_reads_back(tmp_path: Path, path: Path) -> None:
    layout = derive(read_plan(path))
    drawing = plan_drawing(layout)
    linework = read_bytes(tmp_path, write_dxf(drawing))
    assert linework.unit == 1.0
    assert not linework.frozen
    marked = {w.use for w in linework.words if w.tag == "MARK"}
    placed = [use.at for k, use in enumerate(linework.uses) if k in marked]
    for pier in layout.plan.piers:
        assert min(math.dist(pier.at, at) for at in placed) < 1e-6
    assert {pier.label for pier in layout.plan.piers} <= {w.text for w in linework.words}
    assert linework.drawn
    for drawn in linework.drawn:
        assert drawn.text
        assert drawn.measured > 0
    assert len(linework.layouts) == 2 + len(drawing.side_sheets)
    sheet = read_bytes(tmp_path, write_dxf(plan_drawing(layout)), layout=linework.layouts[1])
    assert sheet.words
    assert sheet.unit is None


def test_the_drawing_of_another_library(tmp_path: Path) -> None:
    """The arcs and lines of a path by a library of meshes, in a file of text that has little but entities."""
    entities = trimesh.path.entities
    path = trimesh.path.Path2D(
        entities=[entities.Line([0, 1, 2, 3, 0]), entities.Arc([4, 5, 6], closed=True), entities.Arc([7, 8, 9])],
        vertices=[(0, 0), (40, 0), (40, 30), (0, 30), (13, 20), (10, 23), (7, 20), (1, 0), (0, 1), (-1, 0)],
    )
    linework = read_bytes(tmp_path, path.export(file_type="dxf").encode())
    circle = next(s for s in linework.shapes if s.is_circle)
    assert circle.centre is not None
    assert math.dist(circle.centre, (10, 20)) < 1e-6
    assert circle.radius == pytest.approx(3)
    assert any(set(s.points) == {(0, 0), (40, 0), (40, 30), (0, 30)} for s in linework.shapes)
    assert any(s.centre is not None and s.points and s.radius == pytest.approx(1) for s in linework.shapes)


def test_an_r12_stream_with_entities_alone(tmp_path: Path) -> None:
    stream = io.StringIO()
    with r12writer(stream) as out:
        out.add_circle((3, 4), 5)
        out.add_line((0, 0), (7, 8))
        out.add_arc((0, 0), 2, 0, 90)
        out.add_polyline_2d([(0, 0, 0), (4, 0, 1), (4, 2, 0)], format="xyb", closed=True)
        out.add_text("12'-6\"", (1, 1), height=2)
        out.add_solid([(0, 0), (1, 0), (1, 1)])
        out.add_polyface([(0, 0, 0), (1, 0, 0), (1, 1, 1)], [(0, 1, 2)])
    linework = read_bytes(tmp_path, stream.getvalue().encode())
    assert linework.shapes[0].centre == (3.0, 4.0)
    assert linework.words[0].text == "12'-6\""
    assert [(p.what, p.count) for p in linework.passed] == [("solid bodies", 1)]


OLD = """  0
SECTION
  2
BLOCKS
  0
BLOCK
  8
0
  2
*D0
 70
1
 10
0.0
 20
0.0
  0
LINE
  8
0
 10
0.0
 20
0.0
 11
98.5
 21
0.0
  0
TEXT
  8
0
 10
40.0
 20
2.0
 40
4.0
  1
8'-2 1/2"
  0
ENDBLK
  8
0
  0
ENDSEC
  0
SECTION
  2
ENTITIES
  0
DIMENSION
  8
DIMS
  2
*D0
 10
98.5
 20
10.0
 11
49.0
 21
4.0
 70
0
 13
0.0
 23
0.0
 14
98.5
 24
0.0
  0
POLYLINE
  8
WALLS
 66
1
 70
0
  0
VERTEX
  8
WALLS
 10
0.0
 20
0.0
  0
VERTEX
  8
WALLS
 10
120.0
 20
0.0
  0
SEQEND
  0
ENDSEC
  0
EOF
"""


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_an_old_file_by_hand_whose_dimension_speaks_only_in_its_block(tmp_path: Path, ends: str) -> None:
    """No header, no tables, no handles, no subclasses: as the first programs wrote it."""
    linework = read_bytes(tmp_path, OLD.replace("\n", ends).encode())
    (drawn,) = linework.drawn
    assert (drawn.text, drawn.typed, drawn.layer) == ("8'-2 1/2\"", False, "DIMS")
    assert (drawn.start, drawn.end, drawn.measured, drawn.along) == ((0, 0), (98.5, 0), 98.5, 0)
    assert drawn.middle == (49.0, 4.0)
    (wall,) = linework.shapes
    assert (wall.layer, wall.points) == ("WALLS", ((0, 0), (120, 0)))
    assert linework.unit is None
    assert linework.notes == ("The file does not say what its unit is.",)


@pytest.mark.parametrize("blank", ["\ufeff", "999\nmade by hand\n", "\n\n"])
def test_what_stands_before_the_first_section(tmp_path: Path, blank: str) -> None:
    assert len(read_bytes(tmp_path, (blank + OLD).encode()).drawn) == 1


def test_what_the_library_makes_by_itself(tmp_path: Path) -> None:
    """All its own styles, arrows, tables and exploded paragraphs in one drawing."""
    document = ezdxf.new("R2013", setup=True)
    model = document.modelspace()
    for k, ring in enumerate([forms.circle(16, 5), forms.star(6, 5, 3), forms.gear(8, 1, 1, 1, 9)]):
        model.add_lwpolyline([(p.x + 30 * k, p.y) for p in ring], close=True)
    painter = TablePainter((0, 100), nrows=3, ncols=3)
    painter.text_cell(0, 0, "PIER SCHEDULE")
    painter.render(model)
    words = model.add_mtext("{\\C1;RED} \\S1/2; PLAIN\\PSECOND", dxfattribs={"char_height": 2})
    with MTextExplode(model) as explode:
        explode.explode(words)
    for name in list(document.dimstyles)[:12]:
        model.add_linear_dim((0, -20), (0, 0), (12.5, 0), dimstyle=name.dxf.name).render()
        model.add_radius_dim(center=(0, 0), radius=5, angle=30, dimstyle=name.dxf.name).render()
    linework = read_again(tmp_path, document)
    assert len([s for s in linework.shapes if len(s.points) >= 12]) >= 3
    assert {"PIER SCHEDULE", "SECOND"} <= {w.text for w in linework.words}
    assert len(linework.drawn) == 24
    assert all(d.measured == pytest.approx(12.5) for d in linework.drawn if d.kind == "distance")


def test_what_installed_packages_carry_is_opened_or_refused_with_a_sentence() -> None:
    """Any package may carry drawings; the parts of drawings among them are no whole ones."""
    carried = {
        Path(str(found.locate_file(file)))
        for found in distributions()
        for file in found.files or ()
        if file.suffix.lower() == ".dxf"
    }
    for path in carried:
        linework = _read_or_refused(path)
        assert linework is None or linework.shapes or linework.drawn


def _read_or_refused(path: Path) -> Linework | None:
    try:
        return read_dxf(path)
    except FileError:
        return None


def test_sheets_of_another_language_and_a_renamed_model(tmp_path: Path) -> None:
    document, model = new("R2018")
    model.add_line((0, 0), (1, 1), dxfattribs={"layer": "Wände"})
    document.layouts.rename("Layout1", "Fundamente – Übersicht")
    document.layout("Fundamente – Übersicht").add_line((0, 0), (2, 2))
    linework = read_again(tmp_path, document)
    assert linework.layouts == ("Model", "Fundamente – Übersicht")
    assert linework.layers == ("Wände",)
