"""The Buy page: the order at the chosen chance, its curve, what bags, truck and mixer are reckoned with."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.bag_table import COSTS, WEIGHS
from layoutdesk.desk.notebook.buy_page import BuyPage
from layoutdesk.desk.notebook.supply_table import TRUCK
from layoutdesk.engine.holes.entries import ConcreteOrder
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

ENTER = Qt.Key.Key_Return


@pytest.fixture
def page(dress: Dress, qtbot: QtBot) -> BuyPage:
    """Return the page of the porch with six holes logged, all of it worked out."""
    made = BuyPage(Document(read_plan(SAMPLES / "heron-lane-porch-staked.layout.json")), ViewState(), dress)
    qtbot.addWidget(made)
    made.document.watch(made.plan_changed)
    made.resize(420, 900)
    with qtbot.waitExposed(made):
        made.show()
    made.wake()
    settled(made, qtbot)
    return made


def settled(page: BuyPage, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: page._shown is page.document.layout, timeout=20_000)


def order_of(page: BuyPage) -> ConcreteOrder:
    return page.document.layout.order


def typed(page: BuyPage, qtbot: QtBot, box: QLineEdit, text: str) -> Plan:
    """Type into a box; return the plan that comes of it."""
    box.setFocus()
    box.selectAll()
    qtbot.keyClicks(box, text)
    qtbot.keyClick(box, ENTER)
    settled(page, qtbot)
    return page.document.plan


def bag_says(page: BuyPage, column: int) -> float:
    bag = page.document.plan.bags[0]
    return bag.price if column == COSTS else bag.mass_kg


def becomes(page: BuyPage, qtbot: QtBot, column: int, told: float) -> None:
    qtbot.waitUntil(lambda: bag_says(page, column) == pytest.approx(told))


def test_the_order_is_that_of_the_layout_for_every_chance_and_product(page: BuyPage, qtbot: QtBot) -> None:
    before = order_of(page)
    assert page.bags.number.text() == str(before.products[before.chosen].supply.count)
    assert [label.text() for label in page.says.labels if label.text()] == list(before.says)
    typed(page, qtbot, page.chance.chance.box, "0.1")
    surer = order_of(page)
    assert surer.chance == pytest.approx(0.001)
    assert int(page.bags.number.text()) > before.products[before.chosen].supply.count
    typed(page, qtbot, page.chance.chance.box, "90 %")
    assert page.chance.chance.sentence.text().startswith("The chance of running short")
    other = surer.products[1 - surer.chosen].bag.product
    page.orders.picked.emit((other,))
    settled(page, qtbot)
    assert page.document.plan.holes.dig.bag == other
    assert other in page.bags.caption.text()
    page.orders.picked.emit((TRUCK,))
    assert page.document.plan.holes.dig.bag == other, "the truck is only compared with"


def test_the_curve_tells_every_count_by_keys_and_mouse(page: BuyPage, qtbot: QtBot) -> None:
    curve, order = page.curve, order_of(page)
    ordered = order.products[order.chosen].supply.count
    assert curve.told.startswith(f"{ordered} bags ordered: short in ")
    qtbot.keyClick(curve, Qt.Key.Key_Left)
    assert curve.accessibleDescription().startswith(f"{ordered - 1} bags: short in ")
    told = []
    for key in (Qt.Key.Key_End, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_Left):
        qtbot.keyClick(curve, key)
        told.append(curve.told)
    assert told[0] == told[1]
    assert told[0].startswith(f"{order.curve[-1].count} bags")
    assert told[2] == told[3]
    assert told[2].startswith(f"{order.curve[0].count} bags")
    plot = curve._plot()
    qtbot.mouseMove(curve, QPoint(round(plot.right()) - 1, round(plot.center().y())))
    qtbot.waitUntil(lambda: curve.told.startswith(f"{order.curve[-1].count} bags"))
    QApplication.sendEvent(curve, QEvent(QEvent.Type.Leave))
    assert not curve.grab().isNull()


def test_bags_truck_and_mixer_are_typed_in_the_units_of_the_plan(page: BuyPage, qtbot: QtBot) -> None:
    for part in (page.truck_part, page.dig_part):
        part.open()
    plan = typed(page, qtbot, page.truck.price.box, "200")
    assert plan.holes.truck.price_m3 == pytest.approx(200 / 0.764554857984)
    plan = typed(page, qtbot, page.truck.rows["step_m3"].box, "0.5")
    assert plan.holes.truck.step_m3 == pytest.approx(0.382277428992)
    plan = typed(page, qtbot, page.mix.batch.box, "3 cu ft")
    assert plan.holes.dig.batch_m3 == pytest.approx(0.084950539776)
    plan = typed(page, qtbot, page.dig.rows["over_dig"].box, "20")
    assert plan.holes.dig.over_dig == pytest.approx(0.2)
    plan = typed(page, qtbot, page.mix.batch.box, "a lot")
    assert "is no volume" in page.mix.batch.sentence.text()
    table = page.bag_table
    for column, text, told in ((COSTS, "7.10", 7.1), (WEIGHS, "36 kg", 36.0)):
        table.type_into(("80 lb bag", column))
        assert table.live is not None
        qtbot.keyClicks(table.live, text)
        qtbot.keyClick(table.live, ENTER)
        becomes(page, qtbot, column, told)
    assert bag_says(page, COSTS) == pytest.approx(7.1)
    table.take(("80 lb bag", COSTS), "cheap")
    assert "is no price" in page.wrong.text()
    assert page.learned.text().startswith("After 5 holes logged")
    page.usual.click()
    assert page.document.plan.bags == ()


def test_what_is_typed_in_stays_where_it_is_when_sentences_above_come_and_go(page: BuyPage, qtbot: QtBot) -> None:
    high = page.says.height()
    page.ensureWidgetVisible(page.bag_table)
    box = page.mix.batch.box
    page.ensureWidgetVisible(box)
    box.setFocus()
    qtbot.wait(60)
    y = page.y_of(box)
    for text in ("0.1", "2"):
        typed(page, qtbot, box, text)
        qtbot.wait(80)
        assert abs(page.y_of(box) - y) <= 2
    typed(page, qtbot, box, "0.1")
    qtbot.wait(80)
    assert page.says.height() != high, "the sentences above did change"


def test_less_stock_is_looked_for_beside_the_desk(page: BuyPage, qtbot: QtBot) -> None:
    layout = page.document.layout
    part = page.steel
    assert not part.buttons.isVisibleTo(part), "what is proven is not looked for again"
    sizes = tuple(
        replace(one, cutting=replace(one.cutting, proven=False, says="not proven"))
        for one in layout.steel.sizes
        if one.cutting is not None
    )
    part.show_steel(layout.plan, replace(layout.steel, sizes=sizes))
    assert part.buttons.isVisibleTo(part)
    assert "not proven" in part.cuts.text()
    part.search.click()
    assert part.search.text() == "Looking … stop"
    part.search.click()
    assert part.search.text() == "Look for less stock"
    part.search.click()
    qtbot.waitUntil(lambda: not part.work.busy, timeout=20_000)
    assert "proven" in part.cuts.text()
    assert "not proven" not in part.cuts.text()


def test_many_piers_are_ordered_for_beside_the_desk(
    porch_desk: Desk, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("layoutdesk.desk.height_work.AT_ONCE", 0)
    buy = porch_desk.notebook["buy"]
    assert isinstance(buy, BuyPage)
    porch_desk.rail.turned.emit("buy")
    assert buy.heading.aside.text() == "working it out …"
    settled(buy, qtbot)
    assert buy.heading.aside.text() == "concrete and steel"
    assert buy.steel.sizes.rows.rowCount() == len(buy.document.layout.steel.sizes)
    assert all(one.cutting is None or one.size in buy.steel.cuts.text() for one in buy.document.layout.steel.sizes)
