"""The plan sheet is at true scale: read back from the PDF with two libraries that know nothing of ours."""

from __future__ import annotations

import ctypes
import io
from collections.abc import Iterator
from functools import cache
from itertools import combinations
from typing import Any, get_args

import pdfplumber
import pypdfium2 as pdfium
import pypdfium2.raw
import pytest

from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.plan.model import Paper
from layoutdesk.sheets.book import stake_out_set
from layoutdesk.sheets.plan_sheet import CHECK_BAR_MM, plan_fit
from tests.sheets.sheet_plans import CARPORT, NAMES, sample_layout

MM = 25.4 / 72
RAW: Any = pypdfium2.raw
NEAR = 0.05
PAPERS: tuple[Paper, ...] = get_args(Paper)
RATIOS = {(name, paper): 100.0 if name == CARPORT else 64.0 for name in NAMES for paper in PAPERS}
"""3/16 in to the foot, and 1:100."""


@cache
def pdf(name: str, paper: Paper) -> bytes:
    """Return a sample's sheets as a file."""
    return write_pdf(stake_out_set(sample_layout(name), paper=paper))


def circles_by_pdfplumber(data: bytes, page: int) -> list[tuple[Vector, float]]:
    """Return centre and radius of every circle of a page, in millimetres from its lower left corner."""
    found = []
    with pdfplumber.open(io.BytesIO(data)) as file:
        high = float(file.pages[page].height)
        for curve in file.pages[page].curves:
            if [step[0] for step in curve["path"]] == ["m", "c", "c", "c", "c", "h"]:
                x, top = (curve["x0"] + curve["x1"]) / 2, (curve["top"] + curve["bottom"]) / 2
                found.append(((x * MM, (high - top) * MM), curve["width"] / 2 * MM))
    return found


def outlines_by_pdfium(data: bytes, page: int) -> Iterator[tuple[float, float, float, float]]:
    """Yield left, bottom, right and top of every filled or stroked outline of a page, in millimetres."""
    file = pdfium.PdfDocument(data)
    for thing in file[page].get_objects(filter=[RAW.FPDF_PAGEOBJ_PATH]):
        xs: list[float] = []
        ys: list[float] = []
        for i in range(RAW.FPDFPath_CountSegments(thing.raw)):
            x, y = ctypes.c_float(), ctypes.c_float()
            RAW.FPDFPathSegment_GetPoint(RAW.FPDFPath_GetPathSegment(thing.raw, i), x, y)
            xs.append(x.value * MM)
            ys.append(y.value * MM)
        yield min(xs), min(ys), max(xs), max(ys)
    file.close()


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_check_bar_has_its_length(name: str, paper: Paper) -> None:
    """Exactly 4 in, or exactly 100 mm, to a twentieth of a millimetre, by both libraries; so are its steps."""
    units = sample_layout(name).plan.units
    length, steps = CHECK_BAR_MM[units], 4 if units == "ft-in" else 10
    with pdfplumber.open(io.BytesIO(pdf(name, paper))) as file:
        edges = [line for line in file.pages[1].lines if abs(line["width"] * MM - length) < NEAR]
        rects = [r for r in file.pages[1].rects if r["fill"] and abs(r["height"] * MM - 3.0) < NEAR]
    assert len(edges) == 2
    left = edges[0]["x0"] * MM
    for i in range(0, steps, 2):
        start, end = left + length * i / steps, left + length * (i + 1) / steps
        assert any(abs(r["x0"] * MM - start) < NEAR and abs(r["x1"] * MM - end) < NEAR for r in rects)
    outlines = list(outlines_by_pdfium(pdf(name, paper), 1))
    assert sum(abs(r - x - length) < NEAR and top - low < 0.01 for x, low, r, top in outlines) == 2


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_piers_lie_at_scale(name: str, paper: Paper) -> None:
    """Every pier's circle is there, as wide as its hole, and as far from each other as the scale says."""
    layout = sample_layout(name)
    ratio = RATIOS[name, paper]
    circles = circles_by_pdfplumber(pdf(name, paper), 1)
    camera = plan_fit(layout, paper).camera
    found: list[tuple[Vector, Vector]] = []
    for pier in layout.plan.piers:
        centre, radius = min(circles, key=lambda circle: distance(circle[0], camera.on_paper(pier.at)))
        detail = layout.plan.detail(pier.detail)
        assert detail is not None
        assert radius == pytest.approx(detail.profile[0][1] / 2 / ratio, abs=NEAR)
        found.append((pier.at, centre))
    for (here, seen_here), (there, seen_there) in combinations(found, 2):
        assert distance(seen_here, seen_there) == pytest.approx(distance(here, there) / ratio, abs=NEAR)
