"""Pictures under the sheet at several sizes, and where their maps paint them."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QTransform

from layoutdesk.desk.canvas.picture import picture
from layoutdesk.desk.canvas.underlay import _as_qt
from layoutdesk.desk.canvas.underlay_levels import LONGEST_PX, Levels, decoded
from layoutdesk.desk.theme import LIGHT
from layoutdesk.engine.derive import derive
from layoutdesk.geometry.projective import apply, through_four
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan


def test_no_picture_in_memory_is_larger_than_is_painted(tmp_path: Path) -> None:
    image = QImage(6000, 500, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    path = tmp_path / "long.png"
    assert image.save(str(path))
    levels = decoded(path, (6000.0, 500.0))
    whole, per_unit = levels.fitting(10.0, dark=False)
    assert whole.width() == LONGEST_PX
    assert per_unit == pytest.approx(LONGEST_PX / 6000)
    small, per_unit = levels.fitting(0.1, dark=False)
    assert 0.075 <= per_unit <= 0.2
    assert small.width() == pytest.approx(6000 * per_unit, abs=1)


def test_a_photograph_stays_as_it_is_in_the_dark() -> None:
    photo, lines = (QImage(64, 64, QImage.Format.Format_RGB32) for _ in range(2))
    photo.fill(QColor(90, 110, 60))
    lines.fill(QColor("white"))
    assert Levels(photo, 1.0).fitting(1.0, dark=True)[0].pixelColor(9, 9) == QColor(90, 110, 60)
    assert Levels(lines, 1.0).fitting(1.0, dark=True)[0].pixelColor(9, 9) == QColor("black")


def test_a_projective_map_is_painted_where_it_lies() -> None:
    """What Qt makes of the nine numbers is what the geometry says."""
    m = through_four(
        ((0.0, 0.0), (400.0, 0.0), (400.0, 300.0), (0.0, 300.0)), ((9, 8), (390, 40), (300, 280), (50, 200))
    )
    shape: QTransform = _as_qt(m)
    assert shape.map(QPointF(120.0, 70.0)).toTuple() == pytest.approx(apply(m, [(120.0, 70.0)])[0])


def test_a_picture_that_is_gone_is_an_empty_frame(tmp_path: Path) -> None:
    plan = edits.add_underlay(Plan(), str(tmp_path / "gone.png"), (400.0, 300.0))
    with_frame, without = (picture(derive(p), LIGHT, 900, 700) for p in (plan, Plan()))
    assert with_frame != without
