"""What a page is drawn of comes back in millimetres on paper, wherever forms, matrices and the page put it."""

from __future__ import annotations

import io
import math
from pathlib import Path

import numpy as np
import pytest
from reportlab.pdfgen.canvas import Canvas

from layoutdesk.importers.linework import Linework, Shape, linework_from_bytes, linework_to_bytes
from layoutdesk.importers.pdf import page_picture, read_pdf
from tests.importers.pdf_pages import MM, one_page, stream

NEAR = 1e-4
"""A ten-thousandth of a millimetre on paper: PDFium counts in single precision."""


def read(folder: Path, data: bytes, page: int = 1) -> Linework:
    file = folder / "drawing.pdf"
    file.write_bytes(data)
    return read_pdf(file, page=page)


def ends(shape: Shape) -> list[float]:
    return [v for p in shape.points for v in p]


def test_lines_rectangles_and_circles_of_a_canvas(tmp_path: Path) -> None:
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(297 * MM, 210 * MM), invariant=1)
    canvas.setLineWidth(0.35 * MM)
    canvas.line(20 * MM, 30 * MM, 120 * MM, 30 * MM)
    canvas.circle(50 * MM, 60 * MM, 6 * MM)
    canvas.rect(100 * MM, 100 * MM, 30 * MM, 20 * MM)
    canvas.setDash(3, 2)
    canvas.arc(140 * MM, 40 * MM, 160 * MM, 60 * MM, 0, 90)
    canvas.save()
    found = read(tmp_path, out.getvalue())
    line, circle, box, arc = found.shapes
    assert ends(line) == pytest.approx([20, 30, 120, 30], abs=NEAR)
    assert not line.dashed
    assert circle.is_circle
    assert circle.centre == pytest.approx((50, 60), abs=NEAR)
    assert circle.radius == pytest.approx(6, abs=NEAR)
    assert box.closed
    assert ends(box) == pytest.approx([100, 100, 130, 100, 130, 120, 100, 120], abs=NEAR)
    assert arc.dashed
    assert arc.centre == pytest.approx((150, 50), abs=NEAR)
    assert arc.radius == pytest.approx(10, abs=NEAR)
    assert arc.points[0] == pytest.approx((160, 50), abs=NEAR)
    assert arc.points[-1] == pytest.approx((150, 60), abs=NEAR)
    assert len(arc.points) >= 7
    assert found.layers == ("0.35 mm black",)
    assert found.paper == pytest.approx((297, 210), abs=NEAR)
    assert (found.kind, found.unit, found.page, found.pages) == ("pdf", 1.0, 1, 1)
    assert linework_from_bytes(linework_to_bytes(found)) == found


def test_forms_in_forms_are_drawn_where_their_matrices_put_them(tmp_path: Path) -> None:
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(600, 600), invariant=1)
    canvas.beginForm("inner")
    canvas.circle(0, 0, 10)
    canvas.line(0, 0, 100, 0)
    canvas.endForm()
    canvas.beginForm("outer")
    canvas.translate(50, 0)
    canvas.scale(0.5, -0.5)
    canvas.doForm("inner")
    canvas.endForm()
    canvas.translate(300, 200)
    canvas.rotate(90)
    canvas.doForm("outer")
    canvas.save()
    circle, line = read(tmp_path, out.getvalue()).shapes
    assert circle.centre == pytest.approx((300 / MM, 250 / MM), abs=NEAR)
    assert circle.radius == pytest.approx(5 / MM, abs=NEAR)
    assert ends(line) == pytest.approx([300 / MM, 250 / MM, 300 / MM, 300 / MM], abs=NEAR)


