"""How the proof is judged: the control points, the tolerance, what is drawn larger, and the house as found."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, cast

from PySide6.QtWidgets import QVBoxLayout, QWidget

from layoutdesk.desk.notebook.cards import sentence
from layoutdesk.desk.notebook.form import Form
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.tick import Tick
from layoutdesk.errors import EditError, LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import ControlTrust, HouseChoice, Plan
from layoutdesk.session.document import Document
from layoutdesk.units import parse_length

_TRUSTS: Final[dict[ControlTrust, str]] = {
    "held": "held",
    "uncertain": "uncertain",
    "free": "free",
}
_TRUST_SAYS: Final[dict[ControlTrust, str]] = {
    "held": "Control points stand exactly as drawn: all that does not fit is put on the stakes.",
    "uncertain": "Control points may stand a little off where they are drawn, by about the length given here.",
    "free": "Control points are no better known than the stakes: only the shape of the whole is judged.",
}
_HOUSES: Final[dict[HouseChoice, str]] = {
    "hold the design": "hold the design",
    "turn with the house": "turn with the house",
    "hold one attachment": "hold one attachment",
}


class ProofForm(Form):
    """The settings of the proof."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.control = self.choice_row("Control points", self._set_control)
        self.trust_says = sentence()
        self.add(self.trust_says)
        self.deviation = self.length_row("Uncertain by", self._set_deviation)
        self.read_to = self.text_row("Tapes read to", self._set_read_to)
        self.read_says = sentence()
        self.add(self.read_says)
        self.tolerance = self.length_row("A stake may be out by", self._set_tolerance)
        self.factor = self.text_row("Draw moves larger, times", self._set_factor)

    def fill(self, plan: Plan) -> None:
        """Show the settings of a plan."""
        text, proof = LengthText.of(plan), plan.proof
        self.control.show_choice(list(_TRUSTS.items()), proof.control)
        self.trust_says.setText(_TRUST_SAYS[proof.control])
        self.read_to.show_text(text.exact(proof.read_to) if proof.read_to else "")
        step = text.small(proof.read_to or plan.rounding)
        self.read_says.setText(
            f"Readings were rounded to the nearest {step}: what that may do is added to the error of each tape."
            if proof.read_to
            else f"The step to which tapes are read, such as {step}. While it is empty, nothing is added for it."
        )
        self.deviation.setVisible(proof.control == "uncertain")
        self.deviation.show_length(proof.control_deviation, text)
        self.tolerance.show_length(proof.tolerance, text)
        self.factor.show_text(f"{proof.exaggeration:g}")

    def _set_control(self, key: object) -> None:
        trust = cast("ControlTrust", key)
        self.do("Trust in the control points", lambda p: edits.set_proof(p, control=trust))

    def _set_deviation(self, value: float) -> None:
        self.do("Uncertainty of the control points", lambda p: edits.set_proof(p, control_deviation=value))

    def _set_tolerance(self, value: float) -> None:
        self.do("Tolerance", lambda p: edits.set_proof(p, tolerance=value))

    def _set_read_to(self, typed: str) -> None:
        step = parse_length(typed, self.document.plan.units) if typed else 0.0
        self.do("Step that tapes are read to", lambda p: edits.set_proof(p, read_to=step))

    def _set_factor(self, typed: str) -> None:
        try:
            factor = float(typed.replace(",", "."))
        except ValueError as error:
            raise EditError("Type how many times larger moves are drawn, such as 50") from error
        self.do("Size of the moves", lambda p: edits.set_proof(p, exaggeration=factor))


class HouseForm(Form):
    """Which corners are measured, and what is held when the house does not stand as drawn."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.ticks: list[Tick] = []
        self._holder = QWidget()
        self._column = QVBoxLayout(self._holder)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(3)
        self.add(self._holder)
        self.house = self.choice_row("Then", self._set_house)
        self.attachment = self.choice_row("Held attachment", self._set_attachment)

    def fill(self, plan: Plan) -> None:
        """Show the corners and the choice of a plan."""
        if [t.property("control") for t in self.ticks] != [c.id for c in plan.controls]:
            self._make(tuple(c.id for c in plan.controls))
        for tick, control in zip(self.ticks, plan.controls, strict=True):
            tick.blockSignals(True)  # noqa: FBT003 - Qt's own signature
            tick.setChecked(control.measured)
            tick.blockSignals(False)  # noqa: FBT003 - Qt's own signature
        measured = any(c.measured for c in plan.controls)
        self.house.setVisible(measured)
        choices = [(k, t) for k, t in _HOUSES.items() if k != "hold one attachment" or plan.attachments]
        self.house.show_choice(choices, plan.proof.house)
        held = plan.proof.house == "hold one attachment"
        self.attachment.setVisible(measured and held)
        self.attachment.show_choice([(a.id, a.id) for a in plan.attachments], plan.proof.held_attachment)

    def _make(self, controls: Sequence[str]) -> None:
        for tick in self.ticks:
            self._column.removeWidget(tick)
            tick.hide()
            tick.deleteLater()
        self.ticks = []
        for control in controls:
            tick = Tick(f"{control} is measured, not taken as drawn")
            tick.setProperty("control", control)
            tick.toggled.connect(self._on_tick)
            self._column.addWidget(tick)
            self.ticks.append(tick)

    def _on_tick(self) -> None:
        plan = self.document.plan
        for tick, control in zip(self.ticks, plan.controls, strict=True):
            if tick.isChecked() != control.measured:
                measured, name = tick.isChecked(), control.id
                self.try_to(
                    f"{name} {'measured' if measured else 'as drawn'}",
                    lambda p, n=name, m=measured: edits.set_measured(p, n, measured=m),  # type: ignore[misc]
                )
                return

    def _set_house(self, key: object) -> None:
        choice = cast("HouseChoice", key)
        plan = self.document.plan
        held = plan.attachments[0].id if choice == "hold one attachment" and plan.attachments else None
        try:
            self.do("House as found", lambda p: edits.set_proof(p, house=choice, held_attachment=held))
        except LayoutdeskError:
            self.fill(plan)
            raise

    def _set_attachment(self, key: object) -> None:
        held = cast("str", key)
        self.do("Held attachment", lambda p: edits.set_proof(p, house="hold one attachment", held_attachment=held))
