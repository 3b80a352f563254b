"""The Buy page: how much concrete, in the bags it is sold in."""

from __future__ import annotations

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.cards import BigNumber, Card, FlagList, Heading, sentence, side_by_side
from layoutdesk.desk.notebook.form import Form, button_row, link
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.piers_page import concrete_caption
from layoutdesk.desk.notebook.rows import TextRow
from layoutdesk.desk.notebook.table import Column, RowTable
from layoutdesk.engine.layout import BagOrder, Layout
from layoutdesk.plan import edits
from layoutdesk.plan.model import BagProduct, Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import format_volume, parse_volume


class BagForm(Form):
    """What one bag makes, product by product; what is typed here is printed on the bag."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._rows: list[TextRow] = []
        self._orders: tuple[BagOrder, ...] = ()
        self.usual = link("Back to the usual yields", "Forget the yields that were typed here")
        self.usual.clicked.connect(self._on_usual)

    def fill(self, plan: Plan, orders: tuple[BagOrder, ...]) -> None:
        """Show the yields."""
        self._orders = orders
        while len(self._rows) < len(orders):
            index = len(self._rows)
            self._rows.append(self.text_row("", lambda text, k=index: self._set_yield(k, text)))  # type: ignore[misc]
        for k, row in enumerate(self._rows):
            row.setVisible(k < len(orders))
            if k < len(orders):
                row.caption.setText(f"{orders[k].product} makes")
                row.box.setAccessibleName(f"{orders[k].product} makes")
                row.show_text(format_volume(orders[k].yield_m3, plan.units, small=True))
        self.usual.setVisible(bool(plan.bags))

    def _set_yield(self, index: int, text: str) -> None:
        made = parse_volume(text, self.document.plan.units)
        product = self._orders[index].product
        bags = tuple(
            BagProduct(product=o.product, yield_m3=made if k == index else o.yield_m3)
            for k, o in enumerate(self._orders)
        )
        self.do(f"Yield of {product}", lambda p: edits.set_bags(p, bags))

    def _on_usual(self) -> None:
        self.try_to("Usual yields", lambda p: edits.set_bags(p, ()))


class BuyPage(Page):
    """Net concrete, bags of each product for the whole job and pier by pier."""

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__(document, view, dress)
        self.heading = Heading("Buy", title=True)
        self.net, self.bags = BigNumber("Concrete, net"), BigNumber("Bags")
        self.unknown = sentence("The Piers page does not say yet how deep and how wide the holes are.")
        self.orders = RowTable("Bags of each product", dress, many=False)
        self.how = sentence(
            "For the job: all piers poured from one heap of bags. Pier by pier: every pier rounded up to whole "
            "bags, as when they are poured on different days. Both are net: add for what is spilled and for "
            "ground that gives way."
        )
        self.form = BagForm(document)
        self.form.trouble.connect(self.trouble)
        self.caution = sentence(
            "Wet concrete burns the skin and its dust harms the lungs: gloves, boots, a mask, water."
        )
        self.each = RowTable("Bags of each pier", dress)
        self.each.picked.connect(self._pick)
        self.each_heading = Heading("Bags pier by pier")
        self.flags = FlagList(dress)
        self.flags.pressed.connect(self._pick)
        self.add(self.heading, side_by_side(self.net, self.bags), self.unknown, self.flags)
        self.add(Heading("Whole bags"), self.orders, self.how)
        self.add(Heading("What a bag makes", "as printed on it"), Card(self.form), button_row(self.form.usual))
        self.add(self.each_heading, self.each, self.caution, column=1)

    def _pick(self, ids: object) -> None:
        self.view.select(ids)  # type: ignore[arg-type]

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show what is to be bought."""
        concrete = layout.concrete
        orders = concrete.orders
        self.heading.set_text("Buy", "concrete in bags")
        known = any(v.detail is not None for v in concrete.piers)
        self.net.caption.setText(concrete_caption(concrete))
        self.net.show_number(format_volume(concrete.net_m3, plan.units) if known else "–")
        if orders:
            self.bags.caption.setText(f"{orders[0].product}s, for the job")
            self.bags.show_number(str(orders[0].count_by_job) if known else "–")
        self.unknown.setVisible(not known)
        self.orders.show_rows(
            [o.product for o in orders],
            (
                Column("product", lambda r: orders[r].product, bold=True),
                Column(
                    "for the job", lambda r: str(orders[r].count_by_job) if known else "–", right=True, bold=True
                ),
                Column("pier by pier", lambda r: str(orders[r].count_by_pier) if known else "–", right=True),
            ),
        )
        self.form.fill(plan, orders)
        piers = concrete.piers
        self.each_heading.setVisible(known)
        self.each.setVisible(known)
        first = orders[:3]
        columns = [Column("pier", lambda r: piers[r].label, bold=True)]
        columns += [
            Column(o.product, lambda r, o=o: str(o.per_pier[r]), right=True)  # type: ignore[misc]
            for o in first
        ]
        self.each.show_rows([v.id for v in piers], tuple(columns))
        self.each.light(self.view.selected)
        self.flags.show_flags(tuple(f for f in layout.plan_flags if f.stage == "buy"))
