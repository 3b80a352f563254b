"""The commands on a DXF, a page and a table of points straight: the program's own proposal, and a plain report."""

from __future__ import annotations

import json
import math
import subprocess
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from layoutdesk.places import SAMPLES

Run = Callable[..., subprocess.CompletedProcess[str]]
HERON = SAMPLES / "heron-lane-porch.layout.json"
ORCHARD = SAMPLES / "orchard-row-carport.layout.json"
MM = {"in": 25.4, "ft": 304.8, "mm": 1.0, "cm": 10.0, "m": 1000.0}


def figures(run: Run, *words: str | Path) -> tuple[dict[str, Any], str]:
    """Return the figures of a file and what was told beside them."""
    done = run("figures", *words)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout), done.stderr


def places(found: dict[str, Any]) -> list[tuple[float, float]]:
    """Return where the piers are."""
    return sorted((round(p["x"], 4), round(p["y"], 4)) for p in found["piers"])


def porch(path: Path, *, unit: float = 1.0, insunits: int = 0, wrong: bool = False) -> Path:
    """Write a porch as an architect's DXF: a wall, six round piers with marks, dimensions, a tree of notes."""
    document = ezdxf.new("R2010", setup=True)
    document.header["$INSUNITS"] = insunits
    space = document.modelspace()
    for name in ("A-WALL", "S-FTNG", "A-ANNO"):
        document.layers.add(name)
    space.add_lwpolyline([(0, 0), (9144 / unit, 0)], dxfattribs={"layer": "A-WALL", "const_width": 0})
    number = 0
    for y in (-2438.4, -4876.8):
        for x in (609.6, 4572.0, 8534.4):
            number += 1
            space.add_circle((x / unit, y / unit), 152.4 / unit, dxfattribs={"layer": "S-FTNG"})
            at = ((x + 200) / unit, (y + 60) / unit)
            space.add_text(f"P{number}", height=150 / unit, dxfattribs={"layer": "A-ANNO", "insert": at})
    for first, last in ((609.6, 4572.0), (4572.0, 8534.4)):
        text = "14'-0\"" if wrong and first < 1000 else "13'-0\""
        space.add_linear_dim(
            base=(0, -6000 / unit), p1=(first / unit, -4876.8 / unit), p2=(last / unit, -4876.8 / unit), text=text
        ).render()
    for x in (609.6, 8534.4):
        space.add_linear_dim(
            base=((x - 900) / unit, 0), p1=(x / unit, -2438.4 / unit), p2=(x / unit, -4876.8 / unit), angle=90,
            text="8'-0\"",
        ).render()  # fmt: skip
    document.saveas(path)
    return path


PIERS = [(x, y) for x in (609.6, 4572.0, 8534.4) for y in (-4876.8, -2438.4)]


@pytest.mark.parametrize("sample", [HERON, ORCHARD], ids=["heron", "orchard"])
def test_our_own_drawing_comes_back(sample: Path, layoutdesk: Run, tmp_path: Path) -> None:
    out = tmp_path / "plan.dxf"
    assert layoutdesk("drawing", sample, "-o", out).returncode == 0
    plan, told = figures(layoutdesk, sample)
    again, said = figures(layoutdesk, out)
    assert told == ""
    assert "plan.dxf: taken:" in said
    for a, b in zip(places(plan), places(again), strict=True):
        assert math.dist(a, b) < 1e-3


@pytest.mark.parametrize("sample", [HERON, ORCHARD], ids=["heron", "orchard"])
def test_our_own_points_come_back(sample: Path, layoutdesk: Run, tmp_path: Path) -> None:
    out = tmp_path / "points.csv"
    assert layoutdesk("points", sample, "-o", out).returncode == 0
    plan, _ = figures(layoutdesk, sample)
    again, said = figures(layoutdesk, out)
    assert places(again) == places(plan)
    assert "points.csv: taken:" in said


@pytest.mark.parametrize(("unit", "insunits"), [("in", 1), ("ft", 2), ("mm", 4), ("cm", 5), ("m", 6)])
def test_a_drawing_in_every_unit(unit: str, insunits: int, layoutdesk: Run, tmp_path: Path) -> None:
    path = porch(tmp_path / "porch.dxf", unit=MM[unit], insunits=insunits)
    found, said = figures(layoutdesk, path)
    for a, b in zip(places(found), sorted(PIERS), strict=True):
        assert math.dist(a, b) < 1e-3
    assert {p["mark"] for p in found["piers"]} == {f"P{n}" for n in range(1, 7)}
    assert "6 piers" in said


def test_a_text_that_does_not_agree_with_its_lines_is_a_flag_in_the_figures(
    layoutdesk: Run, tmp_path: Path
) -> None:
    found, _ = figures(layoutdesk, porch(tmp_path / "porch.dxf", insunits=4, wrong=True))
    flags = [flag for flag in found["flags"] if flag["code"] == "dimension-disagrees"]
    assert len(flags) == 1
    said = flags[0]["text"].replace("\u00a0", " ")
    assert "14′ 0″" in said
    assert "13′ 0″" in said


