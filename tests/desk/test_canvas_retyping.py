"""Every figure that the sheet paints as a dimension is found by a double click, and can be retyped."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.crowding import naming_of, shown_dimensions, text_box
from layoutdesk.desk.canvas.dimensions import Placed
from layoutdesk.desk.canvas.triangle_figures import crosses
from layoutdesk.geometry.vector import distance
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from tests.desk.hands import MIDDLE, Bench
from tests.gestures.hand import FT


def six_piers() -> Plan:
    """Return the porch of the first page of the guide: a wall, and two rows of three piers out from it."""
    plan = edits.add_wall(Plan(), [(0.0, 0.0), (24 * FT, 0.0)])
    for x in (2 * FT, 14 * FT):
        plan = edits.add_row(plan, (x, 0.0), (x, -1000.0), [8 * FT, 7 * FT, 7 * FT])
    return edits.set_baseline(plan, (0.0, 0.0), (24 * FT, 0.0), yard_side="right")


def skew_grid() -> Plan:
    """Return four rows of five piers that stand askew to everything."""
    plan = edits.add_detail(edits.set_units(Plan(), "m"), [(0.0, 300.0), (800.0, 300.0)])
    return edits.add_grid(plan, (500.0, -700.0), (3.0, -1.2), [0.0] + [1850.0] * 4, [2400.0] * 3, detail="D1")


def long_row(spacing: float = 8 * FT) -> Plan:
    """Return one row of 39 equal spacings, and one of 5' beyond them."""
    plan = edits.set_baseline(Plan(), (0.0, 0.0), (100 * FT, 0.0), yard_side="right")
    return edits.add_row(plan, (0.0, -5 * FT), (10 * FT, -5 * FT), [0.0] + [spacing] * 39 + [5 * FT])


def many_rows() -> Plan:
    """Return twelve rows 4' apart and one 6' beyond them, in a picture too small for their figures."""
    plan = Plan()
    for x in [4.0 * k for k in range(12)] + [50.0]:
        plan = edits.add_row(plan, (x * FT, 0.0), (x * FT, -1000.0), [30 * FT, 60 * FT])
    return plan


PLANS = {
    **{path.name.split(".")[0]: read_plan(path) for path in sorted(SAMPLES.glob("*.layout.json"))},
    "six piers": six_piers(),
    "skew grid": skew_grid(),
    "long row": long_row(),
    "many rows": many_rows(),
}


def figures(bench: Bench) -> list[Placed]:
    """Return the dimensions whose figures are painted in sight."""
    scene = bench.sheet._scene()
    return [one for one in shown_dimensions(scene) if one.text and scene.area.contains(one.middle)]


def the_group(bench: Bench) -> Placed:
    """Return the one figure that speaks for many."""
    (one,) = [one for one in figures(bench) if one.group]
    return one


@pytest.mark.parametrize("notch", [-3, 0, 3])
@pytest.mark.parametrize("plan", PLANS.values(), ids=PLANS)
def test_every_painted_figure_opens_its_editor(qtbot: QtBot, plan: Plan, notch: int) -> None:
    bench = Bench(qtbot, plan)
    bench.wheel(QPointF(550, 330), notch)
    painted = figures(bench)
    assert painted or notch
    editor = bench.sheet._editor
    for one in painted:
        bench.double_click(one.middle)
        assert editor.isVisible(), one.text
        assert editor.dimensions == (one.group or (one.dimension,))
        said = f"{len(one.group)} @ " if one.group else ""
        assert one.text == said + bench.sheet._scene().length(one.dimension.value)
        bench.key(Qt.Key.Key_Escape)
        assert not editor.isVisible()
    assert bench.plan is plan


