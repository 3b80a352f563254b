"""What an order is reckoned with: the chance that is borne, how holes come out, the truck, mixer and pours."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from layoutdesk.desk.notebook.form import Form
from layoutdesk.desk.notebook.rows import TextRow
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.units import (
    format_load,
    format_share,
    format_volume,
    load_price,
    load_unit,
    money,
    parse_load,
    parse_load_price,
    parse_minutes,
    parse_money,
    parse_share,
    parse_volume,
)

_SHARES: Final = (
    ("over_dig", "Holes come out bigger by"),
    ("common", "Give or take, all of them together"),
    ("own", "Give or take, each one"),
)
_LOADS: Final = (
    ("step_m3", "Ordered in steps of"),
    ("minimum_m3", "Least that is brought"),
    ("full_m3", "A full load, no fee from"),
)


class ChanceForm(Form):
    """What is bought, and which chance of running short is borne."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.chance = self.text_row("Short in no more than", self._set_chance)
        self.bag = self.choice_row("Bags bought", self._set_bag)

    def fill(self, plan: Plan, chosen: str) -> None:
        """Show the choices of a plan; ``chosen`` is the product that is reckoned with."""
        from layoutdesk.engine.order import bags_of

        self.chance.box.rest(f"{format_share(plan.holes.dig.chance)} of such jobs", _share(plan.holes.dig.chance))
        self.bag.show_choice([(bag.product, bag.product) for bag in bags_of(plan)], chosen)

    def _set_chance(self, typed: str) -> None:
        chance = parse_share(typed)
        self.do("Chance of running short", lambda p: edits.set_dig(p, chance=chance))

    def _set_bag(self, product: object) -> None:
        self.do("Bags bought", lambda p: edits.set_dig(p, bag=str(product)))


class DigForm(Form):
    """How holes come out, before any is logged, and how much the spoil swells."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.rows = {field: self.text_row(words, self._set(field, words)) for field, words in _SHARES}
        self.ground = self.choice_row("Ground", self._set_ground)

    def fill(self, plan: Plan) -> None:
        """Show the figures of a plan; what is usual stands where none was typed."""
        from layoutdesk.engine.concrete.over_dig import usual_over_dig
        from layoutdesk.engine.concrete.supply import swells

        dig, usual = plan.holes.dig, usual_over_dig()
        shares = {"over_dig": usual.allowance, "common": usual.common_spread, "own": usual.own_spread}
        for field, row in self.rows.items():
            share: float | None = getattr(dig, field)
            row.box.setPlaceholderText(f"{format_share(shares[field])}, usual")
            row.show_text("" if share is None else _share(share))
        self.ground.show_choice(
            [(name, f"{name}, swells by {format_share(swell)}") for name, swell in swells().items()], dig.ground
        )

    def _set(self, field: str, words: str) -> Callable[[str], None]:
        def put(typed: str) -> None:
            share = parse_share(typed) if typed else None
            changed: dict[str, Any] = {field: share}
            self.do(words, lambda p: edits.set_dig(p, **changed))

        return put

    def _set_ground(self, ground: object) -> None:
        self.do("Ground", lambda p: edits.set_dig(p, ground=str(ground)))


class TruckForm(Form):
    """How concrete is ordered that comes mixed, and what it costs."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.price = self.text_row("", self._set_price)
        self.fee = self.text_row("Fee for a short load", self._set_fee)
        self.rows = {field: self.text_row(words, self._set(field, words)) for field, words in _LOADS}

    def fill(self, plan: Plan) -> None:
        """Show the truck of a plan."""
        truck = plan.holes.truck
        self.price.caption.setText(f"Price of 1 {load_unit(plan.units)}")
        self.price.box.setAccessibleName(self.price.caption.text())
        self.price.show_text(load_price(truck.price_m3, plan.units))
        self.fee.show_text(money(truck.short_load_fee))
        for row in (self.price, self.fee):
            row.box.setPlaceholderText("not asked")
        for field, row in self.rows.items():
            value: float = getattr(truck, field)
            row.show_text(format_load(value, plan.units) if value else "")
            row.box.setPlaceholderText("none")

    def _set_price(self, typed: str) -> None:
        price = parse_load_price(typed, self.document.plan.units)
        self.do("Price of concrete", lambda p: edits.set_truck(p, price_m3=price))

    def _set_fee(self, typed: str) -> None:
        fee = parse_money(typed)
        self.do("Fee for a short load", lambda p: edits.set_truck(p, short_load_fee=fee))

    def _set(self, field: str, words: str) -> Callable[[str], None]:
        def put(typed: str) -> None:
            value = parse_load(typed, self.document.plan.units) if typed else 0.0
            changed: dict[str, Any] = {field: value}
            self.do(words, lambda p: edits.set_truck(p, **changed))

        return put


class MixForm(Form):
    """What the mixer holds, how long a batch takes, and what one pour places."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.batch = self.text_row("The mixer holds", self._set_batch)
        self.minutes = self.text_row("From batch to batch", self._set_minutes)
        self.pour = self.text_row("One pour places", self._set_pour)

    def fill(self, plan: Plan) -> None:
        """Show the mixer and the pours of a plan."""
        dig, units = plan.holes.dig, plan.units
        _rest(
            self.batch, None if dig.batch_m3 is None else format_volume(dig.batch_m3, units, small=True), "no mixer"
        )
        _rest(self.minutes, f"{dig.minutes:g} min", "")
        _rest(self.pour, None if dig.pour_m3 is None else format_load(dig.pour_m3, units), "all of it")

    def _set_batch(self, typed: str) -> None:
        batch = parse_volume(typed, self.document.plan.units) if typed else None
        self.do("Mixer", lambda p: edits.set_dig(p, batch_m3=batch))

    def _set_minutes(self, typed: str) -> None:
        minutes = parse_minutes(typed)
        self.do("From batch to batch", lambda p: edits.set_dig(p, minutes=minutes))

    def _set_pour(self, typed: str) -> None:
        pour = parse_load(typed, self.document.plan.units) if typed else None
        self.do("One pour places", lambda p: edits.set_dig(p, pour_m3=pour))


def _rest(row: TextRow, text: str | None, nothing: str) -> None:
    row.show_text(text or "")
    row.box.setPlaceholderText(nothing)


def _share(share: float) -> str:
    """Return a share as text to edit."""
    return f"{100 * share:.6g}%"