def test_a_table_that_does_not_say_its_unit_is_asked_about(layoutdesk: Run, tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_text("id,x,y\nP1,0,0\nP2,12,0\n", encoding="utf-8")
    refused = layoutdesk("figures", path)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "points.csv" in refused.stderr
    assert "--unit" in refused.stderr
    assert refused.stderr.count("\n") == 1
    found, _ = figures(layoutdesk, path, "--unit", "ft")
    assert places(found) == [(0.0, 0.0), (3657.6, 0.0)]


def test_a_drawing_at_a_scale_that_it_does_not_say(layoutdesk: Run, tmp_path: Path) -> None:
    """Drawn in inches of paper at 1/4" = 1'-0", without a unit and without a dimension."""
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 0
    space = document.modelspace()
    for n, (x, y) in enumerate(PIERS):
        space.add_circle((x / 25.4 / 48, y / 25.4 / 48), 6 / 48, dxfattribs={"layer": "FOOTINGS"})
        space.add_text(f"P{n + 1}", height=0.1, dxfattribs={"insert": (x / 25.4 / 48 + 0.2, y / 25.4 / 48 + 0.1)})
    path = tmp_path / "small.dxf"
    document.saveas(path)
    refused = layoutdesk("figures", path)
    assert refused.returncode == 2
    assert "--unit" in refused.stderr
    needs = layoutdesk("figures", path, "--scale", "48")
    assert needs.returncode == 2
    assert "--unit" in needs.stderr
    for scale in ("48", "1:48", '1/4"=1\'-0"', "1/4\" = 1'"):
        found, said = figures(layoutdesk, path, "--unit", "in", "--scale", scale)
        for a, b in zip(places(found), sorted(PIERS), strict=True):
            assert math.dist(a, b) < 1e-3
        assert "one unit is 1219.2 mm" in said


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["--scale", "0"], "--scale 0 is no scale"),
        (["--scale", "1:x"], "--scale 1:x is no scale"),
        (["--scale", "=1'"], "--scale =1' is no scale"),
        (["--unit", "yards"], "--unit yards is none of in, ft, mm, cm, m"),
        (["--unit", "mm"], "a plan file knows its own lengths"),
    ],
)
def test_options_that_do_not_fit_are_refused(words: list[str], named: str, layoutdesk: Run) -> None:
    done = layoutdesk("figures", HERON, *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert named in done.stderr
    assert done.stderr.count("\n") == 1


def test_every_command_takes_a_drawing(layoutdesk: Run, tmp_path: Path) -> None:
    path = porch(tmp_path / "porch.dxf", insunits=4)
    for command, ending in (("sheets", "pdf"), ("drawing", "dxf"), ("points", "csv"), ("picture", "png")):
        out = tmp_path / f"out.{ending}"
        done = layoutdesk(command, path, "-o", out)
        assert done.returncode == 0, done.stderr
        assert out.stat().st_size > 100
        assert "6 piers" in done.stderr


def test_a_page_whose_scale_is_sure(layoutdesk: Run, tmp_path: Path) -> None:
    """A plan drawn by hand of reportlab at 1:50, dimensioned in metres."""
    from reportlab.lib.units import mm
    from reportlab.pdfgen.canvas import Canvas

    path = tmp_path / "page.pdf"
    canvas = Canvas(str(path), pagesize=(420 * mm, 297 * mm), invariant=1)
    canvas.setLineWidth(0.5)

    def at(x: float, y: float) -> tuple[float, float]:
        return (40 + x / 50) * mm, (250 + y / 50) * mm

    canvas.setLineWidth(2)
    canvas.line(*at(0, 0), *at(9000, 0))
    canvas.setLineWidth(0.5)
    stops = [600.0, 3200.0, 5800.0, 8400.0]
    for number, x in enumerate(stops, 1):
        canvas.circle(*at(x, -3000), 150 / 50 * mm)
        canvas.drawString(at(x, 0)[0] + 12, at(0, -2900)[1], f"P{number}")
    for first, last in pairwise(stops):
        canvas.line(*at(first, -4200), *at(last, -4200))
        for x in (first, last):
            canvas.line(*at(x, -3300), *at(x, -4300))
            canvas.line(at(x, 0)[0] - 3, at(0, -4200)[1] - 3, at(x, 0)[0] + 3, at(0, -4200)[1] + 3)
        canvas.drawCentredString(at((first + last) / 2, 0)[0], at(0, -4150)[1], "2600 mm")
    canvas.save()
    asked = layoutdesk("figures", path, "--scale", "1:50")
    assert asked.returncode == 0, asked.stderr
    found = json.loads(asked.stdout)
    assert len(found["piers"]) == 4
    xs = sorted(p["x"] for p in found["piers"])
    assert [b - a for a, b in pairwise(xs)] == pytest.approx([2600.0] * 3, rel=1e-3)
    by_itself = layoutdesk("figures", path)
    assert by_itself.returncode == 0 or "--scale" in by_itself.stderr
    if by_itself.returncode == 0:
        assert json.loads(by_itself.stdout)["piers"][0]["x"] == pytest.approx(found["piers"][0]["x"], rel=1e-3)
    unit = layoutdesk("figures", path, "--unit", "mm")
    assert unit.returncode == 2
    assert "--scale" in unit.stderr