@pytest.mark.parametrize(
    ("turn", "place", "paper"),
    [
        (0, (100, 50), (400, 200)),
        (90, (50, 300), (200, 400)),
        (180, (300, 150), (400, 200)),
        (270, (150, 100), (200, 400)),
    ],
)
@pytest.mark.parametrize("unit", [1, 2.5])
def test_page_is_read_as_it_is_shown(
    tmp_path: Path, turn: int, place: tuple[int, int], paper: tuple[int, int], unit: float
) -> None:
    # A circle about (200, 150) of a page that shows (100, 100) to (500, 300) of its 612 × 792 units.
    k = 0.5522847 * 20
    circle = (
        f"220 150 m 220 {150 + k} {200 + k} 170 200 170 c {200 - k} 170 180 {150 + k} 180 150 c "
        f"180 {150 - k} {200 - k} 130 200 130 c {200 + k} 130 220 {150 - k} 220 150 c h S"
    )
    entries = f"/CropBox [100 100 500 300] /Rotate {turn} /UserUnit {unit}".encode()
    found = read(tmp_path, one_page(circle.encode(), page=entries))
    (shape,) = found.shapes
    assert shape.centre == pytest.approx([unit * v / MM for v in place], abs=NEAR * unit)
    assert shape.radius == pytest.approx(unit * 20 / MM, abs=NEAR * unit)
    assert found.paper == pytest.approx([unit * v / MM for v in paper], abs=NEAR * unit)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_picture_of_a_page_shows_things_where_they_are_read(tmp_path: Path, turn: int) -> None:
    content = b"180 130 40 40 re f"  # about (200, 150)
    entries = b"/CropBox [100 100 500 300] /UserUnit 2 /Rotate %d" % turn
    found = read(tmp_path, one_page(content, page=entries))
    (square,) = found.shapes
    assert found.paper is not None
    width, height, stride, data = page_picture(tmp_path / "drawing.pdf", 1, 800)
    rows = np.frombuffer(data, dtype=np.uint8).reshape(height, stride)[:, : 4 * width : 4]
    down, right = np.nonzero(rows < 128)
    millimetres = found.paper[0] / width
    dark = ((right.mean() + 0.5) * millimetres, found.paper[1] - (down.mean() + 0.5) * millimetres)
    middle = [sum(p[i] for p in square.points) / 4 for i in (0, 1)]
    assert dark == pytest.approx(middle, abs=millimetres / 2)


def test_layers_are_those_that_the_file_names(tmp_path: Path) -> None:
    content = b"/OC /A BDC 10 10 m 90 10 l S EMC /OC /B BDC 10 20 m 90 20 l S EMC 1 0 0 RG 2 w 10 30 m 90 30 l S"
    group = b"<< /Type /OCG /Name %s >>"
    found = read(
        tmp_path,
        one_page(
            content,
            resources=b"/Properties << /A 6 0 R /B 7 0 R >>",
            catalogue=b"/OCProperties << /OCGs [6 0 R 7 0 R] /D << /OFF [7 0 R] /Order [6 0 R 7 0 R] >> >>",
            more=(group % b"(Piers)", group % b"<FEFF0057006500670020201300200032>"),
        ),
    )
    assert [s.layer for s in found.shapes] == ["Piers", "Weg – 2", "0.70 mm red"]
    assert found.frozen == ("Weg – 2",)


def test_what_a_frame_cuts_away_is_passed_over(tmp_path: Path) -> None:
    view = b"q 100 100 200 150 re W n 120 120 m 180 120 l S 400 400 m 450 450 l S 250 50 m 250 500 l S Q "
    # The same in a form, turned and shifted: the frame goes with it. The form's own box cuts as well.
    entries = b"/Type /XObject /Subtype /Form /BBox [0 0 1000 1000] /Matrix [0 1 -1 0 500 300]"
    form = stream(
        b"10 45 m 30 45 l S -5 -8 m -5 -3 l S 0 0 50 40 re W n 10 10 m 30 10 l S 60 10 m 90 10 l S", entries
    )
    data = one_page(view + b"/A Do", resources=b"/XObject << /A 6 0 R >>", more=(form,))
    found = read(tmp_path, data)
    assert [[round(v * MM) for v in ends(s)] for s in found.shapes] == [
        [120, 120, 180, 120],
        [250, 50, 250, 500],
        [455, 310, 455, 330],
        [490, 310, 490, 330],
    ]
    assert [(p.what, p.count) for p in found.passed] == [("lines cut away", 3)]


