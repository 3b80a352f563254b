"""The Buy page: how much concrete, how sure, in bags or by truck; steel, pours and covers."""

from __future__ import annotations

from typing import ClassVar

from layoutdesk.desk.dress import Dress, label
from layoutdesk.desk.notebook.bag_table import BagTable
from layoutdesk.desk.notebook.cards import BigNumber, Card, FlagList, Heading, Sentences, sentence, side_by_side
from layoutdesk.desk.notebook.chance_curve import ChanceCurve
from layoutdesk.desk.notebook.form import link
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.order_forms import ChanceForm, DigForm, MixForm, TruckForm
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.piers_page import concrete_caption
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.steel_part import SteelPart
from layoutdesk.desk.notebook.supply_table import TRUCK, SupplyTable
from layoutdesk.desk.notebook.table import Column, NumbersTable, RowTable
from layoutdesk.desk.order_work import OrderWork
from layoutdesk.engine.holes.entries import ConcreteOrder, HoleCover
from layoutdesk.engine.layout import Layout
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import format_volume

_CAUTION = "Wet concrete burns the skin and its dust harms the lungs: gloves, boots, a mask, water."
_NET = (
    "Pier by pier, net: every pier rounded up to whole bags as drawn, as when they are poured on different days. "
    "What holes take beyond what is drawn is in the order above."
)


