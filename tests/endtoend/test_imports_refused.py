"""Foreign files that are cut off, hostile or empty of plans: one sentence that names the file, or it works."""

from __future__ import annotations

import json
import math
from pathlib import Path

import ezdxf
import pytest

from layoutdesk.cli import main


def no_desk(_: Path | None) -> int:
    """Stand in for the desk, which no command with an output opens."""
    raise AssertionError("the desk was opened")


def outcome(path: Path, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Return what was said of a file that was refused; empty when it was read, and then into sound figures."""
    code = main(["figures", str(path), *words], no_desk)
    said = capsys.readouterr()
    assert "Traceback" not in said.err
    if code == 0:
        found = json.loads(said.out)
        assert all(math.isfinite(p["x"]) and math.isfinite(p["y"]) for p in found["piers"])
        assert all(line.startswith(path.name) for line in said.err.splitlines())
        return ""
    assert (code, said.out) == (2, ""), said.err
    assert said.err.startswith("layoutdesk: ")
    assert said.err.count("\n") == 1
    assert path.name in said.err
    return said.err


@pytest.fixture
def drawing(tmp_path: Path) -> bytes:
    """Return a small DXF with piers and a wall."""
    document = ezdxf.new("R2000", setup=False)
    document.header["$INSUNITS"] = 4
    space = document.modelspace()
    space.add_line((0, 0), (9000, 0), dxfattribs={"layer": "WALL"})
    for x in (1000, 4000, 7000):
        space.add_circle((x, -3000), 150, dxfattribs={"layer": "PIERS"})
    path = tmp_path / "whole.dxf"
    document.saveas(path)
    return path.read_bytes()


def test_a_drawing_that_is_cut_off_anywhere(
    drawing: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "cut.dxf"
    for hundredth in range(0, 100, 3):
        path.write_bytes(drawing[: len(drawing) * hundredth // 100])
        outcome(path, capsys, "--unit", "mm") if hundredth else outcome(path, capsys)


LOOP = (
    b"0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nX\n70\n0\n10\n0\n20\n0\n30\n0\n0\nINSERT\n8\n0\n2\nX\n10\n1\n20\n1\n"
    b"0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nINSERT\n8\n0\n2\nX\n10\n0\n20\n0\n0\nENDSEC\n0\nEOF\n"
)

HOSTILE: dict[str, tuple[str, bytes]] = {
    "an empty DXF": ("a.dxf", b""),
    "zeros": ("a.dxf", bytes(5000)),
    "a DXF of nothing": ("a.dxf", b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"),
    "text alone": (
        "a.dxf",
        b"0\nSECTION\n2\nENTITIES\n0\nTEXT\n8\n0\n10\n0\n20\n0\n40\n1\n1\nA\n0\nENDSEC\n0\nEOF\n",
    ),
    "a circle beyond all numbers": (
        "a.dxf",
        b"0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\n0\n10\n1e300\n20\nnan\n40\ninf\n0\nENDSEC\n0\nEOF\n",
    ),
    "a block in itself": (
        "a.dxf",
        LOOP,
    ),
    "an empty table": ("a.csv", b""),
    "headings alone": ("a.csv", b"id,x,y\n"),
    "a table of words": ("a.csv", b"name,colour\nfir,green\n"),
    "a table of no numbers": ("a.csv", b"id,x (m),y (m)\nP1,nan,inf\nP2,1e999,-1e300\n"),
    "rubbish as a table": ("a.csv", bytes(range(256)) * 40),
    "a page cut off": ("a.pdf", b"%PDF-1.7\n1 0 obj\n<<"),
    "a picture": ("a.png", b"\x89PNG\r\n\x1a\n" + bytes(100)),
    "a picture by another name": ("a.dxf", b"\xff\xd8\xff\xe0" + bytes(100)),
    "no known kind": ("a.xyz", b"what is this"),
}


@pytest.mark.parametrize(("name", "data"), HOSTILE.values(), ids=HOSTILE.keys())
def test_what_holds_no_plan_is_refused(
    name: str, data: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    assert outcome(path, capsys, *(["--unit", "mm"] if name.endswith("dxf") else [])) != ""


def test_a_picture_says_what_to_do_with_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "scan.png"
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(100))
    assert "lay it under the sheet" in outcome(path, capsys)


def test_a_file_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("gone.dxf", "gone.csv", "gone.pdf", "gone.png", "gone"):
        assert outcome(tmp_path / name, capsys) != ""


def test_a_table_of_a_million_rows_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "many.csv"
    path.write_text("id,x (mm),y (mm)\n" + "P,1,2\n" * 1_000_000, encoding="ascii")
    assert "more than 100,000 rows" in outcome(path, capsys)


def test_rows_that_were_passed_over_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "some.csv"
    path.write_text("id,x (mm),y (mm)\nP1,1,2\nP2,?,2\n", encoding="ascii")
    assert main(["figures", str(path)], no_desk) == 0
    said = capsys.readouterr()
    assert "some.csv: passed over 1 row: x is no length, as “?” (row 3)" in said.err


def test_nothing_is_written_when_it_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, out = tmp_path / "a.csv", tmp_path / "out.pdf"
    path.write_text("id,x,y\nP1,0,0\n", encoding="ascii")
    assert main(["sheets", str(path), "-o", str(out)], no_desk) == 2
    assert not out.exists()
    assert "--unit" in capsys.readouterr().err
