"""Broken, locked, empty, endless and oversized PDF files: a sentence, or it works; never a traceback."""

from __future__ import annotations

import base64
import io
import zlib
from pathlib import Path

import pypdfium2
import pytest
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen.canvas import Canvas

from layoutdesk.errors import FileError
from layoutdesk.importers.linework import Linework
from layoutdesk.importers.pdf import MOST_PICTURE_PIXELS, page_count, page_picture, page_size, read_pdf
from tests.importers.pdf_pages import MM, one_page, pdf_file, stream

BOX = b"0 0 612 792"


def kept(folder: Path, data: bytes) -> Path:
    file = folder / "drawing.pdf"
    file.write_bytes(data)
    return file


def drawing(*, encrypt: StandardEncryption | None = None, pages: int = 1) -> bytes:
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(400, 300), invariant=1, encrypt=encrypt, pageCompression=1)
    for _ in range(pages):
        canvas.circle(200, 150, 20)
        for row in range(20):
            canvas.line(10, 10 * row, 390, 11 * row)
            canvas.drawString(20, 10 * row, f"{row}'-6\"")
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def test_truncated_at_every_hundredth_of_its_length(tmp_path: Path) -> None:
    whole = drawing()
    read = 0
    for cut in range(100):
        file = kept(tmp_path, whole[: len(whole) * cut // 100])
        try:
            found = read_pdf(file)
            page_picture(file, 1, 100)
        except FileError as error:
            assert str(error).startswith("drawing.pdf: ")  # noqa: PT017  # either way is right, and no third
        else:
            assert isinstance(found, Linework)
            read += 1
    assert read < 100
    assert len(read_pdf(kept(tmp_path, whole)).shapes) == 21


def test_damaged_anywhere_is_read_or_refused(tmp_path: Path) -> None:
    whole = bytearray(one_page(b"10 10 m 90 10 l S BT /F1 12 Tf 20 20 Td (8'-2\") Tj ET", page=b"/UserUnit 2"))
    for at in range(0, len(whole), 3):
        broken = bytearray(whole)
        broken[at : at + 3] = b"<9 "
        try:
            assert read_pdf(kept(tmp_path, bytes(broken))).pages >= 1
        except FileError as error:
            assert str(error).startswith("drawing.pdf: ")  # noqa: PT017  # either way is right, and no third


def test_locked_with_a_password(tmp_path: Path) -> None:
    locked = kept(tmp_path, drawing(encrypt=StandardEncryption("secret", "owner")))
    for ask in (page_count, read_pdf):
        with pytest.raises(FileError, match=r"drawing\.pdf: it is locked with a password"):
            ask(locked)
    # One that only forbids changes opens for everybody.
    assert len(read_pdf(kept(tmp_path, drawing(encrypt=StandardEncryption("", "owner")))).shapes) == 21


@pytest.mark.parametrize("page", [0, -1, 4, 10**9])
def test_page_that_is_not_there(tmp_path: Path, page: int) -> None:
    file = kept(tmp_path, drawing(pages=3))
    assert page_count(file) == 3
    for ask in (
        lambda: read_pdf(file, page=page),
        lambda: page_size(file, page),
        lambda: page_picture(file, page, 9),
    ):
        with pytest.raises(FileError, match=rf"drawing\.pdf: there is no page {page}; it has pages 1 to 3"):
            ask()


def test_what_is_no_pdf(tmp_path: Path) -> None:
    for data in (b"", b"words", b"%PDF-1.7\n", bytes(5000)):
        with pytest.raises(FileError, match="no PDF, or damaged"):
            page_count(kept(tmp_path, data))
    with pytest.raises(FileError, match="no such file"):
        page_count(tmp_path / "gone.pdf")
    with pytest.raises(FileError, match="no file"):
        page_count(tmp_path)
    empty = pdf_file(b"<< /Type /Catalog /Pages 2 0 R >>", b"<< /Type /Pages /Kids [] /Count 0 >>")
    with pytest.raises(FileError, match=r"no PDF|no page"):
        page_count(kept(tmp_path, empty))


@pytest.mark.parametrize("box", [b"nan nan nan nan", b"0 0 0 0", b"0 0 1e9 1e9", b"792 612 0 0", b"a b", b""])
def test_broken_page_sizes_still_give_a_page(tmp_path: Path, box: bytes) -> None:
    file = kept(tmp_path, one_page(b"10 10 m 90 10 l S", box=box))
    found = read_pdf(file)
    assert all(0 < side < 1e7 for side in found.paper or ())
    assert any("US letter is assumed" in note for note in found.notes) == (box != b"792 612 0 0")
    assert len(found.shapes) == 1
    (line,) = found.shapes
    assert line.points[1][0] - line.points[0][0] == pytest.approx(80 / MM, abs=1e-4)
    width, height, stride, data = page_picture(file, 1, 200)
    assert len(data) == stride * height
    assert width <= 200


@pytest.mark.parametrize("unit", [b"0", b"-3", b"nan", b"(two)", b"1e30", b"99 0 R"])
def test_impossible_units_of_a_page_are_taken_as_points(tmp_path: Path, unit: bytes) -> None:
    file = kept(tmp_path, one_page(b"10 10 m 90 10 l S", page=b"/UserUnit " + unit))
    assert page_size(file, 1) == pytest.approx((612, 792))


def test_unit_of_a_page_is_found_in_packed_objects(tmp_path: Path) -> None:
    # The page lies in an object stream, as in most files since 2003; the table of places is a stream as well.
    page = b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 100] /UserUnit 4 /Contents 5 0 R >>"
    pages = b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>"
    head = b"2 0 3 %d " % (len(pages) + 1)
    objects = {
        1: b"<< /Type /Catalog /Pages 2 0 R >>",
        4: stream(head + pages + b" " + page, b"/Type /ObjStm /N 2 /First %d" % len(head), packed=True),
        5: stream(b"0 0 m 100 0 l S"),
    }
    out = bytearray(b"%PDF-1.5\n")
    rows = {0: (0, 0, 255), 2: (2, 4, 0), 3: (2, 4, 1)}
    for number, body in objects.items():
        rows[number] = (1, len(out), 0)
        out += b"%d 0 obj\n" % number + body + b"\nendobj\n"
    place = len(out)
    rows[6] = (1, place, 0)
    table = b"".join(bytes([k]) + a.to_bytes(4, "big") + bytes([b]) for _, (k, a, b) in sorted(rows.items()))
    out += b"6 0 obj\n" + stream(table, b"/Type /XRef /Size 7 /W [1 4 1] /Root 1 0 R", packed=True) + b"\nendobj\n"
    out += b"startxref\n%d\n%%%%EOF\n" % place
    file = kept(tmp_path, bytes(out))
    assert page_size(file, 1) == pytest.approx((800, 400))
    (line,) = read_pdf(file).shapes
    assert line.points[1][0] == pytest.approx(400 / MM, abs=1e-4)


def test_page_of_100_000_points(tmp_path: Path) -> None:
    file = kept(tmp_path, one_page(b"0 0 m 100000 100000 l S", box=b"0 0 100000 100000"))
    (line,) = read_pdf(file).shapes
    assert line.points[1] == pytest.approx((100_000 / MM, 100_000 / MM), rel=1e-7)
    width, height, _, _ = page_picture(file, 1, 100_000)
    assert width * height <= MOST_PICTURE_PIXELS


@pytest.mark.parametrize("box", [b"0 0 14400 1", b"0 0 1 14400"])
def test_picture_of_a_strip_keeps_its_bounds(tmp_path: Path, box: bytes) -> None:
    width, height, stride, data = page_picture(kept(tmp_path, one_page(b"0 0 m 9 0 l S", box=box)), 1, 50_000)
    assert width * height <= MOST_PICTURE_PIXELS
    assert max(width, height) <= 32_000
    assert len(data) == stride * height


def test_picture_is_dark_on_white_and_as_wide_as_asked(tmp_path: Path) -> None:
    file = kept(tmp_path, one_page(b"0 0 306 792 re f"))
    width, height, stride, data = page_picture(file, 1, 306)
    assert (width, height) == (306, 396)
    middle = stride * (height // 2)
    assert data[middle : middle + 3] == b"\0\0\0"
    assert data[middle + 4 * (width - 1) : middle + 4 * width - 1] == b"\xff\xff\xff"


def test_drawing_a_picture_is_told_can_be_ended_and_ends(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("layoutdesk.importers.pdf._TELL_SECONDS", 0.0)
    file = kept(tmp_path, one_page(b"0 0 m 600 700 l S\n" * 500))
    told: list[float] = []
    whole = page_picture(file, 1, 200, tell=told.append)
    assert told
    assert whole == page_picture(file, 1, 200)

    class EndedError(Exception):
        pass

    def end(_: float) -> None:
        raise EndedError

    with pytest.raises(EndedError):
        page_picture(file, 1, 200, tell=end)
    monkeypatch.setattr("layoutdesk.importers.pdf.LONGEST_DRAWING", 1e-9)
    with pytest.raises(FileError, match="seconds to draw; save a picture of it"):
        page_picture(file, 1, 200)
    monkeypatch.undo()
    assert whole == page_picture(file, 1, 200)


def test_forms_that_draw_themselves_are_refused(tmp_path: Path) -> None:
    entries = b"/Type /XObject /Subtype /Form /BBox [0 0 600 600] /Resources << /XObject << /A 6 0 R /B 7 0 R >> >>"
    itself = (stream(b"10 10 m 90 10 l S /A Do", entries),)
    each_other = (stream(b"10 10 m 90 10 l S /B Do", entries), stream(b"10 20 m 90 20 l S /A Do /B Do", entries))
    for forms in (itself, each_other):
        file = kept(tmp_path, one_page(b"/A Do", resources=b"/XObject << /A 6 0 R >>", more=forms))
        for ask in (lambda f=file: read_pdf(f), lambda f=file: page_picture(f, 1, 100)):
            with pytest.raises(FileError, match="more drawing than can be read"):
                ask()


def test_forms_that_multiply_are_refused_before_they_are_drawn(tmp_path: Path) -> None:
    # Twelve forms, each drawing the next ten times: a million million lines in two thousand bytes.
    forms = []
    for level in range(12):
        entries = b"/Type /XObject /Subtype /Form /BBox [0 0 600 600] /Resources << /XObject << /N %d 0 R >> >>"
        body = b"/N Do " * 10 if level < 11 else b"10 10 m 90 10 l S"
        forms.append(stream(body, entries % (7 + level), packed=True))
    file = kept(tmp_path, one_page(b"/A Do", resources=b"/XObject << /A 6 0 R >>", more=tuple(forms)))
    for ask in (lambda: read_pdf(file), lambda: page_picture(file, 1, 100)):
        with pytest.raises(FileError, match="more drawing than can be read"):
            ask()


def test_too_many_lines_are_refused_and_told_what_can_be_done(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("layoutdesk.importers.pdf_paths.MOST_SHAPES", 500)
    file = kept(tmp_path, one_page(b"10 10 m 90 10 l S\n" * 501, packed=True))
    with pytest.raises(FileError, match=r"drawing\.pdf: page 1 .*it can still lie under the sheet"):
        read_pdf(file)


def test_one_endless_line_is_refused(tmp_path: Path) -> None:
    file = kept(tmp_path, one_page(b"0 0 m " + b"1 1 l 2 2 l " * 1_000_000 + b"S", packed=True))
    with pytest.raises(FileError, match="it can still lie under the sheet"):
        read_pdf(file)


def test_heap_of_letters_at_one_place_ends(tmp_path: Path) -> None:
    content = b"BT /F1 10 Tf 300 300 Td " + b"(7) Tj 0.01 0.02 Td (x) Tj -8 9 Td " * 10_000 + b"ET"
    assert read_pdf(kept(tmp_path, one_page(content, packed=True))).words


@pytest.mark.parametrize("ways", [b"[/ASCII85Decode /FlateDecode]", b"/ASCIIHexDecode"])
def test_multiplying_forms_are_seen_through_other_packing(tmp_path: Path, ways: bytes) -> None:
    def packed(body: bytes) -> bytes:
        if b"Hex" in ways:
            return body.hex().encode() + b">"
        return base64.a85encode(zlib.compress(body)) + b"~>"

    forms = []
    for level in range(9):
        entries = b"/Type /XObject /Subtype /Form /BBox [0 0 600 600] /Resources << /XObject << /N %d 0 R >> >>"
        body = packed(b"/N Do " * 20 if level < 8 else b"10 10 m 90 10 l S")
        forms.append(stream(body, entries % (7 + level) + b" /Filter " + ways))
    file = kept(tmp_path, one_page(b"/A Do", resources=b"/XObject << /A 6 0 R >>", more=tuple(forms)))
    with pytest.raises(FileError, match="more drawing than can be read"):
        read_pdf(file)


def test_packed_flood_is_refused_before_it_is_read(tmp_path: Path) -> None:
    file = kept(tmp_path, one_page(b"1 1 m 2 2 l S\n" * 4_000_000, packed=True))
    assert file.stat().st_size < 1_000_000
    with pytest.raises(FileError, match="more drawing than can be read"):
        read_pdf(file)


def test_giant_picture_in_a_page_is_refused_for_drawing_only(tmp_path: Path) -> None:
    picture = stream(
        b"x",
        b"/Type /XObject /Subtype /Image /Width 30000 /Height 30000 /BitsPerComponent 8 /ColorSpace /DeviceGray",
    )
    content = b"q 600 0 0 700 0 0 cm /P Do Q 10 10 m 90 10 l S"
    file = kept(tmp_path, one_page(content, resources=b"/XObject << /P 6 0 R >>", more=(picture,)))
    assert len(read_pdf(file).shapes) == 1
    with pytest.raises(FileError, match="million pixels; save it at half the size"):
        page_picture(file, 1, 100)


def test_work_is_told_and_can_be_ended(tmp_path: Path) -> None:
    file = kept(tmp_path, one_page(b"10 10 m 90 10 l S\n" * 3000))
    told: list[float] = []
    read_pdf(file, tell=told.append)
    assert told == sorted(told)
    assert told[0] == 0
    assert told[-1] == 1
    assert len(told) >= 8

    class EndedError(Exception):
        pass

    def end(done: float) -> None:
        if done > 0.3:
            raise EndedError

    with pytest.raises(EndedError):
        read_pdf(file, tell=end)
    assert len(read_pdf(file).shapes) == 3000  # the library is left in order


def test_lines_at_impossible_places_are_passed_over(tmp_path: Path) -> None:
    far = b"q 1000000 0 0 1000000 0 0 cm 1000000 0 0 1000000 0 0 cm 1 1 m 2 2 l S Q "
    found = read_pdf(kept(tmp_path, one_page(far + b"10 10 m 90 10 l S")))
    (line,) = found.shapes
    assert line.points[1][0] == pytest.approx(90 / MM, abs=1e-4)
    assert [(p.what, p.count) for p in found.passed] == [("lines at impossible places", 1)]


def test_another_writers_page(tmp_path: Path) -> None:
    document = pypdfium2.PdfDocument.new()
    document.new_page(300, 200)
    document.save(tmp_path / "drawing.pdf")
    document.close()
    found = read_pdf(tmp_path / "drawing.pdf")
    assert found.shapes == ()
    assert found.notes == ("The page holds no lines",)
    assert found.paper == pytest.approx((300 / MM, 200 / MM), abs=1e-4)