class BuyPage(Page):
    """The order at the chosen chance of running short, with all it is reckoned from."""

    stays: ClassVar[bool] = True

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__(document, view, dress)
        self.work = OrderWork(self)
        self.work.came.connect(self.plan_changed)
        self._shown: Layout | None = None
        self._told = ""
        self.heading = Heading("Buy", title=True)
        self.net, self.bags = BigNumber("Concrete, net"), BigNumber("Bags")
        self.numbers = side_by_side(self.bags, self.net)
        self.unknown = sentence("The Piers page does not say yet how deep and how wide the holes are.")
        self.flags = FlagList(dress)
        self.curve = ChanceCurve(dress)
        self.chance = ChanceForm(document)
        self.orders = SupplyTable(dress)
        self.says = Sentences()
        self.order_part = Section("How sure", self.curve, Card(self.chance), self.orders, self.says)
        self.wrong = label("", "caption", "wrong", wrap=True)
        self.bag_table = BagTable(document, dress, say=self._say)
        self.usual = link("Forget these and take the usual bags", "Undo brings them back")
        self.bag_part = Section("Bags", self.bag_table, self.wrong, self.usual, aside="as printed on them")
        self.truck = TruckForm(document)
        self.truck_part = Section("Truck", Card(self.truck), folded=True)
        self.dig = DigForm(document)
        self.learned = sentence()
        self.dig_part = Section("How holes come out", Card(self.dig), self.learned, folded=True)
        self.mix = MixForm(document)
        self.pours = NumbersTable("Pours", dress)
        self.mix_part = Section("Mixing and pouring", Card(self.mix), self.pours)
        self.steel = SteelPart(dress)
        self.covers = NumbersTable("Hole covers", dress)
        self.cover_part = Section("Hole covers", self.covers, aside="square sheets")
        self.each = RowTable("Bags of each pier", dress)
        self.each_part = Section("Bags pier by pier", self.each, sentence(_NET), folded=True)
        self.caution = sentence(_CAUTION)
        self.add(self.heading, self.numbers, self.unknown, self.flags, self.order_part)
        self.add(self.bag_part, self.truck_part, self.dig_part)
        self.add(self.mix_part, self.steel, self.cover_part, self.each_part, self.caution, column=1)
        self._join()

    def _join(self) -> None:
        for form in (self.chance, self.truck, self.dig, self.mix):
            form.trouble.connect(self.trouble)
        self.steel.trouble.connect(self.trouble)
        self.flags.pressed.connect(self._pick)
        self.each.picked.connect(self._pick)
        self.orders.picked.connect(self._on_order)
        self.usual.clicked.connect(self._on_usual)
        self.bag_table.typing_at.connect(self.show_typing)
        self._say("")

    def _pick(self, ids: object) -> None:
        self.view.select(ids)  # type: ignore[arg-type]

    def _say(self, text: str) -> None:
        self.wrong.setText(text)
        self.wrong.setVisible(bool(text))

    def _on_usual(self) -> None:
        self.apply("Usual bags", lambda p: edits.set_bags(p, ()))

    def _on_order(self, keys: object) -> None:
        """Buy the product whose row was pressed; the truck is only compared with."""
        picked: tuple[str, ...] = tuple(keys)  # type: ignore[arg-type]
        if picked and picked[0] != TRUCK:
            self.apply("Bags bought", lambda p: edits.set_dig(p, bag=picked[0]))
        elif self._shown is not None:
            self.orders.show_order(self.document.plan, self._shown.order)

    # ---- showing

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show what is to be bought; what takes a moment to work out comes a moment later."""
        known = self.work.ask(layout)
        if self.work.trouble and self.work.trouble != self._told:
            self.trouble.emit(self.work.trouble)
        self._told = self.work.trouble
        self.heading.set_text("Buy", "concrete and steel" if known or self.work.trouble else "working it out …")
        self._fill_forms(plan)
        if not known:
            return
        if self._shown is not layout:
            self._shown = layout
            self._show(plan, layout)
        self.each.light(self.view.selected)

    def _fill_forms(self, plan: Plan) -> None:
        self.bag_table.show_bags(plan)
        self.usual.setEnabled(bool(plan.bags))
        self.truck.fill(plan)
        self.mix.fill(plan)

    def _show(self, plan: Plan, layout: Layout) -> None:
        concrete, order = layout.concrete, layout.order
        known = any(v.detail is not None for v in concrete.piers)
        self.unknown.setVisible(not known)
        self.numbers.setVisible(known or not plan.piers)
        self.net.caption.setText(concrete_caption(concrete))
        self.net.show_number(format_volume(concrete.net_m3, plan.units) if known else "–")
        for part in (self.order_part, self.mix_part, self.each_part, self.dig_part):
            part.setVisible(known)
        # Kinds of ground come with a library that the work beside the desk has loaded by now.
        self.dig.fill(plan)
        self._show_order(plan, order, known=known)
        self._show_pours(plan, order)
        self.steel.show_layout(layout)
        self._show_covers(plan, layout.covers)
        self._show_each(layout)
        self.flags.show_flags(tuple(f for f in layout.plan_flags if f.stage == "buy"))

    def _show_order(self, plan: Plan, order: ConcreteOrder, *, known: bool) -> None:
        chosen = order.products[order.chosen] if order.products else None
        product = chosen.bag.product if chosen is not None else "bag"
        self.bags.caption.setText(f"{product}s to buy")
        self.bags.show_number(f"{chosen.supply.count:,}" if chosen is not None and known else "–")
        self.curve.show_curve(
            order.curve if known else (), ordered=0 if chosen is None else chosen.supply.count, chance=order.chance
        )
        self.chance.fill(plan, product)
        self.orders.show_order(plan, order)
        self.says.show_sentences((*((order.trouble,) if order.trouble else ()), *order.says))
        self.order_part.say(_left(order, len(plan.piers)))
        from layoutdesk.engine.concrete.over_dig import over_dig_sentence

        self.learned.setText(over_dig_sentence(order.belief))
        logged = order.belief.logged
        self.dig_part.say(f"learned from {logged}" if logged else "none logged yet")
        price = plan.holes.truck.price_m3
        self.truck_part.say("" if price else "no price asked yet")

    def _show_pours(self, plan: Plan, order: ConcreteOrder) -> None:
        pours = order.pours
        self.mix_part.say("" if not pours else "1 pour" if len(pours) == 1 else f"{len(pours):,} pours")
        self.pours.setVisible(bool(pours))
        self.pours.show_rows(
            [str(k + 1) for k in range(len(pours))],
            (
                Column("pour", lambda r: str(r + 1), bold=True),
                Column("piers", lambda r: ", ".join(pours[r][0])),
                Column("takes", lambda r: format_volume(pours[r][1], plan.units), right=True, bold=True),
            ),
        )

    def _show_covers(self, plan: Plan, covers: tuple[HoleCover, ...]) -> None:
        text = LengthText.of(plan)
        self.cover_part.setVisible(bool(covers))
        self.covers.show_rows(
            [str(k) for k in range(len(covers))],
            (
                Column("count", lambda r: f"{len(covers[r].piers):,}", bold=True),
                Column("size", lambda r: f"{text(covers[r].size)} square", right=True),
                Column("for", lambda r: ", ".join(covers[r].piers)),
                Column("marked", lambda r: covers[r].mark),
            ),
        )

    def _show_each(self, layout: Layout) -> None:
        concrete = layout.concrete
        piers, first = concrete.piers, concrete.orders[:3]
        columns = [Column("pier", lambda r: piers[r].label, bold=True)]
        columns += [
            Column(o.product, lambda r, o=o: str(o.per_pier[r]), right=True)  # type: ignore[misc]
            for o in first
        ]
        self.each.show_rows([v.id for v in piers], tuple(columns))


def _left(order: ConcreteOrder, piers: int) -> str:
    """Return how many piers are still to be poured."""
    left = len(order.left)
    return "" if left == piers else f"{left:,} of {piers:,} piers to pour"
