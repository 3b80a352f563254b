"""Texts of a page: whole lines with place, height, width and turn, at any angle, fractions put together."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from layoutdesk.importers.linework import Words
from layoutdesk.importers.pdf import read_pdf
from tests.importers.pdf_pages import FONT, MM, one_page

Draw = Callable[[Canvas], None]


def texts(folder: Path, draw: Draw) -> list[Words]:
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(600, 600), invariant=1)
    canvas.setFont("Helvetica", 10)
    draw(canvas)
    canvas.save()
    file = folder / "drawing.pdf"
    file.write_bytes(out.getvalue())
    return list(read_pdf(file).words)


@pytest.mark.parametrize("turn", [0, 15, 30, 45, 60, 90, 135, 180, 270, 333])
@pytest.mark.parametrize("one_by_one", [False, True])
def test_place_size_and_turn(tmp_path: Path, turn: int, *, one_by_one: bool) -> None:
    text = "12'-4 1/2\" O.C."

    def draw(canvas: Canvas) -> None:
        canvas.translate(300, 280)
        canvas.rotate(turn)
        canvas.scale(1.5, 1.5)
        if one_by_one:
            for n, sign in enumerate(text):
                canvas.drawString(canvas.stringWidth(text[:n], "Helvetica", 10), 0, sign)
        else:
            canvas.drawString(0, 0, text)

    (word,) = texts(tmp_path, draw)
    assert word.text == text
    assert word.at == pytest.approx((300 / MM, 280 / MM), abs=1e-3)
    assert word.height == pytest.approx(15 * 0.718 / MM, rel=0.01)  # capitals of Helvetica, by its own metrics
    width = 1.5 * Canvas(io.BytesIO()).stringWidth(text, "Helvetica", 10) / MM
    assert word.width == pytest.approx(width, rel=0.01)
    assert (word.turn - turn + 180) % 360 - 180 == pytest.approx(0, abs=0.01)
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    x, y = width / 2, word.height / 2
    assert word.middle == pytest.approx((300 / MM + c * x - s * y, 280 / MM + s * x + c * y), abs=0.05)


def fraction(canvas: Canvas, whole: str, over: str, under: str, rest: str, *, form: str) -> None:
    """Draw a number with a fraction at (0, 0), as programs for drawing do."""
    x = canvas.stringWidth(whole, "Helvetica", 10) + 0.8
    small = canvas.stringWidth("0", "Helvetica", 6)
    canvas.setFont("Helvetica", 10)
    canvas.drawString(0, 0, whole)
    canvas.setFont("Helvetica", 6)
    if form == "stacked":
        wide = max(len(over), len(under)) * small
        canvas.drawString(x + (wide - len(over) * small) / 2, 4.6, over)
        canvas.drawString(x + (wide - len(under) * small) / 2, -2.2, under)
        canvas.line(x, 3.6, x + wide, 3.6)
    elif form == "sloping":
        canvas.drawString(x, 3, over)
        canvas.line(x + len(over) * small, 0, x + len(over) * small + 2, 7)
        # the stroke between is a line or a letter; here a letter as well
        canvas.drawString(x + len(over) * small, 1.5, "/")
        canvas.drawString(x + len(over) * small + 1.7, 0, under)
        wide = (len(over) + len(under)) * small + 1.7
    else:
        canvas.drawString(x, 2.5, f"{over}/{under}")
        wide = canvas.stringWidth(f"{over}/{under}", "Helvetica", 6)
    canvas.setFont("Helvetica", 10)
    if rest:
        canvas.drawString(x + wide + 0.5, 0, rest)


@pytest.mark.parametrize("form", ["stacked", "sloping", "raised"])
@pytest.mark.parametrize("turn", [0, 90, 30])
@pytest.mark.parametrize(
    ("whole", "over", "under", "rest"), [("12'-4", "1", "2", '"'), ("6", "11", "16", '"'), ("3'-0", "3", "4", "")]
)
def test_fractions_are_put_together(
    tmp_path: Path, *, form: str, turn: int, whole: str, over: str, under: str, rest: str
) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.translate(200, 200)
        canvas.rotate(turn)
        fraction(canvas, whole, over, under, rest, form=form)

    assert [w.text for w in texts(tmp_path, draw)] == [f"{whole} {over}/{under}{rest}"]


def test_numbers_of_a_table_stay_apart(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        for row in range(6):
            canvas.drawString(100, 300 - 12 * row, f"P{row + 1}")
            canvas.drawString(160, 300 - 12 * row, str(row + 7))
            canvas.drawString(220, 300 - 12 * row, f"{row}'-6\"")

    found = sorted(w.text for w in texts(tmp_path, draw))
    assert found == sorted(
        [f"P{n + 1}" for n in range(6)] + [str(n + 7) for n in range(6)] + [f"{n}'-6\"" for n in range(6)]
    )


def test_dimensions_in_a_row_stay_apart(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        for n in range(8):
            canvas.drawString(40 + 60 * n, 100, "8'-2\"")
        for n in range(8):
            canvas.drawString(40, 150 + 12 * n, "8'-2\"")

    assert [w.text for w in texts(tmp_path, draw)] == ["8'-2\""] * 16


def test_order_of_the_file_does_not_matter(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        for n in (3, 1, 0, 2, 4):
            canvas.drawString(
                100 + canvas.stringWidth("PIER"[:n] if n < 4 else "PIER", "Helvetica", 10), 90, "PIERS"[n]
            )
            canvas.drawString(300, 90 + 30 * n, "8")

    assert sorted(w.text for w in texts(tmp_path, draw)) == ["8"] * 5 + ["PIERS"]


def test_text_of_a_layer_and_of_none(tmp_path: Path) -> None:
    content = b"/OC /A BDC BT /F1 10 Tf 20 20 Td (P1) Tj ET EMC BT /F1 10 Tf 20 60 Td (P2) Tj ET"
    data = one_page(content, resources=b"/Properties << /A 6 0 R >>", more=(b"<< /Type /OCG /Name (Marks) >>",))
    file = tmp_path / "drawing.pdf"
    file.write_bytes(data)
    assert {w.text: w.layer for w in read_pdf(file).words} == {"P1": "Marks", "P2": "text"}


def test_what_a_text_means_goes_before_its_letters(tmp_path: Path) -> None:
    # The letters show 84 before small digits; the file says that they mean 8' 4 1/2", for whoever reads aloud.
    meant = "8' 4 1/2\"".encode("utf-16-be").hex().encode()
    letters = b"BT /F1 10 Tf 20 50 Td (84) Tj 11 3 Td /F1 6 Tf (1) Tj 4 -3 Td (2) Tj ET"
    file = tmp_path / "drawing.pdf"
    file.write_bytes(one_page(b"/Span << /ActualText <feff" + meant + b"> >> BDC " + letters + b" EMC"))
    (word,) = read_pdf(file).words
    assert word.text == "8' 4 1/2\""
    assert word.at == pytest.approx((20 / MM, 50 / MM), abs=1e-3)
    assert word.width > 20 / MM


def test_turned_page_turns_its_text(tmp_path: Path) -> None:
    file = tmp_path / "drawing.pdf"
    file.write_bytes(
        one_page(b"BT /F1 10 Tf 20 50 Td (P1) Tj ET", page=b"/Rotate 90 /UserUnit 2", box=b"0 0 200 100")
    )
    (word,) = read_pdf(file).words
    assert word.at == pytest.approx((2 * 50 / MM, 2 * 180 / MM), abs=1e-3)
    assert word.turn == pytest.approx(-90)
    assert word.height == pytest.approx(2 * 7.2 / MM, rel=0.01)


def test_texts_beside_the_page_are_passed_over(tmp_path: Path) -> None:
    file = tmp_path / "drawing.pdf"
    file.write_bytes(one_page(b"BT /F1 10 Tf 20 -50 Td (P1) Tj 0 100 Td (P2) Tj ET"))
    found = read_pdf(file)
    assert [w.text for w in found.words] == ["P2"]
    assert [(p.what, p.count) for p in found.passed] == [("texts beside the page", 1)]


def test_letters_without_a_meaning_are_told(tmp_path: Path) -> None:
    # A typeface that names its letters as nobody else does, and gives no table of what they mean.
    nameless = FONT.replace(
        b"/Encoding /WinAnsiEncoding", b"/Encoding << /Type /Encoding /Differences [65 /g001 /g002 /g003] >>"
    )
    content = b"BT /F2 10 Tf 20 20 Td (ABC) Tj ET BT /F1 10 Tf 20 60 Td (P2) Tj ET"
    file = tmp_path / "drawing.pdf"
    data = one_page(content, more=(nameless,)).replace(b"/F1 5 0 R >>", b"/F1 5 0 R /F2 6 0 R >>")
    file.write_bytes(data)
    found = read_pdf(file)
    assert [w.text for w in found.words] == ["P2"]
    assert [(p.what, p.count) for p in found.passed] == [("letters", 3)]


def test_page_whose_texts_are_drawn_as_lines_says_so(tmp_path: Path) -> None:
    file = tmp_path / "drawing.pdf"
    file.write_bytes(one_page(b"10 10 m 90 10 l S"))
    assert "drawn as lines" in read_pdf(file).notes[0]
