"""What is read past the library comes out as the library would have given it."""

from __future__ import annotations

from pathlib import Path

import pytest
from ezdxf.document import Drawing as Document

from layoutdesk.importers import dxf_file, dxf_plain
from layoutdesk.importers.dxf_plain import Taken, take_plain
from layoutdesk.importers.linework import Linework
from tests.importers.dxf_makings import RELEASES, new, read_bytes, text_of


def everything(release: str) -> Document:
    """Return a drawing of all plain kinds, with every value that they may have."""
    document, model = new(release)
    document.linetypes.add("GAPS", [3.0, 2.0, -1.0])
    document.layers.add("Wände", linetype="GAPS")
    document.blocks.new("PIER", base_point=(1, 2)).add_circle((3, 4), 5)
    turned = {"extrusion": (0, 0, -1), "layer": "Wände"}
    tilted = {"extrusion": (0.3, -0.2, 0.9), "linetype": "Continuous"}
    for more in ({}, turned, tilted, {"invisible": 1}, {"layer": "wÄnde", "linetype": "ByBlock"}):
        model.add_line((0.1, 0.2, 0.3), (1 / 3, 2 / 3, -1), dxfattribs=more)
        model.add_point((5.5, 6.5, 7.5), dxfattribs=more)
        model.add_circle((1, 2, 3), 4, dxfattribs=more)
        model.add_arc((1, 2, 3), 4, 350, 20, dxfattribs=more)
        model.add_text(
            "%%c12 ±",
            height=3,
            rotation=33,
            dxfattribs={"halign": 1, "valign": 2, "align_point": (9, 8), "width": 0.7} | more,
        )
        model.add_text("Ø", dxfattribs={"insert": (1, 2, 3)} | more)
        model.add_blockref("pier", (7, 8, 9), dxfattribs=more)
        model.add_blockref(
            "PIER",
            (7, 8),
            dxfattribs={"xscale": -2, "yscale": 3, "zscale": 2, "rotation": 77, "column_count": 2, "row_count": 3}
            | {"column_spacing": 50, "row_spacing": -60}
            | more,
        )
        marked = model.add_blockref("PIER", (7, 8), dxfattribs={"layer": "Wände"})
        marked.add_attrib(
            "MARK", "P1", (7, 8), dxfattribs={"valign": 2, "halign": 1, "align_point": (5, 6), "rotation": 9}
        )
        marked.add_attrib("COST", "P1", (7, 8), dxfattribs={"flags": 1})
        if release != "R12":
            model.add_lwpolyline(
                [(0, 0, 0.5), (4, 0, 0), (4, 3, -1), (0, 3, 0)],
                format="xyb",
                close=True,
                dxfattribs={"elevation": 5} | more,
            )
            model.add_lwpolyline([(0, 0), (4, 0, 1, 2), (4, 3)], dxfattribs={"const_width": 3} | more)
    document.layout("Layout1").add_line((0, 0), (99, 99))
    return document


def by_the_library(folder: Path, data: bytes, monkeypatch: pytest.MonkeyPatch, *, layout: str = "") -> Linework:
    with monkeypatch.context() as patch:
        patch.setattr(dxf_file, "take_plain", lambda data, *_: Taken(rest=data))
        return read_bytes(folder, data, layout=layout)


def same(ours: Linework, theirs: Linework) -> None:
    """Only the order may differ, and the index of the uses with it."""
    for part in ("shapes", "words"):
        assert sorted(repr(x).replace(f"use={x.use}", "") for x in getattr(ours, part)) == sorted(
            repr(x).replace(f"use={x.use}", "") for x in getattr(theirs, part)
        )
    assert sorted(map(repr, ours.uses)) == sorted(map(repr, theirs.uses))
    for part in ("layers", "frozen", "passed", "notes", "layouts", "layout", "unit"):
        assert getattr(ours, part) == getattr(theirs, part)


@pytest.mark.parametrize("ends", [b"\n", b"\r\n"])
@pytest.mark.parametrize("release", RELEASES)
def test_plain_things_come_out_the_same(
    tmp_path: Path, release: str, ends: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = text_of(everything(release)).replace(b"\n", ends)
    ours = read_bytes(tmp_path, data)
    same(ours, by_the_library(tmp_path, data, monkeypatch))
    assert len(ours.shapes) > 40
    assert len(ours.drawn) == 0


@pytest.mark.parametrize("size", [40, 41, 1000, 4999, 1 << 22])
def test_chunks_of_any_size_part_nothing(tmp_path: Path, size: int, monkeypatch: pytest.MonkeyPatch) -> None:
    data = text_of(everything("R2000"))
    whole = read_bytes(tmp_path, data)
    monkeypatch.setattr(dxf_plain, "_CHUNK", size)
    assert read_bytes(tmp_path, data) == whole


def test_what_is_plain_is_taken_and_the_rest_stays() -> None:
    data = text_of(everything("R2000"))
    taken = take_plain(data, "cp1252", 10_000, lambda _: None)
    kinds = {kind for kind, _ in taken.things}
    assert kinds == {"LINE", "POINT", "CIRCLE", "ARC", "TEXT", "INSERT", "LWPOLYLINE"}
    assert taken.rest.count(b"ATTRIB\n") == 0
    assert data.count(b"ATTRIB\n") == 10
    assert len(taken.rest) < len(data)
    # The invisible ones, and the line on the sheet of paper, are the library's.
    assert taken.rest.split(b"ENTITIES")[1].count(b"\nLINE\n") == 2


def test_letters_in_codes_are_the_library_s(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    document, model = new("R2000")
    model.add_line((0, 0), (1, 1), dxfattribs={"layer": "Стена"})
    model.add_text("Стена Ø").set_placement((1, 1))
    data = text_of(document)
    assert b"\\U+" in data
    ours = read_bytes(tmp_path, data)
    same(ours, by_the_library(tmp_path, data, monkeypatch))
    assert ours.words[0].text == "Стена Ø"


def test_things_by_themselves_are_a_model(tmp_path: Path) -> None:
    data = b"0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA\n10\n1\n20\n2\n11\n3\n21\n4\n0\nENDSEC\n0\nEOF\n"
    linework = read_bytes(tmp_path, data)
    assert linework.layouts == ("Model",)
    assert linework.shapes[0].points == ((1.0, 2.0), (3.0, 4.0))
    assert linework.layers == ("A",)
