"""Every command of the README on every sample; what it writes is read back with other libraries."""

from __future__ import annotations

import csv
import math
import subprocess
import sys
from pathlib import Path

import ezdxf
import pdfplumber
import pypdfium2
import pytest
from ezdxf.entities import Insert
from PIL import Image

from layoutdesk import __version__
from tests.endtoend.conftest import Run
from tests.endtoend.plain_site import PlainSite

PAPER = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}


def written(run: Run, *words: str | Path) -> None:
    """Run a command that must succeed without a word."""
    done = run(*words)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_version_and_help(layoutdesk: Run) -> None:
    assert layoutdesk("--version").stdout == f"layoutdesk {__version__}\n"
    told = layoutdesk("--help")
    assert told.returncode == 0
    for command in ("sheets", "drawing", "points", "holes", "figures", "picture"):
        assert f"layoutdesk {command} " in told.stdout
        of_command = layoutdesk(command, "--help")
        assert (of_command.returncode, of_command.stderr) == (0, "")


@pytest.mark.parametrize("paper", [None, "letter", "a4"])
def test_sheets(paper: str | None, sample: Path, tmp_path: Path, layoutdesk: Run) -> None:
    """Every pier is on the sheets by its mark; pages have the paper asked for, numbers and bookmarks."""
    site = PlainSite(sample)
    written(layoutdesk, "sheets", sample, "-o", "out.pdf", *(("--paper", paper) if paper else ()))
    width, height = PAPER[paper or site.file.get("paper", "letter")]
    with pdfplumber.open(tmp_path / "out.pdf") as book:
        texts = [page.extract_text() for page in book.pages]
        sizes = {(round(float(page.width), 1), round(float(page.height), 1)) for page in book.pages}
    assert sizes <= {(round(width, 1), round(height, 1)), (round(height, 1), round(width, 1))}
    assert len(texts) >= 7
    assert site.file["title"] in texts[0]
    everything = "\n".join(texts)
    marks = [pier.get("mark") or pier["id"] for pier in site.file["piers"]]
    assert [mark for mark in marks if mark not in everything] == []
    document = pypdfium2.PdfDocument(tmp_path / "out.pdf")
    try:
        assert len(list(document.get_toc())) >= 6
    finally:
        document.close()


def test_drawing(sample: Path, tmp_path: Path, layoutdesk: Run) -> None:
    """Every point stands where the plan says, with its mark, station and offset; the audit finds nothing."""
    site = PlainSite(sample)
    written(layoutdesk, "drawing", sample, "-o", "out.dxf")
    drawing = ezdxf.readfile(tmp_path / "out.dxf")
    audit = drawing.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    assert drawing.dxfversion >= "AC1027"
    assert drawing.header["$INSUNITS"] == 4
    marks = {pier["id"]: pier.get("mark") or pier["id"] for pier in site.file["piers"]}
    places = {marks.get(name, name): place for name, place in site.places.items()}
    found = set()
    staked: dict[str, tuple[float, float]] = {}
    spots: dict[str, tuple[float, float]] = {}
    for insert in drawing.modelspace():
        if not isinstance(insert, Insert) or not insert.attribs:
            continue
        told = {attribute.dxf.tag.upper(): attribute.dxf.text for attribute in insert.attribs}
        at = insert.dxf.insert
        if "OFF_ALONG" in told:  # where the stake stands, not where it is planned
            staked[told["MARK"]] = (at.x, at.y)
            continue
        if set(told) == {"MARK", "ELEVATION"}:  # where the ground was read
            spots[told["MARK"]] = (at.x, at.y)
            continue
        assert set(told) >= {"MARK", "STATION", "OFFSET"}
        assert (at.x, at.y) == pytest.approx(places[told["MARK"]], abs=1e-6, rel=0)
        found.add(told["MARK"])
    assert found == set(places)
    assert spots == {spot["id"]: pytest.approx(tuple(spot["at"]), abs=1e-6, rel=0) for spot in site.file["spots"]}
    assert set(staked) == (set(marks.values()) if site.file["tapes"] else set())
    for mark, place in staked.items():
        assert 0 < math.dist(place, places[mark]) < 60


def test_points(sample: Path, tmp_path: Path, layoutdesk: Run) -> None:
    site = PlainSite(sample)
    written(layoutdesk, "points", sample, "-o", "out.csv")
    with (tmp_path / "out.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["id"] for row in rows} == set(site.places)
    for row in rows:
        assert (float(row["x"]), float(row["y"])) == pytest.approx(site.places[row["id"]], abs=1e-6, rel=0)
        told = (float(row["station"]), float(row["offset"]))
        assert told == pytest.approx(site.station_offset(row["id"]), abs=1e-6, rel=0)
        assert row["mark"]


def test_picture(sample: Path, tmp_path: Path, layoutdesk: Run) -> None:
    """A picture of the size asked for, with something on it, in the light dress and in the dark one."""
    written(layoutdesk, "picture", sample, "-o", "light.png", "--size", "900x600")
    written(layoutdesk, "picture", sample, "-o", "dark.png", "--size", "900x600", "--dark")
    brightness = []
    for name in ("light.png", "dark.png"):
        with Image.open(tmp_path / name) as picture:
            assert (picture.format, picture.size) == ("PNG", (900, 600))
            grey = picture.convert("L")
            counts = grey.histogram()
            assert sum(1 for count in counts if count) > 50
            assert max(counts) < 0.95 * 900 * 600
            brightness.append(sum(level * count for level, count in enumerate(counts)) / (900 * 600))
    assert brightness[0] > brightness[1] + 50


def test_picture_needs_no_display(sample: Path, tmp_path: Path, layoutdesk: Run) -> None:
    """Not even one that is named and cannot be opened."""
    done = layoutdesk("picture", sample, "-o", "out.png", DISPLAY=":99999", QT_QPA_PLATFORM="xcb")
    assert (done.returncode, done.stderr) == (0, "")
    with Image.open(tmp_path / "out.png") as picture:
        assert picture.size == (1600, 1000)


def test_the_same_plan_gives_the_same_bytes(sample: Path, tmp_path: Path, layoutdesk: Run) -> None:
    """On another day, in another process, with sets and dictionaries hashed otherwise, in another place."""
    outputs = {"sheets": "pdf", "drawing": "dxf", "points": "csv", "picture": "png"}
    made = []
    for seed, zone in (("1", "UTC"), ("2", "Pacific/Auckland")):
        surroundings = {"PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C"}
        figures = layoutdesk("figures", sample, **surroundings)
        assert figures.returncode == 0
        for command, ending in outputs.items():
            done = layoutdesk(command, sample, "-o", f"{seed}.{ending}", **surroundings)
            assert (done.returncode, done.stderr) == (0, "")
        made.append([figures.stdout, *((tmp_path / f"{seed}.{e}").read_bytes() for e in outputs.values())])
    assert made[0] == made[1]


def test_figures_need_neither_qt_nor_the_writers(sample: Path) -> None:
    """Each command imports the libraries that it needs, and no other."""
    watch = (
        "import sys; from layoutdesk.cli import main; code = main(sys.argv[1:], lambda path: 9); "
        "sys.stderr.write(' '.join({name.split('.')[0] for name in sys.modules})); sys.exit(code)"
    )
    done = subprocess.run(
        [sys.executable, "-c", watch, "figures", str(sample)], capture_output=True, encoding="utf-8", check=True
    )
    imported = set(done.stderr.split())
    assert "layoutdesk" in imported
    assert imported & {"PySide6", "shiboken6", "ezdxf", "reportlab", "pypdfium2", "pint"} == set()
