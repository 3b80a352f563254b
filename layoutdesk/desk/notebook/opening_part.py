"""Openings sawn into existing concrete: how they are sawn, and what comes out of each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, cast

from PySide6.QtCore import Qt, Signal

from layoutdesk.desk.dress import Dress, Tone
from layoutdesk.desk.notebook.cards import Card, sentence
from layoutdesk.desk.notebook.form import Form
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.steel_form import SaysList
from layoutdesk.desk.notebook.table import Column, RowTable
from layoutdesk.engine.layout import Layout
from layoutdesk.plan import edits
from layoutdesk.plan.model import OpeningShape, Plan
from layoutdesk.session.document import Document
from layoutdesk.units import exact_mass, format_mass, format_volume, parse_mass

_CAUTION: Final = (
    "Sawing concrete: wet blade or vacuum, and a mask against silica dust. Hold the saw with both hands out of the "
    "line of its kickback. Have pipes and wires in and under the slab found first."
)
_MOST_TOLD: Final = 6


class OpeningForm(Form):
    """The rules by which openings are sawn."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.shape = self.choice_row("Shape", self._set_shape)
        self.margin = self.length_row("Margin round the hole", self._length("margin"))
        self.strip = self.length_row("Narrowest strip left", self._length("least_strip"))
        self.blade = self.length_row("One pass of the blade", self._length("blade"))
        self.carry = self.text_row("Heaviest piece", self._set_carry)
        self.carry.box.setAlignment(Qt.AlignmentFlag.AlignRight)

    def fill(self, plan: Plan) -> None:
        """Show the rules of a plan."""
        rule, text = plan.holes.openings, LengthText.of(plan)
        self.shape.show_choice([("square", "square"), ("round", "round")], rule.shape)
        self.margin.show_length(rule.margin, text)
        self.strip.show_length(rule.least_strip, text)
        self.blade.show_length(rule.blade, text)
        self.carry.box.rest(format_mass(rule.carry, plan.units), exact_mass(rule.carry, plan.units))

    def _set(self, **fields: Any) -> None:
        self.do("How openings are sawn", lambda p: edits.set_openings(p, **fields))

    def _set_shape(self, key: object) -> None:
        self._set(shape=cast("OpeningShape", key))

    def _length(self, field: str) -> Callable[[float], None]:
        def put(value: float) -> None:
            self._set(**{field: value})

        return put

    def _set_carry(self, typed: str) -> None:
        self._set(carry=parse_mass(typed, self.document.plan.units))


class OpeningPart(Section):
    """The section of openings; hidden while no pier falls in existing concrete.

    Signals:
        picked: the ids of the piers in the picked openings.
    """

    picked = Signal(object)

    def __init__(self, document: Document, dress: Dress) -> None:
        self.table = RowTable("Openings in existing concrete", dress)
        self.says = SaysList()
        self.form = OpeningForm(document)
        self.caution = sentence(_CAUTION)
        self._piers: dict[str, tuple[str, ...]] = {}
        super().__init__("Openings in slabs", self.table, self.says, Card(self.form), self.caution)
        self.table.picked.connect(self._on_picked)

    def fill(self, plan: Plan, layout: Layout) -> None:
        """Show the openings of a plan."""
        found, text, units = layout.openings, LengthText.of(plan), plan.units
        self.setVisible(bool(found))
        if not found:
            return
        self._piers = {o.id: o.pier_ids for o in found}
        rubble = format_volume(sum(o.rubble for o in found), units)
        self.say(f"{rubble} of rubble")
        self.table.show_rows(
            [o.id for o in found],
            (
                Column("opening", lambda r: found[r].id, bold=True),
                Column("for", lambda r: ", ".join(found[r].piers), tip=lambda r: found[r].says),
                Column("saw", lambda r: text(found[r].saw_length), right=True),
                Column("pieces", lambda r: str(found[r].pieces), right=True),
                Column("heaviest", lambda r: format_mass(found[r].heaviest, units), right=True),
            ),
        )
        told: list[tuple[str, Tone]] = [(f"{o.id}: {o.says}", "soft") for o in found[:_MOST_TOLD]]
        if len(found) > _MOST_TOLD:
            told.append((f"and {len(found) - _MOST_TOLD} more, in the table", "soft"))
        self.says.show_sentences(told)
        self.form.fill(plan)

    def light(self, piers: frozenset[str]) -> None:
        """Light the openings of the picked piers."""
        self.table.light([o for o, mine in self._piers.items() if piers.intersection(mine)])

    def _on_picked(self, ids: object) -> None:
        self.picked.emit([pier for opening in ids for pier in self._piers.get(opening, ())])  # type: ignore[attr-defined]
