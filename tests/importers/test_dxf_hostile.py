"""Broken, boundless and foreign files: each is read as far as it goes or refused with a sentence, and soon."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from ezdxf.document import Drawing as Document

from layoutdesk.errors import FileError
from layoutdesk.importers import dxf_file
from layoutdesk.importers.dxf import read_dxf
from layoutdesk.importers.dxf_walk import DEEPEST
from layoutdesk.importers.linework import MOST_SHAPES, Linework, linework_from_bytes, linework_to_bytes
from tests.importers.dxf_makings import binary_of, new, read_again, read_bytes, text_of


def crowded(release: str) -> Document:
    """Return a drawing with something of most kinds, its model larger than the rest of the file."""
    document, model = new(release)
    style = document.dimstyles.new("PLAN")
    block = document.blocks.new("PIER")
    block.add_circle((0, 0), 6)
    for k in range(60):
        x, y = 96.0 * (k % 12), 96.0 * (k // 12)
        model.add_blockref("PIER", (x, y)).add_attrib("MARK", f"P{k}", (x + 8, y))
        model.add_line((x, y), (x + 96, y))
        model.add_polyline2d([(x, y, 0.4), (x + 5, y, 0), (x + 5, y + 5, 0)], format="xyb", close=True)
        model.add_text(f"8'-{k}\"").set_placement((x, y - 10))
        if not k % 20:
            model.add_linear_dim((x, y - 20), (x, y), (x + 96, y), dimstyle=style.dxf.name).render()
    return document


def read_or_refused(folder: Path, data: bytes) -> Linework | None:
    """Return what is read; None when it is refused with a sentence that names the file and a mend."""
    try:
        return read_bytes(folder, data)
    except FileError as error:
        text = str(error)
        assert text.startswith("drawing.dxf: it ")
        assert "; " in text
        assert "\n" not in text
        return None


def assert_sound(linework: Linework) -> None:
    """Everything in it is finite, and it can go to another process."""
    assert linework_from_bytes(linework_to_bytes(linework)) == linework
    for shape in linework.shapes:
        spots = [*shape.points, shape.centre or (0.0, 0.0)]
        assert all(math.isfinite(c) and abs(c) < 1e9 for spot in spots for c in spot)
        assert math.isfinite(shape.radius)
    for drawn in linework.drawn:
        assert math.isfinite(drawn.measured * drawn.factor)


@pytest.mark.parametrize("save", [text_of, binary_of])
@pytest.mark.parametrize("release", ["R12", "R2000", "R2010", "R2018"])
def test_a_file_cut_off_anywhere(tmp_path: Path, release: str, save: Callable[[Document], bytes]) -> None:
    data = save(crowded(release))
    found = []
    for percent in range(101):
        linework = read_or_refused(tmp_path, data[: len(data) * percent // 100])
        if linework is not None:
            assert_sound(linework)
            if percent < 100:
                assert "ends too early" in linework.notes[0]
        found.append(len(linework.shapes) if linework else 0)
    assert found[100] == 180
    assert sorted(found) == found
    # What stands before the cut is kept: the places where a half of the model stands give a half of it.
    assert any(50 < count < 150 for count in found)


@pytest.mark.parametrize("save", [text_of, binary_of])
def test_a_file_with_wrong_bytes_anywhere(tmp_path: Path, save: Callable[[Document], bytes]) -> None:
    data = save(crowded("R2000"))
    lot = random.Random(20)  # noqa: S311
    for _ in range(50):
        spoilt = bytearray(data)
        for _ in range(lot.choice([1, 3, 40])):
            spoilt[lot.randrange(30, len(spoilt))] = lot.randrange(256)
        linework = read_or_refused(tmp_path, bytes(spoilt))
        if linework is not None:
            assert_sound(linework)


def test_a_file_with_lines_lost_anywhere(tmp_path: Path) -> None:
    lines = text_of(crowded("R12")).split(b"\n")
    lot = random.Random(21)  # noqa: S311
    for _ in range(50):
        spoilt = list(lines)
        for _ in range(lot.choice([1, 2, 9])):
            del spoilt[lot.randrange(len(spoilt))]
        linework = read_or_refused(tmp_path, b"\n".join(spoilt))
        if linework is not None:
            assert_sound(linework)


def test_a_broken_file_is_recovered_and_says_so(tmp_path: Path) -> None:
    data = text_of(crowded("R2000")).replace(b"ENTITIES\n", b"ENTITIES\nnonsense\n", 1)
    assert read_or_refused(tmp_path, data) is None
    data = text_of(crowded("R2000")).replace(
        b"  0\nENDSEC\n  0\nSECTION\n  2\nOBJECTS", b"  0\nSECTION\n  2\nOBJECTS", 1
    )
    linework = read_or_refused(tmp_path, data)
    assert linework is not None
    assert len(linework.shapes) == 180
    assert "mended as far as possible" in linework.notes[0]


def test_decimals_with_commas_keep_their_decimals(tmp_path: Path) -> None:
    document, model = new("R2000")
    model.add_line((1.25, -2.5), (3.75, 1e-7))
    model.add_text("1,5", height=2.5).set_placement((0.5, 0.5))
    data = text_of(document)
    for number in (b"1.25", b"-2.5", b"3.75", b"0.5"):
        data = data.replace(b"\n" + number + b"\n", b"\n" + number.replace(b".", b",") + b"\n")
    linework = read_bytes(tmp_path, data)
    assert linework.shapes[0].points == ((1.25, -2.5), (3.75, 1e-7))
    assert linework.words[0].text == "1,5"
    assert linework.words[0].at == (0.5, 0.5)
    assert "commas" in linework.notes[0]


@pytest.mark.parametrize("bad", ["inf", "-inf", "nan", "1e308", "1e9", "-1e9", "1e400"])
def test_impossible_places_are_passed_over(tmp_path: Path, bad: str) -> None:
    document, model = new("R2000")
    mark = 77.125
    model.add_circle((1, 2), 3)
    model.add_line((0, 0), (mark, 0))
    model.add_circle((mark, 0), 1)
    model.add_circle((0, 0), mark)
    model.add_arc((mark, 0), 1, 0, 90)
    model.add_lwpolyline([(0, 0), (1, mark), (5, 5)])
    model.add_lwpolyline([(0, 0, mark), (1, 2, 0), (5, 5, 0)], format="xyb")
    model.add_ellipse((0, 0), (mark, 0), 0.5)
    model.add_ellipse((0, 0), (1, 0), 0.5, start_param=mark)
    model.add_spline([(0, 0), (mark, 5), (5, 5)])
    model.add_open_spline([(0, 0), (mark, 5), (5, 5), (6, 6)])
    model.add_text("X", height=mark)
    model.add_text("X").set_placement((mark, 0))
    model.add_mtext("X", dxfattribs={"insert": (mark, 0), "text_direction": (1, mark, 0)})
    model.add_linear_dim((0, mark), (0, 0), (mark, 0), angle=mark).dimension.dxf.text_midpoint = (mark, 0)
    document.blocks.new("B").add_circle((0, 0), 1)
    model.add_blockref("B", (mark, 0))
    model.add_blockref("B", (0, 0), dxfattribs={"xscale": mark})
    model.add_blockref("B", (0, 0), dxfattribs={"rotation": mark})
    model.add_blockref("B", (0, 0), dxfattribs={"column_count": 2, "column_spacing": mark})
    model.add_circle((0, 0), 1, dxfattribs={"extrusion": (mark, 0, 1)})
    data = text_of(document).replace(b"77.125", bad.encode())
    linework = read_or_refused(tmp_path, data)
    assert linework is not None
    assert_sound(linework)
    assert any(s.centre == (1.0, 2.0) and s.radius == 3 for s in linework.shapes)
    assert {p.what for p in linework.passed} & {"things with impossible places", "damaged things"}


@pytest.mark.parametrize("save", [text_of, binary_of])
def test_names_in_bytes_that_are_no_letters(tmp_path: Path, save: Callable[[Document], bytes]) -> None:
    for release in ("R12", "R2000", "R2018"):
        document, model = new(release)
        document.blocks.new("BLOCKX").add_circle((0, 0), 1)
        model.add_blockref("BLOCKX", (0, 0), dxfattribs={"layer": "LAYERX"}).add_attrib("TAGX", "TEXTX")
        model.add_line((0, 0), (1, 1), dxfattribs={"layer": "LAYERX"})
        document.layers.add("LAYERX").off()
        data = save(document)
        for bad in (b"\x81", b"\xed\xa0\x80", b"\\U+D800"):
            spoilt = data.replace(b"X\0", bad + b"\0").replace(b"X\n", bad + b"\n")
            linework = read_or_refused(tmp_path, spoilt)
            assert linework is not None
            assert_sound(linework)
            assert len(linework.shapes) == 2


def test_blocks_that_hold_themselves(tmp_path: Path) -> None:
    document, model = new()
    first, second = document.blocks.new("FIRST"), document.blocks.new("SECOND")
    first.add_blockref("second", (1, 0))
    first.add_circle((0, 0), 1)
    second.add_blockref("FIRST", (1, 0))
    second.add_blockref("SECOND", (1, 0))
    model.add_blockref("FIRST", (0, 0))
    linework = read_again(tmp_path, document)
    assert len(linework.shapes) == 1
    assert [(p.what, p.count) for p in linework.passed] == [("blocks that hold themselves", 2)]


def test_blocks_nested_too_deeply(tmp_path: Path) -> None:
    document, model = new()
    document.blocks.new("B0").add_circle((0, 0), 1)
    for k in range(30):
        document.blocks.new(f"B{k + 1}").add_blockref(f"B{k}", (1, 0))
    model.add_blockref(f"B{DEEPEST - 1}", (0, 0))
    model.add_blockref("B30", (0, 0))
    linework = read_again(tmp_path, document)
    assert [s.centre for s in linework.shapes] == [(DEEPEST - 1, 0)]
    assert [(p.what, p.count) for p in linework.passed] == [("blocks nested too deeply", 1)]


@pytest.mark.parametrize("full", [True, False])
def test_blocks_that_multiply_are_refused(tmp_path: Path, full: bool) -> None:  # noqa: FBT001
    """Ten blocks in each of ten: nine levels would make a thousand million, even of nothing."""
    document, model = new()
    inner = document.blocks.new("B0")
    if full:
        inner.add_circle((0, 0), 1)
    else:
        model.add_circle((0, 0), 1)
    for k in range(9):
        block = document.blocks.new(f"B{k + 1}")
        for n in range(10):
            block.add_blockref(f"B{k}", (n, 0))
    model.add_blockref("B9", (0, 0))
    with pytest.raises(FileError, match=r"drawing\.dxf: it draws more than 300,000 .*; save only the part"):
        read_again(tmp_path, document)


def test_an_endless_array_is_refused_before_it_is_drawn(tmp_path: Path) -> None:
    document, model = new()
    document.blocks.new("B").add_circle((0, 0), 1)
    model.add_blockref("B", (0, 0), dxfattribs={"column_count": 30_000, "row_count": 30_000})
    with pytest.raises(FileError, match="it draws more than"):
        read_again(tmp_path, document)


def test_a_run_without_end_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("layoutdesk.importers.dxf_walk.MOST_POINTS", 999)
    document, model = new()
    model.add_lwpolyline([(k, k % 2) for k in range(1000)])
    with pytest.raises(FileError, match="it draws more than"):
        read_again(tmp_path, document)


def test_too_many_things_are_refused_before_they_are_held(tmp_path: Path) -> None:
    one = b"  0\nPOINT\n  8\n0\n 10\n0\n 20\n0\n"
    data = b"  0\nSECTION\n  2\nENTITIES\n" + one * (MOST_SHAPES + 3) + b"  0\nENDSEC\n  0\nEOF\n"
    with pytest.raises(FileError, match="it draws more than 300,000 lines"):
        read_bytes(tmp_path, data)


def test_too_many_corners_or_pairs_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    document = crowded("R12")
    monkeypatch.setattr(dxf_file, "MOST_THINGS", 300)
    for save in (text_of, binary_of):
        with pytest.raises(FileError, match="it draws more than 300,000 lines"):
            read_bytes(tmp_path, save(document))
    monkeypatch.setattr(dxf_file, "MOST_THINGS", 10_000)
    monkeypatch.setattr(dxf_file, "MOST_TAGS", 500)
    for save in (text_of, binary_of):
        with pytest.raises(FileError, match="it draws more than 300,000 lines"):
            read_bytes(tmp_path, save(document))


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "it is empty; ask for the drawing again"),
        (b"\n  \n", "it is empty; ask for the drawing again"),
        (b"AC1027\0\0\0\0\0\0" + bytes(200), "it is a DWG and no DXF, whatever its name says; save it as DXF"),
        (b"PK\x03\x04" + bytes(200), "it is packed or locked; unpack it and open the DXF that is in it"),
        (b"%PDF-1.7\n", "it is a PDF and no DXF, whatever its name says; change its ending to .pdf"),
        (b"Dear Sir,\nplease find\n", "it is no DXF; ask for the drawing as a DXF"),
        (bytes(range(256)) * 40, "it is no DXF; ask for the drawing as a DXF"),
        (
            b"  0\nSECTION\n  2\nENTITIES\n  0\nENDSEC\n  0\nEOF\n",
            "it draws nothing; check that the right drawing was saved",
        ),
        (
            b"  0\nSECTION\n" + b"  0\nSECTION\n" * 50,
            "it is broken and nothing in it can be read; ask for the drawing again",
        ),
    ],
)
def test_what_is_no_drawing_is_refused_with_a_sentence(tmp_path: Path, data: bytes, sentence: str) -> None:
    with pytest.raises(FileError) as caught:
        read_bytes(tmp_path, data)
    assert str(caught.value) == f"drawing.dxf: {sentence}"


def test_a_file_that_is_not_there_or_a_folder(tmp_path: Path) -> None:
    for path in (tmp_path / "gone.dxf", tmp_path, Path("\0.dxf")):
        with pytest.raises(FileError, match=r"it cannot be read .*; check the name"):
            read_dxf(path)


def test_a_file_that_is_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dxf_file, "MOST_BYTES", 1 << 20)
    with pytest.raises(FileError, match="it is larger than 1 MB; save only the part"):
        read_bytes(tmp_path, b"0\nSECTION\n" * 200_000)


def test_only_bodies_only_text_and_a_sheet_that_is_not_there(tmp_path: Path) -> None:
    document, model = new()
    model.add_3dface([(0, 0), (1, 0), (1, 1), (0, 1)])
    with pytest.raises(FileError, match="it holds only solid bodies and no flat lines; save a view from above"):
        read_again(tmp_path, document)
    document, model = new()
    model.add_text("NOTES")
    with pytest.raises(FileError, match="it holds text and no lines; save the drawing with its lines"):
        read_again(tmp_path, document)
    model.add_line((0, 0), (1, 1))
    with pytest.raises(
        FileError, match="it holds no sheet “Roof” with anything on it; choose one of these: “Model”"
    ):
        read_again(tmp_path, document, layout="Roof")


def test_progress_rises_from_nought_to_one_and_may_end_the_work(tmp_path: Path) -> None:
    for save in (text_of, binary_of):
        path = tmp_path / "drawing.dxf"
        path.write_bytes(save(crowded("R2000")))
        told: list[float] = []
        read_dxf(path, tell=told.append)
        assert told == sorted(told)
        assert told[0] == 0
        assert told[-1] == 1
        assert len(told) >= 4

        for ending in (KeyboardInterrupt, ValueError, FileError):
            for after in (-0.1, 0.2, 0.4, 0.6, 0.9):
                with pytest.raises(ending, match="enough"):
                    read_dxf(path, tell=partial(end, after=after, ending=ending))


def end(share: float, *, after: float, ending: type[BaseException]) -> None:
    if share > after:
        raise ending("enough")