@pytest.mark.parametrize("plan", PLANS.values(), ids=PLANS)
def test_a_pulled_sheet_finds_the_figures_where_they_are_now(qtbot: QtBot, plan: Plan) -> None:
    bench = Bench(qtbot, plan)
    bench.wheel(QPointF(550, 330), 1)
    bench.drag_px(QPointF(500, 300), QPointF(430, 380), MIDDLE)
    bench.drag_px(QPointF(500, 300), QPointF(530, 250), MIDDLE)
    scene = bench.sheet._scene()
    painted, moved = bench.sheet._still.shown_for(scene)
    assert moved != QPointF(0, 0)
    for one in shown_dimensions(painted):
        at = one.middle + moved
        if one.text and scene.area.contains(at):
            bench.double_click(at)
            assert bench.sheet._editor.dimensions == (one.group or (one.dimension,))
            bench.key(Qt.Key.Key_Escape)


@pytest.mark.parametrize("plan", PLANS.values(), ids=PLANS)
def test_every_painted_figure_is_set_by_typing(qtbot: QtBot, plan: Plan) -> None:
    bench = Bench(qtbot, plan)
    for k in range(len(figures(bench))):
        one = figures(bench)[k]
        bench.double_click(one.middle)
        wanted = round(one.dimension.value + 300)
        bench.type(f"{wanted} mm").key(Qt.Key.Key_Return)
        assert not bench.sheet._editor.isVisible()
        ends = {(d.first, d.second) for d in one.group or (one.dimension,)}
        after = [d.value for d in bench.document.layout.dimensions if (d.first, d.second) in ends]
        assert len(after) >= len(ends)
        assert any(value == pytest.approx(wanted, abs=1e-6) for value in after)
        if one.group:
            assert after == pytest.approx([wanted] * len(after), abs=1e-6)
        bench.document.undo()
        assert bench.plan is plan
        bench.sheet.zoom_to_fit()


def test_a_group_is_retyped_as_one_step(qtbot: QtBot) -> None:
    bench = Bench(qtbot, long_row())
    before = bench.plan
    bench.double_click(the_group(bench).middle)
    editor = bench.sheet._editor
    assert editor.text() == "8' 0\""
    assert [label.text() for label in editor.findChildren(QLabel) if label.isVisible()] == ["each of 39"]
    bench.type("8' 2 1/2\"").key(Qt.Key.Key_Return)
    gaps = [distance(a.at, b.at) for a, b in pairwise(bench.plan.piers)]
    assert gaps == pytest.approx([8 * FT + 63.5] * 39 + [5 * FT], abs=1e-6)
    assert bench.plan.piers[0].at == before.piers[0].at
    assert the_group(bench).text == f"39 @ {bench.sheet._scene().length(8 * FT + 63.5)}"
    bench.document.undo()
    assert bench.plan is before


def test_a_group_of_rows_takes_the_rows_beyond_it_along(qtbot: QtBot) -> None:
    bench = Bench(qtbot, many_rows())
    one = the_group(bench)
    assert one.text == "11 @ 4′ 0″"
    bench.double_click(one.middle)
    bench.type("7'").key(Qt.Key.Key_Return)
    xs = [line.start[0] / FT for line in bench.plan.lines]
    assert xs == pytest.approx([7.0 * k for k in range(12)] + [83.0], abs=1e-9)


def test_one_dimension_says_nothing_of_a_group(qtbot: QtBot) -> None:
    bench = Bench(qtbot, six_piers())
    bench.double_click(figures(bench)[0].middle)
    assert [label.text() for label in bench.sheet._editor.findChildren(QLabel) if label.isVisible()] == []


def test_a_refused_length_leaves_the_group_as_it_is(qtbot: QtBot) -> None:
    bench = Bench(qtbot, long_row())
    before = bench.plan
    bench.double_click(the_group(bench).middle)
    bench.type("0").key(Qt.Key.Key_Return)
    assert bench.sheet._editor.isVisible()
    assert "more than 0" in bench.sheet._editor._sentence.text()
    assert bench.plan is before


