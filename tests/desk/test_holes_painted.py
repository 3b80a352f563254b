"""Openings in slabs and holes that were dug, on the sheet: what is painted, and when."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from layoutdesk.desk.theme import DARK, LIGHT, Theme
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from tests.desk.hands import Bench


def staked(qtbot: QtBot, theme: Theme, page: str) -> Bench:
    """Return the sheet of the porch with six holes logged, two of them to be mended."""
    bench = Bench(qtbot, read_plan(SAMPLES / "heron-lane-porch-staked.layout.json"), theme)
    bench.view.turn_to(page)  # type: ignore[arg-type]
    bench.sheet.repaint()
    return bench


def colours(bench: Bench, box: QRectF) -> set[str]:
    image: QImage = bench.sheet.grab(box.toAlignedRect()).toImage()
    return {image.pixelColor(x, y).name() for x in range(image.width()) for y in range(image.height())}


def beside(bench: Bench, pier: str) -> QRectF:
    """Return where the mark of a pier is painted, and a little more."""
    at = bench.sheet.camera.to_screen(next(p.at for p in bench.document.plan.piers if p.id == pier))
    return QRectF(at.x() - 40, at.y() - 40, 40, 40)


def near(name: str, other: str) -> bool:
    """Return whether a colour is another one, or the most of it where a line is smoothed."""
    a, b = QColor(name), QColor(other)
    return max(abs(a.red() - b.red()), abs(a.green() - b.green()), abs(a.blue() - b.blue())) < 50


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_an_opening_is_bare_ground_within_its_slab(qtbot: QtBot, theme: Theme) -> None:
    bench = staked(qtbot, theme, "plan")
    opening = bench.document.layout.openings[0]
    corners = [bench.sheet.camera.to_screen(corner) for corner in opening.outline]
    middle = bench.sheet.camera.to_screen(next(p.at for p in bench.document.plan.piers if p.id in opening.pier_ids))
    inside = corners[0] + (middle - corners[0]) * 0.18
    spot = QRectF(inside - QPointF(1, 1), inside + QPointF(1, 1))
    assert QColor(theme.paper).name() in colours(bench, spot)
    bench.document.apply("No slabs", lambda p: edits.delete(p, [s.id for s in p.slabs]))
    assert bench.document.layout.openings == ()
    bench.sheet.repaint()
    assert bench.troubles == []


def test_marks_of_logged_holes_come_with_the_page_of_the_piers(qtbot: QtBot) -> None:
    bench = staked(qtbot, LIGHT, "plan")
    rows = {row.pier: row for row in bench.document.layout.holes}
    mend = next(p for p, row in rows.items() if row.verdict == "to mend" and not row.poured)
    full = next(p for p, row in rows.items() if row.poured)
    bare = {pier: colours(bench, beside(bench, pier)) for pier in (mend, full)}
    bench.view.turn_to("piers")
    bench.sheet.repaint()
    assert any(near(name, LIGHT.look) for name in colours(bench, beside(bench, mend)))
    assert not any(near(name, LIGHT.look) for name in bare[mend])
    assert QColor(LIGHT.holds).name() in colours(bench, beside(bench, full)) - bare[full]
    bench.document.apply("Strike out", lambda p: edits.unlog_hole(p, [mend, full]))
    bench.sheet.repaint()
    assert QColor(LIGHT.holds).name() not in colours(bench, beside(bench, full))
    assert bench.troubles == []
