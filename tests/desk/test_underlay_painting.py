"""Pictures under the sheet at several sizes, and where their maps paint them."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QTransform
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.picture import picture
from layoutdesk.desk.canvas.underlay import _as_qt
from layoutdesk.desk.canvas.underlay_levels import LONGEST_PX, Levels, decoded
from layoutdesk.desk.desk import Desk
from layoutdesk.desk.theme import LIGHT
from layoutdesk.engine.derive import derive
from layoutdesk.geometry.projective import apply, through_four
from layoutdesk.gestures.gesture import Pointer
from layoutdesk.importers.pictures import picture_facts
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


@pytest.mark.parametrize("factor", [1.0, 4.0, 12.0])
def test_looking_closely_asks_for_a_sharp_part_once(
    desk: Desk, qtbot: QtBot, tmp_path: Path, factor: float
) -> None:
    """However near, with the round window or without, decoding comes to an end."""
    image = QImage(7000, 5000, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    path = tmp_path / "large.png"
    assert image.save(str(path))
    desk.underlays.lay_under(path)
    (one,) = desk.document.plan.underlays
    pictures = desk.underlays.pictures
    qtbot.waitUntil(lambda: pictures.state(one) == "here", timeout=20_000)
    desk.underlays.act("Scale by two points", one.id)
    middle = apply(one.to_plan, [(3500.0, 2500.0)])[0]
    desk.sheet.gesture.moved(Pointer(middle, 10.0))
    desk.sheet.zoom_by(factor)
    for _ in range(12):
        desk.sheet.grab()
        qtbot.wait(100)
    came = pictures.came
    for _ in range(6):
        desk.sheet.grab()
        qtbot.wait(100)
    assert pictures.came == came
    part = pictures._entries[one.file, 0].part
    assert (part is not None) == (factor > 6)


def test_a_picture_stored_turned_is_shown_upright(tmp_path: Path) -> None:
    """Orientation 6 of a camera: the right side of what is stored is the top."""
    from PIL import Image

    stored = Image.new("RGB", (300, 200), "white")
    stored.paste((0, 0, 0), (0, 0, 300, 20))
    exif = Image.Exif()
    exif[274] = 6
    path = tmp_path / "turned.jpg"
    stored.save(path, exif=exif)
    facts = picture_facts(path)
    assert (facts.width, facts.height) == (200, 300)
    whole, per_unit = decoded(path, (200.0, 300.0)).fitting(1.0, dark=False)
    assert (whole.width(), whole.height(), per_unit) == (200, 300, 1.0)
    assert whole.pixelColor(195, 150).lightness() < 60
    assert whole.pixelColor(5, 150).lightness() > 200


def test_what_lies_under_the_house_is_seen_through_it(tmp_path: Path) -> None:
    """The wall of a drawing is what it is laid by."""
    image = QImage(400, 300, QImage.Format.Format_RGB32)
    image.fill(QColor("black"))
    path = tmp_path / "dark.png"
    assert image.save(str(path))
    plan = edits.add_wall(Plan(), [(0.0, 0.0), (4000.0, 0.0)], house_side="left")
    flat = (10.0, 0.0, 0.0, 0.0, -10.0, 2500.0, 0.0, 0.0, 1.0)
    laid = edits.add_underlay(plan, str(path), (400.0, 300.0), to_plan=flat)
    seen, hidden = (
        picture(derive(p), LIGHT, 900, 700) for p in (laid, edits.set_underlay(laid, "U1", shown=False))
    )

    def house(of: QImage) -> int:
        """Return how many points have the house's full colour."""
        full = QColor(LIGHT.house).rgb()
        return sum(of.pixelColor(x, y).rgb() == full for x in range(0, 900, 7) for y in range(0, 700, 7))

    assert house(hidden) > 500
    assert house(seen) < 30  # the patch behind its name