def test_a_chain_counts_whole_where_part_of_it_is_out_of_sight(qtbot: QtBot) -> None:
    bench = Bench(qtbot, long_row(8 * FT + 63.5))
    bench.sheet.zoom_by(1.8)
    text = f"39 @ {bench.sheet._scene().length(8 * FT + 63.5)}"
    said = [one for one in figures(bench) if one.group]
    assert said
    assert {one.text for one in said} == {text}
    bench.drag_px(QPointF(600, 400), QPointF(200, 400), MIDDLE)
    said = [one for one in figures(bench) if one.group]
    assert {one.text for one in said} == {text}
    bench.double_click(said[0].middle)
    assert len(bench.sheet._editor.dimensions) == 39


@pytest.mark.parametrize("size", [(720, 520), (1000, 620), (1800, 1200)])
@pytest.mark.parametrize("plan", PLANS.values(), ids=PLANS)
def test_nothing_is_written_over_the_figures_of_the_triangle(
    qtbot: QtBot, plan: Plan, size: tuple[int, int]
) -> None:
    bench = Bench(qtbot, plan)
    bench.resize(*size)
    qtbot.waitUntil(lambda: bench.sheet.width() == size[0])
    bench.sheet.zoom_to_fit()
    bench.view.turn_to("control")
    scene = bench.sheet._scene()
    naming = naming_of(scene)
    triangle = naming.triangle
    assert (triangle is None) == (scene.layout is None or scene.layout.square is None)
    if triangle is None:
        return
    written = [box for box, _ in (*triangle.lengths, *triangle.names)]
    others: list[QRectF] = [text_box(one) for one in shown_dimensions(scene) if one.text]
    for line in triangle.sides:
        assert not any(crosses(line, box) for box in others)
        assert not any(crosses(line, box) for box, _ in triangle.names)
    others += [box for box, _ in naming.names]
    for k, box in enumerate(written):
        assert not any(box.intersects(other) for other in (*others, *written[:k]))
    bench.view.turn_to("plan")
    assert naming_of(bench.sheet._scene()).triangle is None


def test_the_cursor_figure_follows_the_sheet_under_a_still_pointer(qtbot: QtBot) -> None:
    bench = Bench(qtbot, six_piers())
    told: list[tuple[float, float] | None] = []
    bench.sheet.cursor_moved.connect(told.append)
    at = QPointF(500, 300)
    bench.move_px(at)
    for look in (
        bench.sheet.zoom_to_fit,
        lambda: bench.sheet.zoom_by(1.7),
        lambda: bench.wheel(QPointF(200, 200), 2),
    ):
        look()
        assert told[-1] == pytest.approx(bench.sheet.bearings.read(bench.sheet.camera.to_plan(500, 300)))
    qtbot.keyPress(bench.sheet, Qt.Key.Key_Space)
    bench.drag_px(at, QPointF(640, 410))
    there = bench.sheet.bearings.read(bench.sheet.camera.to_plan(640, 410))
    assert told[-1] == pytest.approx(there)
    text = bench.entry._place.text()
    qtbot.keyRelease(bench.sheet, Qt.Key.Key_Space)
    bench.move_px(QPointF(640, 410))
    assert bench.entry._place.text() == text


def test_the_distance_from_the_baseline_is_retyped(qtbot: QtBot) -> None:
    """A double click on it opens the box, and the whole row moves square to the baseline."""
    plan = edits.set_baseline(edits.set_units(Plan(), "m"), (0.0, 0.0), (9000.0, 0.0), yard_side="right")
    plan = edits.add_row(plan, (500.0, -1500.0), (8000.0, -1500.0), [0.0, 3000.0, 3000.0])
    bench = Bench(qtbot, plan)
    (one,) = [figure for figure in figures(bench) if figure.dimension.sets == "from baseline"]
    assert one.text == "1.500 m"
    qtbot.mouseDClick(bench.sheet, Qt.MouseButton.LeftButton, pos=one.middle.toPoint())
    editor = bench.sheet._editor
    assert editor.dimensions == (one.dimension,)
    editor.setText("2.25")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert {pier.at[1] for pier in bench.plan.piers} == {-2250.0}
    assert bench.plan.lines[0].start[1] == -2250.0
