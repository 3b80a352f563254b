"""Heights on the sheet and in the side view: what is painted, where, and that it is to scale."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.layers import paint_sheet
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.height_work import HeightWork
from layoutdesk.desk.notebook.height_words import exact_height, falls_away, height, plain_number, read_height
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.side_drawing import NumberRow, SideDrawing, words_apart
from layoutdesk.desk.notebook.side_scale import fitted
from layoutdesk.desk.theme import DARK, LIGHT, Theme
from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.engine.levels.entries import GroundPlane, SidePier, SideView
from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.heights import Reading
from layoutdesk.plan.model import Plan
from layoutdesk.units import UNITS, Units
from tests.desk.hands import Bench
from tests.gestures.hand import FT
from tests.gestures.scenes import porch

IMPERIAL = LengthText("ft-in", 1.5875)


def sloping(*, spots: bool = True) -> Plan:
    """Return the porch on ground that falls 3 % away from the house: spots, three piers read, seats given."""
    plan = edits.set_benchmark(porch(), "BM", at=(1 * FT, 0.0))

    def ground(at: tuple[float, float]) -> float:
        return -300.0 + 0.03 * at[1]

    rows = [Reading(setup=1, point="BM", kind="back", reading=1200.0)]
    rows += [Reading(setup=1, point=p.id, kind="fore", reading=1200.0 - ground(p.at)) for p in plan.piers[:3]]
    plan = edits.add_readings(plan, rows)
    if spots:
        for at in ((-2 * FT, -2 * FT), (-2 * FT, -23 * FT), (16 * FT, -23 * FT), (16 * FT, -2 * FT)):
            plan = edits.add_spot(plan, at, elevation=ground(at))
    return edits.set_line_heights(plan, [x.id for x in plan.lines], seat=2400.0, fall=1 / 48)


def sheet_of(qtbot: QtBot, plan: Plan, *, page: str = "levels", theme: Theme = LIGHT) -> Bench:
    bench = Bench(qtbot, plan, theme)
    bench.view.turn_to(page)  # type: ignore[arg-type]
    bench.sheet.repaint()
    return bench


def picture_of(bench: Bench) -> QImage:
    return bench.sheet.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def count(image: QImage, name: str) -> int:
    wanted = QColor(name).rgb()
    return sum(image.pixel(x, y) == wanted for x in range(image.width()) for y in range(image.height()))


# ---- the sheet


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_heights_are_painted_on_their_page_only(qtbot: QtBot, theme: Theme) -> None:
    bench = sheet_of(qtbot, sloping(), theme=theme)
    there = picture_of(bench)
    assert bench.sheet._scene().heights
    flat = sheet_of(qtbot, porch(), theme=theme)
    assert count(there, theme.check) > count(picture_of(flat), theme.check) + 600
    bench.view.turn_to("piers")
    assert not bench.sheet._scene().heights
    assert picture_of(bench) != there


def test_dimensions_make_room_for_heights(qtbot: QtBot) -> None:
    bench = sheet_of(qtbot, sloping())
    assert bench.sheet._scene().leveling
    from layoutdesk.desk.canvas.dimensions import placed_dimensions

    assert placed_dimensions(bench.sheet._scene()) == []
    bench.view.turn_to("plan")
    assert placed_dimensions(bench.sheet._scene())


def test_a_spot_is_clicked_on_the_sheet_and_its_number_stands_beside_it(qtbot: QtBot) -> None:
    bench = sheet_of(qtbot, sloping())
    spot = bench.plan.spots[2]
    bench.click(spot.at)
    assert bench.view.selected == (spot.id,)
    at = bench.at(spot.at).toPoint()
    image = picture_of(bench)
    around = QRectF(at.x() - 6, at.y() - 6, 13, 13).toRect()
    assert count(image.copy(around), LIGHT.work) > 5


def test_piers_without_a_reading_are_ringed_and_those_beyond_have_a_question_mark(qtbot: QtBot) -> None:
    near = sheet_of(qtbot, sloping())
    layout = near.document.layout
    assert {row.ground_from for row in layout.heights} == {"reading", "surface"}
    before = picture_of(near)
    beyond = sheet_of(qtbot, sloping(spots=False))
    assert {row.ground_from for row in beyond.document.layout.heights} == {"reading", "beyond the spots"}
    assert count(picture_of(beyond), LIGHT.look) > count(before, LIGHT.look) + 40


def test_thousands_of_piers_with_heights_are_painted_and_only_picked_ones_are_written(qtbot: QtBot) -> None:
    plan = edits.add_detail(edits.add_wall(Plan(), [(0, 0), (90_000, 0)]), [(0, 300), (800, 400)])
    plan = edits.set_baseline(plan, (0, 0), (90_000, 0), yard_side="right")
    plan = edits.add_grid(plan, (500, -1000), (0, -1), [2500.0] * 20, [2500.0] * 10, detail="D1")
    for at in ((0.0, -500.0), (26_000.0, -500.0), (26_000.0, -60_000.0)):
        plan = edits.add_spot(plan, at, elevation=at[1] / 50)
    bench = sheet_of(qtbot, plan)
    plain = picture_of(bench)
    bench.view.select([plan.piers[40].id])
    assert picture_of(bench) != plain
    assert not bench.troubles


def test_a_plan_without_heights_shows_the_page_without_trouble(qtbot: QtBot) -> None:
    bench = sheet_of(qtbot, porch())
    assert count(picture_of(bench), LIGHT.paper) > 1000
    assert not bench.troubles


def test_all_layers_can_be_painted_without_a_window(qtbot: QtBot) -> None:
    bench = sheet_of(qtbot, sloping())
    scene = replace(bench.sheet._scene(), selected=frozenset({"P1"}))
    image = QImage(bench.sheet.size(), QImage.Format.Format_RGB32)
    from PySide6.QtGui import QPainter

    painter = QPainter(image)
    paint_sheet(painter, scene)
    painter.end()
    assert count(image, LIGHT.check) > 500


# ---- working it out beside the desk


def test_few_heights_are_known_at_once_and_many_come_from_a_thread(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    from PySide6.QtCore import QObject

    owner = QObject()
    work = HeightWork(owner)
    layout = derive(sloping())
    _ = layout.ground.contours  # which loads what it needs
    assert work.ask(layout)
    assert work.flags(layout) == layout.height_flags
    monkeypatch.setattr("layoutdesk.desk.height_work.AT_ONCE", 3)
    other = derive(edits.set_heights(sloping(), frost=700.0))
    with qtbot.waitSignal(work.came, timeout=10_000):
        assert not work.ask(other)
    assert work.ask(other)
    assert work.knows(other)
    assert not work.knows(derive(sloping()))


def test_the_last_of_several_plans_is_the_one_that_is_told(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    from PySide6.QtCore import QObject

    owner = QObject()
    work = HeightWork(owner)
    monkeypatch.setattr("layoutdesk.desk.height_work.AT_ONCE", 0)
    plans = [derive(edits.set_heights(sloping(), frost=700.0 + k)) for k in range(3)]
    with qtbot.waitSignal(work.came, timeout=10_000):
        assert [work.ask(layout) for layout in plans] == [False] * 3
    assert work.knows(plans[2])
    assert not work.knows(plans[1])


def test_heights_that_cannot_be_worked_out_are_told_once(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    from PySide6.QtCore import QObject

    def broken(layout: Layout) -> None:
        raise ValueError("no ground")

    owner = QObject()
    work = HeightWork(owner)
    monkeypatch.setattr("layoutdesk.desk.height_work.work_out", broken)
    layout = derive(sloping())
    if not work.ask(layout) and not work.trouble:
        qtbot.waitUntil(lambda: bool(work.trouble), timeout=10_000)
    assert work.trouble == "The heights could not be worked out: no ground"
    assert not work.ask(layout)


# ---- the side view


def view_of(*piers: SidePier) -> SideView:
    return SideView(
        line="L1",
        label="L1",
        start=0.0,
        end=6000.0,
        ground=(((-500.0, -200.0), (6500.0, -500.0)),),
        string=((-500.0, 100.0), (6500.0, 100.0)),
        beam=((0.0, 2400.0), (6000.0, 2300.0)),
        piers=piers,
        house=0.0,
    )


def pier(running: float, name: str = "P1", *, top: float | None = -100.0) -> SidePier:
    return SidePier(
        name, name, running, -250.0, top, -1150.0, ((0.0, 300.0), (900.0, 450.0)), -75.0, 2350.0, 140.0, -100.0
    )


@given(
    st.floats(0.2, 20.0),
    st.floats(80, 2000),
    st.lists(st.floats(0.0, 6000.0), max_size=6),
)
def test_a_side_view_is_to_scale_and_inside_its_room(factor: float, wide: float, runs: list[float]) -> None:
    view = view_of(*(pier(x, f"P{k}") for k, x in enumerate(runs)))
    scale = fitted(view, factor, x0=50.0, y0=20.0, wide=wide, tallest=400.0)
    assert scale.up == pytest.approx(scale.across * factor)
    assert scale.tall <= 400.0 + 1e-6
    for running in (scale.left, scale.right):
        assert 50.0 - 1e-6 <= scale.x(running) <= 50.0 + wide + 1e-6
    assert scale.y(scale.high) == pytest.approx(20.0)
    assert scale.y(scale.low) == pytest.approx(20.0 + scale.tall)
    assert scale.x(1000.0) - scale.x(0.0) == pytest.approx(1000.0 * scale.across)
    assert math.isclose(
        max(scale.tall / 400.0, (scale.right - scale.left) * scale.across / wide), 1.0, rel_tol=1e-6
    )


@pytest.mark.parametrize("wide", [220, 330, 900])
def test_the_side_view_is_drawn_with_its_numbers_at_any_width(qtbot: QtBot, dress: Dress, wide: int) -> None:
    drawing = SideDrawing(dress)
    qtbot.addWidget(drawing)
    rows = (
        NumberRow("ground", lambda p: f"−1′ 6³⁄₁₆″ {p[-1]}"),
        NumberRow("column", lambda _: "8′ 7½″", strong=True),
    )
    view = view_of(pier(1500.0), pier(3500.0, "P2", top=None), pier(5900.0, "P3"))
    drawing.resize(wide, 300)
    drawing.show_view(view, rows, exaggeration=2.0, picked=frozenset({"P2"}))
    with qtbot.waitExposed(drawing):
        drawing.show()
    assert "heights 2 times larger: P1, P2, P3" in drawing.accessibleName()
    image = drawing.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    for name in (LIGHT.ink, LIGHT.work, LIGHT.house, LIGHT.hatch):
        assert count(image, name) > 3, name
    before = drawing.height()
    drawing.show_view(view, rows, exaggeration=1.0, picked=frozenset())
    assert drawing.height() != before or before >= 420
    drawing.show_view(None, rows, exaggeration=1.0, picked=frozenset())
    assert not drawing.isVisible()
    assert drawing.focusPolicy() == Qt.FocusPolicy.NoFocus


# ---- the words


@pytest.mark.parametrize(
    ("mm", "shown"),
    [(0.0, "0″"), (-0.2, "0″"), (304.8, "+1′ 0″"), (-457.2, "−1′ 6″"), (None, "–"), (math.nan, "–")],
)
def test_an_elevation_carries_its_sign(mm: float | None, shown: str) -> None:
    assert height(mm, IMPERIAL) == shown


@given(st.one_of(st.none(), st.integers(-500_000, 500_000).map(lambda n: n / 16)), st.sampled_from(UNITS))
def test_an_elevation_in_a_box_reads_back_as_the_same(mm: float | None, units: Units) -> None:
    text = LengthText(units, 1.0)
    assert read_height(exact_height(mm, text), text) == mm


def test_a_plus_may_stand_before_an_elevation() -> None:
    assert read_height("+1' 6\"", IMPERIAL) == 457.2
    assert read_height("  ", IMPERIAL) is None


def test_the_answer_says_towards_the_house_where_the_ground_falls_there() -> None:
    plane = GroundPlane((0.0, 0.0), 0.0, 0.02, (0.0, 1.0), -0.02, 0.0, 1.0, "")
    assert falls_away(plane) == ("The ground falls towards the house", 0.02)
    assert falls_away(replace(plane, away=0.01)) == ("The ground falls away from the house", 0.01)
    assert falls_away(replace(plane, away=None, along=None)) == ("The ground falls", 0.02)
    assert falls_away(replace(plane, away=None, along=-0.02)) == ("The ground falls back along the baseline", 0.02)


@pytest.mark.parametrize("typed", ["", "two", "nan", "1e999"])
def test_what_is_no_number_is_refused_with_an_example(typed: str) -> None:
    with pytest.raises(EditError, match="for example 50"):
        plain_number(typed, "50")
    assert plain_number("1,5", "50") == 1.5


@given(st.lists(st.floats(40, 120), max_size=4).map(sorted))
def test_words_beside_a_side_view_stand_apart_above_its_numbers(ys: list[float]) -> None:
    tops = words_apart(ys, 15.0, 40.0, 130.0)
    assert all(b - a >= 15.0 - 1e-9 for a, b in pairwise(tops))
    assert all(40.0 <= top <= 115.0 for top in tops)


def test_words_stand_at_their_heights_where_there_is_room() -> None:
    assert words_apart([50.0, 90.0], 10.0, 0.0, 200.0) == [45.0, 85.0]
    assert words_apart([98.0, 99.0], 10.0, 0.0, 100.0) == [80.0, 90.0]
