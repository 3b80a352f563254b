"""What is painted: both dresses, ten thousand piers, odd plans, high density, and trouble in painting."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.camera import CLOSEST, FARTHEST, Camera
from layoutdesk.desk.canvas.clutter import Clutter
from layoutdesk.desk.canvas.crowding import naming_of, shown_dimensions, text_box
from layoutdesk.desk.canvas.dimensions import placed_dimensions
from layoutdesk.desk.canvas.lettering import SMALLEST, Lettering
from layoutdesk.desk.canvas.picture import picture
from layoutdesk.desk.canvas.rulers import ruler_text
from layoutdesk.desk.canvas.strokes import upright
from layoutdesk.desk.theme import DARK, LIGHT, Theme
from layoutdesk.engine.derive import derive
from layoutdesk.gestures.bearings import bearings_of
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Baseline, Plan
from tests.desk.hands import Bench
from tests.gestures.hand import FT
from tests.gestures.scenes import porch


def counted(image: QImage, name: str) -> int:
    """Return how many pixels of an image have exactly this colour."""
    wanted = QColor(name).rgb()
    return sum(image.pixel(x, y) == wanted for x in range(image.width()) for y in range(image.height()))


def field_of(count: int) -> Plan:
    """Return so many piers in one field, a hundred to a row."""
    plan = edits.add_detail(edits.add_wall(Plan(), [(0, 0), (250_000, 0)]), [(0, 300), (800, 400)])
    plan = edits.set_baseline(plan, (0, 0), (250_000, 0), yard_side="right")
    return edits.add_grid(plan, (500, -1000), (0, -1), [2500.0] * 100, [2500.0] * (count // 100 - 1), detail="D1")


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("sample", sorted(p.name for p in SAMPLES.glob("*.layout.json")))
def test_samples_are_painted_in_the_colours_of_the_dress(theme: Theme, sample: str) -> None:
    image = picture(derive(read_plan(SAMPLES / sample)), theme, 700, 520)
    assert (image.width(), image.height()) == (700, 520)
    for name in (theme.paper, theme.ink, theme.work, theme.house, theme.slab, theme.check):
        assert counted(image, name) > 10, name


def test_the_window_shows_what_the_picture_shows(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    size = bench.sheet.size()
    shown = bench.sheet.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    alone = picture(derive(porch()), LIGHT, size.width(), size.height())
    same = sum(shown.pixel(x, y) == alone.pixel(x, y) for x in range(0, 900, 7) for y in range(0, 600, 7))
    assert same > 0.99 * len(range(0, 900, 7)) * len(range(0, 600, 7))


@pytest.mark.parametrize("factor", [1.0, 4.0, 60.0])
def test_ten_thousand_piers_are_painted_without_trouble(qtbot: QtBot, factor: float) -> None:
    bench = Bench(qtbot, field_of(10_000))
    assert len(bench.plan.piers) == 10_000
    bench.sheet.zoom_by(factor)
    bench.sheet.repaint()
    nearest = min(bench.plan.piers, key=lambda pier: math.dist(pier.at, bench.sheet.camera.centre))
    bench.click(nearest.at)
    bench.sheet.repaint()
    assert bench.troubles == []
    assert bench.view.selected == (nearest.id,)


def odd_plans() -> dict[str, Plan]:
    far = edits.add_pier(porch(), (9.9e6, -9.9e6))
    return {
        "empty": Plan(),
        "one pier": edits.add_pier(Plan(), (5.0, 5.0)),
        "far away": far,
        "no length": Plan(baseline=Baseline(origin=(1.0, 1.0), toward=(1.0, 1.0), yard_side="left")),
        "upside down": edits.set_baseline(porch(), (0, 0), (9000, 0), yard_side="left"),
        "skewed": edits.set_baseline(porch(), (0, 0), (4000, -3000), yard_side="right"),
        "no detail": edits.assign_detail(porch(), ["P1", "P2"], None),
        "metric": edits.set_units(porch(), "m"),
        "millimetres": edits.set_units(porch(), "mm"),
    }


@pytest.mark.parametrize("name", sorted(odd_plans()))
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_odd_plans_are_painted_at_every_distance(qtbot: QtBot, name: str, theme: Theme) -> None:
    plan = odd_plans()[name]
    bench = Bench(qtbot, plan, theme)
    bench.view.select(tuple(p.id for p in plan.pieces()))
    for factor in (1.0, 1e-6, 30.0, 1e6):
        bench.sheet.zoom_by(factor)
        bench.sheet.repaint()
    for piece in plan.pieces():
        bench.view.select((piece.id,))
        bench.sheet.repaint()
    assert bench.troubles == []
    picture(derive(plan), theme, 1, 1)


def test_every_bay_can_be_shown(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    plain = bench.sheet.grab().toImage()
    for bay in bench.document.layout.bays:
        bench.view.show_bay(bay.id)
        assert bench.sheet.grab().toImage() != plain
    bench.view.show_bay("no such bay")
    assert bench.sheet.grab().toImage() == plain


def test_trouble_in_painting_is_told_once_and_the_window_stays(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    from layoutdesk.desk.canvas import still

    def broken(*_: object) -> None:
        raise ZeroDivisionError("no room")

    bench = Bench(qtbot, porch())
    monkeypatch.setattr(still, "paint_sheet", broken)
    bench.sheet.zoom_by(2.0)
    for _ in range(3):
        bench.sheet.repaint()
    qtbot.waitUntil(lambda: len(bench.troubles) == 1)
    assert "no room" in bench.troubles[0]
    monkeypatch.undo()
    bench.sheet.zoom_by(2.0)
    bench.sheet.repaint()
    assert len(bench.troubles) == 1


def test_theme_and_text_size_change_at_once(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    light = bench.sheet.grab().toImage()
    bench.sheet.set_theme(DARK)
    bench.entry.set_theme(DARK)
    dark = bench.sheet.grab().toImage()
    assert light.pixel(700, 40) != dark.pixel(700, 40)
    bench.sheet.set_text_scale(1.5)
    bench.entry.set_text_scale(1.5)
    assert bench.sheet.grab().toImage() != dark


def test_no_text_is_smaller_than_nine_pixels() -> None:
    assert Lettering(0.1).font(13).pixelSize() == SMALLEST == 9


def test_no_text_stands_on_its_head() -> None:
    for degrees in range(-720, 721, 5):
        turned = upright(degrees)
        assert -100.0 <= turned < 80.0
        assert (turned - degrees) % 180 == pytest.approx(0) or (turned - degrees) % 180 == pytest.approx(180)


@pytest.mark.parametrize(
    ("mm", "units", "step", "text"),
    [
        (5 * FT, "ft-in", 5 * FT, "5′"),
        (-5 * FT, "ft-in", 5 * FT, "−5′"),
        (5.5 * FT, "ft-in", FT / 2, "5′ 6″"),
        (2000.0, "m", 1000.0, "2"),
        (2500.0, "m", 500.0, "2.5"),
        (2525.0, "m", 5.0, "2.525"),
        (-40.0, "mm", 20.0, "−40"),
    ],
)
def test_rulers_read_short(mm: float, units: str, step: float, text: str) -> None:
    assert ruler_text(mm, units, step) == text


def test_camera_goes_there_and_back_and_keeps_its_limits() -> None:
    names = bearings_of(edits.set_baseline(Plan(), (10, 20), (400, -300), yard_side="left"))
    camera = Camera(middle=(400.0, 300.0)).turned_to(names).fitted([(0, 0), (5000, -7000)], 600, 400)
    for place in ((0.0, 0.0), (5000.0, -7000.0), (123.4, 567.8)):
        at = camera.to_screen(place)
        assert camera.to_plan(at.x(), at.y()) == pytest.approx(place, abs=1e-6)
    assert camera.zoomed(1e9, 0, 0).scale == CLOSEST
    assert camera.zoomed(1e-9, 0, 0).scale == FARTHEST
    moved = camera.panned(10, -20)
    assert moved.to_screen((0, 0)).x() == pytest.approx(camera.to_screen((0, 0)).x() + 10)


def test_columns_are_placed_as_single_points_are() -> None:
    import numpy as np

    camera = Camera((100.0, -50.0), 0.3, (0.6, 0.8), (0.8, -0.6), (320.0, 240.0))
    places = [(0.0, 0.0), (500.0, -900.0), (-1e4, 3e4)]
    xs, ys = camera.columns(np.array(places))
    for x, y, place in zip(xs, ys, places, strict=True):
        at = camera.to_screen(place)
        assert (x, y) == pytest.approx((at.x(), at.y()))


def test_names_go_where_nothing_is() -> None:
    clutter = Clutter(QRectF(0, 0, 400, 300))
    clutter.take_line(QPointF(-1e6, 50), QPointF(1e6, 50))
    taken, free = QRectF(100, 45, 30, 12), QRectF(100, 90, 30, 12)
    assert clutter.freest([taken, free]) == free
    assert clutter.load(free) > 0
    assert clutter.freest([taken, free], most=0) is None
    assert clutter.freest([QRectF(500, 500, 30, 12)], most=10) is None


def test_dimensions_are_found_on_their_text(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    placed = placed_dimensions(bench.sheet._scene())
    assert placed
    for one in placed:
        assert one.holds(one.middle)
        assert not one.holds(one.middle + QPointF(0, 40)) or abs(one.turn) > 45
        assert one.text == bench.sheet._scene().length(one.dimension.value)


def test_equal_spacings_without_room_are_said_once(qtbot: QtBot) -> None:
    plan = edits.set_baseline(Plan(), (0.0, 0.0), (100 * FT, 0.0), yard_side="right")
    plan = edits.add_row(plan, (0.0, -5 * FT), (10 * FT, -5 * FT), [0.0] + [8 * FT] * 39)
    bench = Bench(qtbot, plan)
    placed = placed_dimensions(bench.sheet._scene())
    said = [one for one in placed if one.text and one.dimension.sets == "spacing"]
    assert [one.text for one in said] == ["39 @ 8′ 0″"]
    assert [one.text for one in placed if one.dimension.sets == "from baseline"] == ["5′ 0″"]
    assert len(said[0].group) == 39
    bench.sheet.zoom_by(6.0)
    assert {one.text for one in placed_dimensions(bench.sheet._scene()) if one.text} == {"8′ 0″"}


def test_names_win_over_dimensions(qtbot: QtBot) -> None:
    plan = edits.set_baseline(edits.set_units(Plan(), "m"), (0.0, 0.0), (9000.0, 0.0), yard_side="right")
    for k in range(6):
        start = (500.0 + 700.0 * k, -1000.0)
        plan = edits.add_row(plan, start, (500.0 + 700.0 * k, -9000.0), [0.0] + [1700.0 + 10.0 * k] * 4)
    bench = Bench(qtbot, plan)
    scene = bench.sheet._scene()
    names = [box.adjusted(2, 2, -2, -2) for box, _ in naming_of(scene).names]
    assert len(names) == 30
    shown = shown_dimensions(scene)
    for one in shown:
        assert not any(text_box(one).intersects(box) for box in names)
    assert len(shown) < len(placed_dimensions(scene))


def test_the_squaring_triangle_is_shown_with_the_control_page(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    plain = counted(bench.sheet.grab().toImage(), LIGHT.check)
    bench.view.turn_to("control")
    assert counted(bench.sheet.grab().toImage(), LIGHT.check) > plain + 200
    bench.view.turn_to("plan")
    assert counted(bench.sheet.grab().toImage(), LIGHT.check) == plain
