"""The one door: what kind of file it is, by what is in it, and what is made of it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.errors import FileError
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.importers.reading import kind_of, propose_file, read_linework
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.sheets.book import stake_out_set
from tests.importers.dxf_makings import INCH, binary_of, new, text_of


def drawn(folder: Path, name: str = "drawing.dxf") -> Path:
    """Write a drawing of four piers in a row with a dimension, in inches."""
    document, model = new("R2010", INCH)
    document.blocks.new("PIER").add_circle((0, 0), 6)
    for k in range(4):
        model.add_blockref("PIER", (96 * k, -120), dxfattribs={"layer": "FOOTINGS"}).add_attrib(
            "MARK", f"P{k + 1}", (96 * k, -110)
        )
    model.add_line((-24, 0), (312, 0), dxfattribs={"layer": "A-WALL"})
    style = document.dimstyles.new("PLAN")
    style.dxf.dimlunit = 4
    model.add_linear_dim((0, -150), (0, -120), (96, -120), dimstyle="PLAN", text="8'-0\"").render()
    path = folder / name
    path.write_bytes(text_of(document))
    return path


@pytest.mark.parametrize(
    ("name", "data", "kind"),
    [
        ("a.bin", b"\x89PNG\r\n\x1a\n....", "picture"),
        ("a.dxf", b"\xff\xd8\xff\xe0....", "picture"),
        ("a.webp", b"RIFF....WEBPVP8 ", "picture"),
        ("a.txt", b"%PDF-1.4\n", "pdf"),
        ("a", b"junk before\n%PDF-1.4\n", "pdf"),
        ("a.txt", b"  0\nSECTION\n  2\nHEADER\n", "dxf"),
        ("a.txt", b"\xef\xbb\xbf999\ncomment\n999\nmore\n  0\r\nSECTION\r\n", "dxf"),
        ("a.csv", b"0,SECTION\n", "points"),
        ("a.dxf", b"no drawing at all", "dxf"),
        ("a.dwg", b"AC1032\0\0", "dxf"),
        ("plan.txt", b' \n{"layoutdesk": 1}', "plan"),
        ("points.CSV", b"id,x,y\nP1,0,0\n", "points"),
        ("a.doc", b"words", None),
        ("a", b"", None),
        ("a.pdf", b"", "pdf"),
    ],
)
def test_kinds_by_content_and_then_by_ending(tmp_path: Path, name: str, data: bytes, kind: str | None) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    assert kind_of(path) == kind


def test_a_binary_drawing_is_known_whatever_it_is_called(tmp_path: Path) -> None:
    path = tmp_path / "drawing.xyz"
    path.write_bytes(binary_of(new()[0]))
    assert kind_of(path) == "dxf"


def test_files_that_are_not_there_have_the_kind_of_their_ending(tmp_path: Path) -> None:
    assert kind_of(tmp_path / "gone.dxf") == "dxf"
    assert kind_of(tmp_path) is None
    assert kind_of(Path("bad\0.pdf")) == "pdf"


def test_drawings_and_pages_are_read_and_others_refused(tmp_path: Path) -> None:
    linework = read_linework(drawn(tmp_path, "drawing.txt"))
    assert (linework.kind, len(linework.uses)) == ("dxf", 4)
    page = tmp_path / "page.dxf"
    page.write_bytes(write_pdf(stake_out_set(derive(read_plan(next(SAMPLES.glob("*.layout.json")))))))
    assert read_linework(page, page=2).kind == "pdf"
    (tmp_path / "a.csv").write_text("id,x,y\n")
    with pytest.raises(
        FileError, match=r"a\.csv: it is neither a DXF nor a PDF; ask for the drawing as one of these"
    ):
        read_linework(tmp_path / "a.csv")


def test_a_drawing_is_proposed_from_with_rising_progress(tmp_path: Path) -> None:
    told: list[float] = []
    proposal = propose_file(drawn(tmp_path), tell=told.append)
    assert told == sorted(told)
    assert told[-1] == 1
    piers = [c for c in proposal.candidates if c.becomes == "pier"]
    assert sorted(c.mark for c in piers) == ["P1", "P2", "P3", "P4"]
    assert proposal.scale.scale == 25.4
    low = min(piers, key=lambda c: c.mark).centre
    assert [math.dist(c.centre, low) for c in sorted(piers, key=lambda c: c.mark)] == pytest.approx(
        [0, 2438.4, 4876.8, 7315.2], abs=1e-6
    )


def test_the_unit_that_is_asked_for_counts(tmp_path: Path) -> None:
    proposal = propose_file(drawn(tmp_path), unit=10.0)
    assert proposal.scale.scale == 10.0
    assert proposal.scale.sure


def test_a_list_of_points_is_proposed_from(tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_text("id,x (mm),y (mm)\nP1,0,0\nP2,2438.4,0\n", encoding="utf-8")
    assert len(propose_file(path).candidates) == 2
