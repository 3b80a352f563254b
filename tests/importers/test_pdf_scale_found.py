"""The scale of a PDF page is found from the dimensions written on it, whoever wrote the file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.importers.pdf import page_count, read_pdf
from layoutdesk.importers.scale import guess_scale
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.sheets.book import stake_out_set
from layoutdesk.sheets.plan_sheet import plan_fit
from tests.importers.pdf_porch import METRIC, US, BarePen, CanvasPen, ObjectPen, Pen, Porch, draw_porch

TEN_THOUSANDTH = 1e-4


@pytest.mark.parametrize("pen", [CanvasPen, BarePen, ObjectPen])
@pytest.mark.parametrize(
    ("porch", "scale"), [(US, 32), (US, 48), (US, 96), (METRIC, 40), (METRIC, 50), (METRIC, 100), (US, 57.3)]
)
def test_scale_is_found_to_a_ten_thousandth(
    tmp_path: Path, pen: Callable[[], Pen], porch: Porch, scale: float
) -> None:
    file = tmp_path / "porch.pdf"
    file.write_bytes(draw_porch(pen(), porch, scale))
    found = read_pdf(file)
    dimensions = {text for _, text in (*porch.gaps, *porch.rows)} | {porch.whole}
    assert dimensions <= {w.text for w in found.words}
    circles = [s for s in found.shapes if s.is_circle]
    assert len(circles) == len(porch.rows) * (len(porch.gaps) + 1)
    assert all(2 * c.radius * scale == pytest.approx(porch.diameter, abs=0.02 * scale) for c in circles)

    guess = guess_scale(found)
    assert guess.scale == pytest.approx(scale, rel=TEN_THOUSANDTH)
    assert guess.agree >= 6
    assert guess.sure


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.json")), ids=lambda p: p.stem)
def test_own_plan_sheet_reads_back_to_its_scale(tmp_path: Path, sample: Path) -> None:
    layout = derive(read_plan(sample))
    sheets = stake_out_set(layout)
    file = tmp_path / "sheets.pdf"
    file.write_bytes(write_pdf(sheets))
    assert page_count(file) == len(sheets.pages)
    number = next(n for n, page in enumerate(sheets.pages, start=1) if page.name == "Plan")
    found = read_pdf(file, page=number)
    scale = plan_fit(layout, layout.plan.paper).scale
    assert scale is not None
    guess = guess_scale(found)
    assert guess.scale == pytest.approx(scale.ratio, rel=TEN_THOUSANDTH)
    assert guess.agree >= 4
    assert guess.sure
    # Every pier's mark is there as one text, and so is every length with a fraction.
    texts = [w.text for w in found.words]
    assert {pier.label for pier in layout.plan.piers} <= set(texts)
    assert not [text for text in texts if text in {"/", '"', "1/2"}]