def test_hairlines_that_are_filled_rectangles_are_lines(tmp_path: Path) -> None:
    content = b"10 10 200 0.5 re f 0.6 0.8 -0.8 0.6 300 300 cm 0 0 0.72 288 re f"
    level, turned = read(tmp_path, one_page(content)).shapes
    assert ends(level) == pytest.approx([v / MM for v in (10, 10.25, 210, 10.25)], abs=NEAR)
    assert math.dist(*turned.points) == pytest.approx(288 / MM, abs=NEAR)
    assert not turned.closed


def test_circles_of_many_sides_are_circles_and_octagons_are_not(tmp_path: Path) -> None:
    def ring(sides: int) -> str:
        corners = [
            (300 + 30 * math.cos(2 * math.pi * i / sides), 400 + 30 * math.sin(2 * math.pi * i / sides))
            for i in range(sides)
        ]
        return " ".join(f"{x:.3f} {y:.3f} {'l' if i else 'm'}" for i, (x, y) in enumerate(corners)) + " h S "

    round_, eight = read(tmp_path, one_page((ring(36) + ring(8)).encode())).shapes
    assert round_.is_circle
    assert round_.radius == pytest.approx(30 / MM, abs=1e-3)
    assert len(eight.points) == 8
    assert eight.centre is None


def test_file_that_counts_from_far_off_is_told(tmp_path: Path) -> None:
    far = b"1 0 0 1 -5000000 -3000000 cm 5000010.3 3000010.3 m 5000300.7 3000010.3 l S"
    found = read(tmp_path, one_page(far))
    (line,) = found.shapes
    assert ends(line)[0] == pytest.approx(10.3 / MM, abs=0.2)
    assert found.notes[0] == "The file counts from so far off that places on the page are sure to 0.11 mm only"
    near = b"1 0 0 1 -5000 -3000 cm 5010.3 3010.3 m 5300.7 3010.3 l S"
    assert "so far off" not in read(tmp_path, one_page(near)).notes[0]


def test_small_filled_piers_and_arrowheads_are_kept(tmp_path: Path) -> None:
    content = b"100 100 10 10 re f 200 200 m 208 203 l 208 197 l f"
    pier, head = read(tmp_path, one_page(content)).shapes
    assert (pier.closed, len(pier.points), pier.layer) == (True, 4, "filled black")
    assert (head.closed, len(head.points)) == (True, 3)


def test_what_cannot_be_used_is_passed_over_and_told(tmp_path: Path) -> None:
    content = (
        b"1 g 0 0 100 100 re f 0 g "  # a white mask
        b"-90 -90 m -10 -10 l S "  # beside the page
        b"50 50 m 50 50 l S "  # a dot
        b"100 100 m 103 105 105 101 107 104 c 104 102 103 101 100 100 c f "  # a letter drawn as an outline
        b"200 200 m 208 200 l 208 202 l 202 202 l 202 209 l 200 209 l f "  # another one, without curves
        b"q 500 0 0 700 50 50 cm /Scan Do Q"
    )
    picture = (
        b"<< /Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray "
        b"/Length 1 >>"
        b"\nstream\n\x80\nendstream"
    )
    found = read(tmp_path, one_page(content, resources=b"/XObject << /Scan 6 0 R >>", more=(picture,)))
    assert found.shapes == ()
    assert {p.what: p.count for p in found.passed} == {
        "white areas": 1,
        "lines beside the page": 1,
        "small filled outlines": 2,
        "pictures": 1,
    }
    assert any("is a picture" in note for note in found.notes)
