"""Against another reader of PDF files: lines, circles and letters of scattered drawings lie where it finds them."""

from __future__ import annotations

import io
import random
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from reportlab.pdfgen.canvas import Canvas

from layoutdesk.importers.linework import Shape
from layoutdesk.importers.pdf import read_pdf
from tests.importers.pdf_pages import MM

SIDE = 1400.0


def _scattered(seed: int) -> bytes:
    """Return a page of things turned, mirrored and scaled at random, in nested forms and without."""
    chance = random.Random(seed)  # noqa: S311  # a drawing, not a secret
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(SIDE, SIDE), invariant=1)
    for number in range(60):
        canvas.saveState()
        canvas.translate(chance.uniform(500, 900), chance.uniform(500, 900))
        canvas.rotate(chance.choice([0, 90, 180, 270, chance.uniform(0, 360)]))
        if chance.random() < 0.3:
            canvas.scale(1, -1)
        size = chance.uniform(0.3, 2.0)
        canvas.scale(size, size)
        match number % 3:
            case 0:
                canvas.line(*(chance.uniform(-100, 100) for _ in range(4)))
            case 1:
                canvas.circle(chance.uniform(-100, 100), chance.uniform(-100, 100), chance.uniform(2, 60))
            case _:
                canvas.setFont("Helvetica", chance.uniform(5, 20))
                canvas.drawString(0, 0, f"N{number}")
        canvas.restoreState()
    canvas.save()
    return out.getvalue()


def _box(shape: Shape) -> list[float]:
    if shape.centre is not None and shape.is_circle:
        (x, y), r = shape.centre, shape.radius
        return [x - r, y - r, x + r, y + r]
    xs, ys = zip(*shape.points, strict=True)
    return [min(xs), min(ys), max(xs), max(ys)]


def _theirs(thing: dict[str, Any]) -> list[float]:
    return [thing["x0"] / MM, thing["y0"] / MM, thing["x1"] / MM, thing["y1"] / MM]


@pytest.mark.parametrize("seed", range(6))
def test_another_reader_finds_the_same(tmp_path: Path, seed: int) -> None:
    file = tmp_path / "drawing.pdf"
    file.write_bytes(_scattered(seed))
    found = read_pdf(file)
    with pdfplumber.open(file) as other:
        page = other.pages[0]
        lines = sorted(_theirs(line) for line in page.lines)
        # It bounds a curve by its ends, which of a circle turned askew are not its farthest points.
        curves = [curve["pts"] for curve in page.curves]
        letters = sorted((c["text"], c["matrix"][4] / MM, c["matrix"][5] / MM) for c in page.chars)
    ours = sorted(_box(s) for s in found.shapes if not s.is_circle)
    assert len(ours) == 20
    for mine, theirs in zip(ours, lines, strict=True):
        assert mine == pytest.approx(theirs, abs=5e-4)

    circles = [s for s in found.shapes if s.is_circle]
    assert len(circles) == len(curves) == 20
    for circle, points in zip(circles, curves, strict=True):  # both in the order of the file
        assert circle.centre is not None
        for x, down in points:
            off = ((x / MM - circle.centre[0]) ** 2 + ((SIDE - down) / MM - circle.centre[1]) ** 2) ** 0.5
            assert off == pytest.approx(circle.radius, abs=5e-4 + 5e-4 * circle.radius)

    first = sorted((w.text, *w.at) for w in found.words)
    assert len(first) == 20
    theirs_first = sorted(entry for entry in letters if entry[0] == "N")
    for (_, x, y), (_, u, v) in zip(
        sorted(first, key=lambda t: t[1:]), sorted(theirs_first, key=lambda t: t[1:]), strict=True
    ):
        assert (x, y) == pytest.approx((u, v), abs=5e-4)
